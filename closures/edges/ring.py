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
from closures.errors import DrawingError

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing, Drawn

RING_MM = 0.5
"""Ends of two lines this near are one corner of the piece: the width of a drawn line."""

MOST_LINES = 300
"""A drawing of more lines is a sheet of many pieces, in which lines of different pieces may touch."""

MOST_LISTED = 600
"""Of a drawing of more lines not all are looked at."""

MOST_ALLOWANCE_MM = 20.0
"""An edge that keeps one distance of no more than this to a closed line is the finished edge of a piece cut by it."""

LEAST_ALLOWANCE_MM = 4.0
"""A closed line that keeps less than this inside an edge is a topstitch, or the same line drawn twice."""

_EVEN_MM, _EVEN_SHARE = 1.0, 0.35
"""How far from its middle figure an allowance may stray at a place, in mm or as a share: one may grow along an edge."""

_ODD_PLACES = 4
"""So many of the places may lie otherwise, as at notches."""

_PLACES = tuple(0.1 + 0.05 * k for k in range(17))
"""Where an edge is held against a closed line: not near its ends, where neckline and hem run close."""

_MOST_AROUND = 60
_LOOKED_AT = 24
_LEAST_AREA_MM2 = 100.0
"""A ring about nothing, such as a line drawn there and back, has no inside."""


@dataclass(frozen=True, slots=True)
class Within:
    """A closed line that runs evenly inside an edge, as a sewing line runs inside a cutting line.

    Attributes:
        name: what a plan calls it.
        mm: how far inside the edge it runs, in the middle.
    """

    name: str
    mm: float


@dataclass(frozen=True, slots=True)
class Ring:
    """The outline that an edge is a part of.

    Attributes:
        outline: the edge, then the lines that lead back from its last end to its first.
        inside: the hand on which the piece lies for somebody who walks the edge as it was drawn.
        name: of the closed line that the edge lies along; empty where the outline is made of several lines.
        away_mm: how far inside the outline the edge lies, in the middle: 0 on it, else an allowance.
        is_one_line: it is one closed line beside the edge, and not made of the edge and the lines round the piece.
    """

    outline: Curve
    inside: Literal["left", "right"]
    name: str = ""
    away_mm: float = 0.0
    is_one_line: bool = False

    @property
    def is_on(self) -> bool:
        """Whether the edge lies on the outline, and not beside it by an allowance."""
        return self.away_mm <= RING_MM

    def turned(self) -> Ring:
        """The same turned over, x to -x."""
        return replace(self, outline=self.outline.mirrored(), inside="left" if self.inside == "right" else "right")


def piece_shown(edge: Curve, drawing: Drawing, is_turned: bool = False) -> Ring | None:
    """Find the piece that an edge of its own lies on.

    Args:
        edge: as it lies here, in mm, x right and y down.
        drawing: that it came from.
        is_turned: what was drawn was turned over on reading, x to -x.

    Returns:
        The piece: one whose closed line runs along the edge, else one that is drawn line by line, else one whose
        closed line keeps an even allowance to it. None where nothing tells, or two pieces tell two sides.
    """
    found, as_drawn = _listed(drawing), edge.mirrored() if is_turned else edge
    beside = [one for line in found if _is_closed(line) and (one := _along(as_drawn, line)) is not None]
    on, by_lines = [one for one in beside if one.is_on], None
    if len(found) <= MOST_LINES and len({one.inside for one in on}) != 1:
        by_lines = ring_of(as_drawn.segments, found)
    ring = by_lines or _agreed(on or beside)
    return ring.turned() if ring is not None and is_turned else ring


def _agreed(rings: Sequence[Ring]) -> Ring | None:
    """The piece that all tell; nameless where they are unlike, as of a nest of sizes."""
    if len({one.inside for one in rings}) != 1:
        # None, or a facing drawn folded out beside its front, or two fronts drawn edge to edge.
        return None
    away = [one.away_mm for one in rings]
    return rings[0] if max(away) - min(away) <= RING_MM else replace(rings[0], name="")


def _is_closed(line: Drawn) -> bool:
    return len(line.segments) > 1 and math.dist(line.start, line.end) <= RING_MM


def _listed(drawing: Drawing) -> list[Drawn]:
    """What is drawn; nothing where there is too much of it, or a line that cannot be listed."""
    try:
        found = list(islice(drawing.all_lines(), MOST_LISTED + 1))
    except DrawingError:
        return []
    return found if len(found) <= MOST_LISTED else []


def line_within(edge: Curve, drawing: Drawing, is_turned: bool = False) -> Within | None:
    """Find the line that an edge may have been taken for: the cutting line was named, and the piece is sewn within it.

    Args:
        edge: as it lies here, in mm, x right and y down.
        drawing: that it came from.
        is_turned: what was drawn was turned over on reading, x to -x.

    Returns:
        The one closed line that runs evenly inside the edge; None where there is none, where several lines do, as in a
        nest of sizes, or where one runs evenly outside it: then the edge is the inner one already.
    """
    as_drawn = edge.mirrored() if is_turned else edge
    beside = ((line, _beside(as_drawn, line)) for line in _listed(drawing) if _is_closed(line))
    even = [(line, at) for line, at in beside if at is not None and at.away_mm > RING_MM]
    if len(even) != 1 or even[0][1].is_around or even[0][1].away_mm < LEAST_ALLOWANCE_MM:
        return None
    return Within(even[0][0].name, even[0][1].away_mm)


@dataclass(frozen=True, slots=True)
class _Beside:
    """A closed line that runs evenly beside an edge, or on it: how far away, its inside, and whether it goes round."""

    away_mm: float
    inside: Literal["left", "right"]
    is_around: bool
    around: Curve


def _along(edge: Curve, line: Drawn) -> Ring | None:
    """The outline that a closed line is for an edge, where the edge runs along it all the way."""
    at = _beside(edge, line)
    if at is None or not at.is_around:
        return None
    return Ring(_closed(at.around), at.inside, line.name, at.away_mm, is_one_line=True)


@dataclass(frozen=True, slots=True)
class _Foot:
    """A place of an edge held against a closed line: how far, which way that runs, and on which hand it lies."""

    away_mm: float
    alike: float
    to_right: float
    beyond_mm: float


def _beside(edge: Curve, line: Drawn) -> _Beside | None:
    around, length = Curve(tuple(line.segments)), edge.length_mm
    feet: list[_Foot] = []
    far = 0
    for share in _PLACES:
        (x, y), (tx, ty) = edge.point_at(share * length), edge.tangent_at(share * length)
        found = around.nearest((x, y))
        far += found.distance_mm > MOST_ALLOWANCE_MM
        if far > _ODD_PLACES:
            return None
        rx, ry = around.tangent_at(found.along_mm)
        dx, dy = found.point[0] - x, found.point[1] - y
        # As far again on the other hand a piece goes on; of a strip folded along its middle the other rim lies there.
        beyond = around.nearest((x - dx, y - dy)).distance_mm
        feet.append(_Foot(found.distance_mm, tx * rx + ty * ry, tx * dy - ty * dx, beyond))
    middle = sorted(foot.away_mm for foot in feet)[len(feet) // 2]
    slack = RING_MM - middle if middle <= RING_MM else max(_EVEN_MM, _EVEN_SHARE * middle)
    even = [foot for foot in feet if abs(foot.away_mm - middle) <= slack]
    twice_area = _twice_area(around.segments)
    if len(even) < len(feet) - _ODD_PLACES or abs(twice_area) < 2 * _LEAST_AREA_MM2:
        return None
    # An edge that runs now with the line and now against it lies across it.
    runs = [foot.alike for foot in even]
    if min(runs) * max(runs) <= 0:
        return None
    inside: Literal["left", "right"] = "right" if twice_area * runs[0] > 0 else "left"
    told = feet[len(feet) // 2]
    middle = told.away_mm if told in even else middle
    if middle <= RING_MM:
        return _Beside(middle, inside, True, around)
    # The rim of the edge's own piece lies on the far hand from the cloth, all the way.
    outwards = [foot.to_right if inside == "left" else -foot.to_right for foot in even]
    is_around = outwards[0] > 0.0
    if min(outwards) * max(outwards) <= 0.0 or (is_around and any(foot.beyond_mm < foot.away_mm for foot in even)):
        return None
    return _Beside(middle, inside, is_around, around)


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
