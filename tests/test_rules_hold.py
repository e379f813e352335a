"""What single rules hold a figure against, each told by hand: small faults in them passed every other test."""

from __future__ import annotations

import pytest

from closures.app.job import check_plan
from closures.checks.finding import Finding
from closures.errors import EdgeError
from closures.plan.reading import read_plan

SNAPS = """
[edge]
straight = "500 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = {first}
last = "20 mm"
count = 6
{more}"""
LOOPS = """
[edge]
straight = "300 mm"
[garment]
opens = "back"
edges = "meeting"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "loop and ball button"
size = "16 L"
[loop]
feet = "18 mm"
[spacing]
first = "{first}"
last = "15 mm"
count = 9
"""
BLOUSE = """
[edge]
straight = "500 mm"
[garment]
opens = "back"
[band]
width = "32 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
[spacing]
first = "60 mm"
last = "60 mm"
count = 6
"""


def findings(text: str, rule: str) -> list[Finding]:
    return [one for one in check_plan(read_plan(text.encode(), "plan.toml")).findings if one.rule == rule]


@pytest.mark.parametrize(
    ("first", "result"), [("8.9 mm", "fail"), ("9 mm", "pass"), ("21.7 mm", "pass"), ("21.8 mm", "warn")]
)
def test_wide_feet_decide_where_loops_begin_and_how_far_in_they_may(first: str, result: str) -> None:
    # Half of 18 mm lies within the edge (geometry); 1/2 in further in the edges part above it (our own rule).
    (found, _) = findings(LOOPS.format(first=first), "end distance")
    assert found.result == result
    if result == "warn":
        assert found.limit_mm == pytest.approx(9 + 12.7) and "here from 9 mm on" in found.text


@pytest.mark.parametrize(
    ("to", "mend"), [("12.7 mm", "Let first under [spacing] begin at 12.7 mm."), ("12.6 mm", "Move it in.")]
)
def test_a_range_that_holds_what_is_usual_is_told_where_to_begin(to: str, mend: str) -> None:
    # 1/2 in from an end is usual (an industry patternmaker); a place fixed at 10 mm keeps the row nearer.
    more = '[[anchor]]\nname = "top"\nalong = "10 mm"\n'
    (found, _) = findings(SNAPS.format(first=f'{{ from = "9 mm", to = "{to}" }}', more=more), "end distance")
    assert found.result == "warn" and found.limit_mm == pytest.approx(12.7) and found.text.endswith(mend)


@pytest.mark.parametrize(("length", "result"), [("801.9 mm", "pass"), ("802.1 mm", "warn")])
def test_a_gap_is_looked_at_from_half_as_much_again_as_is_usual_of_its_kind(length: str, result: str) -> None:
    # 4 in is usual on a coat, and 6 in, 152.4 mm, is half as much again (our own rule): five gaps and twice 20 mm.
    coat = SNAPS.format(first='"20 mm"', more='[[layer]]\ncloth = "melton"\n').replace("500 mm", length)
    coat = coat.replace('"prong snap"', '"capped prong snap"').replace("16 L", "24 L")
    found = findings(coat + '[garment]\nopens = "front"\n', "widest gap")
    assert {one.result for one in found} == {result} and found[0].limit_mm == pytest.approx(152.4)


@pytest.mark.parametrize(
    ("along", "result", "stays_mm"), [("8 mm", "pass", 8), ("20 mm", "fail", -4), ("31 mm", "pass", 7)]
)
def test_a_closure_beside_the_row_keeps_out_of_a_zone_on_either_side_of_it(
    along: str, result: str, stays_mm: float
) -> None:
    more = f'[[single]]\nkind = "sew-on snap"\nsize = "1"\nalong = "{along}"\ninset = "8 mm"\n'
    zone = '[[clear]]\nname = "tab"\nalong = ["16 mm", "24 mm"]\nroom = "centre"\n'
    (found,) = findings(BLOUSE + more + zone, "clear zone")
    assert (found.result, found.mark, found.found_mm) == (result, 7, pytest.approx(stays_mm))


@pytest.mark.parametrize(("height", "result"), [("27.6 mm", "pass"), ("27.4 mm", "warn"), ("21.4 mm", "fail")])
def test_a_stand_holds_the_longer_end_of_a_buttonhole_that_runs_along_it(height: str, result: str) -> None:
    # 18 L and 2.5 mm are cut 13.93 mm long, 3.175 mm of it above the button's middle (as in the rule on buttonholes):
    # 10.755 mm reach below it, and 3 mm of the stand beyond them are wanted, half of the stand on either side.
    stand = (
        BLOUSE.replace('opens = "back"', 'opens = "front"').replace("3 mm", "2.5 mm").replace('first = "60 mm"\n', "")
    )
    found = findings(stand + f'[stand]\nheight = "{height}"\nhole = "along"\n', "stand")
    assert [one.result for one in found] == [result]


def test_two_stitches_are_left_between_knitted_buttonholes() -> None:
    # A stitch alone beside a hole tears out (common practice): 10 stitches to 10 cm are 10 mm each.
    knitted = (
        BLOUSE.replace("[spacing]", 'hole = "along"\n[spacing]')
        + '[gauge]\nstitches = 10\nrows = 14\nline = "stitches"\n'
    )
    knitted = knitted.replace("count = 6", "count = 11").replace('"60 mm"', '{ from = "10 mm", to = "60 mm" }')
    found = findings(knitted, "buttonhole")
    assert found and [one.limit_mm for one in found] == [pytest.approx(20, abs=1e-5)] * len(found)


@pytest.mark.parametrize(
    ("opens", "length", "found"),
    [
        ('"front"', 1699, 0),
        ('"front"', 1701, 1),
        (None, 4999, 0),
        (None, 5001, 1),
        ('"flat"', 4999, 0),
        ('"flat"', 5001, 1),
    ],
)
def test_an_edge_of_what_may_be_no_garment_is_looked_at_from_that_length_on(opens, length, found) -> None:
    # 1.7 m of a front, 5 m of flat goods, our own rule; where nothing tells what opens it may be either.
    flat = opens == '"flat"'
    text = SNAPS.format(first='"20 mm"', more="" if opens is None else f"[garment]\nopens = {opens}\n")
    text = text.replace("500 mm", f"{length} mm").replace("count = 6", 'pitch = "90 mm"')
    text = (
        text.replace("right over left", "upper over lower").replace("[band]", 'cloth = "left"\n[band]')
        if flat
        else text
    )
    assert len([one for one in findings(text, "finished edge") if "long, over" in one.text]) == found


@pytest.mark.parametrize(("across", "is_taken"), [("-99.9 mm", True), ("-100.1 mm", False)])
def test_a_fixed_place_lies_no_further_off_the_line_than_twice_the_band(across: str, is_taken: bool) -> None:
    # The line lies 20 mm inside the edge, the band is 40 mm wide: 80 mm further is too far (our own rule).
    more = f'[garment]\npieces = "separate"\n[[anchor]]\nname = "top"\nat = ["{across}", "200 mm"]\nwithin = "50 mm"\n'
    text = SNAPS.format(first='"20 mm"', more=more)
    text = text.replace('straight = "500 mm"', 'points = [["0 mm", "0 mm"], ["0 mm", "500 mm"]]')
    if is_taken:
        assert findings(text, "strain point")
    else:
        with pytest.raises(EdgeError, match="further than twice the band's width"):
            findings(text, "strain point")


SHIRT = """
[garment]
opens = "front"
pieces = "pair"
[edge]
straight = "{length} mm"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = {first}
last = {last}
{wish}
"""


def gaps_of(length: float, wish: str, first: str = "15", last: str = "20") -> list[Finding]:
    found = check_plan(
        read_plan(SHIRT.format(length=length, first=first, last=last, wish=wish).encode(), "plan.toml")
    ).findings
    return [one for one in found if one.rule == "widest gap"]


# Closures of a shirt front stand 3 to 3 1/2 in apart, so 88.9 mm at most: the rule "gap, shirt front", with its source.
@pytest.mark.parametrize(("gap", "result"), [(88.88, "pass"), (88.93, "warn")])
def test_a_gap_of_a_shirt_is_looked_at_from_the_widest_that_is_usual(gap: float, result: str) -> None:
    found = gaps_of(35 + 5 * gap, "count = 6")
    assert {one.result for one in found} == {result}
    assert {one.limit_mm for one in found} == {88.9}


@pytest.mark.parametrize(
    ("pitch", "limit_mm"),
    [(88.9, 88.9), (100.0, 400 / 3), (177.7, 177.7 * 4 / 3), (177.9, 177.8), (280.0, 177.8)],
)
def test_a_pitch_is_the_plans_own_wish_up_to_twice_the_widest_that_is_usual(pitch: float, limit_mm: float) -> None:
    """A third more than the pitch goes with it; twice 88.9 mm is 177.8 mm, and beyond it the pitch may be a slip."""
    found = gaps_of(35 + 4 * pitch, f'pitch = "{pitch} mm"')
    assert [one.limit_mm for one in found] == pytest.approx([limit_mm] * len(found), abs=1e-6) and found


@pytest.mark.parametrize(("length", "result"), [(88.8, "pass"), (89.1, "warn")])
def test_one_closure_alone_holds_no_more_than_a_gap_may_be(length: float, result: str) -> None:
    found = gaps_of(length, "count = 1", "{ from = 20, to = 60 }", "{ from = 20, to = 60 }")
    assert [one.result for one in found] == [result]
