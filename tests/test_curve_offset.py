"""Exact parallels: closed forms, worked figures, corners, and refusals that name the place."""

import math
import random
import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from work import calls_of

from closures.curve import Arc, Cubic, Curve, Line, parallel
from closures.errors import EdgeError

S_CURVE = Curve((Cubic((0.0, 0.0), (0.0, 170.0), (130.0, 150.0), (130.0, 320.0)),))


def polyline(*points):
    return Curve(tuple(Line(a, b) for a, b in pairwise(points)))


def distances(parallel, curve, count=200):
    along = (parallel.length_mm * i / count for i in range(count + 1))
    return [curve.nearest(parallel.point_at(s)).distance_mm for s in along]


def test_quarter_circle_worked_figures():
    # Edge radius 220, inset 12, 20 at each end, 5 closures: angles 20/208 + i (quarter - 40/208) / 4.
    edge = Curve((Arc((0.0, 0.0), 220.0, math.pi / 2, -math.pi / 2),))
    line = parallel(edge, -12.0)
    assert edge.length_mm == pytest.approx(110 * math.pi, abs=1e-9)
    assert line.length_mm == pytest.approx(104 * math.pi, abs=1e-9)
    gap = (line.length_mm - 40) / 4
    assert gap == pytest.approx(71.681, abs=0.001)
    marks = [line.point_at(20 + i * gap) for i in range(5)]
    rounded = [(19.97, 207.04), (88.74, 188.12), (147.08, 147.08), (188.12, 88.74), (207.04, 19.97)]
    for mark, expected in zip(marks, rounded, strict=True):
        assert mark == pytest.approx(expected, abs=0.006)
    assert math.dist(*marks[:2]) == pytest.approx(416 * math.sin(gap / 416), abs=1e-9)


def test_s_curve_worked_figures():
    # Computed apart from this project, by 400,000 chords.
    expected = [
        (-14.04, 24.98), (-4.84, 74.91), (16.10, 121.12), (46.66, 161.72), (79.11, 200.88),
        (103.33, 245.42), (113.93, 295.03),
    ]  # fmt: skip
    line = parallel(S_CURVE, 15.0)
    assert S_CURVE.length_mm == pytest.approx(355.24, abs=0.005)
    gap = (line.length_mm - 50) / 6
    assert gap == pytest.approx(50.873, abs=0.001)
    for i, point in enumerate(expected):
        assert line.point_at(25 + i * gap) == pytest.approx(point, abs=0.006)


@pytest.mark.parametrize("d", [15.0, -15.0, 60.0, -178.0])
def test_offset_length_is_base_length_less_distance_times_turning(d):
    hook = Curve((Cubic((0.0, 0.0), (0.0, 170.0), (130.0, 250.0), (230.0, 320.0)),))
    (ax, ay), (bx, by) = hook.tangent_at(0.0), hook.tangent_at(hook.length_mm)
    turning = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    assert parallel(hook, d).length_mm == pytest.approx(hook.length_mm - d * turning, abs=1e-9)


@pytest.mark.parametrize("d", [15.0, -40.0])
def test_offset_length_equals_high_precision_integral(d):
    mpmath = pytest.importorskip("mpmath")
    mpmath.mp.dps = 25
    base = S_CURVE.segments[0]
    a, b, c, e, f, g = (mpmath.mpf(v) for v in base._powers)

    def speed(t):
        dx, dy = a + b * t + c * t * t, e + f * t + g * t * t
        fast = mpmath.sqrt(dx * dx + dy * dy)
        return fast - d * (dx * (f + 2 * g * t) - dy * (b + 2 * c * t)) / fast**2

    line = parallel(S_CURVE, d)
    assert line.length_mm == pytest.approx(float(mpmath.quad(speed, mpmath.linspace(0, 1, 9))), abs=1e-9)
    t = line.segments[0].at_length(123.4)
    assert float(mpmath.quad(speed, mpmath.linspace(0, t, 9))) == pytest.approx(123.4, abs=1e-9)


def test_three_metre_edge_is_held_to_a_hundredth():
    # A wave y -> x = 40 sin(y / 200), in cubics of 10 mm; the oracle is the wave itself, in closed form.
    def point(y):
        return (40 * math.sin(y / 200), y)

    def slope(y):
        return 0.2 * math.cos(y / 200)

    def cubic(y0, y1):
        h = (y1 - y0) / 3
        (xa, _), (xb, _) = point(y0), point(y1)
        return Cubic((xa, y0), (xa + slope(y0) * h, y0 + h), (xb - slope(y1) * h, y1 - h), (xb, y1))

    edge = Curve(tuple(cubic(10.0 * i, 10.0 * i + 10) for i in range(290)))
    line = parallel(edge, 19.0)
    steps = 200_000

    def beside(y):
        k = math.hypot(1, slope(y))
        return (point(y)[0] - 19.0 / k, y + 19.0 * slope(y) / k)

    assert line.length_mm > 2900
    along, before, wanted = 0.0, beside(0.0), iter([0.0, 5.0, 777.7, 1500.0, 2222.2, 2899.0])
    target = next(wanted)
    for i in range(1, steps + 1):
        after = beside(2900 * i / steps)
        along += math.dist(before, after)
        before = after
        if along >= target:
            assert math.dist(line.point_at(along), after) < 0.01
            target = next(wanted, math.inf)
    assert target == math.inf
    assert line.length_mm == pytest.approx(along, abs=0.002)


@settings(max_examples=40, deadline=None)
@given(st.floats(-70, 70).filter(lambda d: abs(d) > 0.1), st.booleans())
def test_offset_reverses_and_mirrors(d, mirror):
    bent = Curve(
        (
            Line((0.0, 0.0), (0.0, 80.0)),
            Cubic((0.0, 80.0), (0.0, 160.0), (60.0, 170.0), (80.0, 260.0)),
            Cubic((80.0, 260.0), (90.0, 305.0), (70.0, 360.0), (75.0, 420.0)),
        )
    )
    plain = parallel(bent, d)
    other = parallel(bent.mirrored(), -d).mirrored() if mirror else parallel(bent.reversed(), -d).reversed()
    assert other.length_mm == pytest.approx(plain.length_mm, abs=1e-8)
    for share in (0.0, 0.3, 0.71, 0.999):
        s = share * plain.length_mm
        assert other.point_at(s) == pytest.approx(plain.point_at(s), abs=1e-6)
    assert distances(plain, bent, 60) == pytest.approx([abs(d)] * 61, abs=1e-6)


def test_offset_of_an_offset_is_the_offset_of_both():
    twice, once = parallel(parallel(S_CURVE, 10.0), 7.0), parallel(S_CURVE, 17.0)
    assert twice.length_mm == pytest.approx(once.length_mm, abs=1e-9)
    assert twice.point_at(100.0) == pytest.approx(once.point_at(100.0), abs=1e-9)
    back = parallel(parallel(S_CURVE, 10.0), -10.0)
    assert back.segments == S_CURVE.segments


def test_parallel_agrees_with_shapely_to_its_sagitta():
    shapely = pytest.importorskip("shapely")
    dense = shapely.LineString(S_CURVE.approximate_polyline(0.0005))
    # shapely's left is ours as well where y runs down: it takes y up.
    other = dense.offset_curve(15.0, quad_segs=64)
    for i in range(1, 100):
        point = shapely.Point(parallel(S_CURVE, 15.0).point_at(3.5 * i))
        assert other.distance(point) < 0.01


@pytest.mark.parametrize("turn_deg", [10, 45, 90, 119], ids=str)
@pytest.mark.parametrize("hand", [1, -1], ids=["right", "left"])
def test_corner_of_straights_is_mitred(turn_deg, hand):
    # From straight down, turned by the angle; the mitre tip lies d tan(turn / 2) before or past the corner.
    angle = math.radians(90 + turn_deg)
    corner = polyline((0.0, 0.0), (0.0, 100.0), (100 * math.cos(angle), 100 + 100 * math.sin(angle)))
    d = 12.0 * hand
    line = parallel(corner, d)
    reach = 12.0 * math.tan(math.radians(turn_deg) / 2)
    assert line.length_mm == pytest.approx(200 - 2 * hand * reach, abs=1e-9)
    assert line.segments[0].end == pytest.approx((-d, 100 - hand * reach), abs=1e-9)
    assert min(distances(line, corner)) == pytest.approx(12.0, abs=1e-9)


@pytest.mark.parametrize("d", [14.0, -14.0])
def test_corner_of_curves_keeps_its_distance(d):
    cusp = Curve(
        (
            Cubic((0.0, 0.0), (0.0, 60.0), (20.0, 100.0), (30.0, 150.0)),
            Arc((30.0, 350.0), 200.0, -math.pi / 2, -0.9),
        )
    )
    line = parallel(cusp, d)
    found = distances(line, cusp, 400)
    assert min(found) == pytest.approx(14.0, abs=1e-6)
    # Drawn out on the outer side only, and no further than the mitre's tip.
    turn = math.radians(cusp.corners()[0][1])
    assert max(found) <= 14.0 / math.cos(turn / 2) + 1e-6
    if turn * d > 0:
        assert max(found) == pytest.approx(14.0, abs=1e-6)


def test_hairpin_is_refused():
    with pytest.raises(EdgeError, match="runs into another part of the edge"):
        parallel(polyline((0.0, 0.0), (0.0, 100.0), (5.0, 0.0)), -3.0)


def test_fold_is_refused_with_place_and_radius():
    with pytest.raises(EdgeError, match=r"91\.6 mm along .*x 16\.\d, y 89\.\d mm.* radius of 179\.0 mm"):
        parallel(S_CURVE, -180.0)
    assert parallel(S_CURVE, -179.0).length_mm > 0


def test_arc_no_wider_than_the_inset_is_refused():
    edge = Curve((Arc((0.0, 0.0), 30.0, 0.0, 1.0),))
    with pytest.raises(EdgeError, match=r"radius of 30\.0 mm"):
        parallel(edge, 30.0)
    assert parallel(edge, 29.9).length_mm == pytest.approx(0.1, abs=1e-9)


def test_piece_too_short_beside_a_corner_is_refused():
    with pytest.raises(EdgeError, match=r"corner of 90° .* 10\.0 mm of edge beside it is too short"):
        parallel(polyline((0.0, 0.0), (0.0, 10.0), (-80.0, 10.0)), 12.0)


def test_offset_that_runs_into_another_part_is_refused():
    # A deep pocket 20 wide: 12 from one wall is 8 from the other, though every bend could follow.
    pocket = Curve(
        (
            Line((0.0, 0.0), (0.0, 100.0)),
            Arc((-14.0, 100.0), 14.0, 0.0, math.pi),
            Line((-28.0, 100.0), (-28.0, 40.0)),
            Arc((-36.0, 40.0), 8.0, 0.0, -math.pi / 2),
        )
    )
    assert parallel(pocket, 13.0).length_mm > 0
    narrow = Curve(
        (
            Line((0.0, 0.0), (0.0, 100.0)),
            Arc((-14.0, 100.0), 14.0, 0.0, math.pi),
            Line((-28.0, 100.0), (-20.0, 20.0)),
        )
    )
    with pytest.raises(EdgeError, match="runs into another part of the edge"):
        parallel(narrow, 11.5)
    assert parallel(narrow, -11.5).length_mm > narrow.length_mm


@pytest.mark.parametrize("gap", [11.95, 12.05], ids=["nearer", "clear"])
def test_end_that_comes_near_another_part_is_told_to_a_twentieth(gap):
    # A wall at x = 0, a wide bend, then a straight whose tip ends short of the parallel of the wall.
    hook = Curve(
        (
            Line((0.0, 0.0), (0.0, 200.0)),
            Arc((-60.0, 200.0), 60.0, 0.0, math.pi),
            Line((-120.0, 200.0), (-120.0, 100.0)),
            Arc((-120.0 + 30.0, 100.0), 30.0, math.pi, math.pi / 2),
            Line((-90.0, 70.0), (-12.0 - gap, 70.0)),
        )
    )
    if gap < 12:
        with pytest.raises(EdgeError, match=r"within 11\.9 mm of the edge's own end"):
            parallel(hook, 12.0)
    else:
        assert parallel(hook, 12.0).length_mm > 0


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-1.2, 1.2), st.floats(25, 120)), min_size=1, max_size=6),
    st.floats(3, 14),
    st.booleans(),
)
def test_whatever_is_not_refused_keeps_its_distance(bends, d, left):
    # Arcs end to end, each with its own turn and radius, tangent to each other.
    x, y, heading = 0.0, 0.0, math.pi / 2
    arcs = []
    for turn, radius in bends:
        if abs(turn) < 0.01:
            continue
        side = heading + math.copysign(math.pi / 2, turn)
        centre = (x + radius * math.cos(side), y + radius * math.sin(side))
        arcs.append(Arc(centre, radius, side + math.pi, turn))
        (x, y), heading = arcs[-1].end, heading + turn
    if not arcs:
        return
    edge = Curve(tuple(arcs))
    try:
        line = parallel(edge, -d if left else d)
    except EdgeError:
        assert edge.direction_range > math.pi / 2
        return
    assert min(distances(line, edge, 150)) > d - 0.0101


def test_handle_of_no_length_is_followed_on_both_sides():
    edge = Curve((Cubic((0.0, 0.0), (0.0, 0.0), (50.0, 100.0), (100.0, 150.0)),))
    for d in (15.0, -15.0):
        line = parallel(edge, d)
        assert min(distances(line, edge)) > 15.0 - 0.01
        assert line.length_mm == pytest.approx(edge.length_mm, abs=8.0)


def test_outer_side_of_a_handle_of_no_length_begins_on_the_circle_about_its_point():
    edge = Curve((Cubic((0.0, 0.0), (0.0, 0.0), (50.0, 100.0), (100.0, 150.0)),))
    assert edge.segments[0].curvature(0.0) == -math.inf
    assert parallel(edge, 15.0).segments[0].curvature(0.0) == pytest.approx(-1 / 15)


def test_turn_within_a_short_handle_is_left_out_where_the_rest_of_a_cubic_folds():
    hook = Curve((Cubic((0.0, 0.0), (0.001, 0.0), (80.0, 80.0), (-30.0, 10.0)),))
    line = parallel(hook, 10.0)
    assert len(line.corners()) == 1
    assert distances(line, hook) == pytest.approx([10.0] * 201, abs=1e-5)


@pytest.mark.parametrize("d", [15.0, -15.0])
def test_polyline_of_short_chords_offsets_close_to_the_curve(d):
    # 800 chords: each bows by up to 0.0002 mm, and the first one's direction is 0.001 rad off, which
    # slides the parallel's ends along by 0.014 mm and moves it sideways by next to nothing.
    chords = polyline(*(S_CURVE.segments[0].point(i / 800) for i in range(801)))
    line, exact = parallel(chords, d), parallel(S_CURVE, d)
    assert line.length_mm == pytest.approx(exact.length_mm, abs=0.002)
    for i in range(1, 35):
        assert exact.nearest(line.point_at(10.0 * i)).distance_mm < 0.0003
        assert math.dist(line.point_at(10.0 * i), exact.point_at(10.0 * i)) < 0.016


def spiral_of(chords):
    return polyline(
        *(((200 - i / 50) * math.cos(i / 1600), (200 - i / 50) * math.sin(i / 1600)) for i in range(chords))
    )


def test_parallel_of_thousands_of_chords_grows_in_step_with_them():
    line = parallel(spiral_of(5000), 10.0)
    assert min(distances(line, spiral_of(5000), 50)) == pytest.approx(10.0, abs=0.001)
    few, many = (calls_of(lambda n=n: parallel(spiral_of(n), 10.0)) for n in (500, 2000))
    assert many < 4 * few * 1.25, (few, many)


def rounded_corner(radius, turn_deg, leg=150.0):
    """Two legs and between them a corner to the right hand, rounded; and where its tip would be."""
    turn = math.radians(turn_deg)
    cut = radius * math.tan(turn / 2)
    centre = (-radius, leg - cut)
    arc = Arc(centre, radius, 0.0, turn)
    x, y = arc.end
    way = (-math.sin(turn), math.cos(turn))
    rest = Line((x, y), (x + (leg - cut) * way[0], y + (leg - cut) * way[1]))
    return Curve((Line((0.0, 0.0), (0.0, leg - cut)), arc, rest)), (0.0, leg)


@pytest.mark.parametrize("turn_deg", [40.0, 90.0, 126.0])
@pytest.mark.parametrize("radius", [0.5, 10.0, 18.9])
def test_corner_rounded_tighter_than_the_inset_is_trimmed_like_a_sharp_one(radius, turn_deg):
    # The sides are 19 from two straights that turn by the angle: they meet 19 / cos(turn / 2) from the tip.
    edge, tip = rounded_corner(radius, turn_deg)
    line = parallel(edge, 19.0)
    half = math.radians(turn_deg) / 2
    side = 150.0 - 19.0 * math.tan(half)
    assert line.length_mm == pytest.approx(2 * side, abs=1e-9)
    meets = (-19.0, 150.0 - 19.0 * math.tan(half))
    assert line.point_at(side) == pytest.approx(meets, abs=1e-9)
    assert math.dist(meets, tip) == pytest.approx(19.0 / math.cos(half))
    assert line.corners() == ((pytest.approx(side), pytest.approx(turn_deg)),)
    sharp = parallel(polyline((0.0, 0.0), tip, edge.end), 19.0)
    assert sharp.length_mm == pytest.approx(line.length_mm, abs=1e-9)


def test_fold_of_a_tight_cubic_is_trimmed_where_its_two_sides_meet():
    # The same on both sides of x = 0, so that its parallel meets itself there.
    arch = Curve((Cubic((-60.0, 0.0), (-10.0, 80.0), (10.0, 80.0), (60.0, 0.0)),))
    assert arch.tightest("left").radius_mm < 38.0
    line = parallel(arch, -38.0)
    ((along, turn),) = line.corners()
    x, _ = line.point_at(along)
    assert (x, along) == (pytest.approx(0.0, abs=1e-9), pytest.approx(line.length_mm / 2, abs=1e-9))
    assert turn < -10.0
    assert min(distances(line, arch)) == pytest.approx(38.0, abs=1e-7)
    assert max(distances(line, arch)) == pytest.approx(38.0, abs=1e-7)


def test_outer_side_of_a_hairpin_is_rounded():
    # A corner that turns by 150 degrees would have a mitre 3.9 times the distance long.
    turn = math.radians(150.0)
    edge = polyline((0.0, 0.0), (0.0, 100.0), (-100.0 * math.sin(turn), 100.0 + 100.0 * math.cos(turn)))
    line = parallel(edge, -10.0)
    assert line.length_mm == pytest.approx(200.0 + 10.0 * turn, abs=1e-9)
    assert max(distances(line, edge)) == pytest.approx(10.0, abs=1e-9)


def test_crumbs_beside_a_corner_vanish():
    # Forty strokes of a hundredth of a mm round a corner of 90 degrees: none of them has a parallel of its own.
    steps = [(0.01 * math.sin(k * math.pi / 80), 0.01 * math.cos(k * math.pi / 80)) for k in range(41)]
    points = [(0.0, 0.0), (0.0, 100.0)]
    for dx, dy in steps:
        points.append((points[-1][0] - dx, points[-1][1] + dy))
    points.append((points[-1][0] - 100.0, points[-1][1]))
    line = parallel(polyline(*points), 15.0)
    ((_, turn),) = line.corners()
    assert turn == pytest.approx(90.0, abs=1e-6)
    assert len(line.segments) == 2


def test_tongue_too_narrow_for_the_inset_is_refused_with_its_width():
    tongue = polyline((0.0, 0.0), (0.0, 200.0), (100.0, 200.0), (100.0, 230.0), (0.0, 230.0), (0.0, 400.0))
    with pytest.raises(EdgeError, match=r"tongue that is 30\.0 mm wide .* Take a distance under 15\.0 mm"):
        parallel(tongue, 19.0)
    assert parallel(tongue, 14.9).length_mm == pytest.approx(tongue.length_mm)
    # A tab as short as it is wide is trimmed off like a corner.
    tab = polyline((0.0, 0.0), (0.0, 200.0), (30.0, 200.0), (30.0, 230.0), (0.0, 230.0), (0.0, 400.0))
    line = parallel(tab, 19.0)
    assert min(distances(line, tab)) == pytest.approx(19.0, abs=1e-9)


def legs_with_corners(seed):
    """Legs of 90 to 220 with one to three corners between, sharp or rounded; a distance to one hand."""
    rng = random.Random(seed)
    heading, here, segments = math.pi / 2, (0.0, 0.0), []
    for _ in range(rng.randint(1, 3)):
        turn, radius = rng.choice([-1, 1]) * rng.uniform(0.3, 2.2), rng.choice([0, 0, 5, 10, 25, rng.uniform(2, 30)])
        leg = rng.uniform(90, 220) - radius * math.tan(abs(turn) / 2)
        there = (here[0] + leg * math.cos(heading), here[1] + leg * math.sin(heading))
        segments.append(Line(here, there))
        if radius:
            side = heading + math.copysign(math.pi / 2, turn)
            centre = (there[0] + radius * math.cos(side), there[1] + radius * math.sin(side))
            segments.append(Arc(centre, radius, side + math.pi, turn))
        heading, here = heading + turn, segments[-1].end
    last = rng.uniform(90, 220)
    segments.append(Line(here, (here[0] + last * math.cos(heading), here[1] + last * math.sin(heading))))
    return Curve(tuple(segments)), rng.choice([-1, 1]) * rng.choice([8.0, 12.0, 19.0, 38.0])


def test_parallels_of_random_corners_are_true_from_both_ends():
    refused = 0
    for seed in range(150):
        edge, d = legs_with_corners(seed)
        if edge.crosses_itself():
            continue
        try:
            line = parallel(edge, d)
        except EdgeError as error:
            assert re.search("another part|own end|tongue|too short|radius", str(error))
            refused += 1
            continue
        found = distances(line, edge, 120)
        assert min(found) > abs(d) - 1e-6, seed
        # A mitre at 125 degrees reaches 2.17 times as far.
        assert max(found) < 2.17 * abs(d), seed
        back = parallel(edge.reversed(), -d)
        assert back.length_mm == pytest.approx(line.length_mm, abs=1e-6), seed
    assert refused < 10
