"""Pulling labels apart along a column, each as near as it can be to what it speaks of."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from closures.drawing.ink.shapes import Point


def pulled_apart(wanted: Sequence[float], rooms: Sequence[float]) -> tuple[float, ...]:
    """Place labels in a row so that none overlaps another, moving them as little as can be.

    The order is kept. Least squares under a least distance is the isotonic regression of the wanted
    places less the room before each, which pooling neighbours solves exactly (Ayer and others 1955).

    Args:
        wanted: where each label would lie, in the order that is kept.
        rooms: how much room each takes, centred on its place.

    Returns:
        Where each lies, ascending.
    """
    before, at = [], 0.0
    for i, room in enumerate(rooms):
        at += (rooms[i - 1] + room) / 2 if i else 0.0
        before.append(at)
    pools: list[tuple[float, int]] = []
    for place, room_before in zip(wanted, before, strict=True):
        total, count = place - room_before, 1
        while pools and pools[-1][0] / pools[-1][1] >= total / count:
            more, members = pools.pop()
            total, count = total + more, count + members
        pools.append((total, count))
    means = [total / count for total, count in pools for _ in range(count)]
    return tuple(mean + room_before for mean, room_before in zip(means, before, strict=True))


def distance_to_stroke(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from a straight stroke, in mm."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = dx * dx + dy * dy
    share = 0.0 if length == 0 else ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / length
    share = min(1.0, max(0.0, share))
    return math.hypot(point[0] - start[0] - share * dx, point[1] - start[1] - share * dy)


def clearance(way: Sequence[Point], points: Sequence[Point]) -> float:
    """How near a line of strokes comes to the nearest of some points, in mm; endless without any."""
    return min((distance_to_stroke(p, a, b) for p in points for a, b in pairwise(way)), default=math.inf)


def crossings(ways: Sequence[Sequence[Point]], beside: int = 6) -> int:
    """Count how often lines of strokes cross others near them in a row.

    Args:
        ways: the lines, in their order along the row.
        beside: with how many of those that follow each is compared.
    """
    found = 0
    for i, way in enumerate(ways):
        for other in ways[i + 1 : i + 1 + beside]:
            found += sum(_cross(*one, *two) for one in pairwise(way) for two in pairwise(other))
    return found


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Tell whether two strokes cross within both."""
    return _hand(a, b, c) * _hand(a, b, d) < 0 and _hand(c, d, a) * _hand(c, d, b) < 0


def _hand(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
