"""One end of a strap as it is seen: how far it is drawn, and where its places lie on the paper.

The strap lies level with its upper edge up. An end is drawn from its tip to a *break* behind its last mark, where the
middle is left out and its length written, or whole to the far tip.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.sheets.view import Spot, View
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.drawing.ink.shapes import Box, Point
    from closures.drawing.sheets.subject import Subject
    from closures.placing.lap import Lap
    from closures.placing.placement import LapMark, Placement
    from closures.placing.strap.values import Strap
    from closures.placing.tip import Tip

WHOLE_UP_TO_MM = 230.0
"""A strap that lies whole on one page of paper at home, with its allowances and words, is drawn whole."""

TAIL_MM = 20.0
"""Behind the rim of the last mark, so that the end lies well on the cloth and its words find room."""

_LEAST_BREAK_MM = 40.0


@frozen
class End:
    """One end of a strap as it is seen.

    Attributes:
        subject: the lap that it is, and how it is lettered.
        side: the wearer's side, where a strap comes in a pair; empty where it does not.
        strap: the strap.
        view: how it is seen.
        tip: its tip, in the garment's own frame.
        depth_mm: how far it is drawn from the tip.
        left_out_mm: what the break leaves out; 0 where the strap is drawn whole.
        allowance_mm: beyond the tip.
        far_allowance_mm: beyond the far tip.
    """

    subject: Subject
    side: str
    strap: Strap
    view: View
    tip: Tip
    depth_mm: float
    left_out_mm: float
    allowance_mm: float
    far_allowance_mm: float

    @property
    def lap(self) -> Lap:
        """Which end."""
        return self.view.lap

    @property
    def name(self) -> str:
        """What it is called, as "over end" or "left cuff, over end"."""
        end = f"{self.lap.name} end"
        named = f"{self.side} {self.strap.piece}, {end}" if self.side else end
        return f"{self.subject.opening}, {named}" if self.subject.opening else named

    @property
    def half(self) -> float:
        """Half the finished width, in mm."""
        return self.strap.width_mm / 2

    @property
    def is_square(self) -> bool:
        """Whether its own tip is square: the under end's always is."""
        return self.lap.name == "under" or self.strap.ends == "square"

    @property
    def upper_mm(self) -> float:
        """From the middle line up to the outermost line drawn."""
        return self.half + (0.0 if self.strap.fold == "upper edge" else self.strap.allowance_mm)

    @property
    def lower_mm(self) -> float:
        """From the middle line down to the outermost line drawn."""
        return self.half + (0.0 if self.strap.fold == "lower edge" else self.strap.allowance_mm)

    @property
    def to_tip(self) -> Point:
        """Unit direction towards the tip, as seen."""
        x, y = self.tip.inwards
        return self.view.direction(-x, -y)

    def at(self, inwards_mm: float, down_mm: float) -> Point:
        """See the place so far inwards from the tip and so far below the middle line."""
        x, y = self.tip.at
        return self.view.point(x + inwards_mm * self.tip.inwards[0], y + down_mm)

    def holds(self, box: Box) -> bool:
        """Tell whether a box lies within the finished edge, up to the break."""
        (x, y), way = self.at(0.0, 0.0), -self.to_tip[0]
        deepest = max(abs(box[1] - y), abs(box[3] - y))
        for at in (box[0], box[2]):
            inwards = (at - x) * way
            depth = self.strap.tip_depth_mm
            short = 0.0 if self.is_square else max(0.0, depth - inwards)
            half = self.half - short
            if self.strap.ends != "pointed":
                half = self.half - depth + math.sqrt(max(0.0, depth**2 - short**2))
            if inwards < 0.0 or deepest > half:
                return False
        return True

    def spot(self, inwards_mm: float) -> Spot:
        """See a place of the middle line: along leads away from the tip, inward down, to the cut line."""
        x, y = self.to_tip
        at, edge = self.at(inwards_mm, 0.0), self.at(inwards_mm, -self.half)
        return Spot(at, (-x, -y), (0.0, 1.0), edge, self.half, self.half)

    def outer_spot(self, inwards_mm: float) -> Spot:
        """The same, reaching to the outermost lines that are drawn."""
        x, y = self.to_tip
        at, edge = self.at(inwards_mm, 0.0), self.at(inwards_mm, -self.upper_mm)
        return Spot(at, (-x, -y), (0.0, 1.0), edge, self.upper_mm, self.lower_mm)

    def carried(self) -> tuple[LapMark, ...]:
        """The marks of this end, from its tip."""
        marks = self.subject.placement.on(self.lap.name)
        return tuple(sorted(marks, key=lambda mark: (mark.from_tip_mm or 0.0, mark.n)))


def make_end(subject: Subject, side: str, whole: bool) -> End:
    """Find how much of an end is drawn.

    Args:
        subject: the lap.
        side: the wearer's side of a pair, or empty.
        whole: draw the strap to its far tip whatever its length.

    Raises:
        ValueError: the placement is not of a strap.
    """
    placement, lap = subject.placement, subject.lap
    strap, tip = placement.strap, lap.tip
    if strap is None or tip is None:
        raise ValueError("only a strap has ends")
    # Turned over by its face and turned over by its side is not turned at all.
    view = View(placement.laps, lap, subject.is_flipped != (side == "right"))
    depths: dict[LapName, float] = {lap.name: _depth(placement, lap.name) for lap in placement.laps.both}
    left_out = strap.finished_mm - depths["over"] - depths["under"]
    if whole or strap.finished_mm <= WHOLE_UP_TO_MM or left_out < _LEAST_BREAK_MM:
        depth, left_out = strap.finished_mm, 0.0
    else:
        depth = depths[lap.name]
    own, far = strap.allowance_mm, strap.under_allowance_mm
    if lap.name == "under":
        own, far = far, own
    return End(subject, side, strap, view, tip, depth, left_out, own, far)


def _depth(placement: Placement, lap: LapName) -> float:
    """A whole number of cm, so that the break is easily measured."""
    strap = placement.strap
    seats = () if strap is None else strap.over if lap == "over" else strap.under
    far = max(seat.from_tip_mm for seat in seats) + placement.fastener.rim_mm
    if strap is not None and lap == "over" and strap.ends != "square":
        far = max(far, strap.tip_depth_mm)
    return 10.0 * math.ceil((far + TAIL_MM) / 10.0 - 1e-9)
