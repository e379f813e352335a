"""Figures that nobody can have meant are asked about, and no repair makes a row of them."""

import re

import pytest
from fronts import FRONT

from closures.app.job import check_plan
from closures.checks.finding import Finding
from closures.errors import ClosureError, SpacingError
from closures.plan.reading import read_plan
from closures.spacing import NoSpacing


def told_ends(first: str = '"15 mm"', last: str = '"20 mm"') -> str:
    return re.sub(r"(?m)^last = .*$", f"last = {last}", FRONT).replace('first = "15 mm"', f"first = {first}")


@pytest.mark.parametrize("told", ['"900 mm"', '"15 m"', '{ from = "601 mm", to = "700 mm" }'])
@pytest.mark.parametrize("key", ["first", "last"])
def test_an_end_beyond_the_whole_line_is_asked_about(key: str, told: str) -> None:
    """15 mm or 90 mm may be meant: a range from where a row can be up to 900 mm would leave the neck open."""
    text = told_ends(**{key: told})
    with pytest.raises(
        SpacingError, match="lies beyond the other end: the whole closing line is 600 mm long"
    ) as refused:
        check_plan(read_plan(text.encode(), "plan.toml"))
    assert not isinstance(refused.value, NoSpacing)
    assert f"[spacing] {key}" in str(refused.value) and "its unit" in str(refused.value)


def test_an_end_that_lies_on_the_line_is_no_slip() -> None:
    text = told_ends(first='{ from = "15 mm", to = "900 mm" }')
    assert len(check_plan(read_plan(text.encode(), "plan.toml")).placement.marks) > 1


def findings(text: str, rule: str) -> list[Finding]:
    found = check_plan(read_plan(text.encode(), "plan.toml")).findings
    return [one for one in found if one.rule == rule and one.result != "pass"]


BUST = '[[anchor]]\nname = "bust point"\nlevel = "{}"\n'


@pytest.mark.parametrize("opens", ['opens = "front"\n', ""], ids=["front", "not told"])
def test_a_first_closure_told_far_below_the_neck_is_asked_about(opens: str) -> None:
    """300 mm for 30: gaps of 75 mm, and 300 > 12.7 + 2 x 75."""
    text = told_ends(first='"300 mm"').replace('opens = "front"\n', opens)
    (one,) = findings(text, "end distance")
    assert one.result == "warn" and one.mark == 1
    assert "300 mm from the" in one.text and "first under [spacing] and its unit" in one.text


def test_a_first_closure_is_looked_at_from_two_gaps_beyond_what_is_usual() -> None:
    """By hand: with a pitch of 60 mm met exactly, 12.7 mm and 2 gaps come to 132.7 mm."""
    for first, looked in ((132, 0), (133, 1)):
        last = 600 - first - 6 * 60
        text = told_ends(first=f'"{first} mm"', last=f'"{last} mm"')
        text = re.sub(r"(?m)^(pitch|count) = .*$", 'pitch = "60 mm"', text)
        assert len(findings(text, "end distance")) == looked, first


def test_a_last_closure_is_looked_at_from_five_gaps_beyond_what_is_usual() -> None:
    """By hand: with a pitch of 40 mm met exactly, 12.7 mm and 5 gaps come to 212.7 mm."""
    for last, looked in ((212.6, 0), (212.8, 1)):
        first = 600 - last - 9 * 40
        text = told_ends(first=f'"{first:.1f} mm"', last=f'"{last} mm"')
        text = re.sub(r"(?m)^(pitch|count) = .*$", 'pitch = "40 mm"', text)
        assert len(findings(text, "end distance")) == looked, last


@pytest.mark.parametrize(
    "more",
    [
        BUST.format("300 mm"),
        '[[clear]]\nname = "insert"\nalong = ["60 mm", "200 mm"]\n',
        '[[single]]\nkind = "hook and eye"\nsize = "1"\nalong = "20 mm"\n',
    ],
    ids=["a fixed place there", "a clear zone above", "a closure beside the row"],
)
def test_what_the_plan_tells_explains_a_row_that_begins_far_down(more: str) -> None:
    assert not findings(told_ends(first='"300 mm"') + more, "end distance")


def test_a_bust_told_right_at_the_neck_is_asked_about() -> None:
    """A bust level of 15 cm that was written in mm; 235 mm is one of the usual ones, and says nothing."""
    (one,) = findings(FRONT + BUST.format("15 mm"), "strain point")
    assert "15 mm from the neck, where a bust is only if" in one.text
    assert not findings(FRONT + BUST.format("235 mm"), "strain point")


def test_a_refusal_says_from_where_levels_were_told_to_be_counted() -> None:
    """A height told with the wrong sign puts the bust 80 mm lower than it was measured."""
    text = FRONT.replace('straight = "600 mm"', 'straight = "600 mm"\nlevel_zero = "80 mm"')
    says = "The level of bust point is counted straight down from 80 mm below the neck end of the edge, as was told"
    for level, why in (("630 mm", "does not meet the closing line"), ("-78 mm", "no row of closures")):
        with pytest.raises(ClosureError, match=why) as refused:
            check_plan(read_plan((text + BUST.format(level)).encode(), "plan.toml"))
        assert says in str(refused.value), level
    with pytest.raises(ClosureError, match="does not meet the closing line") as refused:
        check_plan(read_plan((FRONT + BUST.format("630 mm")).encode(), "plan.toml"))
    assert "as was told" not in str(refused.value)


DRAWN = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="1000mm" viewBox="0 0 500 1000">'
    b'<path id="e" d="M 250 300 V 900"/></svg>'
)


@pytest.mark.parametrize(
    ("edge", "looked", "write"),
    [
        ('straight = "600 mm"\nlevel_zero = "80 mm"', "80 mm below the neck", '"-80 mm"'),
        ('straight = "600 mm"\nlevel_zero = "-80 mm"', "", ""),
        ('points = [["0 mm", "40 mm"], ["0 mm", "640 mm"]]\nlevel_zero = "80 mm"', "40 mm below the neck", '"-40 mm"'),
        ('path = "e"\nlevel_zero = "-80 mm"', "380 mm above the neck", '"220 mm"'),
        ('path = "e"\nlevel_zero = "380 mm"', "80 mm below the neck", '"-80 mm"'),
        ('path = "e"\nlevel_zero = "220 mm"', "", ""),
    ],
    ids=["straight", "straight, above", "points", "drawn, off its top", "drawn, below", "drawn, above"],
)
def test_a_height_is_one_thing_and_asked_about_where_a_distance_may_be_meant(
    edge: str, looked: str, write: str
) -> None:
    """By hand: the neck lies at 0 on a straight edge, at 40 on the points, at 300 in the drawing; y is counted down."""
    is_drawn = "path" in edge
    text = ('drawing = "f.svg"' if is_drawn else "") + FRONT.replace('straight = "600 mm"', edge)
    text += BUST.replace("{}", "460 mm" if "380 mm above" in looked else "200 mm")
    answer = check_plan(read_plan(text.encode(), "plan.toml"), {"f.svg": DRAWN} if is_drawn else {})
    found = [one.text for one in answer.findings if one.rule == "ends"]
    if not looked:
        assert not found
        return
    (said,) = found
    assert f"Levels are counted from {looked}" in said
    assert f"write level_zero = {write}" in said


def knitted(rows: int, stitches: int, over: str = "100 mm", long: int = 600) -> str:
    text = (
        told_ends().replace("prong snap", "sew-through button").replace("16 L", "18 L").replace("600 mm", f"{long} mm")
    )
    return text + f'[gauge]\nrows = {rows}\nstitches = {stitches}\nover = "{over}"\nline = "band rows"\n'


def test_rows_that_nobody_knits_are_asked_about() -> None:
    """28 rows over 100 mm, written as 280, or over 10 mm: rows of a third of a millimetre. By hand 100 / 280 = 0.357."""
    for text, told in ((knitted(280, 20), "280 rows over 100 mm"), (knitted(28, 20, "10 mm"), "28 rows over 10 mm")):
        with pytest.raises(ClosureError, match=f"{told} make each row 0.357 mm. Look at the number, and at over"):
            check_plan(read_plan(text.encode(), "plan.toml"))
    with pytest.raises(ClosureError, match="2 stitches over 1000 mm make each stitch 500 mm"):
        check_plan(read_plan(knitted(280, 2, "1000 mm").encode(), "plan.toml"))


def test_too_many_rows_ask_for_no_wider_repeat() -> None:
    with pytest.raises(SpacingError, match="places, each on a whole row, are too many") as refused:
        check_plan(read_plan(knitted(90, 60, long=1200).encode(), "plan.toml"))
    assert "the gauge" in str(refused.value) and "repeat" not in str(refused.value)
