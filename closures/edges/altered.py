"""An edge as it was drawn becomes the edge of another size, or of a pattern that was made longer.

Terms: a *control point* is an end of a drawn piece; to *true* a cut edge is to draw it anew as one
smooth line where its two parts no longer meet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve import Arc, Cubic, Curve, Line, OffsetPiece, Point, Segment
from closures.edges.shapes import three_point_arc
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import format_both

if TYPE_CHECKING:
    from closures.edges.reading import Edges, NamedPoint
    from closures.plan.edge import EdgeWish
    from closures.plan.place import Move

# How far on either side of a cut an edge is drawn anew: about a hand's breadth in all, as it is done by
# hand with a curve (common practice).
TRUED_MM = 40.0
_NO_LENGTH_MM = 0.05
# The handles of a cubic that follows a curve are a third of the way between its ends.
_HANDLE = 1 / 3


def altered(edges: Edges, wish: EdgeWish) -> Edges:
    """Grade and lengthen edges as a plan says.

    Args:
        edges: as they were told, in mm.
        wish: how far the edge moved, and where it became longer.

    Returns:
        The edges after; the same where nothing is altered.

    Raises:
        EdgeError: the moves do not fit the edge, fold it, or a cut meets an edge elsewhere than once.
    """
    if (wish.moved or wish.longer) and edges.under is not None and edges.under_lies == "apart":
        raise EdgeError(
            "how the over lap's edge moves is told, and the under lap's piece, drawn apart, moves another way",
            where=in_section("edge", "under_lies"),
            mend="Draw the piece of every size and name its lines by {size} in [sizes], or make the drawing longer "
            "itself.",
        )
    if wish.moved:
        edges = _graded(edges, tuple((-dx if edges.is_turned else dx, dy) for dx, dy in wish.moved), wish)
    # From the lowest up, so that a cut moves no level that is still to be cut.
    for level, by in sorted(wish.longer, reverse=True):
        edges = _lengthened(edges, level, by)
    return edges


@frozen
class _Slant:
    """Moves points by so much at one end of a chord, so much at the other, and in proportion between."""

    start: Point
    end: Point
    first: Move
    last: Move

    def __call__(self, point: Point) -> Point:
        cx, cy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        share = ((point[0] - self.start[0]) * cx + (point[1] - self.start[1]) * cy) / (cx * cx + cy * cy)
        return (
            point[0] + self.first[0] + share * (self.last[0] - self.first[0]),
            point[1] + self.first[1] + share * (self.last[1] - self.first[1]),
        )


def _graded(edges: Edges, moves: Sequence[Move], wish: EdgeWish) -> Edges:
    over, points = edges.over, edges.points
    count = len(over.segments) + 1
    if len(moves) == 2 and math.dist(over.start, over.end) > _NO_LENGTH_MM:
        slant = _Slant(over.start, over.end, moves[0], moves[1])
        moved = _slanted(over, slant)
        under, line = (None if curve is None else _slanted(curve, slant) for curve in (edges.under, edges.line))
        points = tuple(_moved_point(p, slant) if p.name != wish.level_zero else p for p in points)
    elif len(moves) == count and edges.under is None and edges.line is None:
        moved, under, line = _by_points(over, moves), None, None
    elif len(moves) == count:
        raise EdgeError(
            "an under edge or a closing line that was drawn does not follow moves of single control points",
            where=in_section("edge", "moved"),
            mend="Give the moves of the two ends, or draw the lines of each size.",
        )
    else:
        raise EdgeError(
            f"{len(moves)} moves for an edge of {count} control points",
            where=in_section("edge", "moved"),
            mend=f"Write {count} moves, or two: of the first and the last end.",
        )
    _refuse_fold(over, moved)
    # A level zero at the first end goes with it; one of its own in the drawing stays.
    zero = moved.start[1] if wish.level_zero is None else edges.level_zero_y
    # The points that stood for the edge are those of the size that it was drawn in.
    return replace(edges, outline=None, over=moved, under=under, line=line, level_zero_y=zero, points=points, read=())


def _moved_point(point: NamedPoint, slant: _Slant) -> NamedPoint:
    x, y = slant((point.x_mm, point.y_mm))
    return replace(point, x_mm=x, y_mm=y)


def _slanted(curve: Curve, slant: _Slant) -> Curve:
    """Move every point of a curve; a single arc stays an arc, through its two ends and its middle."""
    if len(curve.segments) == 1 and isinstance(curve.segments[0], Arc):
        return Curve((_moved_arc(curve.segments[0], slant(curve.start), slant(curve.end), slant),))
    return Curve(tuple(_moved_piece(piece, slant, slant) for one in curve.segments for piece in _plain(one)))


def _by_points(curve: Curve, moves: Sequence[Move]) -> Curve:
    """Move each control point, its handles with it, so that the edge keeps its direction there."""
    pieces: list[Segment] = []
    for segment, (one, other) in zip(curve.segments, pairwise(moves), strict=True):
        if isinstance(segment, Arc):
            half = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
            pieces.append(_moved_arc(segment, _Shift(one)(segment.start), _Shift(other)(segment.end), _Shift(half)))
        elif isinstance(segment, OffsetPiece):
            raise TypeError("an edge is drawn of lines, arcs and cubics")
        else:
            pieces.append(_moved_piece(segment, _Shift(one), _Shift(other)))
    return Curve(tuple(pieces))


@frozen
class _Shift:
    move: Move

    def __call__(self, point: Point) -> Point:
        return (point[0] + self.move[0], point[1] + self.move[1])


def _plain(segment: Segment) -> list[Line | Cubic]:
    """A segment as lines and cubics, which a slanting move maps exactly."""
    if isinstance(segment, Line | Cubic):
        return [segment]
    pieces: list[Line | Cubic] = []
    start = segment.start
    for name, *numbers in Curve((segment,)).path()[1:]:
        values = [float(value) for value in numbers]
        points = list(zip(values[0::2], values[1::2], strict=True))
        pieces.append(Line(start, points[0]) if name == "L" else Cubic(start, *points))
        start = points[-1]
    return pieces


def _moved_piece(piece: Line | Cubic, first: _Slant | _Shift, last: _Slant | _Shift) -> Line | Cubic:
    if isinstance(piece, Line):
        ends = first(piece.start), last(piece.end)
        if math.dist(*ends) < _NO_LENGTH_MM:
            raise _folded(ends[0])
        return Line(*ends)
    return Cubic(first(piece.p0), first(piece.p1), last(piece.p2), last(piece.p3))


def _moved_arc(arc: Arc, start: Point, end: Point, middle: _Slant | _Shift) -> Segment:
    """Draw the arc through three moved points."""
    return three_point_arc((start, middle(arc.point(0.5)), end), "[edge] moved").segments[0]


def _refuse_fold(drawn: Curve, moved: Curve) -> None:
    """Refuse an edge that turns back where the drawn one went on, or crosses itself."""
    for one, other in zip(drawn.segments, moved.segments, strict=False):
        ways = [(s.end[0] - s.start[0], s.end[1] - s.start[1]) for s in (one, other)]
        if len(drawn.segments) == len(moved.segments) and ways[0][0] * ways[1][0] + ways[0][1] * ways[1][1] <= 0:
            raise _folded(other.start)
    crossings = moved.crosses_itself()
    if crossings:
        raise _folded(crossings[0])


def _folded(at: Point) -> EdgeError:
    return EdgeError(
        f"the moves fold the edge near x {format_both(at[0])}, y {format_both(at[1])}",
        where=in_section("edge", "moved"),
        mend="Grade by less there, or draw the edge of this size.",
    )


def _lengthened(edges: Edges, level_mm: float, by_mm: float) -> Edges:
    y = edges.level_zero_y + level_mm
    zero = edges.level_zero_y + (by_mm if edges.level_zero_y > y else 0.0)
    named = (("finished edge", edges.over), ("under lap's edge", edges.under), ("closing line", edges.line))
    over, under, line = (None if curve is None else _cut(curve, y, by_mm, name) for name, curve in named)
    points = tuple(replace(p, y_mm=p.y_mm + by_mm) if p.y_mm > y else p for p in edges.points)
    return replace(
        edges,
        outline=None,
        over=over or edges.over,
        under=under,
        line=line,
        level_zero_y=zero,
        points=points,
        read=(),
    )


def _cut(curve: Curve, y: float, by_mm: float, name: str) -> Curve:
    """Cut a curve straight across, move what lies below, and true what lies about the cut."""
    where = in_section("edge", "longer")
    crossings = curve.crossings_of_level(y)
    if len(crossings) != 1:
        times = f"{len(crossings)} times" if crossings else "nowhere"
        raise EdgeError(
            f"a cut straight across at y {format_both(y)} meets the {name} {times}",
            where=where,
            mend="Choose a level where it meets it once, or draw the longer edge.",
        )
    at, down = crossings[0], curve.end[1] > curve.start[1]
    reach = max(TRUED_MM, 2.0 * abs(by_mm))
    low, high = at - reach, at + reach
    if low < _NO_LENGTH_MM or high > curve.length_mm - _NO_LENGTH_MM:
        near = min(at, curve.length_mm - at)
        raise EdgeError(
            f"the cut lies {format_both(near)} from an end of the {name}, too near to draw it smooth",
            where=where,
            mend=f"Cut at {format_both(reach)} or more from either end.",
        )
    first, last = (0.0, by_mm) if down else (by_mm, 0.0)
    before, after = curve.stretch(0.0, low).moved(0.0, first), curve.stretch(high, curve.length_mm).moved(0.0, last)
    tangents = curve.tangent_at(low), curve.tangent_at(high)
    return Curve((*before.segments, _joining(before.end, after.start, *tangents), *after.segments))


def _joining(one: Point, other: Point, leaving: Point, arriving: Point) -> Segment:
    far = math.dist(one, other)
    handle = _HANDLE * far
    straight = (other[0] - one[0]) / far, (other[1] - one[1]) / far
    if max(math.dist(straight, leaving), math.dist(straight, arriving)) < 1e-12:
        return Line(one, other)
    return Cubic(
        one,
        (one[0] + handle * leaving[0], one[1] + handle * leaving[1]),
        (other[0] - handle * arriving[0], other[1] - handle * arriving[1]),
        other,
    )
