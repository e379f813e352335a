"""Edges that were graded or made longer: moved as far as told, still smooth, and refused where they fold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.curve import Curve
from closures.edges.reading import Edges, read_edges
from closures.errors import EdgeError
from closures.plan.reading import read_plan

REST = """
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "15 mm"
last = "15 mm"
count = 4
"""
# Two smooth cubics and a line; the joins of the cubics are smooth, as drawn pattern lines are.
PATH = "M60 20 C66 70 74 120 72 160 C70 200 50 240 52 300 L52 420"


def edges_of(edge: str, drawing: str = "", band: str = "") -> Edges:
    """Read the edges of a plan that is all but its edge."""
    head = 'drawing = "front.svg"\n' if drawing else ""
    text = f"{head}[edge]\n{edge}\n" + REST.replace('width = "30 mm"', f'width = "30 mm"\n{band}')
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="500mm" viewBox="0 0 200 500">{drawing}</svg>'
    return read_edges(read_plan(text.encode(), "plan.toml"), {"front.svg": svg.encode()})


def drawn(more: str = "", band: str = "") -> Edges:
    """Read the drawn path."""
    return edges_of(f'path = "e"\n{more}', f'<path id="e" d="{PATH}"/><path id="u" d="M80 20 L80 420"/>', band)


def is_smooth(curve: Curve) -> bool:
    """Whether no corner of a curve turns by a hundredth of a degree."""
    return curve.corners(0.01) == ()


def test_moves_of_every_control_point_move_them_and_keep_the_direction_there() -> None:
    before = drawn().over
    moves = [(1.0, -2.0), (3.0, 4.0), (-1.5, 6.35), (2.0, 10.0)]
    told = ", ".join(f'["{dx} mm", "{dy} mm"]' for dx, dy in moves)
    after = drawn(f"moved = [{told}]").over
    ends = [before.start, *(segment.end for segment in before.segments)]
    moved = [after.start, *(segment.end for segment in after.segments)]
    assert moved == [pytest.approx((x + dx, y + dy)) for (x, y), (dx, dy) in zip(ends, moves, strict=True)]
    for one, other in zip(before.segments[:2], after.segments[:2], strict=True):
        for t in (0.0, 1.0):
            assert one.tangent(t) == pytest.approx(other.tangent(t))


def test_moves_of_both_ends_move_what_lies_between_in_proportion() -> None:
    before, after = drawn().over, drawn('moved = [["2 mm", "0 mm"], ["6 mm", "40 mm"]]').over
    assert after.start == pytest.approx((before.start[0] + 2, before.start[1]))
    assert after.end == pytest.approx((before.end[0] + 6, before.end[1] + 40))
    assert len(before.corners(0.01)) == len(after.corners(0.01))
    chord = (before.end[0] - before.start[0], before.end[1] - before.start[1])
    for one, other in zip(before.segments, after.segments, strict=True):
        x, y = one.point(0.5)
        share = ((x - before.start[0]) * chord[0] + (y - before.start[1]) * chord[1]) / (chord[0] ** 2 + chord[1] ** 2)
        assert other.point(0.5) == pytest.approx((x + 2 + 4 * share, y + 40 * share))


def test_moves_in_a_drawing_from_the_inside_go_the_way_they_are_drawn() -> None:
    outside = drawn('moved = [["2 mm", "0 mm"], ["6 mm", "40 mm"]]').over
    inside = drawn('moved = [["2 mm", "0 mm"], ["6 mm", "40 mm"]]', 'seen_from = "inside"').over
    for s in (0.0, 100.0, 300.0):
        x, y = inside.point_at(s)
        assert (-x, y) == pytest.approx(outside.point_at(s))


def test_moves_begin_at_the_first_end_where_the_path_was_drawn_from_the_last() -> None:
    after = drawn('reverse = true\nmoved = [["0 mm", "5 mm"], ["0 mm", "-3 mm"]]').over
    assert (after.start, after.end) == (pytest.approx((52, 425)), pytest.approx((60, 17)))


def test_under_edge_follows_the_moves_of_both_ends_and_no_others() -> None:
    edges = drawn('under = "u"\nmoved = [["0 mm", "0 mm"], ["0 mm", "40 mm"]]')
    assert edges.under is not None and edges.under.end[1] == pytest.approx(460, abs=0.5)
    four = ", ".join(['["0 mm", "1 mm"]'] * 4)
    with pytest.raises(EdgeError, match="does not follow moves of single control points"):
        drawn(f'under = "u"\nmoved = [{four}]')


def test_arc_that_is_graded_stays_an_arc_through_its_moved_ends_and_middle() -> None:
    # Grown to twice its size about its first end: the radius doubles.
    arc = 'arc = { length = "300 mm", radius = "200 mm", bows = "out" }\n'
    before = edges_of(arc).over
    chord = before.end[1]
    after = edges_of(f'{arc}moved = [["0 mm", "0 mm"], ["0 mm", "{chord!r} mm"]]').over
    assert len(after.segments) == 1
    middle = before.point_at(150)
    assert after.nearest((middle[0], middle[1] + chord / 2)).distance_mm < 1e-6
    assert is_smooth(after)


def test_level_zero_at_the_first_end_goes_with_it_and_one_of_its_own_stays() -> None:
    moved = 'moved = [["0 mm", "-7 mm"], ["0 mm", "3 mm"]]\n'
    assert drawn(moved).level_zero_y == pytest.approx(13)
    assert drawn(f'{moved}level_zero = "20 mm"').level_zero_y == 20


@pytest.mark.parametrize(
    ("edge", "told"),
    [
        ('straight = "300 mm"\nmoved = [["0 mm", "0 mm"], ["0 mm", "-400 mm"]]', "fold the edge"),
        (
            'straight = "300 mm"\nmoved = [["0 mm", "0 mm"], ["0 mm", "1 mm"], ["0 mm", "1 mm"]]',
            "an edge of 2 control points",
        ),
        (
            'points = [["0 mm", "0 mm"], ["0 mm", "100 mm"], ["0 mm", "200 mm"]]\nmoved = [["0 mm", "0 mm"], ["0 mm", "150 mm"], ["0 mm", "0 mm"]]',
            "fold the edge",
        ),
    ],
    ids=["end before start", "too many", "middle beyond the end"],
)
def test_moves_that_do_not_fit_or_fold_are_refused(edge: str, told: str) -> None:
    with pytest.raises(EdgeError, match=told):
        edges_of(edge)


@settings(max_examples=30, deadline=None)
@given(st.floats(-15, 40).filter(lambda by: abs(by) > 0.01), st.floats(90, 310))
def test_longer_edge_is_as_much_taller_smooth_and_the_same_away_from_the_cut(by: float, level: float) -> None:
    before = drawn().over
    if any(abs(before.crossings_of_level(20 + level)[0] - along) < 90 for along, _ in before.corners(0.01)):
        return
    after = drawn(f'longer = [["{level:.4f} mm", "{by:.4f} mm"]]').over
    assert after.end == pytest.approx((before.end[0], before.end[1] + round(by, 4)))
    assert after.corners(0.05) == pytest.approx([]) or len(after.corners(0.05)) == len(before.corners(0.05))
    reach = max(40.0, 2 * abs(by)) + 1
    at = before.crossings_of_level(20 + level)[0]
    if at > reach:
        assert after.point_at(at - reach) == pytest.approx(before.point_at(at - reach))
    rest = before.length_mm - at - reach
    if rest > 0:
        x, y = before.point_at(before.length_mm - rest)
        assert after.point_at(after.length_mm - rest) == pytest.approx((x, y + round(by, 4)), abs=1e-6)


def test_straight_edge_made_longer_is_just_longer() -> None:
    edges = edges_of('straight = "500 mm"\nlonger = [["180 mm", "20 mm"], ["300 mm", "-5 mm"]]')
    assert edges.over.length_mm == pytest.approx(515, abs=1e-9)
    assert {round(segment.point(0.5)[0], 9) for segment in edges.over.segments} == {0.0}


def test_cuts_are_at_levels_of_the_edge_before_any_cut() -> None:
    # Both cuts lie in the same straight stretch: their order does not matter, and each adds its own.
    one = edges_of('straight = "500 mm"\nlonger = [["100 mm", "20 mm"], ["300 mm", "10 mm"]]').over
    other = edges_of('straight = "500 mm"\nlonger = [["300 mm", "10 mm"], ["100 mm", "20 mm"]]').over
    assert one.length_mm == other.length_mm == pytest.approx(530)


@pytest.mark.parametrize(
    ("longer", "told"),
    [
        ('[["18 mm", "20 mm"]]', r"18 mm \(11/16 in\) from an end of the finished edge, too near"),
        ('[["700 mm", "20 mm"]]', "meets the finished edge nowhere"),
        ('[["250 mm", "200 mm"]]', "too near to draw it smooth"),
    ],
    ids=["near the end", "off the edge", "more than there is room for"],
)
def test_cut_that_cannot_be_drawn_smooth_is_refused(longer: str, told: str) -> None:
    with pytest.raises(EdgeError, match=told):
        edges_of(f'straight = "500 mm"\nlonger = {longer}')


def test_trued_piece_of_a_leaning_edge_stays_near_both_parts() -> None:
    # Lengthened by 20 mm: every point of the trued stretch lies between the edge before and the edge moved down.
    before = drawn().over
    after = drawn('longer = [["190 mm", "20 mm"]]').over
    for k in range(101):
        point = after.point_at(after.length_mm * k / 100)
        lower = before.moved(0.0, 20.0)
        near = min(before.nearest(point).distance_mm, lower.nearest(point).distance_mm)
        assert near < 4.0, f"{point} lies {near:.2f} mm off both"
    assert math.isfinite(after.tightest().radius_mm)
