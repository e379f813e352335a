"""Points that stand for a curve, read as a person reads them; see `outlines` for the thousand of them."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import numpy as np
import pytest
from edge_files import edges_of
from outlines import outline_of, verdict_on
from told import refusal_of, report_of

from closures.curve import Arc, Cubic, Curve, Line, parallel
from closures.curve.fitting.corners import corners_among
from closures.curve.fitting.noise import grid_of, spread_of
from closures.curve.fitting.strokes import read_strokes
from closures.edges.points import read_points
from closures.edges.sampled import read_line
from closures.plan.reading import read_plan

S_CURVE = Curve((Cubic((0.0, 0.0), (0.0, 170.0), (130.0, 150.0), (130.0, 320.0)),))


def sampled(curve, count, rounded=0.0, moved=0.0, seed=1):
    rng = random.Random(seed)
    points = []
    for i in range(count):
        x, y = curve.point_at(curve.length_mm * i / (count - 1))
        far, way = moved * math.sqrt(rng.random()), rng.uniform(0, math.tau)
        x, y = x + far * math.cos(way), y + far * math.sin(way)
        points.append((round(x / rounded) * rounded, round(y / rounded) * rounded) if rounded else (x, y))
    return [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]


def off(read, true, skip=2.0):
    """How far a read line is from the true one at worst, the very ends left out."""
    places = (read.length_mm * i / 300 for i in range(301))
    near = [true.nearest(read.point_at(s)) for s in places]
    return max(n.distance_mm for n in near if skip < n.along_mm < true.length_mm - skip)


# The last ones are the hardest of a thousand: a few dozen rough points round rounded corners.
@pytest.mark.in_turn(5)
@pytest.mark.parametrize("seed", [*range(16), 40, 107, 423, 693, 770, 851])
def test_outline_as_people_have_it_is_placed_within_its_tolerance(seed):
    outline = outline_of(seed)
    assert verdict_on(outline).wrong == "", outline.words


@pytest.mark.parametrize("count", [40, 80, 150, 300, 1000])
@pytest.mark.parametrize(("rounded", "moved"), [(0.0, 0.02), (0.1, 0.0), (0.1, 0.1)])
def test_closing_line_of_a_digitised_edge_is_placed_and_not_falsely_failed(count, rounded, moved):
    # The tightest radius is 179 mm and the band 38 mm wide: nothing here turns tightly.
    points = " ".join(f"{x!r},{y!r}" for x, y in sampled(S_CURVE, count, rounded, moved))
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
        f'<polyline id="edge" points="{points}"/></svg>'
    ).encode()
    plan = (
        'drawing = "a.svg"\n[garment]\npieces = "separate"\n[edge]\npath = "edge"\n[band]\nwidth = "38 mm"\nlap = "right over left"\n[closure]\n'
        'kind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "25 mm"\nlast = "25 mm"\ncount = 5\n'
    )
    exact = drawing.replace(
        drawing[drawing.index(b"<polyline") :], b'<path id="edge" d="M 0 0 C 0 170 130 150 130 320"/></svg>'
    )
    told, wanted = report_of(plan, {"a.svg": drawing}), report_of(plan, {"a.svg": exact})
    results = [[(one["rule"], one["lap"], one["result"]) for one in report["checks"]] for report in (told, wanted)]
    assert results[0] == results[1]
    line = parallel(S_CURVE, 19.0)
    assert max(line.nearest((m["x_mm"], m["y_mm"])).distance_mm for m in told["marks"]) < 0.1


def test_exact_points_are_followed_to_a_thousandth():
    for count in (80, 300, 1000):
        read = Curve(read_strokes(sampled(S_CURVE, count)).segments)
        assert off(read, S_CURVE, 0.0) < 0.001


def test_noise_is_averaged_and_the_fewest_spans_are_taken():
    read = read_strokes(sampled(S_CURVE, 1000, moved=0.1))
    # Points moved within a disc of 0.1 are 0.05 off to one side, a standard deviation.
    assert read.noise_mm == pytest.approx(0.05, rel=0.15)
    assert read.typical_mm == pytest.approx(0.05, rel=0.15)
    assert len(read.segments) <= 12
    assert off(Curve(read.segments), S_CURVE) < 0.03


def test_corners_are_kept_in_their_place():
    legs = Curve(
        (Line((0.0, 0.0), (0.0, 150.0)), Line((0.0, 150.0), (-120.0, 200.0)), Line((-120.0, 200.0), (-90.0, 400.0)))
    )
    places = [150.0 * i / 60 for i in range(60)] + [150.0 + 130.0 * i / 52 for i in range(52)]
    places += [280.0 + (legs.length_mm - 280.0) * i / 80 for i in range(81)]
    rng = random.Random(4)
    points = [(x + rng.uniform(-0.05, 0.05), y + rng.uniform(-0.05, 0.05)) for x, y in map(legs.point_at, places)]
    read = Curve(read_strokes(points).segments)
    found, wanted = read.corners(10.0), legs.corners(10.0)
    assert len(found) == len(wanted) == 2
    for (s, turn), (t, by) in zip(found, wanted, strict=True):
        assert math.dist(read.point_at(s), legs.point_at(t)) < 0.1
        assert turn == pytest.approx(by, abs=1.0)


@pytest.mark.parametrize("depth", [3.0, 5.0])
def test_notch_is_kept_and_not_smoothed_away(depth):
    line = [(0.0, 2.0 * i) for i in range(50)]
    notch = [(depth, 101.5), (0.0, 103.0)]
    rest = [(0.0, 105.0 + 2.0 * i) for i in range(50)]
    rng = random.Random(2)
    points = [(x + rng.uniform(-0.05, 0.05), y) for x, y in (*line, (0.0, 100.0), *notch, *rest)]
    read = Curve(read_strokes(points).segments)
    assert read.nearest((depth, 101.5)).distance_mm < 0.06
    assert len(read.corners(60.0)) >= 2


def test_angular_edge_stays_angular():
    points = [(0.0, 0.0), (0.0, 100.0), (40.0, 140.0), (40.0, 300.0), (10.0, 340.0), (10.0, 400.0), (60.0, 400.0)]
    strokes = tuple(Line(a, b) for a, b in pairwise(points))
    assert read_line(strokes).curve.segments == strokes


def test_long_straight_among_samples_stays_straight():
    arc = Arc((-60.0, 200.0), 60.0, 0.0, 1.2)
    points = [(0.0, 0.0), *(arc.point(i / 30) for i in range(31))]
    read = read_strokes(points)
    assert isinstance(read.segments[0], Line)
    assert read.segments[0].length_mm == pytest.approx(200.0, abs=0.001)


def test_crumb_that_turns_is_a_joint_and_no_radius():
    # A hundredth of a mm straight across between two halves of a smooth edge.
    halves = [S_CURVE.segments[0].part(0.0, 0.5), S_CURVE.segments[0].part(0.5, 1.0)]
    x, y = halves[0].end
    crumb = Line((x, y), (x + 0.01, y + 0.002))
    moved = halves[1].moved(0.01, 0.002)
    read = read_line((halves[0], crumb, moved))
    assert len(read.curve.segments) == 2
    assert off(read.curve, S_CURVE, 0.0) < 0.02
    assert read.curve.corners(1.0) == ()


def test_curves_are_not_touched():
    exact = (Line((0.0, 0.0), (0.0, 80.0)), Cubic((0.0, 80.0), (0.0, 160.0), (60.0, 170.0), (80.0, 260.0)))
    read = read_line(exact)
    assert read.curve.segments == exact
    assert read.notes == () and read.points == ()


def test_reading_is_told_with_its_furthest_point():
    points = sampled(S_CURVE, 150, moved=0.05)
    x, y = points[40]
    points[40] = (x + 0.18, y)
    plan = read_plan(
        b'drawing = "a.svg"\n[garment]\npieces = "separate"\n[edge]\npath = "e"\n[band]\nwidth = "38 mm"\nlap = "right over left"\n'
        b'[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = 25\nlast = 25\ncount = 5\n',
        "a.toml",
    )
    text = " ".join(f"{x!r},{y!r}" for x, y in points)
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
        f'<polyline id="e" points="{text}"/></svg>'
    ).encode()
    edges = edges_of(plan, drawing)
    told = [note for note in edges.notes if "was read from 150 points" in note]
    assert len(told) == 1 and "furthest at point 41, 0." in told[0]
    assert len(edges.read) == 150


@pytest.mark.parametrize(("apart", "is_told"), [(7.9, False), (12.0, True)])
def test_points_too_far_apart_to_tell_the_curve_between_them_are_told(apart, is_told):
    points = [(30 * math.sin(i * apart / 60) + 0.05 * (-1) ** i, i * apart * 0.8) for i in range(30)]
    words = " ".join(read_points(points, "points", 0.15).notes)
    assert ("mm apart: between them the line may be off by twice as much" in words) == is_told
    # Along straights nothing is left open.
    straight = [(0.05 * (-1) ** i, i * apart) for i in range(30)]
    assert "apart" not in " ".join(read_points(straight, "points", 0.15).notes)


def test_read_within_can_be_set():
    plan = 'drawing = "a.svg"\n[garment]\npieces = "separate"\n[edge]\npath = "edge"\nread_within = "{}"\n[band]\nwidth = "38 mm"\nlap = "right over left"\n'
    plan += '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "25 mm"\nlast = "25 mm"\ncount = 5\n'
    points = " ".join(f"{x!r},{y!r}" for x, y in sampled(S_CURVE, 200, moved=0.5))
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
        f'<polyline id="edge" points="{points}"/></svg>'
    ).encode()
    rough = report_of(plan.format("0.3 mm"), {"a.svg": drawing})
    line = parallel(S_CURVE, 19.0)
    assert max(line.nearest((m["x_mm"], m["y_mm"])).distance_mm for m in rough["marks"]) < 0.3
    assert "0 mm" in refusal_of(plan.format("0 mm"), {"a.svg": drawing})


@pytest.mark.parametrize("grid", [0.01, 0.1, 0.2, 25.4 / 96])
def test_grid_is_found_in_rounded_coordinates(grid):
    points = np.array(sampled(S_CURVE, 300, rounded=grid))
    assert grid_of(points) == pytest.approx(grid, rel=0.01)
    assert grid_of(np.array(sampled(S_CURVE, 300))) == 0.0


@pytest.mark.parametrize("step", [0.3, 0.7, 1.0, 2.0])
@pytest.mark.parametrize("decimals", [2, 3, 6])
def test_places_taken_at_even_levels_are_no_grid(step, decimals):
    # A sine of 18 mm over 880 mm, as a table has it; the true line is known.
    down = np.arange(0.0, 600.0, step)
    points = np.round(np.column_stack([150 + 18 * np.sin(down / 140), 60 + down]), decimals)
    grid = 10.0**-decimals if decimals < 6 else 0.0
    assert grid_of(points) == pytest.approx(grid, rel=0.01) and grid_of(points[:, ::-1]) == grid_of(points)
    read = read_strokes([(float(x), float(y)) for x, y in points], 0.3, (False, False))
    line = Curve(read.segments)
    true = [(150 + 18 * math.sin(t / 140), 60.0 + t) for t in (1, 111, 390, 590)]
    assert max(line.nearest(point).distance_mm for point in true) < 0.004


@pytest.mark.parametrize("moved", [0.02, 0.1, 0.15])
def test_spread_of_points_is_told_from_them_alone(moved):
    points = np.array(sampled(S_CURVE, 400, moved=moved))
    assert spread_of([points]) == pytest.approx(moved / 2, rel=0.2)


def test_rounded_corner_is_no_corner_and_a_sharp_one_is():
    leg, radius = 80.0, 12.0
    arc = Arc((-radius, leg), radius, 0.0, math.pi / 2)
    rounded = Curve((Line((0.0, 0.0), (0.0, leg)), arc, Line(arc.end, (arc.end[0] - leg, arc.end[1]))))
    points = np.array(sampled(rounded, 150, moved=0.05))
    read = Curve(read_strokes([tuple(p) for p in points]).segments)
    assert read.corners(20.0) == ()
    assert read.tightest().radius_mm == pytest.approx(radius, rel=0.5)
    assert off(read, rounded) < 0.08
    sharp = Curve((Line((0.0, 0.0), (0.0, leg)), Line((0.0, leg), (-leg, leg))))
    points = np.array(sampled(sharp, 161, moved=0.05))
    assert corners_among(points, 0.025) == [80]


def test_picture_of_the_piece_shows_the_points_that_the_edge_was_read_from():
    import closures
    from closures.drawing.sheets.on_piece import piece_picture

    points = " ".join(f"{x!r},{y!r}" for x, y in sampled(S_CURVE, 80, moved=0.1))
    plan = (
        'drawing = "a.svg"\n[garment]\npieces = "pair"\n[edge]\npath = "edge"\n[band]\nwidth = "38 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\nfirst = "25 mm"\n'
        'last = "25 mm"\ncount = 5\n'
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">'
    drawings = [
        f'{head}<polyline id="edge" points="{points}"/></svg>',
        f'{head}<path id="edge" d="M 0 0 V 320"/></svg>',
    ]
    counts = []
    for drawing in drawings:
        answer = closures.check_plan(closures.read_plan(plan.encode(), "test.toml"), {"a.svg": drawing.encode()})
        counts.append(piece_picture(answer.placement).count(b"<circle"))
    assert counts[0] - counts[1] == 80


def test_edge_longer_than_any_is_refused_before_the_work():
    plan = """
[garment]
opens = "front"
[edge]
straight = "{length}"
[band]
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = 3
"""
    assert len(report_of(plan.format(length="20 m"))["marks"]) == 3
    # One mm too long is told as that, not as the 20 m that are taken.
    assert "it is 20.001 m long, and an edge of at most 20 m" in refusal_of(plan.format(length="20001 mm"))
    assert "it is 20.001 m long, and an edge of at most 20 m" in refusal_of(plan.format(length="20000.3 mm"))
    told = refusal_of(plan.format(length="20.1 m"))
    assert "[edge]: it is 20.1 m long, and an edge of at most 20 m is taken. Check its unit" in told


def test_a_line_that_shakes_by_more_than_its_points_lie_apart_is_refused_in_a_sentence_of_its_own():
    """All feet of a span fell together on the curve, and a division by nothing was told as a broken file."""
    rng = random.Random(3)
    shaken = " ".join(f"{300 + rng.uniform(-0.3, 0.3):.3f},{0.1 * k:.3f}" for k in range(8001))
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900"><polyline id="e" points="{shaken}"/></svg>'
    plan = 'drawing = "s.svg"\n[edge]\npath = "e"\n[garment]\npieces = "separate"\n[band]\nwidth = "30 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 3\n'
    told = refusal_of(plan, {"s.svg": drawing.encode()})
    assert "turns back on itself" in told and "division" not in told
