"""Edges as a plan tells them: straight, arc, measured points, drawing; and which way they run."""

import math
from itertools import pairwise

import pytest
from edge_files import edges_of
from hypothesis import given, settings
from hypothesis import strategies as st

from closures.curve import Cubic, Curve, Line, parallel
from closures.edges.points import smooth_through
from closures.edges.sampled import read_line
from closures.errors import DrawingError, EdgeError
from closures.plan.band import BandWish
from closures.plan.closure import ClosureWish
from closures.plan.edge import ArcWish, EdgeWish
from closures.plan.kinds import Range
from closures.plan.plan import Plan
from closures.plan.spacing import SpacingWish

DRAWING = b"""<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="400mm" viewBox="0 0 300 400">
<path id="over-edge" d="M 100 20 C 100 120 140 180 140 320"/>
<path id="under-edge" d="M 120 320 C 120 180 80 120 80 20"/>
<line id="closing-line" x1="90" y1="20" x2="130" y2="320"/>
<circle id="shoulder-point" cx="60" cy="11" r="2"/>
</svg>"""


def plan(*, lap="right over left", seen_from="outside", **edge):
    return Plan(
        title="Invented blouse",
        units="mm",
        where="shirt.toml",
        drawing="front.svg",
        supplies=None,
        edge=EdgeWish(**edge),
        band=BandWish(30.0, 30.0, 15.0, 15.0, lap, seen_from),
        closure=ClosureWish("prong snap", "16 L"),
        spacing=SpacingWish(Range(15.0, 15.0), Range(50.0, 50.0), count=5),
    )


def arc(bows, length_mm=600.0, radius_mm=420.0):
    return ArcWish(length_mm, radius_mm, bows)


def test_straight_runs_down_from_zero():
    edges = edges_of(plan(straight_mm=609.6))
    assert (edges.over.start, edges.over.end) == ((0.0, 0.0), (0.0, 609.6))
    assert (edges.under, edges.line, edges.level_zero_y, edges.points) == (None, None, 0.0, ())


@pytest.mark.parametrize(
    ("lap", "bows", "side"),
    [
        ("right over left", "out", 1),
        ("right over left", "in", -1),
        ("left over right", "out", -1),
        ("left over right", "in", 1),
    ],
)
@pytest.mark.parametrize("seen_from", ["outside", "inside"])
def test_arc_bows_away_from_the_cloth_or_into_it(lap, bows, side, seen_from):
    over = edges_of(plan(arc=arc(bows), lap=lap, seen_from=seen_from)).over
    # Chord 2 R sin(L / 2R) and rise R (1 - cos(L / 2R)) of a circle.
    half = 600 / 840
    assert over.length_mm == pytest.approx(600.0, abs=1e-9)
    assert over.start == pytest.approx((0.0, 0.0), abs=1e-9)
    assert over.end == pytest.approx((0.0, 840 * math.sin(half)), abs=1e-9)
    assert over.point_at(300.0) == pytest.approx((side * 420 * (1 - math.cos(half)), 420 * math.sin(half)), abs=1e-9)
    # The cloth of "right over left" lies on the right hand: an edge bowed out turns towards it.
    cloth = 1 if lap == "right over left" else -1
    assert over.curvature_at(1.0) * cloth * (1 if bows == "out" else -1) == pytest.approx(1 / 420)


@pytest.mark.parametrize(
    ("edge", "text"),
    [
        ({"arc": arc("out", 700.0, 100.0)}, "whole circle"),
        ({"arc": arc("out", -3.0)}, "no length for an edge"),
        ({"straight_mm": 0.0}, "no length for an edge"),
        ({"straight_mm": math.nan}, "no length for an edge"),
        ({"points": ((0.0, 0.0),)}, "two points at least"),
        ({"points": ((0.0, 0.0), (math.inf, 3.0))}, "point 2 is not a point"),
        ({"points": ((0.0, 0.0), (0.0, 9.0), (0.0, 9.0))}, "points 2 and 3 are the same"),
        ({"points": ((0.0, 0.0), (0.0, 90.0), (1.0, 40.0))}, "turns back at point 2"),
        (
            {"points": ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (50.0, 80.0), (50.0, -50.0))},
            "crosses itself",
        ),
        ({}, "there is no edge"),
    ],
    ids=["circle", "minus", "zero", "nan", "one", "inf", "twice", "back", "crossing", "none"],
)
def test_edge_that_is_none_is_refused(edge, text):
    with pytest.raises(EdgeError, match=text):
        edges_of(plan(**edge))


def test_two_points_are_a_straight():
    assert edges_of(plan(points=((0.0, 0.0), (30.0, 40.0)))).over.length_mm == 50.0


def test_points_of_a_circle_give_the_circle():
    # 9 points of a quarter circle of 420: one every 82 mm.
    measured = [(420 - 420 * math.cos(a), 420 * math.sin(a)) for a in (i * math.pi / 16 for i in range(9))]
    curve = smooth_through(measured)
    assert curve.length_mm == pytest.approx(210 * math.pi, abs=0.01)
    for i in range(100):
        x, y = curve.point_at(curve.length_mm * i / 99)
        assert math.hypot(x - 420, y) == pytest.approx(420.0, abs=0.01)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.floats(-30, 30), st.floats(25, 90)), min_size=2, max_size=8))
def test_smooth_curve_passes_every_point_without_wild_bows(steps):
    points = [(0.0, 0.0)]
    for dx, dy in steps:
        points.append((points[-1][0] + dx, points[-1][1] + dy))
    curve = smooth_through(points)
    assert curve.corners(1e-4) == ()
    for point in points:
        assert curve.nearest(point).distance_mm < 1e-9
    assert curve.length_mm <= 1.15 * sum(math.dist(a, b) for a, b in pairwise(points))
    assert curve.reversed().length_mm == pytest.approx(smooth_through(points[::-1]).length_mm, abs=1e-8)


@pytest.mark.parametrize("decimals", [6, 3, 2])
def test_exported_chords_are_read_as_the_curve_they_sample(decimals):
    exact = Cubic((0.0, 0.0), (0.0, 170.0), (130.0, 150.0), (130.0, 320.0))
    corners = [exact.point(i / 700) for i in range(701)]
    rounded = [(round(x, decimals), round(y, decimals)) for x, y in corners]
    chords = [Line(a, b) for a, b in pairwise(rounded)]
    line = parallel(read_line(chords).curve, 15.0)
    wanted = parallel(Curve((exact,)), 15.0)
    assert len(line.segments) < 100
    # What is left over is the rounding, half of the last decimal, and what its slant does 15 mm away.
    beside, along = {6: (0.0005, 0.002), 3: (0.001, 0.003), 2: (0.01, 0.03)}[decimals]
    for i in range(35):
        assert wanted.nearest(line.point_at(10.0 * i + 5)).distance_mm < beside
        assert math.dist(line.point_at(10.0 * i + 5), wanted.point_at(10.0 * i + 5)) < along


def test_corners_and_long_straights_stay_when_chords_are_smoothed():
    points = [(0.0, 0.0), (0.0, 100.0), (40.0, 140.0), (40.0, 300.0), (10.0, 340.0), (10.0, 400.0)]
    chords = tuple(Line(a, b) for a, b in pairwise(points))
    assert read_line(chords).curve.segments == chords


def test_chords_stay_near_every_vertex():
    arc_points = [(200 - 200 * math.cos(i / 60), 200 * math.sin(i / 60)) for i in range(61)]
    points = [(0.0, -150.0), *arc_points, (arc_points[-1][0] + 90.0, arc_points[-1][1])]
    chords = [Line(a, b) for a, b in pairwise(points)]
    curve = read_line(chords).curve
    assert max(curve.nearest(p).distance_mm for p in points) <= 0.02
    assert len(curve.corners(5.0)) == 1


def test_drawn_edges_are_read_and_run_one_way():
    edges = edges_of(
        plan(path="over-edge", under="under-edge", line="closing-line", level_zero="shoulder-point"), DRAWING
    )
    assert edges.over.start == pytest.approx((100.0, 20.0))
    assert edges.under.start == pytest.approx((80.0, 20.0))
    assert edges.line.end == pytest.approx((130.0, 320.0))
    assert edges.level_zero_y == pytest.approx(11.0)
    assert [(p.name, p.x_mm, p.y_mm) for p in edges.points] == [("shoulder-point", pytest.approx(60), 11.0)]


def test_reverse_turns_the_edge_and_what_goes_with_it():
    edges = edges_of(plan(path="over-edge", under="under-edge", line="closing-line", reverse=True), DRAWING)
    assert edges.over.start == pytest.approx((140.0, 320.0))
    assert edges.under.start == pytest.approx((120.0, 320.0))
    assert edges.line.start == pytest.approx((130.0, 320.0))
    assert edges.level_zero_y == pytest.approx(320.0)


def test_inside_is_turned_over():
    outside = edges_of(plan(path="over-edge", level_zero="shoulder-point"), DRAWING)
    inside = edges_of(plan(path="over-edge", level_zero="shoulder-point", seen_from="inside"), DRAWING)
    assert inside.over.point_at(77.0) == pytest.approx(outside.over.mirrored().point_at(77.0))
    assert inside.level_zero_y == outside.level_zero_y
    assert inside.points[0].x_mm == -outside.points[0].x_mm
    points = ((0.0, 0.0), (9.0, 80.0), (11.0, 160.0))
    measured = edges_of(plan(points=points, seen_from="inside")).over
    assert measured.end == (-11.0, 160.0)


def test_level_zero_as_a_height():
    assert edges_of(plan(straight_mm=90.0, level_zero=-12.5)).level_zero_y == -12.5
    assert edges_of(plan(path="over-edge"), DRAWING).level_zero_y == pytest.approx(20.0)


def test_id_without_a_drawing_is_refused():
    with pytest.raises(DrawingError, match=r'shirt.toml, \[edge\]: "over-edge" is an id .* drawing ='):
        edges_of(plan(path="over-edge"))
    with pytest.raises(DrawingError, match="no drawing"):
        edges_of(plan(straight_mm=90.0, level_zero="shoulder-point"))
