"""A curve stretched by two factors, across and down, as cloth is by a wash."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from closures.curve.arc import Arc
from closures.curve.cubic import Cubic
from closures.curve.curve import Curve
from closures.curve.line import Line, Point
from closures.curve.offset_piece import OffsetPiece

# An arc stretched by two factors is no arc; a cubic over 10 degrees follows it to a millionth of its radius.
_PIECE_RAD = math.radians(10.0)
# How far a cubic may lie from the parallel that it stands for, point by point: a thousandth of what a mark may be off.
_WITHIN_MM = 1e-5
# Where they are held against each other, of a stretch of the parallel.
_HELD_AT = (0.25, 0.5, 0.75)
# The least stretch of a parallel that is split further.
_LEAST_STEP = 1e-6


def stretched(curve: Curve, x: float, y: float) -> Curve:
    """Stretch a curve about the corner of its frame.

    Args:
        curve: in mm.
        x, y: by what lengths across and down become longer, above 0.

    Returns:
        The curve, its arcs and parallels as cubics that lie within `_WITHIN_MM` of them.
    """

    def at(point: Point) -> Point:
        return (point[0] * x, point[1] * y)

    segments: list[Line | Cubic] = []
    for segment in curve.segments:
        if isinstance(segment, Line):
            segments.append(Line(at(segment.start), at(segment.end)))
        elif isinstance(segment, Cubic):
            segments.append(_moved(segment, at))
        else:
            pieces = _of_arc(segment) if isinstance(segment, Arc) else _of_parallel(segment)
            segments += [_moved(piece, at) for piece in pieces]
    return Curve(tuple(segments))


def _moved(cubic: Cubic, at: Callable[[Point], Point]) -> Cubic:
    return Cubic(at(cubic.p0), at(cubic.p1), at(cubic.p2), at(cubic.p3))


def _of_arc(arc: Arc) -> Iterator[Cubic]:
    """An arc as cubics with handles of 4/3 tan(a/4), a the angle of each."""
    count = max(1, math.ceil(abs(arc.sweep) / _PIECE_RAD))
    step = arc.sweep / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0) * arc.radius
    for k in range(count):
        a, b = arc.start_angle + k * step, arc.start_angle + (k + 1) * step
        (xa, ya), (xb, yb) = (_on(arc, angle) for angle in (a, b))
        first = (xa - handle * math.sin(a), ya + handle * math.cos(a))
        second = (xb + handle * math.sin(b), yb - handle * math.cos(b))
        yield Cubic((xa, ya), first, second, (xb, yb))


def _on(arc: Arc, angle: float) -> Point:
    return (arc.centre[0] + arc.radius * math.cos(angle), arc.centre[1] + arc.radius * math.sin(angle))


def _of_parallel(piece: OffsetPiece) -> Iterator[Cubic]:
    """A parallel as cubics with its own ends and derivatives (Hermite), split until they lie on it."""
    waiting = [(0.0, 1.0)]
    while waiting:
        low, high = waiting.pop()
        (ax, ay), (bx, by) = piece.point(low), piece.point(high)
        (ux, uy), (vx, vy) = piece.derivative(low), piece.derivative(high)
        third = (high - low) / 3.0
        fitted = Cubic((ax, ay), (ax + ux * third, ay + uy * third), (bx - vx * third, by - vy * third), (bx, by))
        off = max(math.dist(fitted.point(u), piece.point(low + (high - low) * u)) for u in _HELD_AT)
        if off <= _WITHIN_MM or high - low < _LEAST_STEP:
            yield fitted
        else:
            middle = (low + high) / 2.0
            waiting += [(middle, high), (low, middle)]
