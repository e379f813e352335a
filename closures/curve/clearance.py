"""Whether a parallel runs into a part of the edge that it does not run beside.

While an edge turns by less than a right angle and never more tightly than d, a disc of radius d
that touches it cannot reach it again: seen along the tangent at the touch, the edge is a graph
whose sine of slope grows no faster than that of the disc's own rim. So only parts further round
the edge than that are looked at, and for most edges there are none.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve.line import Point

if TYPE_CHECKING:
    from closures.curve.curve import Curve, Nearest, Segment

# How much nearer than it should the parallel may come.
ALLOWED_MM = 0.01

_RIGHT_ANGLE = math.pi / 2 + 1e-9

# Segments are cut into stretches that turn by no more than this, about 11 degrees.
_STRETCH_TURN = math.pi / 16


@dataclass(slots=True)
class Piece:
    """A piece of a parallel.

    Attributes:
        base: the segment it runs beside, or the part of it that has a parallel.
        beside: the piece itself.
        number: of the segment on its curve.
        low, high: the parameters of ``base`` between which it runs.
    """

    base: Segment
    beside: Segment
    number: int
    low: float = 0.0
    high: float = 1.0


def find_collision(curve: Curve, pieces: list[Piece], d: float) -> tuple[Point, Nearest] | None:
    """Find a point of a parallel that lies too near to another part of its curve.

    Args:
        curve: the edge.
        pieces: the parallel, in order.
        d: the distance it should keep, in mm.

    Returns:
        The point and the nearest point of the edge to it, or None.
    """
    if curve.direction_range <= _RIGHT_ANGLE:
        return None
    parts: list[Segment] = []
    firsts: list[int] = []
    for segment in curve.segments:
        firsts.append(len(parts))
        count = _count_of(segment)
        parts += [segment if count == 1 else segment.part(i / count, (i + 1) / count) for i in range(count)]
    firsts.append(len(parts))
    fine = type(curve)(tuple(parts))
    reaches = _reaches(fine.directions)
    for piece in pieces:
        first = firsts[piece.number]
        for segment, i in _spread(piece, firsts[piece.number + 1] - first):
            hit = _march(fine, segment, reaches[first + i], abs(d))
            if hit is not None:
                return hit, curve.nearest(hit)
    return None


def _count_of(segment: Segment) -> int:
    """The number of stretches a segment is cut into, so that each turns by about `_STRETCH_TURN`."""
    borders = (0.0, *segment.turning_places(), 1.0)
    turns = [segment.turning_to(t) for t in borders]
    total = sum(abs(b - a) for a, b in pairwise(turns))
    return max(1, math.ceil(total / _STRETCH_TURN))


def _spread(piece: Piece, count: int) -> list[tuple[Segment, int]]:
    """Cut a piece where its segment was cut; each part with the number of the stretch beside it."""
    if count == 1:
        return [(piece.beside, 0)]
    width = piece.high - piece.low
    inner = [i / count for i in range(1, count) if piece.low < i / count < piece.high]
    borders = [piece.low, *inner, piece.high]
    spread = []
    for low, high in pairwise(borders):
        t0, t1 = (low - piece.low) / width, (high - piece.low) / width
        stretch = min(count - 1, int((low + high) / 2 * count))
        spread.append((piece.beside.part(t0, t1), stretch))
    return spread


def _first_near(ranges: Sequence[tuple[float, float]]) -> list[int]:
    """For each stretch the first of those that, up to it, turn by less than a right angle.

    The first one never moves back, so the least and the most angle between are kept in two queues.
    """
    lows: deque[int] = deque()
    highs: deque[int] = deque()
    firsts: list[int] = []
    first = 0
    for i, (low, high) in enumerate(ranges):
        while lows and ranges[lows[-1]][0] >= low:
            lows.pop()
        while highs and ranges[highs[-1]][1] <= high:
            highs.pop()
        lows.append(i)
        highs.append(i)
        while first < i and ranges[highs[0]][1] - ranges[lows[0]][0] > _RIGHT_ANGLE:
            first += 1
            if lows[0] < first:
                lows.popleft()
            if highs[0] < first:
                highs.popleft()
        firsts.append(first)
    return firsts


def _reaches(ranges: Sequence[tuple[float, float]]) -> list[tuple[int, int]]:
    """For each stretch those about it that turn by less than a right angle: the first, one after the last."""
    count = len(ranges)
    befores = _first_near(ranges)
    afters = [count - first for first in reversed(_first_near(ranges[::-1]))]
    return list(zip(befores, afters, strict=True))


def _march(fine: Curve, piece: Segment, near: tuple[int, int], d: float) -> Point | None:
    """Walk along a piece, as far at a step as the distance to the other parts allows.

    A part that the piece passes at a distance rho or more is missed by less than h²/8d between two
    steps of h, a quarter of what is allowed.
    """
    least_step = math.sqrt(2 * ALLOWED_MM * d)
    s = 0.0
    while True:
        point = piece.point(0.0 if s == 0 else (1.0 if s >= piece.length_mm else piece.at_length(s)))
        free = math.inf
        for first, after in ((0, near[0]), (near[1], len(fine.segments))):
            if first < after:
                found = fine.nearest_within(point, first, after, free)
                free = found[0] if found else free
        if free < d - ALLOWED_MM:
            return point
        if s >= piece.length_mm:
            return None
        s = min(piece.length_mm, s + max(least_step, free - d))
