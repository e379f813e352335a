"""Notches that are drawn into an outline, taken out of the edge that runs along it.

A notch is cut into an allowance, or stands out from it, to be matched in sewing: the finished edge runs straight on
across it. In many drawings it is part of the outline itself.
"""

from __future__ import annotations

import math
from itertools import pairwise

from closures.curve import Cubic, Curve, Line, Point, Segment
from closures.frozen import frozen

MOST_WIDE_MM = 20.0
"""No notch is drawn wider: common practice has 3 to 12 mm."""

LEAST_DEEP_MM = 1.0
"""What leaves the line by less is how a line was drawn, and moves no mark by more."""

_MOST_ROUND_MM = 50.0
"""So long is the way in and out again at most: a slit as deep as a wide notch, twice."""

_SAGITTA_MM = 0.05
"""Chords leave a curve by no more when it is asked where it is sharp: a rounding as narrow as a pen is one or two."""

_BENDS_DEG = 14.0
"""A turn from chord to chord that may be a corner of a notch: one of 4 mm width and 1 mm depth turns by 27."""

_RUNS_ON_DEG = 12.0
"""How far the line may turn from the straight across a notch where that begins and ends: our own rule."""

_MARGIN_MM = 1.0
"""So far outside its corners, rounded as they may be, the line is carried across."""

_WAY_MM = 2.0
"""Which way the line runs there is told by so much of it: strokes shorter than that are as rough as a pen."""

_MOST_BENDS = 3_000
"""Of a line with more sharp places each is a dot of a picture, and it is read as such."""


@frozen
class Dent:
    """A notch that was taken out of an edge.

    Attributes:
        at: its middle on the edge, as drawn.
        deep_mm: how far it leaves the edge.
        wide_mm: how wide it is.
    """

    at: Point
    deep_mm: float
    wide_mm: float


@frozen
class _End:
    """Where a notch may begin or end.

    Attributes:
        along_mm: on the line.
        at: the place.
        way: which way the line runs outside it, towards its last end.
    """

    along_mm: float
    at: Point
    way: Point


def without_notches(line: Curve) -> tuple[Curve, tuple[Dent, ...]]:
    """A line carried on across the notches that are drawn into it, and those.

    What goes out and comes back to its own line within `MOST_WIDE_MM` and runs on as before is one; a step, a scallop
    or a corner does not run on as before. Between two straight strokes a third is laid, and they are read together.

    Args:
        line: as it was drawn, before its short strokes are read as the curves that they stand for.
    """
    bends = _bends(line)
    if not 1 < len(bends) <= _MOST_BENDS:
        return line, ()
    whole = line.length_mm
    begins = [_end(line, along - _MARGIN_MM, -1.0) if along > _MARGIN_MM else None for along in bends]
    ends = [_end(line, along + _MARGIN_MM, 1.0) if along < whole - _MARGIN_MM else None for along in bends]
    segments: list[Segment] = []
    found: list[Dent] = []
    done = 0.0
    for k, one in enumerate(begins):
        if one is None or one.along_mm <= done:
            continue
        for other in ends[k + 1 :]:
            if other is None or other.along_mm - one.along_mm > _MOST_ROUND_MM:
                break
            if _runs_on(one, other) and (dent := _notch(line, one, other)) is not None:
                segments += [*line.stretch(done, one.along_mm).segments, _across(line, one, other)]
                found.append(dent)
                done = other.along_mm
                break
    if not found:
        return line, ()
    return Curve((*segments, *line.stretch(done, whole).segments)), tuple(found)


def _bends(line: Curve) -> list[float]:
    """Where a line turns sharply, along it."""
    points = line.approximate_polyline(_SAGITTA_MM)
    ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    most = math.radians(_BENDS_DEG)
    sharp = [
        point
        for point, (before, after) in zip(points[1:], pairwise(ways), strict=False)
        if abs(math.remainder(after - before, math.tau)) >= most
    ]
    return sorted(line.nearest(point).along_mm for point in sharp) if len(sharp) <= _MOST_BENDS else []


def _end(line: Curve, along_mm: float, way: float) -> _End:
    """A place of a line, and which way that runs outside it."""
    at = line.point_at(along_mm)
    far = line.point_at(min(max(along_mm + way * _WAY_MM, 0.0), line.length_mm))
    size = math.dist(at, far)
    if size <= 0.0:
        return _End(along_mm, at, line.tangent_at(along_mm))
    return _End(along_mm, at, ((far[0] - at[0]) * way / size, (far[1] - at[1]) * way / size))


def _runs_on(one: _End, other: _End) -> bool:
    """Whether a line runs on from one place to the other as it runs outside both."""
    dx, dy = other.at[0] - one.at[0], other.at[1] - one.at[1]
    wide = math.hypot(dx, dy)
    if not 0.0 < wide <= MOST_WIDE_MM + 2 * _MARGIN_MM:
        return False
    least = wide * math.cos(math.radians(_RUNS_ON_DEG))
    return all(dx * x + dy * y >= least for x, y in (one.way, other.way))


def _notch(line: Curve, one: _End, other: _End) -> Dent | None:
    """What lies between two places of a line, if it leaves the straight far enough."""
    (ax, ay), (bx, by) = one.at, other.at
    wide = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / wide, (by - ay) / wide
    length = other.along_mm - one.along_mm
    places = (line.point_at(one.along_mm + length * k / 100) for k in range(101))
    deep = max(abs((x - ax) * uy - (y - ay) * ux) for x, y in places)
    if deep < LEAST_DEEP_MM:
        return None
    return Dent(((ax + bx) / 2, (ay + by) / 2), deep, max(wide - 2 * _MARGIN_MM, 0.0))


def _across(line: Curve, one: _End, other: _End) -> Segment:
    """The line across: a stroke between strokes, else a curve that runs on as the line does at both ends."""
    (ax, ay), (bx, by) = one.at, other.at
    if all(isinstance(line.place(end.along_mm)[0], Line) for end in (one, other)):
        return Line(one.at, other.at)
    (ux, uy), (vx, vy) = (line.tangent_at(end.along_mm) for end in (one, other))
    third = math.hypot(bx - ax, by - ay) / 3
    return Cubic(one.at, (ax + third * ux, ay + third * uy), (bx - third * vx, by - third * vy), other.at)
