"""A plan and its files on their way to edges: what every way to tell one asks of the drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.beside import NOTHING_SEEN
from closures.edges.drawing import nearest_on, straight_notch
from closures.errors import DrawingError, Where
from closures.plan.place import LevelPlace

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.curve import Point, Segment
    from closures.edges.dents import Dent
    from closures.edges.drawing import Drawing, Drawn
    from closures.edges.hand import Hand
    from closures.edges.opening import Opened
    from closures.edges.sampled import ReadLine
    from closures.plan.place import PlaceWish
    from closures.plan.plan import Plan

OTHER_HAND: dict[Hand | None, Hand | None] = {"right": "left", "left": "right", None: None}
"""Turned over, what lay on the right hand lies on the left."""


class Arrival:
    """One plan and its files, on their way to edges.

    Attributes:
        plan, wish, band: the plan, its edge and its band.
        given: the files that it needs, by the names that it gives them.
        drawing_data: the bytes of its drawing, None where it names none.
        inside: what is drawn was seen from inside, and is turned over.
        cloth_on, outline, seen, under_cloth_on, under_outline: what the drawing shows of the pieces, as in `Edges`.
        notes: what is to be said of how the edge was read.
        points: the points that stood for it, as drawn.
        dents: notches that were taken out of what was named, as drawn.
        rough_mm: what points that stood for it are out by, where that is more than they may be; else 0.
        within_mm: what points that stand for a curve may be out by.
        picture: the edge drawn over the picture that it was followed on.
        opened: the drawing at its scale, once something of it was asked for.
    """

    def __init__(self, plan: Plan, given: Mapping[str, bytes]) -> None:
        self.plan, self.given = plan, given
        self.wish, self.band, _ = plan.along_an_edge
        self.drawing_data = None if plan.drawing is None else given.get(plan.drawing)
        self.inside = plan.is_turned
        self.cloth_on: Hand | None = None
        self.outline: Curve | None = None
        self.seen = NOTHING_SEEN
        self.under_cloth_on: Hand | None = None
        self.under_outline: Curve | None = None
        self.opened: Opened | None = None
        self.notes: list[str] = []
        self.points: list[Point] = []
        self.dents: list[Dent] = []
        self.rough_mm = 0.0
        self.within_mm = self.wish.read_within_mm or READ_WITHIN_MM
        self.picture: bytes | None = None

    def drawing(self, name: str) -> Drawing:
        """The drawing, opened for something of that name."""
        if self.drawing_data is None:
            raise DrawingError(
                f'"{name}" is an id in a drawing, and there is no drawing',
                where=Where(file=self.plan.where, section="edge"),
                mend='Name the drawing above the sections: drawing = "front.svg".',
            )
        if self.opened is None:
            from closures.edges.opening import open_to_scale

            self.opened = open_to_scale(self.drawing_data, self.plan.drawing or "drawing", self.wish)
        return self.opened.drawing

    def drawn(self, name: str) -> Curve:
        """A line of the drawing, as it lies here."""
        return self.take(self.drawing(name).edge(name, self.within_mm))

    def take(self, line: ReadLine) -> Curve:
        """Take a line as it was read, with what is to be said of it."""
        self.notes += line.notes
        self.points += line.points
        self.dents += line.dents
        self.rough_mm = max(self.rough_mm, line.rough_mm)
        return self.turned(line.curve)

    def turned(self, curve: Curve) -> Curve:
        """A curve of the drawing as it lies here, turned over where it was seen from inside."""
        return curve.mirrored() if self.inside else curve

    def where(self, place: PlaceWish) -> Point | LevelPlace:
        """A place of the plan in the drawing's frame."""
        if isinstance(place, str):
            return self.point(place)
        if isinstance(place, LevelPlace):
            zero = self.wish.level_zero
            above = self.point(zero)[1] if isinstance(zero, str) else (zero or 0.0)
            return LevelPlace(place.level_mm + above, place.which)
        return place

    def point(self, name: str) -> Point:
        """A point of the drawing, as drawn; of a straight notch the place where it meets the edge, or is nearest."""
        drawing = self.drawing(name)
        notch = straight_notch(drawing, name)
        edges = [] if notch is None else [Curve(line.segments) for line in self._edges_drawn(drawing)]
        return nearest_on(notch, edges) if notch is not None and edges else drawing.point(name)

    def _edges_drawn(self, drawing: Drawing) -> list[Drawn]:
        named = (*self.wish.names, *(() if self.wish.under is None else (self.wish.under,)))
        return [line for name in named for line in drawing.lines(name)]

    def chains(self) -> list[tuple[Segment, ...]]:
        """The lines that the edge is made of, end to end where they touch."""
        from closures.edges.pieces import as_listed, join_overlapping, join_pieces

        listed = [self.drawing(name).lines(name) for name in self.wish.names]
        chains = join_pieces([line for lines in listed for line in lines])
        if not self.wish.pieces:
            return chains
        chains = join_overlapping(chains)
        if len(chains) != 1 or self.wish.begins is not None:
            # From and to tell which way the edge runs.
            return chains
        return [as_listed(chains[0], listed, self.wish.names, self.place())]

    def place(self) -> str:
        """The edge in its drawing, for messages."""
        return f'{self.plan.drawing or "drawing"}, "{", ".join(self.wish.names)[:60]}"'
