"""Edges that meet, in the picture of the closed garment: nothing lies on anything, and each closure has both its parts."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from closures.app.job import check_plan, load_plan
from closures.app.web.ink import room_for
from closures.app.web.laid_tape import TapeEnd, end_at, lay_tape
from closures.app.web.met import worn_laps
from closures.app.web.picture_words import legend
from closures.app.web.scene import end_words, gap_at, number_at, number_beside, scene_of
from closures.app.web.worn import draw_worn
from closures.lengths import format_length
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
GROUP = re.compile(r'transform="matrix\(([^)]*)\)"')


def _answer(name: str):
    path = TEMPLATES / name / "plan.toml"
    return check_plan(load_plan(path), path)


@pytest.mark.parametrize(
    ("name", "over_mm", "gap_mm", "under_mm"),
    [("laced-bodice", 14.0, 40.0, 14.0), ("hook-back", 3.175, 0.0, -3.175)],
)
def test_both_parts_lie_so_far_from_their_own_edges(name: str, over_mm: float, gap_mm: float, under_mm: float) -> None:
    """Insets and gap as the plan has them: an eye's bow lies past its edge, on the hook."""
    answer = _answer(name)
    picture = draw_worn(answer)
    met = picture.split('class="slides met"', 1)[1].split('id="mark-1"', 1)[0]
    places = [tuple(map(float, one.split()))[4:] for one in GROUP.findall(met)]
    marks = answer.placement.marks
    assert len(places) == len(marks)
    for mark, (x, y) in zip(marks, places, strict=True):
        assert math.dist((mark.x_mm, mark.y_mm), (x, y)) == pytest.approx(abs(over_mm + gap_mm + under_mm), abs=1e-3)
    laps = worn_laps(answer.placement)
    between = laps.over.edge.nearest(laps.under.edge.point_at(100.0)).distance_mm
    assert between == pytest.approx(gap_mm, abs=1e-6)


def test_a_tape_across_the_laced_gap_tells_the_gap() -> None:
    """40 mm between the edges: the tape's ends catch both finished edges where they lie."""
    placement = _answer("laced-bodice").placement
    laps = worn_laps(placement)
    (x, y), (u, v) = laps.over.edge.point_at(150.0), laps.under.edge.point_at(150.0)
    one, other = end_at(placement, (x + 0.5, y), 5.0), end_at(placement, (u - 0.5, v), 5.0)
    assert "over lap" in one.name and "under lap" in other.name
    assert lay_tape(placement, one, other).straight_mm == pytest.approx(40.0, abs=1e-6)
    assert isinstance(one, TapeEnd)


@pytest.mark.parametrize(("name", "count"), [("double-breasted", 5), ("hidden-button", 2), ("curved-front", 10)])
def test_the_opened_picture_has_every_part_of_the_under_lap(name: str, count: int) -> None:
    """A hidden button and an inner one have a part on the under lap too."""
    answer = _answer(name)
    below = draw_worn(answer).split('class="slides below"', 1)[1].split('id="mark-1"', 1)[0]
    assert len(GROUP.findall(below)) == count == len(answer.placement.all_on("under"))


def test_no_number_of_a_row_stands_by_a_mark_of_the_second_row() -> None:
    """A 1 beside the 5 of the next row reads 15: a number is nearer to its own mark than to any other."""
    answer = _answer("double-breasted")
    scene = scene_of(answer)
    places = {mark.n: mark.at for mark in answer.placement.all_on("over")}
    for mark in answer.placement.marks:
        _, written = number_at(scene, mark)
        assert min(places, key=lambda n: math.dist(places[n], written)) == mark.n


@pytest.mark.parametrize("lap", ["left over right", "right over left"])
def test_the_number_of_a_closure_behind_another_stands_off_the_line_of_every_other_number(lap: str) -> None:
    """9 and 1 side by side read 91."""
    text = (TEMPLATES / "double-breasted" / "plan.toml").read_text(encoding="utf-8")
    answer = check_plan(read_plan(text.replace("right over left", lap).encode(), "plan.toml"))
    scene = scene_of(answer)
    row = [number_at(scene, mark)[1][1] for mark in answer.placement.marks]
    beside = [mark for mark in answer.placement.all_on("over") if mark.n > len(row)]
    levels = {mark.n: number_beside(scene, "over", mark)[1][1] for mark in beside}
    assert len(levels) == 5
    assert min(abs(levels[9] - y) for y in [*row, *(levels[n] for n in range(5, 9))]) > scene.em_mm
    # Nor does the number of a closure stand on one line with that of the second column across from it.
    assert all(abs(y - levels[n]) > 0.5 * scene.em_mm for n, y in enumerate(row, 5))


@pytest.mark.parametrize("lap", ["left over right", "right over left"])
@pytest.mark.parametrize("inset_mm", [110, 140, 160, 185])
def test_no_number_stands_beside_the_figure_of_a_gap(lap: str, inset_mm: int) -> None:
    """A 9 beside 95 mm reads 995: here a closure lies level with the middle of the second gap, further in and further in."""
    text = f"""title = "Sample"
[edge]
straight = "560 mm"
[garment]
opens = "front"
[band]
width = "200 mm"
inset = "28 mm"
under_inset = "180 mm"
lap = "{lap}"
[closure]
kind = "sew-through button"
size = "36 L"
[spacing]
first = "24 mm"
last = "156 mm"
count = 5
[[single]]
kind = "sew-through button"
size = "24 L"
level = "166.5 mm"
inset = "{inset_mm} mm"
hidden = true
"""
    answer = check_plan(read_plan(text.encode(), "plan.toml"))
    scene, placement = scene_of(answer), answer.placement
    (single,) = (mark for mark in placement.all_on("over") if mark.n == 6)
    number, em = number_beside(scene, "over", single)[1], scene.em_mm
    one, other = placement.marks[1:3]
    gap = format_length(other.along_mm - one.along_mm, "mm")
    assert gap == "95 mm"
    _, (x, y), _ = gap_at(scene, one, other, 0.85 * room_for(gap))
    way = 1.0 if lap == "left over right" else -1.0
    begins, ends = sorted((x, x + way * 0.85 * room_for(gap) * em))
    # Words leave a third of a letter's height between them: a number that is read by itself has three times that.
    for low, high, level, apart in (
        (number[0] - 0.32 * em, number[0] + 0.32 * em, number[1], 1.0 * em),
        (single.x_mm - 7.6, single.x_mm + 7.6, single.y_mm, 0.3 * em),
    ):
        assert abs(level - y) > 1.2 * em or low - ends > apart or begins - high > apart


def test_names_of_the_ends_of_a_row_across_a_high_piece_begin_past_the_corners_of_the_cloth() -> None:
    scene = replace(scene_of(_answer("crotch-flap")), is_lying=False)
    laps = worn_laps(scene.placement)
    corners = [lap.edge.point_at(at)[0] for lap in laps.both for at in (0.0, lap.edge.length_mm)]
    left, *right = sorted(end_words(scene), key=lambda word: word[1][0])
    assert left[2] == "right leg" and len(right) == 3
    assert left[3] == "end" and left[1][0] < min(corners)
    assert all(anchor == "start" and x > max(corners) for _, (x, _), _, anchor in right)


def test_names_of_a_row_that_lies_down_stand_in_lines_below_it_and_each_under_its_own_end() -> None:
    scene = scene_of(_answer("crotch-flap"))
    assert scene.is_lying
    named = {text: (x, y, anchor) for _, (x, y), text, anchor in end_words(scene)}
    (left, one, begins), (right, other, ends) = named["right leg"], named["left leg"]
    assert one == other > scene.box[3] and left < right and (begins, ends) == ("start", "end")
    lines = sorted(y for _, y, _ in named.values())
    assert [round((y - one) / scene.em_mm, 2) for y in lines] == [0, 0, 1.15, 2.3]


def test_of_edges_that_meet_neither_is_said_to_lie_on_top() -> None:
    met, lapped = _answer("laced-bodice"), _answer("shirt-front")
    assert (legend(met)["over"], legend(met)["under"]) == (
        "over lap, the wearer's right back",
        "under lap, the wearer's left back",
    )
    assert not re.search("on top|beneath</title>", draw_worn(met))
    assert "on top" in legend(lapped)["over"] and "beneath" in legend(lapped)["under"]
    assert "over lap, on top" in draw_worn(lapped)
