"""Edges that turn: where the closing line goes, and how near a closure may come to the mitre."""

import math

import pytest
from told import checks_of, refusal_of, report_of

RIM = 5.08  # half of 16 line at 0.635 mm (FED871)

PLAN = """
drawing = "a.svg"
[edge]
path = "edge"
[garment]
pieces = "separate"

[band]
width = "38 mm"
lap = "{lap}"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "{first} mm"
last = "30 mm"
count = {count}
{rest}
"""


def svg(path):
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600">'
        f'<path id="edge" d="{path}"/></svg>'
    ).encode()


def plan(lap="right over left", first=20.0, count=5, rest=""):
    return PLAN.format(lap=lap, first=first, count=count, rest=rest)


# Down 200, then across to the cloth's side: the line turns where both sides are 19 from the edge.
SHARP = svg("M 300 40 V 240 H 100")


def rounded(radius):
    return svg(f"M 300 40 V {240 - radius} A {radius} {radius} 0 0 1 {300 - radius} 240 H 100")


@pytest.mark.parametrize("radius", [10, 18, 18.9])
def test_rounded_corner_tighter_than_the_inset_is_the_sharp_one_for_the_line(radius):
    sharp, told = (report_of(plan(), {"a.svg": drawing}) for drawing in (SHARP, rounded(radius)))
    assert told["closing_line"]["length_mm"] == sharp["closing_line"]["length_mm"] == 2 * (200 - 19)
    for one, other in zip(told["marks"], sharp["marks"], strict=True):
        assert (one["x_mm"], one["y_mm"]) == (other["x_mm"], other["y_mm"])


@pytest.mark.parametrize(
    ("clear", "result"),
    [(-0.01, "fail"), (0.01, "warn"), (2.99, "warn"), (3.01, "pass")],
    ids=["on the mitre", "beside it", "just too near", "just clear"],
)
@pytest.mark.parametrize("lap", ["right over left", "left over right"])
def test_rim_keeps_three_mm_from_the_mitre(clear, result, lap):
    # The mitre halves the corner: at 45 degrees to the line, so a centre s before the corner is s / sqrt 2 from it.
    # As worn left over right the cloth lies on the other hand, and the same drawing is turned over.
    drawing = SHARP if lap == "right over left" else svg("M 300 40 V 240 H 500")
    s = (RIM + clear) * math.sqrt(2)
    along = f'[[anchor]]\nname = "here"\nalong = "{181 - s} mm"'
    told = report_of(plan(lap, rest=along).replace("count = 5", 'pitch = "60 mm"'), {"a.svg": drawing})
    found = {one["result"] for one in checks_of(told, "corner")}
    assert result in found and found <= {result, "pass"}
    assert {one["lap"] for one in checks_of(told, "corner") if one["result"] == result} == {"over", "under"}
    worst = next(one for one in checks_of(told, "corner") if one["result"] == result)
    assert "corner of 90°" in worst["text"]
    assert "at 181 mm along" in worst["text"]
    assert worst["found_mm"] == pytest.approx(clear, abs=1e-3)


def test_mitre_reaches_to_both_sides_of_a_line_that_lies_past_the_middle_of_its_band():
    # 75 mm before and after the corner: their feet on the mitre lie 75 / sqrt 2 from it, within twice the inset of 30 mm
    # and past the 38 mm of the band.
    text = (
        plan(first=95.0, count=2).replace('last = "30 mm"', 'last = "95 mm"').replace("38 mm", '38 mm"\ninset = "30 mm')
    )
    (told,) = checks_of(report_of(text, {"a.svg": SHARP}), "corner", "over")
    assert told["found_mm"] == pytest.approx(75 / math.sqrt(2) - RIM, abs=1e-3)


def test_kink_of_two_degrees_is_no_corner():
    kink = svg(f"M 300 40 V 240 L {300 - 200 * math.tan(math.radians(2))} 440")
    told = report_of(plan(), {"a.svg": kink})
    assert checks_of(told, "corner") == []
    assert {one["result"] for one in checks_of(told, "curve")} == {"pass"}


def test_corner_of_126_degrees_is_followed():
    turn = math.radians(126)
    drawing = svg(f"M 300 40 V 240 L {300 - 200 * math.sin(turn)} {240 + 200 * math.cos(turn)}")
    told = report_of(plan(), {"a.svg": drawing})
    assert told["closing_line"]["length_mm"] == pytest.approx(2 * (200 - 19 * math.tan(turn / 2)), abs=1e-4)
    assert all(mark["over"]["edge_distance_mm"] == pytest.approx(19, abs=1e-4) for mark in told["marks"])


def test_marks_on_both_sides_of_a_tab_are_kept_apart():
    # A tab 26 wide and an inset of 6: its two lines are 14 apart, which leaves 3.84 between two rims.
    tab = svg("M 300 40 V 240 H 500 V 266 H 300 V 500")
    text = (
        plan()
        .replace('width = "38 mm"', 'width = "30 mm"\ninset = "6 mm"\nunder_inset = "6 mm"')
        .replace("count = 5", 'pitch = "40 mm"')
    )
    text += '[[anchor]]\nname = "a"\nalong = "250 mm"\n[[anchor]]\nname = "b"\nalong = "576 mm"\n'
    told = checks_of(report_of(text, {"a.svg": tab}), "neighbour distance")
    assert any("comes back near itself" in one["text"] and "3.8 mm away" in one["text"] for one in told)


def test_tongue_too_narrow_is_refused_by_its_width():
    slit = svg("M 300 40 V 240 H 200 V 270 H 300 V 500")
    assert refusal_of(plan(), {"a.svg": slit}) == ""
    tongue = svg("M 300 40 V 240 H 420 V 270 H 300 V 500")
    message = refusal_of(plan(), {"a.svg": tongue})
    assert "tongue that is 30.0 mm wide" in message and "under 15.0 mm" in message


def test_band_whose_inner_edge_cannot_follow_says_what_is_in_its_way():
    tongue = svg("M 300 40 V 240 H 520 V 300 H 300 V 500")
    text = plan().replace('width = "38 mm"', 'width = "40 mm"\ninset = "14 mm"\nunder_inset = "14 mm"')
    told = report_of(text, {"a.svg": tongue})
    fails = [one for one in checks_of(told, "curve") if one["result"] == "fail"]
    assert [one["lap"] for one in fails] == ["over"]
    assert "tongue that is 60.0 mm wide" in fails[0]["text"]


@pytest.mark.parametrize("lap", ["right over left", "left over right"])
@pytest.mark.parametrize("before", [15.0, 18.0, 25.0])
def test_mark_near_a_corner_lies_on_the_band_and_not_past_it(lap, before):
    # At the inner side of the corner the nearest place of the band's inner edge is that edge's own corner.
    drawing = SHARP if lap == "right over left" else svg("M 300 40 V 240 H 500")
    other = svg("M 300 40 V 240 H 500") if lap == "right over left" else SHARP
    for one in (drawing, other):
        length = report_of(plan(lap), {"a.svg": one})["closing_line"]["length_mm"] / 2
        along = f'[[anchor]]\nname = "here"\nalong = "{length - before} mm"'
        told = report_of(plan(lap, rest=along).replace("count = 5", 'pitch = "60 mm"'), {"a.svg": one})
        assert {check["result"] for check in checks_of(told, "band width")} == {"pass"}


def test_corner_of_a_drawing_seen_from_inside_is_told_as_the_drawing_has_it():
    inside = plan("left over right").replace("[band]", '[band]\nseen_from = "inside"')
    told = checks_of(report_of(inside, {"a.svg": SHARP}), "corner")
    assert told and all("(x 281, y 221 mm)" in one["text"] for one in told)
