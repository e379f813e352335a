"""A tape laid in the picture against closed forms: on a straight edge, on an arc, on a strap; and both laps laid open."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pytest
from shapely import LineString, Polygon

from closures.app.job import Answer, check_plan
from closures.app.web.cloth import opened
from closures.app.web.laid_tape import TapeEnd, end_at, laid_told, lay_tape
from closures.app.web.picture_words import legend
from closures.app.web.worn import draw_worn
from closures.errors import PlanError
from closures.plan.reading import read_plan

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
BAND = """
[garment]
opens = "front"
pieces = "pair"
[band]
lap = "left over right"
width = "40 mm"
inset = "20 mm"
[closure]
kind = "prong snap"
size = "16 L"
"""
STRAIGHT = "[edge]\nstraight = '600 mm'\n" + BAND + "[spacing]\ncount = 7\nfirst = '30 mm'\nlast = '30 mm'\n"
ARC = (
    "[edge]\narc = { length = '400 mm', radius = '500 mm', bows = 'out' }\n"
    + BAND
    + "[spacing]\ncount = 5\nfirst = '30 mm'\nlast = '30 mm'\n"
)


def _placed(text: str) -> Answer:
    return check_plan(read_plan(text.encode(), "plan.toml"))


def _over(answer: Answer, n: int) -> TapeEnd:
    mark = answer.placement.marks[n - 1]
    # Pointed at 3 mm beside it, it is the closure that is meant.
    return end_at(answer.placement, (mark.x_mm + 2.0, mark.y_mm - 2.0), 5.0)


def test_tape_between_closures_of_a_straight_row_is_their_distance_on_every_line() -> None:
    answer = _placed(STRAIGHT)
    laid = lay_tape(answer.placement, _over(answer, 2), _over(answer, 5))
    assert [end.name for end in laid.ends] == ["mark 2", "mark 5"]
    # Seven closures on 600 mm with 30 mm at both ends lie 90 mm apart.
    assert (laid.straight_mm, laid.line_mm, laid.edge_mm) == pytest.approx((270.0,) * 3, abs=1e-6)


def test_tape_on_an_arc_is_chord_arc_and_arc_of_the_edge() -> None:
    answer = _placed(ARC)
    one, other = answer.placement.marks[0], answer.placement.marks[-1]
    laid = lay_tape(answer.placement, _over(answer, 1), _over(answer, 5))
    line = other.along_mm - one.along_mm
    # The closing line lies 20 mm from an edge of 500 mm radius: 480 mm, or 520 mm, as the edge bows.
    radius = answer.placement.laps.line.length_mm / 400 * 500
    assert radius == pytest.approx(480) or radius == pytest.approx(520)
    turned = line / radius
    assert laid.line_mm == pytest.approx(line, abs=1e-6)
    assert laid.edge_mm == pytest.approx(500 * turned, abs=1e-6)
    assert laid.straight_mm == pytest.approx(2 * radius * math.sin(turned / 2), abs=1e-6)


def test_end_of_the_tape_lies_on_a_corner_a_line_or_free() -> None:
    placement = _placed(STRAIGHT).placement
    edge, line = placement.laps.as_worn.over.edge, placement.laps.as_worn.line
    x, y = edge.point_at(0.0)
    assert end_at(placement, (x + 1.0, y + 1.0), 5.0).name == f"{placement.ends[0]} at the over lap’s finished edge"
    x, y = line.point_at(75.0)
    on_line = end_at(placement, (x + 1.0, y), 5.0)
    assert on_line.name == "the closing line" and on_line.at == pytest.approx((x, y))
    x, y = edge.point_at(200.0)
    assert end_at(placement, (x + 1.0, y), 5.0).name == "the over lap’s finished edge"
    free = end_at(placement, (x + 1.0, y), 0.0)
    assert free == TapeEnd((x + 1.0, y)) and "a place beside the lines" in str(_told(placement, (x + 1.0, y)))


def _told(placement: Any, at: tuple[float, float]) -> str:
    mark = placement.marks[0]
    asked = {"from": f"{at[0]},{at[1]}", "to": f"{mark.x_mm},{mark.y_mm}", "reach": "0"}
    return str(laid_told(placement, asked)["told"])


def test_end_on_a_closure_stays_with_it_where_the_row_has_moved_on() -> None:
    before, after = (
        _placed(text).placement for text in (STRAIGHT, STRAIGHT.replace("first = '30 mm'", "first = '60 mm'"))
    )
    was, now = before.marks[2], after.marks[2]
    kept = end_at(after, (was.x_mm, was.y_mm), 0.0, mark=3)
    assert kept.at == (now.x_mm, now.y_mm) and kept.mark == 3
    # A closure that is gone leaves the end where it lay.
    assert end_at(after, (was.x_mm, was.y_mm), 0.0, mark=9).at == (was.x_mm, was.y_mm)


def test_tape_is_told_in_the_unit_of_the_plan() -> None:
    placement = _placed("units = 'in'\n" + STRAIGHT).placement
    one, other = placement.marks[0], placement.marks[3]
    asked = {"from": f"{one.x_mm},{one.y_mm}", "to": f"{other.x_mm},{other.y_mm}", "reach": "1"}
    told = laid_told(placement, asked)
    # 270 mm are 10.63 in, 10 5/8.
    assert told["straight"] == "10 5/8 in" and told["told"].startswith(
        "Tape from mark 1 to mark 4: 10 5/8 in straight, "
    )


@pytest.mark.parametrize("asked", ["", "1", "1,x", "nan,1", "1e9,0", "1,2,3"])
def test_place_that_cannot_be_read_is_refused(asked: str) -> None:
    with pytest.raises(PlanError, match="cannot be read"):
        laid_told(_placed(STRAIGHT).placement, {"from": asked, "to": "1,1"})


@pytest.mark.parametrize("text", [STRAIGHT, ARC], ids=["straight", "arc"])
def test_laps_that_are_laid_open_cover_nothing_of_each_other(text: str) -> None:
    laps = _placed(text).placement.laps.as_worn
    x, y = opened(laps, 10.0)

    def band(lap: Any) -> Polygon:
        edge, inner = (
            [curve.point_at(curve.length_mm * k / 200) for k in range(201)] for curve in (lap.edge, lap.inner)
        )
        return Polygon([*edge, *reversed(inner)])

    over, under = band(laps.over), band(laps.under)
    aside = Polygon([(px + x, py + y) for px, py in under.exterior.coords])
    assert over.intersection(under).area > 1000 and over.intersection(aside).area == 0
    assert 5.0 < over.distance(aside) < 60.0


def test_picture_laid_open_holds_the_under_lap_and_what_each_closure_has_there() -> None:
    answer = _placed(STRAIGHT)
    drawn = draw_worn(answer)
    left, top, wide, high = map(float, re.search(r'data-opened="([^"]*)"', drawn)[1].split())  # type: ignore[index]
    x, y = map(float, re.search(r'data-aside="([^"]*)"', drawn)[1].split())  # type: ignore[index]
    edge = LineString([answer.placement.laps.as_worn.under.edge.point_at(s) for s in (0.0, 300.0, 600.0)])
    for px, py in edge.coords:
        assert left < px + x < left + wide and top < py + y < top + high
    below = drawn.split('class="slides below"')[1].split("mark-1")[0]
    assert below.count("matrix(") == 7


def _figure(text: str) -> list[tuple[float, float]]:
    answer = _placed(text)
    found = re.search(r'<path d="([^"]*)" class="figure">', draw_worn(answer))
    assert found and "figure" in legend(answer)
    numbers = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", found[1])]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_band_without_an_outline_lies_on_a_figure_as_long_as_its_edge_and_alike_on_both_sides() -> None:
    line = _placed(STRAIGHT).placement.laps.as_worn.line
    (x0, y0), (x1, y1) = line.point_at(0.0), line.point_at(line.length_mm)
    assert x0 == x1 and y1 - y0 == pytest.approx(600)
    figure = _figure(STRAIGHT)
    assert max(y for _, y in figure) == pytest.approx(y1, abs=0.01) and min(y for _, y in figure) < y0 - 50
    assert sorted(round(x - x0, 1) for x, _ in figure) == sorted(round(x0 - x, 1) for x, _ in figure)
    # Of what opens elsewhere no more is known than the length of its edge.
    side = STRAIGHT.replace('opens = "front"\npieces = "pair"', 'opens = "left side"')
    flat = _figure(side.replace("left over right", "front over back"))
    assert {round(y, 1) for _, y in flat} == {round(y0, 1), round(y1, 1)} and len(flat) == 4


def test_figure_of_a_child_is_narrower_and_no_longer() -> None:
    grown, small = _figure(STRAIGHT), _figure(STRAIGHT + "[wearer]\nprofiles = ['child']\n")
    assert max(y for _, y in grown) == max(y for _, y in small)
    wide = [max(x for x, _ in one) - min(x for x, _ in one) for one in (grown, small)]
    assert wide[1] < 0.7 * wide[0]


def test_drawing_with_an_outline_has_no_figure_over_it() -> None:
    folder = TEMPLATES / "curved-front"
    answer = check_plan(
        read_plan((folder / "plan.toml").read_bytes(), "plan.toml"), {"front.svg": (folder / "front.svg").read_bytes()}
    )
    assert "figure" not in legend(answer) and 'class="figure"' not in draw_worn(answer)
    assert "outline" in legend(answer)
