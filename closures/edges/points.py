"""A smooth curve through measured points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from closures.curve import Cubic, Curve, Line, Point, Segment
from closures.curve.fitting.limits import LEAST_POINTS
from closures.curve.fitting.strokes import read_strokes
from closures.edges.sampled import ReadLine, reading_in_words, roughness_of
from closures.errors import EdgeError
from closures.lengths import format_both

# Measured points nearer than this are the same one written twice.
_SAME_POINT_MM = 0.05

# A measured edge that turns back by more than this at a point was written in the wrong order.
_MOST_TURN_DEG = 120.0


_GUESSED_MM = 4.0
"""A line that may be off by less between its points is not worth the measuring: a row's marks move along it by a small
part of that. Our own rule."""


def read_points(points: Sequence[Point], where: str, within_mm: float) -> ReadLine:
    """Draw the line that measured points stand for.

    A smooth curve goes through each of a few points. From so many that what they are out by can be told,
    the line is read as one from a drawing is: smooth to their noise, with the corners that they turn.

    Args:
        points: in mm, first end to last end.
        where: the place for messages.
        within_mm: what points may be out by.

    Raises:
        EdgeError: as for `smooth_through`.
    """
    if len(points) < LEAST_POINTS:
        return ReadLine(smooth_through(points, where), _guessed_between(points), tuple(points))
    _refuse_doubles(points, where)
    strokes = read_strokes(points, within_mm)
    rough_mm = roughness_of([strokes], within_mm)
    return ReadLine(Curve(strokes.segments), reading_in_words([(0, strokes)]), tuple(points), rough_mm=rough_mm)


def _guessed_between(points: Sequence[Point]) -> tuple[str, ...]:
    """Say how far the smooth line between a few points may be off, where they lie far apart and it bends there.

    Halfway along an arc that turns by an angle over its chord, the line lies chord * angle / 8 off the chord: where it
    bends unlike an arc, it may be off by as much.
    """
    may_be_mm = max(
        (
            max(math.dist(a, b), math.dist(b, c)) * abs(turn_at(a, b, c)) / 8
            for a, b, c in zip(points, points[1:], points[2:], strict=False)
        ),
        default=0.0,
    )
    if may_be_mm < _GUESSED_MM:
        return ()
    apart = max(math.dist(one, other) for one, other in pairwise(points))
    return (
        f"The edge was drawn smooth through {len(points)} points, up to {apart:.0f} mm apart: between them it is "
        f"guessed, and may be off by some {may_be_mm:.0f} mm where it bends. Measure points between those that lie "
        "furthest apart.",
    )


def smooth_through(points: Sequence[Point], where: str = "[edge] points") -> Curve:
    """Draw a smooth curve through measured points.

    The tangent at a point is that of a centripetal Catmull-Rom spline (Barry and Goldman 1988;
    Yuksel and others 2011: of the family only this one never loops or cusps within a piece). The
    handles have the length that draws a circle where the tangents are those of one.

    Args:
        points: in mm, first end to last end; two make a straight line.
        where: the place for messages.

    Raises:
        EdgeError: fewer than two points, one that is not finite, one twice, or one out of order.
    """
    _refuse_doubles(points, where)
    for n, (a, b, c) in enumerate(zip(points, points[1:], points[2:], strict=False), 2):
        if abs(math.degrees(turn_at(a, b, c))) > _MOST_TURN_DEG:
            raise EdgeError(
                f"the edge turns back at point {n} (x {format_both(b[0])}, y {format_both(b[1])})",
                where=where,
                mend="Write the points in order, from the first end to the last.",
            )
    if len(points) == 2:
        return Curve((Line(points[0], points[1]),))
    inner = [_angle_at(a, b, c) for a, b, c in zip(points, points[1:], points[2:], strict=False)]
    first, last = end_angles(points, inner[0], inner[-1])
    return Curve(tuple(pieces_along(points, (first, *inner, last))))


def _refuse_doubles(points: Sequence[Point], where: str) -> None:
    if len(points) < 2:
        raise EdgeError("an edge needs two points at least", where=where, mend="Measure more points.")
    for n, (x, y) in enumerate(points, 1):
        if not (math.isfinite(x) and math.isfinite(y)):
            raise EdgeError(f"point {n} is not a point", where=where, mend="Write two lengths.")
    for n, (one, other) in enumerate(pairwise(points), 1):
        if math.dist(one, other) < _SAME_POINT_MM:
            raise EdgeError(f"points {n} and {n + 1} are the same", where=where, mend="Leave one of them out.")


def pieces_along(points: Sequence[Point], angles: Sequence[float]) -> list[Segment]:
    """Cubics through points with the given directions, in radians, at them."""
    return [_piece(a, b, first, last) for (a, b), (first, last) in zip(pairwise(points), pairwise(angles), strict=True)]


def end_angles(points: Sequence[Point], second: float, last_but_one: float) -> tuple[float, float]:
    """Directions at both ends that mirror those next to them about the chord, as on a circle."""
    return (
        2 * _direction(points[0], points[1]) - second,
        2 * _direction(points[-2], points[-1]) - last_but_one,
    )


def turn_at(a: Point, b: Point, c: Point) -> float:
    """The signed turn at the middle one of three points, in radians."""
    return _wrapped(_direction(b, c) - _direction(a, b))


def _angle_at(a: Point, b: Point, c: Point) -> float:
    """The centripetal direction at the middle one of three points."""
    before, after = math.sqrt(math.dist(a, b)), math.sqrt(math.dist(b, c))
    dx = (b[0] - a[0]) / before * after + (c[0] - b[0]) / after * before
    dy = (b[1] - a[1]) / before * after + (c[1] - b[1]) / after * before
    return math.atan2(dy, dx)


def _piece(a: Point, b: Point, first: float, last: float) -> Segment:
    chord = math.dist(a, b)
    along = _direction(a, b)
    lean = (abs(_wrapped(first - along)) + abs(_wrapped(last - along))) / 2
    if lean < 1e-9:
        return Line(a, b)
    # A circle that leans by an angle at both ends of its chord has handles of 2/3 chord / (1 + cos).
    handle = 2 / 3 * chord / (1 + math.cos(min(lean, math.pi / 3)))
    return Cubic(
        a,
        (a[0] + handle * math.cos(first), a[1] + handle * math.sin(first)),
        (b[0] - handle * math.cos(last), b[1] - handle * math.sin(last)),
        b,
    )


def _direction(a: Point, b: Point) -> float:
    return math.atan2(b[1] - a[1], b[0] - a[0])


def _wrapped(angle: float) -> float:
    return math.remainder(angle, math.tau)
