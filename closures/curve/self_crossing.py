"""Where a curve crosses itself."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve.drawn import approximate_chords
from closures.curve.line import Point
from closures.curve.tree import grow_tree, pairs_that_meet

if TYPE_CHECKING:
    from closures.curve.curve import Curve

# Chords this close to the curve find the crossings; Newton's steps then place them.
_SAGITTA_MM = 0.01

# A message need not name more places than this.
_MOST_PLACES = 4


def find(curve: Curve) -> tuple[Point, ...] | None:
    """Find the first few crossings of a curve with itself, or None.

    A curve whose tangents all lie within half a turn goes on and on one way and cannot come back.
    """
    if curve.direction_range < math.pi:
        return None
    points, alongs = [curve.start], [0.0]
    for segment, begin in zip(curve.segments, curve.starts, strict=False):
        for t in approximate_chords(segment, _SAGITTA_MM):
            points.append(segment.point(t))
            alongs.append(begin + segment.length_to(t))
    boxes = [(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b in pairwise(points)]
    found: list[tuple[float, Point]] = []
    for i, j in pairs_that_meet(grow_tree(boxes)):
        shares = _crossing(points[i], points[i + 1], points[j], points[j + 1])
        if shares is not None:
            s = alongs[i] + shares[0] * (alongs[i + 1] - alongs[i])
            u = alongs[j] + shares[1] * (alongs[j + 1] - alongs[j])
            place = _placed(curve, s, u)
            if all(math.dist(place, other) > 1e-6 for _, other in found):
                found.append((s, place))
            if len(found) == _MOST_PLACES:
                break
    return tuple(place for _, place in sorted(found)) or None


def _crossing(a: Point, b: Point, c: Point, d: Point) -> tuple[float, float] | None:
    """Shares of two chords at which they cross, or None."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    wide = ux * vy - uy * vx
    if wide == 0:
        return None
    wx, wy = c[0] - a[0], c[1] - a[1]
    s, u = (wx * vy - wy * vx) / wide, (wx * uy - wy * ux) / wide
    return (s, u) if 0 <= s <= 1 and 0 <= u <= 1 else None


def _placed(curve: Curve, s: float, u: float) -> Point:
    """Newton's steps on two distances along, from a crossing of chords."""
    for _ in range(8):
        (px, py), (qx, qy) = curve.point_at(s), curve.point_at(u)
        (ax, ay), (bx, by) = curve.tangent_at(s), curve.tangent_at(u)
        wide = ax * by - ay * bx
        if abs(wide) < 1e-9:
            break
        ds = ((qx - px) * by - (qy - py) * bx) / wide
        du = ((qx - px) * ay - (qy - py) * ax) / wide
        s = min(max(s + ds, 0.0), curve.length_mm)
        u = min(max(u + du, 0.0), curve.length_mm)
        if max(abs(ds), abs(du)) < 1e-11:
            break
    return curve.point_at(s)
