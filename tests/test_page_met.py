"""Edges that meet, in the picture of the closed garment: nothing lies on anything, and each closure has both its parts."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from closures.app.job import check_plan, load_plan
from closures.app.web.laid_tape import TapeEnd, end_at, lay_tape
from closures.app.web.met import worn_laps
from closures.app.web.scene import number_at, scene_of
from closures.app.web.worn import draw_worn

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
