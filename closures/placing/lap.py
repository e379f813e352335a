"""The two laps of a closed garment and the one line they close on.

Terms: the *over lap* lies on top, the *under lap* beneath it; the *finished edge* is the
free edge of a lap after sewing, from its *first end* (neck, waist, tip) to its *last end*
(hem); the *closing line* is the one curve on which all closures lie.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve import Curve, Line, parallel
from closures.errors import EdgeError
from closures.frozen import frozen
from closures.lengths import SAME_MM

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Point
    from closures.edges.hand import Hand
    from closures.placing.garment import Garment
    from closures.placing.tip import Tip
    from closures.plan.garment import SideName


# Enough to tell whether an edge lies beside a line or far from it.
_LOOKS = 16
# A line half its edge's radius inside it halves what a place lacks each time: our own rule.
_MOST_STEPS = 32
# How far apart an edge is looked at for where it lies within a band: our own rule.
_EDGE_STEP_MM = 1.0


@frozen
class OnStand:
    """A collar stand with which a lap begins: a straight piece of its own.

    Attributes:
        height_mm: in the state of the cloth that the lap is in.
        further: how many times as far inside its edge as on the front a closure lies. More or less than once on cloth
            that is still to shrink, of a stand on another grain: the wash brings all of them equally far in.
        reach_mm: from a hook's or an eye's working end to its rings, where it is by these that it shrinks; else 0.
    """

    height_mm: float
    further: float = 1.0
    reach_mm: float = 0.0


@frozen
class Facing:
    """Finished edges that meet, as the under lap needs them: hook and eye lie opposite each other on the edges.

    Attributes:
        own: the under lap's finished edge.
        edge: the over lap's finished edge.
        line: the over lap's closing line, which the row's distances run along.
    """

    own: Curve
    edge: Curve
    line: Curve


@frozen
class Lap:
    """One of the two layers that close.

    Attributes:
        name: which layer.
        side: of the garment that carries this lap, None where a strap's plan does not tell it.
        whose: the same for people, such as "wearer's right front"; empty where it is not told.
        edge: the finished edge, first end to last end, in mm, garment closed.
        line: the closing line as it lies on this lap, first end to last end.
        inner: the line on which the band ends on the garment's side, first end to last end;
            None where the edge turns so tightly that the band's full width cannot follow it.
        width_mm: finished width of the band.
        inset_mm: finished edge to closing line, as wished.
        cloth_on: the hand on which the cloth lies for somebody who walks the edge from
            its first end to its last, as drawn.
        tip: where the lap is the end of a strap, its tip; the closing line runs along the strap.
        pins_mm: where this lap has a line of its own: distances along the over lap's line, and along this one, that
            meet on the closed garment, in order, both ends of the lines last; empty where the distances are the same.
            Of edges that meet the distances run along both finished edges, which are what is laid together.
        worn_pins_mm: of cloth told unwashed, what meets on the washed garment, in place of `pins_mm`, the first pair
            included: a wash that takes unlike shares turns what lay square across a slanted edge. Else empty.
        is_piece: the cloth of the lap reaches far beyond its band, as a wrap's under front does; width, inset and inner
            line are those of the band about the closing line.
        facing: of an under lap whose edge meets the over lap's, both edges as they are laid together; None elsewhere.
        stand: where the lap begins with a collar stand; None elsewhere.
        is_beneath: of an under lap that lies beneath the over lap in its frame, on a line beside the over lap's: on
            unwashed cloth the ends of hooks and eyes do, which meet once it is washed.
    """

    name: LapName
    side: SideName | None
    whose: str
    edge: Curve
    line: Curve
    inner: Curve | None
    width_mm: float
    inset_mm: float
    cloth_on: Hand
    tip: Tip | None = None
    pins_mm: tuple[tuple[float, float], ...] = ()
    worn_pins_mm: tuple[tuple[float, float], ...] = ()
    is_piece: bool = False
    facing: Facing | None = None
    stand: OnStand | None = None
    is_beneath: bool = False

    @property
    def past_edge_mm(self) -> float:
        """How far its centres lie out past the finished edge, as the bows of eyes do where edges meet; 0 within it."""
        return max(0.0, -self.inset_mm)

    @property
    def is_far(self) -> bool:
        """Whether its finished edge lies far from the closing line, so that what lies between them is no band."""
        return self.is_piece and self.edge_lies_mm[1] > self.width_mm

    @property
    def as_strip(self) -> Lap:
        """The band about the closing line alone, where the finished edge lies far from it: for narrow paper."""
        if not self.is_far:
            return self
        try:
            cut = parallel(self.line, -offset_sign(self.cloth_on) * self.inset_mm, "border of the strip")
        except EdgeError:
            return self
        return replace(self, edge=cut)

    @property
    def has_strip_without_edge(self) -> bool:
        """Whether its strip ends on a border of its own: it has no finished edge to be laid to, only its places."""
        return self.as_strip is not self

    def edge_within(self, low_mm: float, high_mm: float) -> tuple[Curve, ...]:
        """The stretches of the finished edge that run within the band about the closing line: there the cloth ends.

        Args:
            low_mm: from where along the line.
            high_mm: to where.
        """

        def is_within(along_mm: float) -> bool:
            point = self.edge.point_at(along_mm)
            depth, _ = depth_from(self.line, point, self.cloth_on)
            along = self.line.nearest(point).along_mm
            # What lies past an end of the line is nearest to the end itself.
            low, high = max(low_mm, SAME_MM), min(high_mm, self.line.length_mm - SAME_MM)
            return low <= along <= high and -self.inset_mm < depth < self.width_mm - self.inset_mm

        length = self.edge.length_mm
        count = math.ceil(length / _EDGE_STEP_MM)
        places = [length * k / count for k in range(count + 1)]
        found = [is_within(place) for place in places]
        turns = [0.0] if found[0] else []
        for (one, other), (was, now) in zip(pairwise(places), pairwise(found), strict=True):
            if was != now:
                inside, outside = (one, other) if was else (other, one)
                while abs(inside - outside) > SAME_MM:
                    middle = (inside + outside) / 2
                    inside, outside = (middle, outside) if is_within(middle) else (inside, middle)
                turns.append(inside)
        turns += [length] if found[-1] else []
        pairs = zip(turns[::2], turns[1::2], strict=True)
        return tuple(self.edge.stretch(one, other) for one, other in pairs if other - one > SAME_MM)

    @property
    def edge_lies_mm(self) -> tuple[float, float]:
        """How far the finished edge lies from the closing line, at the least and at the most, as sampled."""
        length = self.line.length_mm
        places = (self.line.point_at(length * k / _LOOKS) for k in range(_LOOKS + 1))
        found = [self.edge.nearest(place).distance_mm for place in places]
        return min(found), max(found)

    def along(self, row_mm: float) -> float:
        """Where a distance of the row, along the over lap's line, lies along this lap's own line.

        Between two pins, and between a pin and an end, lengths are carried in proportion. Of edges that meet, the
        place goes by its foot on the over lap's finished edge, and by that place of this lap's: on a bend a line
        inside an edge and one outside it are of unlike lengths, and only the edges lie against each other.
        """
        if self.stand is not None and row_mm <= self.stand.height_mm:
            return row_mm
        if self.facing is None:
            along = _carried(row_mm, self.worn_pins_mm or ((0.0, 0.0), *self.pins_mm))
            return min(max(along, 0.0), self.line.length_mm) if self.worn_pins_mm else along
        foot = _beside(row_mm, self.facing.line, self.facing.edge)
        return _above(_carried(foot, ((0.0, 0.0), *self.pins_mm)), self.facing.own, self.line)

    def row_of(self, along_mm: float) -> float:
        """The distance of the row, along the over lap's line, that lies at a distance along this lap's own line."""
        if self.stand is not None and along_mm <= self.stand.height_mm:
            return along_mm
        back = tuple((own, over) for over, own in self.worn_pins_mm or ((0.0, 0.0), *self.pins_mm))
        if self.facing is None:
            return _carried(along_mm, back)
        foot = _beside(along_mm, self.line, self.facing.own)
        return _above(_carried(foot, back), self.facing.edge, self.facing.line)

    def at(self, row_mm: float) -> Point:
        """The point of this lap's closing line at a distance of the row."""
        return self.line.point_at(self.along(row_mm))

    def centre_at(self, along_mm: float) -> Point:
        """Where a closure lies on the cloth at a distance along this lap's own line: on it, or aside on a stand."""
        return self._aside(along_mm, self.line.point_at(along_mm))

    def further_at(self, along_mm: float) -> float:
        """How many times as far inside its edge as the closing line a closure lies there: once but on a stand."""
        return 1.0 if self.stand is None or along_mm > self.stand.height_mm else self.stand.further

    def _aside(self, along_mm: float, point: Point) -> Point:
        further = self.further_at(along_mm)
        if self.stand is None or further == 1.0:
            return point
        tangent = self.line.tangent_at(along_mm)
        depth, _ = depth_from(self.edge, point, self.cloth_on)
        return self.moved_in(point, tangent, (depth + self.stand.reach_mm) * (further - 1.0))

    @property
    def lines_on_cloth(self) -> tuple[Curve, ...]:
        """The lines on which closures lie on the cloth: the closing line, and that of a stand by itself."""
        if self.stand is None or self.stand.further == 1.0:
            return (self.line,)
        seam = self.stand.height_mm
        own = Line(self.centre_at(0.0), self._aside(seam, self.line.point_at(seam)))
        return (Curve((own,)), self.line.stretch(seam, self.line.length_mm))

    def nearest_row(self, point: Point) -> float:
        """The distance of the row at which this lap's closing line is nearest to a point of the lap."""
        return self.row_of(self.line.nearest(point).along_mm)

    def inward(self, tangent: Point) -> Point:
        """Unit direction from the finished edge into the cloth, where a line runs in this unit direction."""
        return inward_normal(tangent, self.cloth_on)

    def moved_in(self, point: Point, tangent: Point, by_mm: float) -> Point:
        """Find the point so far into the cloth, square to a line; a negative length leads towards the edge."""
        x, y = self.inward(tangent)
        return (point[0] + by_mm * x, point[1] + by_mm * y)


@frozen
class Laps:
    """A closed garment at its closure.

    Attributes:
        line: the closing line on the over lap, first end to last end, in mm: the row's distances run along it.
        over: the lap on top.
        under: the lap beneath it, in the same frame or, where each lap has a piece of its own, in its own.
        level_zero_mm: the y from which levels are measured downwards.
        garment: what opens, and what its sides and ends are called.
        beside: where the laps have a frame each, the under lap as a band that lies beneath the over lap in that lap's
            frame, for pictures of the closed garment; None where they have one frame, or it cannot be drawn.
    """

    line: Curve
    over: Lap
    under: Lap
    level_zero_mm: float
    garment: Garment
    beside: Lap | None = None

    @property
    def is_one_frame(self) -> bool:
        """Whether both laps lie in one frame, on one line but for the metal of hooks and eyes."""
        return self.under.line is self.line or self.under.is_beneath

    @property
    def is_apart(self) -> bool:
        """Whether the under lap is a piece of its own that was drawn apart, not the over lap's turned over."""
        return not self.is_one_frame and self.garment.pieces != "pair"

    @property
    def as_worn(self) -> Laps:
        """Both laps in the over lap's frame, as they lie on the closed garment: for pictures of it, never for "
        "marking."""
        if self.is_one_frame:
            return self
        beneath = self.beside or replace(
            self.under, edge=self.line, line=self.line, inner=None, pins_mm=(), worn_pins_mm=(), facing=None
        )
        return replace(self, under=beneath, beside=None)

    def level_at(self, along_mm: float) -> float:
        """The level of a place on the closing line in mm, of its nearest end where the place lies past it."""
        return self.line.point_at(min(max(along_mm, 0.0), self.line.length_mm))[1] - self.level_zero_mm

    @property
    def both(self) -> tuple[Lap, Lap]:
        """The over lap, then the under lap."""
        return (self.over, self.under)

    def __getitem__(self, name: LapName) -> Lap:
        """The lap of this name."""
        return self.over if name == "over" else self.under


def _carried(along_mm: float, pins_mm: tuple[tuple[float, float], ...]) -> float:
    """A distance along one curve as one along another, in proportion between pins, and past them as there."""
    for before, after in pairwise(pins_mm):
        if along_mm <= after[0] or after is pins_mm[-1]:
            share = (along_mm - before[0]) / (after[0] - before[0])
            return before[1] + share * (after[1] - before[1])
    return along_mm


def _beside(along_mm: float, curve: Curve, other: Curve) -> float:
    """Where a place of a curve lies along another that is parallel to it, square across; past an end as far past."""
    within = min(max(along_mm, 0.0), curve.length_mm)
    return square_across(curve.point_at(within), other) + (along_mm - within)


def _above(foot_mm: float, edge: Curve, line: Curve) -> float:
    """Where on a line a place lies whose foot on an edge is this one: a line told unwashed is no true parallel once
    washed, and what lies nearest on it to the foot has another.
    """
    first = along = _beside(foot_mm, edge, line)
    for _ in range(_MOST_STEPS):
        off = foot_mm - _beside(along, line, edge)
        if abs(off) <= SAME_MM:
            return along
        along += off
    # In a corner places of the line have no foot, or many have one.
    return first


def square_across(point: Point, curve: Curve) -> float:
    """Where a point lies along a curve, square across; before its first end less than 0, or past its last end."""
    along = curve.nearest(point).along_mm
    for end_mm, end, sign in ((0.0, curve.start, -1.0), (curve.length_mm, curve.end, 1.0)):
        if abs(along - end_mm) <= SAME_MM:
            x, y = curve.tangent_at(end_mm)
            past = sign * ((point[0] - end[0]) * x + (point[1] - end[1]) * y)
            return end_mm + sign * max(past, 0.0)
    return along


def inward_normal(tangent: Point, cloth_on: Hand) -> Point:
    """Unit direction into the cloth, square to a line that runs in a unit direction with the cloth on one hand."""
    tx, ty = tangent
    return (-ty, tx) if cloth_on == "right" else (ty, -tx)


def offset_sign(cloth_on: Hand) -> float:
    """The sign of a distance into the cloth, where a curve counts distances to its right hand as positive."""
    return 1.0 if cloth_on == "right" else -1.0


def depth_from(curve: Curve, point: Point, cloth_on: Hand) -> tuple[float, float]:
    """Measure how far a point lies from a curve that runs the way of the finished edge.

    Returns:
        How far inwards, square to the curve at its nearest place, in mm, negative on the edge's side; and the
        true distance.
    """
    near = curve.nearest(point)
    # By the tangent on one side of a corner alone, a point in front of the corner seemed to lie behind it.
    x, y = inward_normal(curve.mean_tangent_at(near.along_mm), cloth_on)
    return (point[0] - near.point[0]) * x + (point[1] - near.point[1]) * y, near.distance_mm
