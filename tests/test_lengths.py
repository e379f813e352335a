"""Lengths as people write them: what is read, what is refused, what is written."""

import datetime
import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closures.errors import LengthError, Where
from closures.lengths import (
    LARGEST_MM,
    format_both,
    format_inches,
    format_length,
    format_mm,
    parse_length,
    parse_length_mm,
    unit_in_mm,
)
from closures.plan.kinds import Place, more_than_nothing, points

# The sums are written out: an inch is 25.4 mm (international yard and pound agreement, 1959).
READ = {
    "12": Fraction(12),
    "12 mm": Fraction(12),
    "12mm": Fraction(12),
    "  12 mm ": Fraction(12),
    "12\u00a0mm": Fraction(12),
    "0": Fraction(0),
    ".5 mm": Fraction(1, 2),
    "1.5 cm": Fraction(15),
    "0.6 m": Fraction(600),
    "5/8 in": Fraction(5, 8) * Fraction(254, 10),
    "1 1/2 in": Fraction(381, 10),
    "1  1/2  in": Fraction(381, 10),
    "1-1/2 in": Fraction(381, 10),
    '1½"': Fraction(381, 10),
    "1 ½ in": Fraction(381, 10),
    "1-½ in": Fraction(381, 10),
    "1½″": Fraction(381, 10),
    '1 1/2"': Fraction(381, 10),
    "⅝ in": Fraction(15875, 1000),
    "1⅝ in": Fraction(41275, 1000),
    "3⁄8 in": Fraction(9525, 1000),
    "1.5in": Fraction(381, 10),
    "3/2 in": Fraction(381, 10),
    "1/3 in": Fraction(254, 30),
    "2 inches": Fraction(508, 10),
    "2 Inches": Fraction(508, 10),
    "1 foot": Fraction(3048, 10),
    "2 yd": Fraction(2 * 9144, 10),
    "100 m": Fraction(100_000),
}

REFUSED = {
    "": "one number in figures and its unit",
    " ": "one number in figures and its unit",
    "mm": "one number in figures and its unit",
    "1,5 cm": r"Write 1\.5 cm",
    "1,5": r"Write 1\.5,",
    "1,000.5 mm": "is not a length",
    "DWG": "one number in figures and its unit",
    "24 – 30 mm": r"These are two lengths\. Write one of them, 24 mm or 30 mm",
    "2—4 in": r"Write one of them, 2 in or 4 in",
    "2 to 4 in": r"Write one of them, 2 in or 4 in",
    "1–1/2 in": r"Write 1 1/2 in, with a space",
    "—3 mm": r"Write 3 mm, without the dash; a minus is a plain hyphen, -3 mm",
    "24 mm // the lap": r"Write the length alone, 24 mm\.",
    '"24 mm"': r"Write the length alone, 24 mm\.",
    "about 1 1/2 in wide": r"Write the length alone, 1 1/2 in\.",
    "80 mm above": r'Write the length without "above": .* a minus, -80 mm, counts the other way',
    "3 in below the neck": r'without "below": .* -3 in, counts',
    "2'": r"Write 2 ft if feet are meant, or 2 in for inches",
    "1 1/2": r"has no unit\. Write 1 1/2 in",
    "5/8": r"has no unit\. Write 5/8 in",
    "1½": r"has no unit\. Write 1½ in",
    "nan": "is not a length",
    "inf": "is not a length",
    "-inf": "is not a length",
    "1e3 mm": "Write the number in full",
    "1E-3": "Write the number in full",
    "12 mm 5 mm": "is not a length",
    "12 5": "is not a length",
    "1 1/2 1/2 in": "is not a length",
    "1.5 1/2 in": "is not a length",
    "1. mm": "is not a length",
    "1.2.3 mm": "is not a length",
    "1_000 mm": "is not a length",
    "0x10": "is not a length",
    "+5 mm": "is not a length",
    "--5 mm": "is not a length",
    "3 fathom": r"'fathom' in '3 fathom' is not a unit known here.*mm, cm, m, in, ft, yd",
    "3 inhc": "Did you mean in",
    "2 M": "is not a unit known here",
    "12 mm²": "is not a length",
    "5 km": "is not a unit known here",
    "1/0 in": "divides by zero",
    "1 0/0 in": "divides by zero",
    "1 5/4 in": r"Write 2 1/4 in",
    "-5 mm": r"'-5 mm' is negative\. Write a length of 0 or more",
    "−5 mm": "is negative",
    "-1 1/2 in": "is negative",
    "16 L": r"is a button size, not a length\. Write 10\.16 mm",
    "16 ligne": r"Write 10\.16 mm",
    "１２ mm": "plain digits 0 to 9",
    "١٢ mm": "plain digits 0 to 9",
    "³⁄₈ in": "plain digits 0 to 9",
    "12 mm\n": "is not a length",
    "12\n mm": "is not a length",
    "100.001 m": "more than 100 m",
    "9" * 40: "more than 100 m",
    "9" * 10_000: "is not a length",
    "0.0000000001 mm": "too small",
}


@pytest.mark.parametrize(("text", "length_mm"), READ.items(), ids=READ)
def test_parse_length_of_a_text_is_exact(text: str, length_mm: Fraction) -> None:
    assert parse_length(text) == length_mm


@pytest.mark.parametrize(("text", "reason"), REFUSED.items(), ids=[text[:20] for text in REFUSED])
def test_parse_length_of_anything_else_is_refused_with_what_to_write(text: str, reason: str) -> None:
    with pytest.raises(LengthError, match=reason) as refused:
        parse_length(text, where="front.toml, [band] width")
    assert str(refused.value).startswith("front.toml, [band] width: ")
    assert refused.value.faults[0].mend


@pytest.mark.parametrize("text", ["16 L", "16L", "16 line", "16 lines", "16 ligne", "16 Lignes"])
def test_parse_length_of_a_size_takes_lines_of_a_fortieth_inch(text: str) -> None:
    # 16 x 25.4 / 40. The line as 1/40 inch is the button trade's common practice.
    assert parse_length(text, sizes=True) == Fraction(1016, 100)


def test_parse_length_of_a_size_refuses_a_small_l() -> None:
    with pytest.raises(LengthError, match=r"'l' in '16 l' is not a unit known here.* L\."):
        parse_length("16 l", sizes=True)


@pytest.mark.parametrize(
    ("value", "units", "length_mm"),
    [
        ("12", "mm", Fraction(12)),
        ("12", "in", Fraction(3048, 10)),
        ("1.5", "in", Fraction(381, 10)),
        (12, "mm", Fraction(12)),
        (2, "in", Fraction(508, 10)),
        (0.1, "mm", Fraction(1, 10)),
        (1.5, "in", Fraction(381, 10)),
        ("12 mm", "in", Fraction(12)),
        (-0.0, "mm", Fraction(0)),
    ],
    ids=str,
)
def test_parse_length_of_a_bare_number_takes_the_units(value: object, units: str, length_mm: Fraction) -> None:
    assert parse_length(value, units) == length_mm


@pytest.mark.parametrize(
    ("value", "reason"),
    [
        (True, "true is not a length"),
        (False, "false is not a length"),
        (None, "None is not a length"),
        (float("nan"), "nan is not a length"),
        (float("inf"), "inf is not a length"),
        (1e300, "more than 100 m"),
        (10**5000, "more than 100 m"),
        (-1, "is negative"),
        ([12], "a list is not a length"),
        ({"mm": 12}, "a table is not a length"),
        (datetime.date(2024, 2, 3), "2024-02-03 is not a length"),
        (1 + 2j, "is not a length"),
    ],
    ids=lambda value: str(value)[:12] if not isinstance(value, int) or value < 10**9 else "huge",
)
def test_parse_length_of_what_is_no_number_is_refused(value: object, reason: str) -> None:
    with pytest.raises(LengthError, match=reason):
        parse_length(value)


def test_parse_length_without_a_least_takes_negative_lengths() -> None:
    assert parse_length("-1 1/2 in", least_mm=None) == Fraction(-381, 10)
    assert parse_length("−3 mm", least_mm=None) == -3
    assert parse_length(-3, least_mm=None) == -3


def test_parse_length_below_a_least_is_refused() -> None:
    assert parse_length("2 mm", least_mm=2) == 2
    with pytest.raises(LengthError, match=r"'1\.9 mm' is too little\. Write 2 mm or more"):
        parse_length("1.9 mm", least_mm=2)


def test_parse_length_of_zero_is_refused_where_it_makes_no_sense() -> None:
    with pytest.raises(LengthError, match="Write a length of more than 0"):
        parse_length("0 in", zero=False)


def test_parse_length_mm_gives_the_nearest_float() -> None:
    read = parse_length_mm("1/3 in")
    assert isinstance(read, float)
    assert read == float(Fraction(254, 30))


def test_unit_in_mm_of_an_unknown_name_is_an_error_of_the_caller() -> None:
    with pytest.raises(ValueError, match="'furlong' is not a unit"):
        unit_in_mm("furlong")


def test_unit_in_mm_agrees_with_pints_own_list() -> None:
    import pint

    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    for name in ("mm", "cm", "m", "in", "ft", "yd"):
        assert unit_in_mm(name) == registry.Quantity(Fraction(1), name).to("mm").magnitude


@given(st.text(max_size=30) | st.text("0123456789 ./-,½⅝⁄\"eincmL'", max_size=12))
def test_parse_length_of_any_text_is_a_length_or_refused(text: str) -> None:
    try:
        length_mm = parse_length(text, sizes=True, least_mm=None)
    except LengthError as refused:
        assert refused.faults[0].mend
    else:
        assert abs(length_mm) <= LARGEST_MM


@given(
    st.integers(0, 90),
    st.integers(1, 63).flatmap(lambda top: st.tuples(st.just(top), st.integers(top + 1, 64))),
    st.sampled_from([" ", "-"]),
    st.sampled_from(["/", "⁄"]),
    st.sampled_from([("mm", 1), (" cm", 10), (" in", Fraction(254, 10)), ('"', Fraction(254, 10))]),
)
def test_parse_length_of_a_mixed_number_is_the_sum_of_its_parts(
    whole: int, part: tuple[int, int], joint: str, bar: str, unit: tuple[str, Fraction]
) -> None:
    text = f"{whole}{joint}{part[0]}{bar}{part[1]}{unit[0]}"
    assert parse_length(text) == (whole + Fraction(*part)) * unit[1]


@given(st.integers(-20_000, 20_000))
def test_format_inches_of_sixteenths_reads_back_exactly(sixteenths: int) -> None:
    exact_mm = Fraction(sixteenths, 16) * Fraction(254, 10)
    assert parse_length(format_inches(float(exact_mm)), least_mm=None) == exact_mm


@given(st.floats(-90_000, 90_000))
def test_format_length_is_within_half_a_step(mm: float) -> None:
    assert abs(parse_length(format_length(mm, "mm"), least_mm=None) - Fraction(mm)) <= Fraction(1, 20) + (
        Fraction(1, 10**9)
    )
    assert abs(parse_length(format_length(mm, "in"), least_mm=None) - Fraction(mm)) <= Fraction(254, 320) + (
        Fraction(1, 10**9)
    )


@pytest.mark.parametrize(
    ("mm", "in_mm", "in_inches"),
    [
        (0.0, "0 mm", "0 in"),
        (-0.0, "0 mm", "0 in"),
        (-0.04, "0 mm", "0 in"),
        (38.1, "38.1 mm", "1 1/2 in"),
        (25.4, "25.4 mm", "1 in"),
        (30.0, "30 mm", "1 3/16 in"),
        (100.0, "100 mm", "3 15/16 in"),
        (15.875, "15.9 mm", "5/8 in"),
        (0.25, "0.3 mm", "0 in"),
        (0.396, "0.4 mm", "0 in"),
        (0.397, "0.4 mm", "1/32 in"),
        (0.6, "0.6 mm", "1/32 in"),
        (-0.6, "-0.6 mm", "-1/32 in"),
        (0.793, "0.8 mm", "1/32 in"),
        (0.79375, "0.8 mm", "1/16 in"),
        (-20.0, "-20 mm", "-13/16 in"),
        (85.714285, "85.7 mm", "3 3/8 in"),
    ],
    ids=str,
)
def test_format_length_rounds_once(mm: float, in_mm: str, in_inches: str) -> None:
    assert format_mm(mm) == format_length(mm) == in_mm
    assert format_inches(mm) == format_length(mm, "in") == in_inches
    assert format_both(mm) == f"{in_mm} ({in_inches})"


def test_format_mm_with_more_decimals_keeps_them() -> None:
    assert format_mm(0.264, decimals=2) == "0.26 mm"
    assert format_mm(0.3, decimals=2) == "0.3 mm"


def test_format_length_of_what_is_no_length_is_an_error_of_the_caller() -> None:
    with pytest.raises(ValueError, match="nan is not a length"):
        format_mm(float("nan"))
    with pytest.raises(ValueError, match="inf is not a length"):
        format_inches(float("inf"))
    with pytest.raises(ValueError, match="mm or in, not in 'cm'"):
        format_length(1.0, "cm")


def test_lengths_imported_and_used_in_mm_and_inches_leaves_the_slow_libraries_alone() -> None:
    code = (
        "import sys, closures.lengths as l, closures.plan\n"
        "l.parse_length('1 1/2 in'); l.format_both(3.0)\n"
        "print([name for name in ('pint', 'numpy') if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1,400 mm", "Write 1400 mm if the comma parts thousands, or 1.4 mm if it parts decimals."),
        ("2,000 mm", "Write 2000 mm if the comma parts thousands, or 2 mm if it parts decimals."),
        ("1,405 mm", "Write 1405 mm if the comma parts thousands, or 1.405 mm if it parts decimals."),
        ("12,5 mm", "Write 12.5 mm, with a point for the decimals."),
        ("0,400 m", "Write 0.400 m, with a point for the decimals."),
        ("1,4000 mm", "Write 1.4000 mm, with a point for the decimals."),
    ],
)
def test_comma_that_may_part_thousands_is_asked_about(text: str, told: str) -> None:
    with pytest.raises(LengthError) as refused:
        parse_length_mm(text)
    assert told in str(refused.value)


@pytest.mark.parametrize(
    ("text", "many", "few"),
    [
        ("1.200 mm", "1200 mm", "1.2 mm"),
        ("1.200", "1200 mm", "1.2 mm"),
        ("12.500mm", "12500 mm", "12.5 mm"),
        ("-8.050 mm", "-8050 mm", "-8.05 mm"),
    ],
)
def test_a_point_that_may_part_thousands_is_asked_about(text: str, many: str, few: str) -> None:
    place = Place(Where(section="edge", key="straight"), "straight", "mm")
    with pytest.raises(
        LengthError, match=f"can be read as {many} and as {few}.* Write {many} if the point parts thous"
    ):
        more_than_nothing(text, place)


# 9.525 mm is 3/8 in, and 0.500 mm can be no thousands; of a list of points each may have all its decimals.
@pytest.mark.parametrize(
    "text", ["9.525 mm", "0.500 mm", "1.20 mm", "1.2000 mm", "1.200 in", "1200.500 mm", "76.200 mm"]
)
def test_a_point_that_can_only_part_decimals_is_taken(text: str) -> None:
    assert more_than_nothing(text, Place(Where(section="edge", key="straight"), "straight", "mm")) > 0
    assert points([["0.000 mm", "12.500 mm"], ["1.250 mm", "80.000 mm"]], Place(Where(), "points", "mm"))[0] == (
        0,
        12.5,
    )


def test_a_bare_number_of_inches_parts_decimals() -> None:
    assert more_than_nothing("1.200", Place(Where(), "straight", "in")) == pytest.approx(1.2 * 25.4)


def test_a_length_that_may_not_be_nothing_is_asked_for_as_more_than_nothing() -> None:
    with pytest.raises(LengthError, match=r"'-1 in' is negative\. Write a length of more than 0\."):
        parse_length_mm("-1 in", "in", zero=False)
