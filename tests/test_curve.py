"""Curves: lengths, points, levels and nearest points against closed forms and other readers."""

import itertools
import math
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from work import calls_of

from closures.curve import Arc, Cubic, Curve, Line, parallel
from closures.curve.curve import _FEET, _NEAREST, _PLACES
from closures.curve.kept import MOST_KEPT

# Invented: an S like a side opening, a hook with strong bends, and one whose first handle has no length.
S_CURVE = Cubic((0.0, 0.0), (0.0, 170.0), (130.0, 150.0), (130.0, 320.0))
HOOK = Cubic((10.0, -5.0), (180.0, 40.0), (-60.0, 120.0), (95.0, 260.0))
NO_HANDLE = Cubic((0.0, 0.0), (0.0, 0.0), (60.0, 110.0), (90.0, 300.0))
CUBICS = [pytest.param(c, id=name) for c, name in ((S_CURVE, "s"), (HOOK, "hook"), (NO_HANDLE, "no handle"))]

QUARTER = Arc((0.0, 0.0), 220.0, 0.0, math.pi / 2)
JOINED = Curve(
    (
        Line((0.0, 0.0), (0.0, 50.0)),
        Cubic((0.0, 50.0), (0.0, 120.0), (40.0, 130.0), (40.0, 200.0)),
        Arc((10.0, 200.0), 30.0, 0.0, math.pi / 3),
    )
)


def quad_length(cubic, t1=1.0):
    mpmath = pytest.importorskip("mpmath")
    mpmath.mp.dps = 30
    p = [mpmath.matrix(q) for q in (cubic.p0, cubic.p1, cubic.p2, cubic.p3)]

    def speed(t):
        u = 1 - t
        d = 3 * u * u * (p[1] - p[0]) + 6 * u * t * (p[2] - p[1]) + 3 * t * t * (p[3] - p[2])
        return mpmath.sqrt(d[0] ** 2 + d[1] ** 2)

    return float(mpmath.quad(speed, mpmath.linspace(0, t1, 9)))


@pytest.mark.parametrize("cubic", CUBICS)
def test_cubic_length_equals_high_precision_integral(cubic):
    assert cubic.length_mm == pytest.approx(quad_length(cubic), abs=1e-10)


@pytest.mark.parametrize("cubic", CUBICS)
@pytest.mark.parametrize("share", [0.0, 0.001, 0.5, 1.0])
def test_point_at_distance_has_that_length_before_it(cubic, share):
    s = share * cubic.length_mm
    t = cubic.at_length(s)
    assert quad_length(cubic, t) == pytest.approx(s, abs=1e-9)


@pytest.mark.parametrize("cubic", CUBICS)
def test_cubic_length_agrees_with_svgpathtools(cubic):
    svgpathtools = pytest.importorskip("svgpathtools")
    other = svgpathtools.CubicBezier(*(complex(*p) for p in (cubic.p0, cubic.p1, cubic.p2, cubic.p3)))
    assert cubic.length_mm == pytest.approx(other.length(error=1e-10), abs=1e-6)
    # svgpathtools counts curvature without sign.
    for t in (0.2, 0.5, 0.83):
        assert abs(cubic.curvature(t)) == pytest.approx(other.curvature(t), abs=1e-12)


def test_arc_is_closed_form():
    curve = Curve((QUARTER,))
    assert curve.length_mm == pytest.approx(110 * math.pi, abs=1e-12)
    x, y = curve.point_at(curve.length_mm / 3)
    assert (x, y) == pytest.approx((220 * math.cos(math.pi / 6), 220 * math.sin(math.pi / 6)), abs=1e-12)


def test_curvature_is_positive_to_the_right_hand():
    # From (220, 0) down and to -x, y down: the walker turns to the right hand.
    curve = Curve((QUARTER,))
    assert curve.curvature_at(10.0) == pytest.approx(1 / 220)
    assert curve.tangent_at(0.0) == pytest.approx((0.0, 1.0), abs=1e-15)
    assert curve.reversed().curvature_at(10.0) == pytest.approx(-1 / 220)


def test_tightest_radius_of_s_curve_is_that_of_dense_sampling():
    found = Curve((S_CURVE,)).tightest("both")
    sampled = min(1 / abs(S_CURVE.curvature(i / 20000)) for i in range(20001) if S_CURVE.curvature(i / 20000))
    assert found.radius_mm == pytest.approx(sampled, abs=1e-4)
    assert found.radius_mm <= sampled + 1e-12
    assert found.radius_mm == pytest.approx(179.05, abs=0.1)


def test_straight_line_of_curve_strokes_has_no_radius_of_rounding():
    # The thirds of a straight stroke, rounded as a drawing program writes them: the bend is of the figures, not of the edge.
    ends = ((200.0, 20.0), (200.0, 371.7), (200.0, 720.0))
    strokes = tuple(
        Cubic(a, (a[0] + 1e-13, a[1] + (b[1] - a[1]) / 3), (b[0], b[1] - (b[1] - a[1]) / 3), b)
        for a, b in itertools.pairwise(ends)
    )
    assert Curve(strokes).tightest("both").radius_mm == math.inf
    # A bow of a tenth of a millimetre over the whole length is one.
    bowed = Cubic((0.0, 0.0), (0.1, 233.0), (0.1, 467.0), (0.0, 700.0))
    assert Curve((bowed,)).tightest("both").radius_mm < 1e6


def test_tightest_of_straight_is_infinite():
    assert Curve((Line((0.0, 0.0), (0.0, 9.0)),)).tightest().radius_mm == math.inf


@pytest.mark.parametrize(
    ("side", "radius"), [("right", 220.0), ("left", math.inf), ("both", 220.0)], ids=["right", "left", "both"]
)
def test_tightest_counts_the_hand_asked_for(side, radius):
    assert Curve((QUARTER,)).tightest(side).radius_mm == pytest.approx(radius)


@pytest.mark.parametrize("s", [-1e-6, 62.0, math.nan, math.inf], ids=str)
def test_distance_off_the_curve_is_refused(s):
    with pytest.raises(ValueError, match="is not on a curve"):
        Curve((Line((0.0, 0.0), (0.0, 60.0)),)).point_at(s)


def test_rounding_past_an_end_is_the_end():
    curve = Curve((Line((0.0, 0.0), (0.0, 60.0)),))
    assert curve.point_at(60.0 + 5e-10) == (0.0, 60.0)
    assert curve.point_at(-5e-10) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("segments", "text"),
    [
        ((), "needs a segment"),
        ((Line((1.0, 1.0), (1.0, 1.0)),), "no length"),
        ((Line((0.0, 0.0), (math.nan, 1.0)),), "no length"),
        ((Line((0.0, 0.0), (0.0, 1.0)), Line((0.1, 1.0), (0.0, 2.0))), "do not join"),
    ],
    ids=["none", "no length", "nan", "gap"],
)
def test_curve_of_bad_segments_is_refused(segments, text):
    with pytest.raises(ValueError, match=text):
        Curve(segments)


def test_crossings_of_level_on_a_full_bow_are_two():
    # Circle of 50 about (0, 0), from the top round by the right: y = 30 at 90° + asin(0.6) of the turn.
    bow = Curve((Arc((0.0, 0.0), 50.0, -math.pi / 2, 1.5 * math.pi),))
    expected = [50 * (math.pi / 2 + math.asin(0.6)), 50 * (1.5 * math.pi - math.asin(0.6))]
    assert bow.crossings_of_level(30.0) == pytest.approx(expected, abs=1e-9)


def test_touch_of_level_counts_once():
    bow = Curve((Arc((0.0, 0.0), 50.0, 0.0, math.pi),))
    assert bow.crossings_of_level(50.0) == pytest.approx([25 * math.pi], abs=1e-6)
    assert bow.crossings_of_level(50.1) == ()


def test_flat_stretch_on_level_counts_once_at_its_middle():
    steps = Curve(
        (
            Line((0.0, 0.0), (0.0, 20.0)),
            Line((0.0, 20.0), (10.0, 20.0)),
            Line((10.0, 20.0), (14.0, 20.0)),
            Line((14.0, 20.0), (14.0, 60.0)),
        )
    )
    assert steps.crossings_of_level(20.0) == pytest.approx([27.0])
    assert steps.crossings_of_level(0.0) == (0.0,)
    assert steps.level_stretches(20.0, 30.0) == ((20.0, 44.0),)


def test_level_at_a_join_counts_once():
    assert JOINED.crossings_of_level(50.0) == pytest.approx([50.0])


@pytest.mark.parametrize("y", [0.0, 12.5, 117.3, 200.0, 225.98])
def test_crossings_lie_on_the_level(y):
    found = JOINED.crossings_of_level(y)
    assert found
    for s in found:
        assert JOINED.point_at(s)[1] == pytest.approx(y, abs=1e-9)


def test_level_stretches_of_bow_are_two():
    bow = Curve((Arc((0.0, 0.0), 50.0, -math.pi / 2, math.pi),)).stretch(1.0, 150.0)
    (first, last) = bow.level_stretches(-40.0, 40.0)[0]
    assert bow.point_at(first)[1] == pytest.approx(-40.0)
    assert bow.point_at(last)[1] == pytest.approx(40.0)
    cup = Curve((Arc((0.0, 0.0), 50.0, 0.0, math.pi),))
    assert len(cup.level_stretches(10.0, 40.0)) == 2
    assert cup.level_stretches(60.0, 90.0) == ()
    touch = cup.level_stretches(50.0, 90.0)
    assert len(touch) == 1 and touch[0] == pytest.approx((25 * math.pi, 25 * math.pi), abs=1e-6)


def test_box_is_exact():
    assert Curve((S_CURVE,)).box == pytest.approx((0.0, 0.0, 130.0, 320.0), abs=1e-12)
    x0, y0, x1, y1 = Curve((HOOK,)).box
    dense = [HOOK.point(i / 50000) for i in range(50001)]
    assert (x0, y0) == pytest.approx((min(p[0] for p in dense), min(p[1] for p in dense)), abs=1e-6)
    assert (x1, y1) == pytest.approx((max(p[0] for p in dense), max(p[1] for p in dense)), abs=1e-6)


coordinate = st.floats(-300, 500, allow_nan=False)
points = st.tuples(coordinate, coordinate)
cubics = st.builds(Cubic, points, points, points, points).filter(lambda c: c.length_mm > 5)
curves = st.one_of(cubics.map(lambda c: Curve((c,))), st.just(JOINED), st.just(Curve((QUARTER,))))


@pytest.mark.long
@settings(max_examples=150, deadline=None)
@given(curves, points)
def test_nearest_is_no_further_than_any_sample(curve, point):
    found = curve.nearest(point)
    assert math.dist(found.point, point) == pytest.approx(found.distance_mm, abs=1e-9)
    assert math.dist(curve.point_at(found.along_mm), found.point) < 1e-6
    for i in range(301):
        assert found.distance_mm <= math.dist(curve.point_at(curve.length_mm * i / 300), point) + 1e-9


@settings(max_examples=60, deadline=None)
@given(cubics, points)
def test_nearest_agrees_with_shapely_on_dense_chords(cubic, point):
    shapely = pytest.importorskip("shapely")
    dense = shapely.LineString([cubic.point(i / 4000) for i in range(4001)])
    sagitta = 1000 * 9 / 4000  # no chord is longer than 9 * 1000 / 4000 mm, so none bows further
    assert Curve((cubic,)).nearest(point).distance_mm == pytest.approx(
        dense.distance(shapely.Point(point)), abs=sagitta
    )


def test_nearest_from_the_centre_of_an_arc_is_the_radius():
    assert Curve((QUARTER,)).nearest((0.0, 0.0)).distance_mm == pytest.approx(220.0)


@settings(max_examples=60, deadline=None)
@given(curves, st.floats(0, 1), points)
def test_reversing_moving_mirroring_change_nothing_they_should_not(curve, share, by):
    s, length = share * curve.length_mm, curve.length_mm
    x, y = curve.point_at(s)
    assert curve.reversed().length_mm == pytest.approx(length, abs=1e-8)
    assert curve.reversed().point_at(min(length - s, curve.reversed().length_mm)) == pytest.approx((x, y), abs=1e-6)
    assert curve.mirrored().point_at(min(s, curve.mirrored().length_mm)) == pytest.approx((-x, y), abs=1e-6)
    moved = curve.moved(*by)
    assert moved.point_at(min(s, moved.length_mm)) == pytest.approx((x + by[0], y + by[1]), abs=1e-6)
    tight, mirrored = curve.tightest("right"), curve.mirrored().tightest("left")
    assert tight.radius_mm == pytest.approx(mirrored.radius_mm, rel=1e-6, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(curves, st.floats(0, 0.45), st.floats(0.55, 1))
def test_stretch_is_the_part_between(curve, low, high):
    s0, s1 = low * curve.length_mm, high * curve.length_mm
    part = curve.stretch(s0, s1)
    assert part.length_mm == pytest.approx(s1 - s0, abs=1e-8)
    assert part.start == pytest.approx(curve.point_at(s0), abs=1e-6)
    assert part.end == pytest.approx(curve.point_at(s1), abs=1e-6)


def test_stretch_of_no_length_is_refused():
    with pytest.raises(ValueError, match="has no length"):
        JOINED.stretch(10.0, 10.0)


def test_corners_are_signed():
    zigzag = Curve(
        (Line((0.0, 0.0), (0.0, 10.0)), Line((0.0, 10.0), (-10.0, 20.0)), Line((-10.0, 20.0), (-10.0, 30.0)))
    )
    first, last = zigzag.corners()
    assert first == pytest.approx((10.0, 45.0))
    assert last == pytest.approx((10.0 + math.sqrt(200), -45.0))
    assert JOINED.corners() == ()


@pytest.mark.parametrize("sagitta", [0.5, 0.01, 0.001])
def test_polyline_stays_within_its_sagitta(sagitta):
    shapely = pytest.importorskip("shapely")
    for curve in (JOINED, Curve((HOOK,)), Curve((QUARTER,)), parallel(JOINED, -8.0)):
        chords = shapely.LineString(curve.approximate_polyline(sagitta))
        for i in range(700):
            assert chords.distance(shapely.Point(curve.point_at(curve.length_mm * i / 699))) <= sagitta * 1.001


@pytest.mark.parametrize("d", [0.0, 9.0, -25.0])
def test_path_draws_the_curve_within_a_thousandth(d):
    svgpathtools = pytest.importorskip("svgpathtools")
    for curve in (parallel(JOINED, d), parallel(Curve((Arc((0.0, 0.0), 1500.0, 0.3, 1.2),)), d)):
        commands = curve.path()
        assert commands[0] == ("M", *curve.start)
        path = svgpathtools.parse_path(" ".join(" ".join(map(str, command)) for command in commands))
        for segment in path:
            for i in range(11):
                z = segment.point(i / 10)
                assert curve.nearest((z.real, z.imag)).distance_mm < 0.001


def test_loop_crosses_itself_where_the_closed_form_says():
    # With v = t - 1/2: x = 50 + 1000 v³ - 150 v and y = 300 (1/4 - v²); v and -v meet at v² = 0.15.
    loop = Curve((Cubic((0.0, 0.0), (200.0, 100.0), (-100.0, 100.0), (100.0, 0.0)),))
    assert loop.crosses_itself() == (pytest.approx((50.0, 30.0), abs=1e-9),)


def test_smooth_and_hooked_curves_do_not_cross_themselves():
    assert Curve((S_CURVE,)).crosses_itself() is None
    assert Curve((Arc((0.0, 0.0), 50.0, 0.0, 6.0),)).crosses_itself() is None


def test_crossing_of_two_straights_is_found():
    sign = Curve(
        (
            Line((0.0, 0.0), (100.0, 0.0)),
            Line((100.0, 0.0), (100.0, 50.0)),
            Line((100.0, 50.0), (30.0, -20.0)),
        )
    )
    assert sign.crosses_itself() == (pytest.approx((50.0, 0.0)),)


def test_place_asked_for_again_is_not_worked_out_again() -> None:
    curve = Curve((Cubic((0.0, 0.0), (10.0, 60.0), (30.0, 100.0), (24.0, 160.0)),))
    first = curve.nearest((3.0, 70.0)), curve.place(55.0)
    # The least of some, as a collector of garbage that runs meanwhile is counted too.
    again = min(calls_of(lambda: (curve.nearest((3.0, 70.0)), curve.place(55.0))) for _ in range(3))
    assert again < 10 and (curve.nearest((3.0, 70.0)), curve.place(55.0)) == first


def test_places_of_many_curves_are_kept_within_one_bound():
    curves = [Curve((Line((float(k), 0.0), (float(k), 100.0)),)) for k in range(60)]
    for curve in curves:
        for n in range(1, 400):
            assert curve.nearest((curve.start[0] + 3.0, n / 4)).along_mm == pytest.approx(n / 4)
            assert curve.point_at(n / 4) == pytest.approx((curve.start[0], n / 4))
    assert MOST_KEPT < 60 * 399
    assert all(0 < len(one) <= MOST_KEPT for one in (_FEET, _NEAREST, _PLACES))


def test_copy_of_a_curve_from_another_process_is_not_taken_for_it():
    long, short = JOINED, Curve((Line((0.0, 0.0), (10.0, 0.0)),))
    assert long.point_at(30.0) == (0.0, 30.0)
    there = pickle.loads(pickle.dumps(long))
    assert there.__dict__.get("_mark") is not long._mark and short._mark is not long._mark
    assert there.point_at(30.0) == (0.0, 30.0)
