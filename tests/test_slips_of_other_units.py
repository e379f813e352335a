"""Figures that are sound by themselves and cannot be meant: another unit, ends exchanged, no room for a hidden closure."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pypdfium2
import pytest

from closures.app.job import check_plan
from closures.app.sizing import place_sizes, size_files
from closures.errors import PlanError
from closures.jobs.swap.swap import _off_the_pitch_mm
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"


def text_of(name: str) -> str:
    return (TEMPLATES / name / "plan.toml").read_text("utf-8")


def looks(text: str, name: str = "shirt-front") -> list[str]:
    """What is to be looked at in a plan that lies beside a starting plan's drawing."""
    found = check_plan(read_plan(text, "plan.toml"), TEMPLATES / name / "plan.toml").findings
    return [one.text for one in found if one.result == "warn"]


@pytest.mark.parametrize(
    ("places", "apart"),
    [
        ("6, 14.7, 23.4, 32.1", "8.7 mm apart, and the buttonholes are 16 mm long"),
        ("60, 75.9, 234", "15.9 mm apart, and the buttonholes are 16 mm long"),
    ],
    ids=["cm for mm", "a hair too near"],
)
def test_old_closures_that_overlap_are_refused(places: str, apart: str) -> None:
    text = re.sub(r"places = \[[^]]*\]", f"places = [{places}]", text_of("shirt-swap"))
    with pytest.raises(PlanError, match=f"{apart}: they cannot both be there"):
        check_plan(read_plan(text, "plan.toml"))


def test_old_closures_that_overlap_are_refused_in_the_units_of_the_plan() -> None:
    text = re.sub(r"places = \[[^]]*\]", 'places = ["2 in", "2 1/4 in", "9 in"]', text_of("shirt-swap"))
    inches = re.sub(r"(?m)^units = .*\n", "", text).replace("title =", 'units = "in"\ntitle =', 1)
    with pytest.raises(PlanError, match=r"1/4 in apart, and the buttonholes are 5/8 in long"):
        check_plan(read_plan(inches, "plan.toml"))


def test_old_closures_that_just_do_not_overlap_are_taken() -> None:
    text = re.sub(r"places = \[[^]]*\]", "places = [60, 76, 234]", text_of("shirt-swap"))
    assert check_plan(read_plan(text, "plan.toml")).swap is not None


@pytest.mark.parametrize("stitches", ["5.5", "6.9"])
def test_gauge_that_may_be_told_over_an_inch_is_asked(stitches: str) -> None:
    text = re.sub(r"(?m)^stitches = .*$", f"stitches = {stitches}", text_of("cardigan-rows"))
    text = re.sub(r"(?m)^(across|over) = .*\n", "", text)
    with pytest.raises(PlanError, match=r'\[gauge\] over: .*counted over 1 in. Write over = "1 in", or over = "10 cm"'):
        read_plan(text, "plan.toml")
    # Jumbo yarn has few rows as well: 30 beside so few stitches are no swatch.
    told = text.replace(f"stitches = {stitches}", f'stitches = {stitches}\nover = "10 cm"').replace(
        "rows = 30", "rows = 8"
    )
    assert read_plan(told, "plan.toml").gauge is not None


@pytest.mark.parametrize("name", ["shirt-front", "striped-shirt", "curved-front"])
def test_first_and_last_exchanged_are_looked_at(name: str) -> None:
    text = text_of(name)
    assert not any("exchanged" in one for one in looks(text, name))
    ends = dict(re.findall(r"(?m)^(first|last) = (.*)$", text))
    turned = re.sub(
        r"(?m)^(first|last) = .*$", lambda m: f"{m[1]} = {ends['last' if m[1] == 'first' else 'first']}", text
    )
    assert any(
        "see whether the two figures, first and last under [spacing], are exchanged" in one
        for one in looks(turned, name)
    )


HIDDEN = """
[edge]
straight = "550 mm"
[garment]
opens = "front"
ends = ["lapel", "hem"]
[band]
width = "184 mm"
inset = "25 mm"
lap = "right over left"
[column]
apart = "117 mm"
works = true
inner = {{ kind = "sew-through button", size = "24 L" }}
[closure]
kind = "sew-through button"
size = "24 L"
thickness = "3 mm"
hole = "along"
[spacing]
first = "15 mm"
last = "100 mm"
count = {count}
"""


@pytest.mark.parametrize(("count", "is_beyond"), [(5, False), (9, False), (10, True), (13, True)])
def test_hidden_closure_beyond_the_row_that_it_holds_is_looked_at(count: int, is_beyond: bool) -> None:
    text = HIDDEN.format(count=count)
    placement = check_plan(read_plan(text, "plan.toml")).placement
    hidden, row = placement.beside[-1].marks[0].along_mm, placement.marks
    # Found on the answer itself, and not by the rule.
    assert (not row[0].along_mm <= hidden <= row[-1].along_mm) == is_beyond
    told = [one for one in looks(text) if "The hidden closure lies" in one and "beyond the last mark" in one]
    assert bool(told) == is_beyond
    if is_beyond:
        said = re.search(r"lies ([\d.]+) mm beyond", told[0])
        assert said is not None and float(said[1]) == pytest.approx(hidden - row[-1].along_mm, abs=0.06)


PLAIN = """
[edge]
straight = "600 mm"
[garment]
opens = "front"
[band]
width = "32 mm"
lap = "left over right"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = {{ from = "10 mm", to = "400 mm" }}
last = "40 mm"
pitch = "70 mm"
[[anchor]]
name = "{name}"
along = "{along} mm"
within = "{within} mm"
"""


@pytest.mark.parametrize(("name", "is_looked_at"), [("bust", True), ("Apex", True), ("loop", False)])
def test_place_called_a_bust_right_at_the_neck_is_looked_at(name: str, is_looked_at: bool) -> None:
    told = looks(PLAIN.format(name=name, along=15, within=5))
    assert any("where a bust is only if the neck is cut down to it" in one for one in told) == is_looked_at


@pytest.mark.parametrize(("along", "is_looked_at"), [("39.9", True), ("40", False), ("60", False)])
def test_a_bust_is_looked_at_up_to_forty_millimetres_from_the_neck(along: str, is_looked_at: bool) -> None:
    told = looks(PLAIN.format(name="bust", along=along, within=5))
    assert any("where a bust is only if the neck is cut down to it" in one for one in told) == is_looked_at


def test_level_of_a_bust_in_cm_that_is_written_as_mm_is_looked_at() -> None:
    # 25 cm below the neck, and never 25 mm.
    told = looks(PLAIN.format(name="bust", along=25, within=5))
    assert any("bust lies 25 mm from the neck, where a bust is only if" in one for one in told)


@pytest.mark.parametrize(("first", "along", "is_looked_at"), [(300, 300, False), (300, 308, False), (300, 369, True)])
def test_low_first_closure_is_explained_by_a_fixed_place_that_it_serves(
    first: int, along: int, is_looked_at: bool
) -> None:
    text = PLAIN.format(name="waist", along=along, within=10)
    text = re.sub(r"(?m)^first = .*$", f'first = "{first} mm"', text)
    assert any("nothing in the plan says what closes above it" in one for one in looks(text)) == is_looked_at


def even_row(first: str, last: str, count: int) -> str:
    text = re.sub(r"(?m)^(first|last|pitch) = .*\n", "", PLAIN.split("[[anchor]]")[0].format())
    return text.replace("[spacing]\n", f'[spacing]\nfirst = "{first} mm"\nlast = "{last} mm"\ncount = {count}\n')


@pytest.mark.parametrize(
    ("first", "more", "is_looked_at"),
    [
        ("225", "", False),
        ("227", "", True),
        ("227", '[[single]]\nkind = "prong snap"\nsize = "16 L"\nalong = "60 mm"\n', False),
    ],
)
def test_first_closure_is_looked_at_from_two_gaps_below_what_is_usual_on(
    first: str, more: str, is_looked_at: bool
) -> None:
    # 600 mm, four closures, 54.4 mm below the last: 12.7 mm, usual at least, and two gaps lie above a first at 225.86.
    told = looks(even_row(first, "54.4", 4) + more)
    assert any("nothing in the plan says what closes above it" in one for one in told) == is_looked_at


@pytest.mark.parametrize(
    ("first", "last", "are"),
    [("93", "40", False), ("94", "40", True), ("130", "78", True), ("130", "79", False)],
)
def test_ends_are_exchanged_where_more_than_a_gap_lies_above_and_less_than_one_below(
    first: str, last: str, are: bool
) -> None:
    # Six closures on 600 mm: a first at 93.3 mm lies a gap from the neck where 40 mm are left, and a last at 78.3 mm one
    # from the hem where the first lies at 130.
    told = looks(even_row(first, last, 6))
    assert (
        any("see whether the two figures, first and last under [spacing], are exchanged" in one for one in told) == are
    )


def test_wider_gap_counts_twice_where_offers_of_a_swap_are_ranked() -> None:
    """A wider gap gapes, a closer one costs a closure: twice for once, by hand."""

    def offer(*gaps_mm: float) -> SimpleNamespace:
        plan = SimpleNamespace(spacing=SimpleNamespace(pitch_mm=70.0))
        return SimpleNamespace(placement=SimpleNamespace(plan=plan, spacing=SimpleNamespace(gaps_mm=gaps_mm)))

    assert _off_the_pitch_mm(offer(80.0, 70.0, 55.0)) == 2 * 10 + 15  # type: ignore[arg-type]


@pytest.mark.parametrize(("level", "is_beyond"), [(100, False), (520, True)])
def test_hidden_closure_told_beyond_the_row_is_looked_at(level: int, is_beyond: bool) -> None:
    text = HIDDEN.format(count=5).replace('size = "24 L" }', f'size = "24 L", level = "{level} mm" }}', 1)
    assert any("see whether its level within inner is the one meant" in one for one in looks(text)) == is_beyond


def test_old_buttonholes_whose_length_nobody_told_are_as_long_as_their_button_is_wide_and_thick() -> None:
    # 18 lines are 11.43 mm (a line is 1/40 in), and the button is 3 mm thick.
    text = text_of("shirt-swap").replace(', length = "16 mm"', "")
    far, near = (re.sub(r"places = \[[^]]*\]", f"places = [60, {at}, 234]", text) for at in (74.5, 74.3))
    assert check_plan(read_plan(far, "plan.toml")).swap is not None
    with pytest.raises(PlanError, match=r"14\.4 mm long, do not fit between closures that lie 14\.3 mm apart"):
        check_plan(read_plan(near, "plan.toml"))


def test_sheets_of_all_sizes_of_a_knitted_band_tell_to_prick_nothing_that_is_knitted() -> None:
    text = text_of("cardigan-rows") + (
        '[sizes]\nnames = ["S", "M"]\nbase = "S"\nhold = "count"\ngrade = [["0 mm", "0 mm"], ["0 mm", "10 mm"]]\n'
    )
    nest = size_files(place_sizes(read_plan(text, "plan.toml")), "a4")["marking.pdf"]
    document = pypdfium2.PdfDocument(nest)
    words = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    assert "by the list in the file of its size" in words and "Mark the dots of your size only" not in words


@pytest.mark.parametrize(("more", "is_looked_at"), [("", True), ('widest = "9 in"\n', False)])
def test_pitch_of_more_than_twice_what_is_usual_is_looked_at_unless_widest_says_it_is_meant(
    more: str, is_looked_at: bool
) -> None:
    """8 in for 8 cm: at most 3 1/2 in is usual on a shirt front (ICAR E-course, as facts of the catalogue name it)."""
    text = PLAIN.format(name="waist", along=300, within=200)
    text = re.sub(r"(?m)^(first|last|count|pitch) = .*\n", "", text)
    text = text.replace("[spacing]\n", f'[spacing]\nfirst = "20 mm"\nlast = "20 mm"\npitch = "8 in"\n{more}')
    assert any("If the figure of pitch and its unit" in one for one in looks(text)) == is_looked_at


@pytest.mark.parametrize(
    ("last", "more", "is_looked_at"),
    [
        ("400 mm", "", True),
        ("120 mm", "", False),
        ("400 mm", '[[clear]]\nname = "slit"\nalong = ["240 mm", "600 mm"]\n', False),
    ],
)
def test_last_closure_told_far_above_the_hem_is_looked_at(last: str, more: str, is_looked_at: bool) -> None:
    text = PLAIN.format(name="waist", along=100, within=40)
    text = re.sub(r"(?m)^(first|last|count|pitch) = .*\n", "", text)
    text = text.replace("[spacing]\n", f'[spacing]\nfirst = "20 mm"\nlast = "{last}"\npitch = "40 mm"\n') + more
    assert any("nothing in the plan says what closes below it" in one for one in looks(text)) == is_looked_at
