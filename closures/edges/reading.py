"""The finished edges and the closing line, however the plan tells them, in one frame.

Millimetres, x to the right, y down, seen from outside with the garment closed. A drawing made from
the inside is turned over on reading.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.edges.arrival import OTHER_HAND, Arrival
from closures.edges.beside import NOTHING_SEEN, Seen
from closures.edges.boundary import from_outside
from closures.edges.ways.registry import files_needed, way_of
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.curve import Curve, Point
    from closures.edges.hand import Hand
    from closures.plan.plan import Plan


@frozen
class NamedPoint:
    """A point of the drawing that the plan names.

    Attributes:
        name: its id.
        x_mm, y_mm: where it lies.
    """

    name: str
    x_mm: float
    y_mm: float


@frozen
class Unstretched:
    """Edges in the state of the cloth in which they were told.

    Attributes:
        edges: as they were told.
        x, y: by what lengths across and down become longer in the other state.
    """

    edges: Edges
    x: float
    y: float


@frozen
class Edges:
    """What the garment is marked from.

    Attributes:
        over: the over lap's finished edge, first end to last end.
        under: the under lap's own, where it is drawn.
        line: the closing line, where it is drawn.
        level_zero_y: the y from which levels are measured downwards, in mm.
        points: points of the drawing that the plan names.
        notes: how the edge was found and how far that can be trusted, for people.
        picture: the edge drawn over the picture that it was followed on, a PNG.
        is_turned: what was read is turned over, x to -x.
        under_lies: how the under lap's own edge was drawn: closed, or apart.
        cloth_on: the hand on which the inside of a closed outline lies for somebody who walks the over lap's edge from
            its first end to its last; None where the edge is no stretch of one.
        outline: that outline, closed.
        outlines: closed outlines of further pieces that the plan names, and the y where each one's levels begin.
        read: the points that stood for the edge where it was not drawn as curves and straights, as they lie here.
        under_cloth_on, under_outline: the same of the under lap's own edge, where that is drawn on a piece.
        under_way_told: that edge is told by where it begins and ends, so that its direction is known.
        seen: what lies beside the over lap's edge, for somebody who walks it from its first end to its last.
        before: of cloth in the other state than it was told in, the edges as they were told; else None.
    """

    over: Curve
    under: Curve | None
    line: Curve | None
    level_zero_y: float
    points: tuple[NamedPoint, ...]
    notes: tuple[str, ...] = ()
    picture: bytes | None = None
    is_turned: bool = False
    under_lies: Literal["closed", "apart"] = "closed"
    cloth_on: Hand | None = None
    outline: Curve | None = None
    outlines: tuple[tuple[Curve, float], ...] = ()
    read: tuple[Point, ...] = ()
    under_cloth_on: Hand | None = None
    under_outline: Curve | None = None
    under_way_told: bool = False
    seen: Seen = NOTHING_SEEN
    before: Unstretched | None = None

    def point(self, place: str | Point) -> Point:
        """A point of the drawing that the plan names or writes, as it lies here."""
        if isinstance(place, str):
            found = next(point for point in self.points if point.name == place)
            return (found.x_mm, found.y_mm)
        return (-place[0], place[1]) if self.is_turned else place


MOST_EDGE_MM = 20_000.0
"""The longest edge that is taken, our own rule: curtains and tents have none longer, and each metre costs work."""


def read_edges(plan: Plan, given: Mapping[str, bytes] | None = None) -> Edges:
    """Read the edges that a plan tells.

    Args:
        plan: the plan.
        given: the files of `files_needed`, by the names that the plan gives them; None where it names none.

    Returns:
        Curves in mm. Those of a drawing and measured points are turned over where they were seen
        from inside; the under edge and the closing line run the way of the over edge.

    Raises:
        DrawingError: the drawing cannot be read or does not hold what the plan names.
        EdgeError: the edge cannot be made.
    """
    wish, needed = plan.along_an_edge[0], files_needed(plan)
    with from_outside(needed[-1].name if needed else plan.where):
        edges = _edges(Arrival(plan, given or {}))
        if wish.moved or wish.longer:
            from closures.edges.altered import altered

            edges = altered(edges, wish)
        return _of_a_length(edges)


def _of_a_length(edges: Edges) -> Edges:
    """Refuse, before anything is placed on it, an edge that would take minutes to draw and that nothing worn has."""
    longest = max(one.length_mm for one in (edges.over, edges.under, edges.line) if one is not None)
    if longest > MOST_EDGE_MM + SAME_MM:
        raise EdgeError(
            # Up to the next mm: what is too long by less than is shown is told as longer all the same.
            f"it is {math.ceil(longest - SAME_MM) / 1000:.10g} m long, and an edge of at most "
            f"{MOST_EDGE_MM / 1000:.0f} m is taken",
            where=in_section("edge"),
            mend="Check its unit, or the drawing's scale; where it is so long, place it in stretches.",
        )
    return edges


def _edges(arrival: Arrival) -> Edges:
    wish = arrival.wish
    over = way_of(wish, arrival.plan.where).edge(arrival)
    over = over.reversed() if wish.reverse else over
    under = None if wish.under is None else _under(arrival, wish.under)
    if under is not None and wish.under_lies == "closed":
        turned = _same_way(under, over)
        arrival.under_cloth_on = arrival.under_cloth_on if turned is under else OTHER_HAND[arrival.under_cloth_on]
        under = turned
    line = None if wish.line is None else _same_way(arrival.drawn(wish.line), over)
    points: list[NamedPoint] = []
    zero = over.start[1]
    if isinstance(wish.level_zero, str):
        points.append(_named(arrival, wish.level_zero))
        zero = points[0].y_mm
    elif wish.level_zero is not None:
        zero = float(wish.level_zero)
    for place in (*(anchor.at for anchor in arrival.plan.anchors), *(one for pair in wish.match for one in pair)):
        if isinstance(place, str) and all(place != point.name for point in points):
            points.append(_named(arrival, place))
    scale = () if arrival.opened is None else arrival.opened.notes
    notes = (*scale, *arrival.notes)
    outlines = _outlines(arrival, zero)
    read = tuple((-x, y) if arrival.inside else (x, y) for x, y in arrival.points)
    return Edges(
        over,
        under,
        line,
        zero,
        tuple(points),
        notes,
        arrival.picture,
        arrival.inside,
        wish.under_lies,
        arrival.cloth_on,
        arrival.outline,
        outlines,
        read,
        arrival.under_cloth_on,
        arrival.under_outline,
        wish.under_begins is not None,
        replace(arrival.seen, dents=tuple(arrival.dents), rough_mm=arrival.rough_mm),
    )


def _outlines(arrival: Arrival, zero: float) -> tuple[tuple[Curve, float], ...]:
    """Read the pieces whose girths the plan asks for, from the drawing as it was drawn."""
    from closures.edges.outlines import closed_outline

    wish = arrival.plan.way_in
    found = []
    for one in () if wish is None else wish.outlines:
        drawing = arrival.drawing(one.path)
        curve = closed_outline(drawing.lines(one.path), f'{arrival.plan.drawing or "drawing"}, "{one.path}"')
        found.append((curve, zero if one.zero is None else arrival.point(one.zero)[1]))
    return tuple(found)


def _under(arrival: Arrival, name: str) -> Curve:
    """Read the under lap's own edge, and what the drawing shows of its piece."""
    from closures.edges.pieces import join_pieces
    from closures.edges.stretch import cut_stretch

    wish = arrival.wish
    if wish.under_begins is None or wish.under_ends is None:
        from closures.edges.beside import seen_beside

        under = arrival.drawn(name)
        piece = seen_beside(under, arrival.drawing(name), arrival.inside).piece
        if piece is not None and not piece.is_doubtful:
            arrival.under_cloth_on, arrival.under_outline = piece.inside, piece.outline if piece.is_on else None
        return under
    via = None if wish.under_via is None else arrival.where(wish.under_via)
    ends = (arrival.where(wish.under_begins), arrival.where(wish.under_ends))
    place = f'{arrival.plan.drawing or "drawing"}, "{name[:60]}"'
    chains = join_pieces(list(arrival.drawing(name).lines(name)))
    cut = cut_stretch(chains, *ends, via, place, arrival.within_mm, shown_beside(arrival.plan.units))
    arrival.notes += cut.notes
    arrival.dents += cut.dents
    arrival.rough_mm = max(arrival.rough_mm, cut.rough_mm)
    arrival.under_cloth_on = OTHER_HAND[cut.piece_on] if arrival.inside else cut.piece_on
    arrival.under_outline = None if cut.outline is None else arrival.turned(cut.outline)
    return arrival.turned(cut.curve)


def _named(arrival: Arrival, name: str) -> NamedPoint:
    x, y = arrival.point(name)
    return NamedPoint(name, -x if arrival.inside else x, y)


def _same_way(curve: Curve, over: Curve) -> Curve:
    """Turn a curve to run the way of the over edge: of its two ways the one with nearer ends."""
    as_drawn = math.dist(curve.start, over.start) + math.dist(curve.end, over.end)
    turned = math.dist(curve.end, over.start) + math.dist(curve.start, over.end)
    return curve if as_drawn <= turned else curve.reversed()


__all__ = ["Edges", "NamedPoint", "read_edges"]
