"""The finished edges and the closing line, however the plan tells them, in one frame.

Millimetres, x to the right, y down, seen from outside with the garment closed. A drawing made from
the inside is turned over on reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.boundary import from_outside
from closures.edges.points import read_points
from closures.edges.shapes import arc_edge, straight_edge, three_point_arc
from closures.errors import DrawingError, EdgeError, Where
from closures.plan.place import LevelPlace

if TYPE_CHECKING:
    from closures.curve import Curve, Point, Segment
    from closures.edges.drawing import Drawing
    from closures.edges.hand import Hand
    from closures.edges.opening import Opened
    from closures.edges.ring import Within
    from closures.edges.sampled import ReadLine
    from closures.plan.place import PlaceWish
    from closures.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """A point of the drawing that the plan names.

    Attributes:
        name: its id.
        x_mm, y_mm: where it lies.
    """

    name: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
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
        piece: the closed line that the over lap's edge lies along, where the edge is a line of its own.
        within: a closed line that runs evenly inside that edge, as if the edge were its cutting line.
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
    piece: str = ""
    within: Within | None = None

    def point(self, place: str | Point) -> Point:
        """A point of the drawing that the plan names or writes, as it lies here."""
        if isinstance(place, str):
            found = next(point for point in self.points if point.name == place)
            return (found.x_mm, found.y_mm)
        return (-place[0], place[1]) if self.is_turned else place


def read_edges(plan: Plan, drawing: bytes | None, table: bytes | None = None) -> Edges:
    """Read the edges that a plan tells.

    Args:
        plan: the plan.
        drawing: the bytes of its drawing, None where it names none.
        table: the bytes of its table of measured points, None where it names none.

    Returns:
        Curves in mm. Those of a drawing and measured points are turned over where they were seen
        from inside; the under edge and the closing line run the way of the over edge.

    Raises:
        DrawingError: the drawing cannot be read or does not hold what the plan names.
        EdgeError: the edge cannot be made.
    """
    wish = plan.along_an_edge[0]
    with from_outside(wish.points_file or plan.drawing or plan.where):
        edges = _Arrival(plan, drawing, table).edges()
        if wish.moved or wish.longer:
            from closures.edges.altered import altered

            return altered(edges, wish)
        return edges


class _Arrival:
    """One plan and its files, on their way to edges."""

    def __init__(self, plan: Plan, drawing: bytes | None, table: bytes | None) -> None:
        self.plan = plan
        self.wish, self.band, _ = plan.along_an_edge
        self.data, self.table = drawing, table
        self.inside = plan.is_turned
        self.cloth_on: Hand | None = None
        self.outline: Curve | None = None
        self.piece = ""
        self.under_cloth_on: Hand | None = None
        self.under_outline: Curve | None = None
        self.opened: Opened | None = None
        self.notes: list[str] = []
        self.read: list[Point] = []
        self.within_mm = self.wish.read_within_mm or READ_WITHIN_MM
        self.picture: bytes | None = None

    def edges(self) -> Edges:
        wish = self.wish
        over = self._over()
        over = over.reversed() if wish.reverse else over
        under = None if wish.under is None else self._under(wish.under)
        if under is not None and wish.under_lies == "closed":
            turned = _same_way(under, over)
            self.under_cloth_on = self.under_cloth_on if turned is under else _OTHER_HAND[self.under_cloth_on]
            under = turned
        line = None if wish.line is None else _same_way(self._drawn(wish.line), over)
        points: list[NamedPoint] = []
        zero = over.start[1]
        if isinstance(wish.level_zero, str):
            points.append(self._named(wish.level_zero))
            zero = points[0].y_mm
        elif wish.level_zero is not None:
            zero = float(wish.level_zero)
        for place in (*(anchor.at for anchor in self.plan.anchors), *(one for pair in wish.match for one in pair)):
            if isinstance(place, str) and all(place != point.name for point in points):
                points.append(self._named(place))
        scale = () if self.opened is None else self.opened.notes
        notes = (*scale, *self.notes)
        outlines = self._outlines(zero)
        from closures.edges.ring import line_within

        read = tuple((-x, y) if self.inside else (x, y) for x, y in self.read)
        return Edges(
            over,
            under,
            line,
            zero,
            tuple(points),
            notes,
            self.picture,
            self.inside,
            wish.under_lies,
            self.cloth_on,
            self.outline,
            outlines,
            read,
            self.under_cloth_on,
            self.under_outline,
            wish.under_begins is not None,
            self.piece,
            line_within(over, self.opened.drawing, self.inside) if self.opened and wish.names else None,
        )

    def _outlines(self, zero: float) -> tuple[tuple[Curve, float], ...]:
        """Read the pieces whose girths the plan asks for, from the drawing as it was drawn."""
        from closures.edges.outlines import closed_outline

        wish = self.plan.way_in
        found = []
        for one in () if wish is None else wish.outlines:
            drawing = self._drawing(one.path)
            curve = closed_outline(drawing.lines(one.path), f'{self.plan.drawing or "drawing"}, "{one.path}"')
            found.append((curve, zero if one.zero is None else drawing.point(one.zero)[1]))
        return tuple(found)

    def _over(self) -> Curve:
        wish, where = self.wish, Where(file=self.plan.where, section="edge")
        if wish.names:
            return self._over_drawn()
        if wish.trace is not None:
            return self._traced()
        if wish.points is not None or wish.points_file is not None:
            return self._measured()
        if wish.straight_mm is not None:
            return straight_edge(wish.straight_mm)
        if wish.arc_through is not None:
            return self._turned(three_point_arc(wish.arc_through, f"{where} arc_through"))
        if wish.arc is not None:
            # The chord runs straight down: cloth on the right hand lies towards -x.
            outwards = 1 if self._told_hand() == "right" else -1
            towards = outwards if wish.arc.bows == "out" else -outwards
            return arc_edge(wish.arc.length_mm, wish.arc.radius_mm, 1 if towards > 0 else -1)
        raise EdgeError("there is no edge", where=where, mend="Write path, points, straight or arc.")

    def _told_hand(self) -> Hand:
        """The hand on which the cloth lies beside an arc that is told by its length, by the plan's words."""
        from closures.edges.hand import hand_by_key, hand_by_words, unknown_hand

        garment, start, end = self.plan.garment, (0.0, 0.0), (0.0, 1.0)
        opens = None if garment is None else garment.opens
        hand = hand_by_words(opens, self.band.lap)
        if hand is None and self.wish.cloth is not None:
            hand = hand_by_key(self.wish.cloth, start, end, self.inside)
        if hand is None:
            raise unknown_hand(start, end, ("first end", "last end"), self.inside)
        return hand

    def _over_drawn(self) -> Curve:
        wish = self.wish
        if wish.begins is None or wish.ends is None:
            if wish.path is not None:
                over = self._drawn(wish.path)
                self._look_round(over)
                return over
            from closures.edges.judged import judged_edge

            chains = self._chains()
            if len(chains) != 1:
                raise DrawingError(
                    f"the pieces make {len(chains)} lines that do not touch",
                    where=self._place(),
                    mend="Name all pieces between, or draw them so that their ends meet within 0.2 mm.",
                )
            return self._read(judged_edge(chains[0], self._place(), self.within_mm))
        from closures.edges.stretch import cut_stretch

        via = None if wish.via is None else self._where(wish.via)
        chains = self._chains()
        cut = cut_stretch(chains, self._where(wish.begins), self._where(wish.ends), via, self._place(), self.within_mm)
        self.notes += cut.notes
        self.read += cut.points
        if cut.piece_on is not None:
            # Turned over, what lay on the right hand lies on the left.
            self.cloth_on = _OTHER_HAND[cut.piece_on] if self.inside else cut.piece_on
            self.outline = None if cut.outline is None else self._turned(cut.outline)
        return self._turned(cut.curve)

    def _under(self, name: str) -> Curve:
        """Read the under lap's own edge, and what the drawing shows of its piece."""
        from closures.edges.pieces import join_pieces
        from closures.edges.stretch import cut_stretch

        wish = self.wish
        if wish.under_begins is None or wish.under_ends is None:
            from closures.edges.ring import piece_shown

            under = self._drawn(name)
            ring = piece_shown(under, self._drawing(name), self.inside)
            if ring is not None and ring.is_on:
                self.under_cloth_on, self.under_outline = ring.inside, ring.outline
            return under
        via = None if wish.under_via is None else self._where(wish.under_via)
        ends = (self._where(wish.under_begins), self._where(wish.under_ends))
        place = f'{self.plan.drawing or "drawing"}, "{name[:60]}"'
        chains = join_pieces(list(self._drawing(name).lines(name)))
        cut = cut_stretch(chains, *ends, via, place, self.within_mm)
        self.notes += cut.notes
        self.under_cloth_on = _OTHER_HAND[cut.piece_on] if self.inside else cut.piece_on
        self.under_outline = None if cut.outline is None else self._turned(cut.outline)
        return self._turned(cut.curve)

    def _look_round(self, over: Curve) -> None:
        """Find the outline that the edge is a part of, where it is a line of its own."""
        from closures.edges.ring import piece_shown

        ring = piece_shown(over, self._drawing(self.wish.path or ""), self.inside)
        if ring is None or (ring.name and self.wish.cloth is not None):
            # Beside another's outline the user's word counts, as for a facing drawn folded out.
            return
        self.cloth_on = _OTHER_HAND[ring.inside] if self.wish.reverse else ring.inside
        self.outline = ring.outline if ring.is_on else None
        self.piece = ring.name

    def _chains(self) -> list[tuple[Segment, ...]]:
        from closures.edges.pieces import join_overlapping, join_pieces

        pieces = [line for name in self.wish.names for line in self._drawing(name).lines(name)]
        chains = join_pieces(pieces)
        return join_overlapping(chains) if self.wish.pieces else chains

    def _measured(self) -> Curve:
        from closures.edges.tables import read_table_of_points

        where: str = Where(file=self.plan.where, section="edge", key="points")
        points = self.wish.points
        if points is None:
            name = self.wish.points_file or ""
            where = name
            measured = read_table_of_points(self.table or b"", name, self.plan.units)
            points, notes = measured.points, measured.notes
            self.notes += notes
        over = self._read(read_points(points, where, self.within_mm))
        _refuse_crossing(over, where)
        return over

    def _traced(self) -> Curve:
        from closures.edges.scan.trace import trace_edge

        if self.data is None or self.wish.trace is None:
            raise DrawingError(
                "there is no picture to follow the edge on",
                where=Where(file=self.plan.where, section="edge", key="trace"),
                mend='Name it above the sections: drawing = "scan.png".',
            )
        traced = trace_edge(self.data, self.plan.drawing or "picture", self.wish.trace, self.within_mm)
        self.notes += traced.notes
        self.read += traced.points
        self.picture = traced.picture
        return self._turned(traced.curve)

    def _where(self, place: PlaceWish) -> Point | LevelPlace:
        """A place of the plan in the drawing's frame."""
        if isinstance(place, str):
            return self._drawing(place).point(place)
        if isinstance(place, LevelPlace):
            zero = self.wish.level_zero
            above = self._drawing(zero).point(zero)[1] if isinstance(zero, str) else (zero or 0.0)
            return LevelPlace(place.level_mm + above, place.which)
        return place

    def _drawn(self, name: str) -> Curve:
        return self._read(self._drawing(name).edge(name, self.within_mm))

    def _read(self, line: ReadLine) -> Curve:
        """Take a line as it was read, with what is to be said of it."""
        self.notes += line.notes
        self.read += line.points
        return self._turned(line.curve)

    def _named(self, name: str) -> NamedPoint:
        x, y = self._drawing(name).point(name)
        return NamedPoint(name, -x if self.inside else x, y)

    def _turned(self, curve: Curve) -> Curve:
        return curve.mirrored() if self.inside else curve

    def _drawing(self, name: str) -> Drawing:
        if self.data is None:
            raise DrawingError(
                f'"{name}" is an id in a drawing, and there is no drawing',
                where=Where(file=self.plan.where, section="edge"),
                mend='Name the drawing above the sections: drawing = "front.svg".',
            )
        if self.opened is None:
            from closures.edges.opening import open_to_scale

            self.opened = open_to_scale(self.data, self.plan.drawing or "drawing", self.wish)
        return self.opened.drawing

    def _place(self) -> str:
        return f'{self.plan.drawing or "drawing"}, "{", ".join(self.wish.names)[:60]}"'


_OTHER_HAND: dict[Hand | None, Hand | None] = {"right": "left", "left": "right", None: None}


def _same_way(curve: Curve, over: Curve) -> Curve:
    """Turn a curve to run the way of the over edge: of its two ways the one with nearer ends."""
    as_drawn = math.dist(curve.start, over.start) + math.dist(curve.end, over.end)
    turned = math.dist(curve.end, over.start) + math.dist(curve.start, over.end)
    return curve if as_drawn <= turned else curve.reversed()


def _refuse_crossing(curve: Curve, where: str) -> None:
    crossings = curve.crosses_itself()
    if crossings:
        x, y = crossings[0]
        raise EdgeError(
            f"the edge crosses itself at x {x:.1f}, y {y:.1f} mm",
            where=where,
            mend="Write the points in order, from the first end to the last.",
        )
