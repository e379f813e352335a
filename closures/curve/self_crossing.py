"""Where a curve crosses itself."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from closures.curve.algebra import grow_tree, pairs_that_meet
from closures.curve.drawn import approximate_chords
from closures.curve.line import Point
from closures.curve.segment import Segment

# Chords this close to the curve find the crossings; Newton's steps then place them.
_SAGITTA_MM = 0.01

# Newton's steps double the digits; eight reach the last from chords within a hundredth of a mm.
_STEPS = 8
_SETTLED = 1e-15

# Two directions that differ by less than this angle do not settle where they cross.
_NO_ANGLE = 1e-9

# Two crossings nearer than this are one.
_ONE_PLACE_MM = 1e-6

# A message need not name more places than this.
_MOST_PLACES = 4


def crossings(segments: Sequence[Segment]) -> tuple[Point, ...] | None:
    """Find the first few crossings of segments end to end, or None."""
    points = [segments[0].start]
    places: list[tuple[int, float, float]] = []
    for number, segment in enumerate(segments):
        before = 0.0
        for t in approximate_chords(segment, _SAGITTA_MM):
            points.append(segment.point(t))
            places.append((number, before, t))
            before = t
    boxes = [(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b in pairwise(points)]
    found: list[tuple[int, float, Point]] = []
    for i, j in pairs_that_meet(grow_tree(boxes)):
        shares = chords_cross(points[i], points[i + 1], points[j], points[j + 1])
        if shares is None or j - i == 1:
            continue
        one, other = (
            (n, t0 + share * (t1 - t0)) for (n, t0, t1), share in zip((places[i], places[j]), shares, strict=True)
        )
        t, _ = placed_crossing(segments[one[0]], one[1], segments[other[0]], other[1])
        place = segments[one[0]].point(t)
        if all(math.dist(place, known) > _ONE_PLACE_MM for _, _, known in found):
            found.append((one[0], t, place))
        if len(found) == _MOST_PLACES:
            break
    return tuple(place for _, _, place in sorted(found)) or None


def chords_cross(a: Point, b: Point, c: Point, d: Point) -> tuple[float, float] | None:
    """Shares of two chords at which they cross, or None."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    wide = ux * vy - uy * vx
    if wide == 0:
        return None
    wx, wy = c[0] - a[0], c[1] - a[1]
    s, u = (wx * vy - wy * vx) / wide, (wx * uy - wy * ux) / wide
    return (s, u) if 0 <= s <= 1 and 0 <= u <= 1 else None


def placed_crossing(one: Segment, t: float, other: Segment, u: float) -> tuple[float, float]:
    """Settle the parameters at which two segments cross by Newton's steps, from those of crossing chords."""
    for _ in range(_STEPS):
        (px, py), (qx, qy) = one.point(t), other.point(u)
        (ax, ay), (bx, by) = one.derivative(t), other.derivative(u)
        wide = ax * by - ay * bx
        if abs(wide) <= _NO_ANGLE * math.hypot(ax, ay) * math.hypot(bx, by):
            break
        dt = ((qx - px) * by - (qy - py) * bx) / wide
        du = ((qx - px) * ay - (qy - py) * ax) / wide
        t, u = min(max(t + dt, 0.0), 1.0), min(max(u + du, 0.0), 1.0)
        if max(abs(dt), abs(du)) < _SETTLED:
            break
    return t, u
