"""A lap as it is seen: as the garment is drawn, or turned over to show its inside face."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from closures.drawing.ink.rigid import UNTURNED, Rigid
from closures.drawing.ink.shapes import Command, Point, mapped
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.placing.lap import Lap, Laps
    from closures.placing.marking import LapMark

Place = tuple[Point, Point, Point, Point, float, float]
"""A place of the closing line in the garment's own frame: itself, both directions, the edge, the distances."""


@frozen
class Spot:
    """A place on the closing line as it is seen on one lap, in mm.

    Attributes:
        at: the place.
        along: unit direction towards the last end.
        inward: unit direction away from the finished edge.
        edge_at: the nearest point of the finished edge.
        to_edge_mm: how far that is.
        to_inner_mm: how far the band reaches the other way.
    """

    at: Point
    along: Point
    inward: Point
    edge_at: Point
    to_edge_mm: float
    to_inner_mm: float

    @property
    def to_edge(self) -> Point:
        """Unit direction towards the finished edge."""
        return (-self.inward[0], -self.inward[1])

    def moved(self, along_mm: float, inward_mm: float) -> Point:
        """Find the place so far towards the last end and so far away from the edge."""
        return (
            self.at[0] + along_mm * self.along[0] + inward_mm * self.inward[0],
            self.at[1] + along_mm * self.along[1] + inward_mm * self.inward[1],
        )


@frozen
class View:
    """One lap, seen on one face.

    Attributes:
        laps: the closed garment.
        lap: the lap that is drawn.
        flipped: whether it is turned over, x -> -x.
        turn: how it is turned and moved on the paper after that.
        known: places found already, by how far along they lie; shared by all views of a lap.
    """

    laps: Laps
    lap: Lap
    flipped: bool
    turn: Rigid = UNTURNED
    known: dict[float, Place] = field(default_factory=dict, compare=False, repr=False)

    @property
    def sign(self) -> float:
        """What x is multiplied by."""
        return -1.0 if self.flipped else 1.0

    @property
    def row_mm(self) -> float:
        """How far the row's distances run: the length of the over lap's closing line."""
        return self.laps.line.length_mm

    def point(self, x: float, y: float) -> Point:
        """See a point of the garment."""
        return self.turn.point((self.sign * x, y))

    def spot_nearest(self, at: Point) -> Spot:
        """See the place of this lap's own closing line that lies nearest to a point of the drawing."""
        x, y = self.turn.back(at)
        return self.spot_on_line(self.lap.line.nearest((self.sign * x, y)).along_mm)

    def direction(self, x: float, y: float) -> Point:
        """See a direction of the garment."""
        return self.turn.direction((self.sign * x, y))

    def path(self, curve: Curve) -> tuple[Command, ...]:
        """See a curve as drawing commands."""
        return self.turn.commands(mapped(curve.path(), self.sign, 1.0, 0.0, 0.0))

    def spot(self, along_mm: float) -> Spot:
        """See the place of the row at a distance along the over lap's closing line, as it lies on this lap."""
        return self.spot_on_line(self.lap.along(along_mm))

    def spot_on_line(self, along_mm: float) -> Spot:
        """See the place at a distance along this lap's own closing line."""
        place = self.known.get(along_mm)
        if place is None:
            # Finding the place on the curve costs most: it is done once for the point and the tangent.
            segment, t = self.lap.line.place(along_mm)
            place = self.known[along_mm] = self._place_at(segment.point(t), segment.tangent(t))
        return self._seen(place)

    def stand_on_line(self, along_mm: float) -> tuple[Point, Point, Point]:
        """See a place of this lap's own closing line, the direction along it and that inwards, without its edge."""
        segment, t = self.lap.line.place(along_mm)
        tangent = segment.tangent(t)
        return self.point(*segment.point(t)), self.direction(*tangent), self.direction(*self.lap.inward(tangent))

    def spot_of(self, mark: LapMark) -> Spot:
        """See the place of a mark on this lap."""
        return self.spot_at((mark.x_mm, mark.y_mm), mark.tangent)

    def spot_at(self, at: Point, tangent: Point) -> Spot:
        """See a known place of the closing line, given in the garment's own frame."""
        return self._seen(self._place_at(at, tangent))

    def _place_at(self, at: Point, tangent: Point) -> Place:
        inward = self.lap.inward(tangent)
        to_edge, edge_at = self.lap.edge.nearest_point(at)
        to_inner = self.lap.width_mm - self.lap.inset_mm
        if self.lap.inner is not None:
            to_inner, _ = self.lap.inner.nearest_point(at)
        return (at, tangent, inward, edge_at, to_edge, to_inner)

    def _seen(self, place: Place) -> Spot:
        at, tangent, inward, edge, to_edge, to_inner = place
        seen, ways = self.point, self.direction
        return Spot(seen(*at), ways(*tangent), ways(*inward), seen(*edge), to_edge, to_inner)
