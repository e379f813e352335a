"""The outline of a piece that is drawn line by line: edge, neckline, shoulder, seams and hem, each a path of its own.

Where the lines lead from the edge's last end round to its first, and nowhere two ways, they are the outline of the
piece, and its inside is the cloth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from closures.curve import Curve, Line, Point, Segment
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.edges.drawing import Drawn

RING_MM = 0.5
"""Ends of two lines this near are one corner of the piece: the width of a drawn line."""

MOST_LINES = 300
"""A drawing of more lines is a sheet of many pieces, in which lines of different pieces may touch."""

_MOST_AROUND = 60
_LOOKED_AT = 24
LEAST_AREA_MM2 = 100.0
"""A ring about nothing, such as a line drawn there and back, has no inside."""


@frozen
class Ring:
    """The outline that an edge is a part of.

    Attributes:
        outline: the edge, then the lines that lead back from its last end to its first.
        inside: the hand on which the piece lies for somebody who walks the edge as it was drawn.
    """

    outline: Curve
    inside: Literal["left", "right"]


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
    ring = closed_up([*edge, *(segment for line in around for segment in line)])
    twice_area = twice_area_of(ring)
    if abs(twice_area) < 2 * LEAST_AREA_MM2:
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


def closed_up(segments: Sequence[Segment]) -> list[Segment]:
    """End to end, with a short straight where two lines do not quite meet."""
    ring: list[Segment] = []
    for segment in segments:
        if ring and ring[-1].end != segment.start:
            ring.append(Line(ring[-1].end, segment.start))
        ring.append(segment)
    if ring[-1].end != ring[0].start:
        ring.append(Line(ring[-1].end, ring[0].start))
    return ring


def twice_area_of(ring: Sequence[Segment]) -> float:
    """Twice the area within a ring, in mm2: over 0 where it runs clockwise as it is seen, with y down."""
    points = [segment.point(k / _LOOKED_AT) for segment in ring for k in range(_LOOKED_AT)]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True))
