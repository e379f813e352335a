"""Lengths written in the unit that stood there before."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closures.lengths import parse_length_mm
from closures.plan.as_written import step_of, to_fine, to_step, written_like


@pytest.mark.parametrize(
    ("old", "units", "mm", "new"),
    [
        ("5/8 in", "mm", 19.05, "3/4 in"),
        ('9 1/4"', "mm", 254.0, '10"'),
        ('9 1/4"', "mm", 236.5375, '9 5/16"'),
        ("9.25in", "mm", 254.0 + 127 / 80, "10 1/16in"),
        ("12 mm", "in", 13.0, "13 mm"),
        ("1.5 cm", "in", 22.0, "2.2 cm"),
        ("1.5cm", "in", 20.0, "2cm"),
        ("0.5 m", "in", 482.0, "0.482 m"),
        ("2 inches", "mm", 25.4, "1 inches"),
        (12, "mm", 13.0, 13),
        (12.5, "mm", 13.25, 13.25),
        (3, "in", 38.1, 1.5),
        # A fraction is what a person writes, and a bare number is none.
        (3, "in", 127 / 80, "1/16 in"),
        ("5/8 in", "mm", 690.118, "27.17 in"),
        ("12", "in", 38.1, "1 1/2 in"),
        ("12", "mm", 13.0, "13"),
        (None, "in", 38.1, "1 1/2 in"),
        (None, "mm", 38.1, "38.1 mm"),
        # What the unit cannot tell in full is told in mm.
        ("5/8 in", "mm", 290.4417, "290.4417 mm"),
        (3, "in", 290.4417, "290.4417 mm"),
        ("1 yd", "mm", 457.2, "0.5 yd"),
        ("-3 mm", "mm", -4.0, "-4 mm"),
    ],
)
def test_a_length_is_written_in_the_unit_that_stood_there(old: object, units: str, mm: float, new: object) -> None:
    assert written_like(mm, old, units) == new  # type: ignore[arg-type]


@given(
    st.floats(-50_000, 50_000).filter(lambda mm: mm == 0 or abs(mm) > 1e-6),
    st.sampled_from(["5/8 in", '1"', "12 mm", "1.5 cm", "2 yd", "1 ft", "3 m", "7", 7, 2.5, None]),
    st.sampled_from(["mm", "in"]),
)
def test_a_length_written_in_any_unit_reads_as_the_same_float(mm: float, old: object, units: str) -> None:
    assert parse_length_mm(written_like(mm, old, units), units, least_mm=None) == mm  # type: ignore[arg-type]


@given(st.floats(0, 5000), st.sampled_from(["5/8 in", "12 mm", "1.5 cm", 3, None]), st.sampled_from(["mm", "in"]))
def test_a_dragged_length_lies_on_a_step_of_its_unit(mm: float, old: object, units: str) -> None:
    there, step = to_step(mm, old, units), step_of(old, units)  # type: ignore[arg-type]
    assert abs(there - mm) <= step / 2 + 1e-9
    new = written_like(there, old, units)  # type: ignore[arg-type]
    assert not isinstance(new, str) or len(new) <= 12, new
    assert parse_length_mm(new, units) == there


@given(st.floats(0, 5000), st.sampled_from(["5/8 in", "12 mm", "7", 3, None]), st.sampled_from(["mm", "in"]))
def test_a_place_that_is_no_step_has_two_decimals_and_lies_no_farther_than_it_may(
    mm: float, old: object, units: str
) -> None:
    there = to_fine(mm, old, units, mm)  # type: ignore[arg-type]
    new = written_like(there, old, units)  # type: ignore[arg-type]
    assert parse_length_mm(new, units) == there and there <= mm < there + 0.26
    assert re.fullmatch(r"\d+(\.\d\d?)?( mm)?|(\d+|\d+ \d+/\d+|\d+/\d+|\d+\.\d\d?)( in)?", str(new)), new
