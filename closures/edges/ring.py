"""The outline of a piece that an edge of its own lies on.

Where the piece is drawn line by line (edge, neckline, shoulder, seams and hem, each a path of its own) and the lines
lead from the edge's last end round to its first, and nowhere two ways, they are the outline of the piece. Where the
piece is one closed line and the edge is drawn over it, or beside it by an allowance, that line is. Its inside is the
cloth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING, Literal

from closures.curve import Curve, Line, Point, Segment

if TYPE_CHECKING:
    from closures.edges.drawing import Drawn

RING_MM = 0.5
"""Ends of two lines this near are one corner of the piece: the width of a drawn line."""

MOST_LINES = 300
"""A drawing of more lines is a sheet of many pieces, in which lines of different pieces may touch."""

MOST_LISTED = 600
"""Of a drawing of more lines not all are looked at."""

MOST_ALLOWANCE_MM = 20.0
"""An edge that keeps one distance of no more than this to a closed line is the finished edge of a piece cut by it."""

_EVEN_MM = 2.0
_PLACES = tuple(0.1 + 0.05 * k for k in range(17))
"""Where an edge is held against a closed line: not near its ends, where neckline and hem run close."""

_MOST_AROUND = 60
_LOOKED_AT = 24
_LEAST_AREA_MM2 = 100.0
"""A ring about nothing, such as a line drawn there and back, has no inside."""


@dataclass(frozen=True, slots=True)
class Ring:
    """The outline that an edge is a part of.

    Attributes:
        outline: the edge, then the lines that lead back from its last end to its first.
        inside: the hand on which the piece lies for somebody who walks the edge as it was drawn.
        name: of the closed line that the edge lies along; empty where the outline is made of several lines.
        is_on: the edge lies on the outline, and not beside it by an allowance.
    """

    outline: Curve
    inside: Literal["left", "right"]
    name: str = ""
    is_on: bool = True

    def turned(self) -> Ring:
        """The same turned over, x to -x."""
        return replace(self, outline=self.outline.mirrored(), inside="left" if self.inside == "right" else "right")


def piece_shown(edge: Curve, lines: Iterable[Drawn]) -> Ring | None:
    """Find the piece that an edge of its own lies on.

    Args:
        edge: as drawn, in mm, x right and y down.
        lines: everything that is drawn, the edge itself among it or not.

    Returns:
        The piece: one that is drawn line by line, else one whose closed line runs along the edge, else one whose
        closed line keeps an even allowance to it. None where nothing tells, or two pieces tell two sides.
    """
    found = list(islice(lines, MOST_LISTED + 1))
    if len(found) > MOST_LISTED:
        return None
    ring = ring_of(edge.segments, found) if len(found) <= MOST_LINES else None
    if ring is not None:
        return ring
    beside = [one for line in found if line.is_closed and (one := _along(edge, line)) is not None]
    nearest = [one for one in beside if one.is_on] or beside
    if len({one.inside for one in nearest}) != 1:
        # None, or a facing drawn folded out beside its front, or two fronts drawn edge to edge.
        return None
    return nearest[0]


def _along(edge: Curve, line: Drawn) -> Ring | None:
    """The outline that a closed line is for an edge, where the edge runs along it all the way."""
    around = Curve(tuple(line.segments))
    length = edge.length_mm
    away: list[float] = []
    alike: list[float] = []
    to_right: list[float] = []
    for share in _PLACES:
        x, y = edge.point_at(share * length)
        found = around.nearest((x, y))
        if found.distance_mm > MOST_ALLOWANCE_MM:
            return None
        (tx, ty), (rx, ry) = edge.tangent_at(share * length), around.tangent_at(found.along_mm)
        away.append(found.distance_mm)
        alike.append(tx * rx + ty * ry)
        to_right.append(tx * (found.point[1] - y) - ty * (found.point[0] - x))
    twice_area = _twice_area(around.segments)
    # An edge that runs now with the line and now against it lies across it.
    if abs(twice_area) < 2 * _LEAST_AREA_MM2 or min(alike) * max(alike) <= 0:
        return None
    inside: Literal["left", "right"] = "right" if twice_area * alike[0] > 0 else "left"
    is_on = max(away) <= RING_MM
    if not is_on:
        # The rim of its own piece lies on the far hand from the cloth, all the way.
        outwards = -1.0 if inside == "right" else 1.0
        if max(away) - min(away) > _EVEN_MM or any(outwards * one <= 0.0 for one in to_right):
            return None
    return Ring(_closed(around), inside, line.name, is_on)


def _closed(curve: Curve) -> Curve:
    return Curve(tuple(_closed_up(list(curve.segments))))


def ring_of(edge: Sequence[Segment], lines: Iterable[Drawn]) -> Ring | None:
    """Find the outline that an open edge is a part of.

    Args:
        edge: its segments, end to end, in mm, x right and y down.
        lines: everything that is drawn, the edge itself among it or not.

    Returns:
        The outline, or None where the lines lead nowhere, or more than one way.
    """
    first, last = edge[0].start, edge[-1].end
    left = [tuple(line.segments) for line in lines if not line.is_closed and not _is_same(line.segments, edge)]
    around: list[tuple[Segment, ...]] = []
    at = last
    while math.dist(at, first) > RING_MM or not around:
        going = [n for n, line in enumerate(left) if _begins(line, at)]
        if len(going) != 1 or len(around) == _MOST_AROUND:
            return None
        line = left.pop(going[0])
        around.append(line if math.dist(line[0].start, at) <= RING_MM else _reversed(line))
        at = around[-1][-1].end
    if any(_begins(line, first) or _begins(line, last) for line in left):
        return None
    ring = _closed_up([*edge, *(segment for line in around for segment in line)])
    twice_area = _twice_area(ring)
    if abs(twice_area) < 2 * _LEAST_AREA_MM2:
        return None
    # With y down, an outline that runs clockwise as it is seen has its inside on the right hand.
    return Ring(Curve(tuple(ring)), "right" if twice_area > 0 else "left")


def _begins(line: Sequence[Segment], at: Point) -> bool:
    return math.dist(line[0].start, at) <= RING_MM or math.dist(line[-1].end, at) <= RING_MM


def _is_same(line: Sequence[Segment], edge: Sequence[Segment]) -> bool:
    ends = {line[0].start, line[-1].end}, {edge[0].start, edge[-1].end}
    return ends[0] == ends[1] and math.isclose(
        sum(segment.length_mm for segment in line), sum(segment.length_mm for segment in edge), rel_tol=1e-3
    )


def _reversed(line: Sequence[Segment]) -> tuple[Segment, ...]:
    return tuple(segment.reversed() for segment in reversed(line))


def _closed_up(segments: Sequence[Segment]) -> list[Segment]:
    """End to end, with a short straight where two lines do not quite meet."""
    ring: list[Segment] = []
    for segment in segments:
        if ring and ring[-1].end != segment.start:
            ring.append(Line(ring[-1].end, segment.start))
        ring.append(segment)
    if ring[-1].end != ring[0].start:
        ring.append(Line(ring[-1].end, ring[0].start))
    return ring


def _twice_area(ring: Sequence[Segment]) -> float:
    points = [segment.point(k / _LOOKED_AT) for segment in ring for k in range(_LOOKED_AT)]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
