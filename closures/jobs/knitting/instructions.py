"""The band row by row, or stitch by stitch: where each buttonhole is worked, in whole numbers.

How a buttonhole is worked here: stitches are cast off in one row and cast on again over the gap in the next, so that
the hole lies between the two rows (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.placing.buttonhole import buttonhole_for
from closures.placing.knitted import knitted_hole

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.knitted import KnittedHole
    from closures.placing.placement import Placement

Step = Literal["row", "stitch"]


@dataclass(frozen=True, slots=True)
class Knitted:
    """A row of closures in whole numbers.

    Attributes:
        step: what is counted along the edge.
        step_mm: how long one is.
        total: how many the whole edge has, the nearest whole number.
        at: for each closure, in the order of knitting, how many steps lie before it; of a hole that runs along, before
            the hole.
        marks: the numbers of the closures, in the same order.
        hole: the buttonhole; None for closures without.
        begins_at: the name of the end where the counting begins, such as "hem".
        other_end: the name of the other.
    """

    step: Step
    step_mm: float
    total: int
    at: tuple[int, ...]
    marks: tuple[int, ...]
    hole: KnittedHole | None
    begins_at: str
    other_end: str

    @property
    def own(self) -> int:
        """How many steps one closure takes along the edge: those of its hole, else none.

        A hole that is cast off takes the row of the casting off and the next, in which stitches are cast on again.
        """
        if self.hole is None:
            return 0
        if self.step == "row" and self.hole.over == "stitches":
            return 2
        return self.hole.counts if (self.hole.over == "rows") == (self.step == "row") else 0

    @property
    def plain(self) -> tuple[int, ...]:
        """How many steps are worked plain: before the first closure, between one and the next, after the last."""
        lead = 1 if self.step == "row" and self.hole is not None and self.hole.over == "stitches" else 0
        begins = [at - lead for at in self.at]
        between = [after - before - self.own for before, after in pairwise(begins)]
        return (begins[0], *between, self.total - begins[-1] - self.own)


def knit(placement: Placement, catalogue: Catalogue) -> Knitted | None:
    """Tell a placement in whole rows or stitches.

    Args:
        placement: placed with a gauge.
        catalogue: for the buttonhole.

    Returns:
        The row, or None where the plan tells no gauge.
    """
    gauge = placement.plan.gauge
    if gauge is None:
        return None
    slit = buttonhole_for(placement.fastener, placement.plan, catalogue)
    before = slit.before_mm if slit is not None and slit.way == "along" else 0.0
    hole = None if slit is None else knitted_hole(gauge, slit, placement.plan.along_an_edge[1].inset_mm)
    line = placement.laps.line
    step: Step = "stitch" if gauge.line == "stitches" else "row"
    backwards = step == "row" and gauge.cast_on == "last"
    marks = tuple(reversed(placement.marks)) if backwards else placement.marks
    if gauge.line == "front rows":
        zero = (line.end if backwards else line.start)[1]
        length = abs(line.end[1] - line.start[1])
        far = [abs(line.point_at(max(mark.along_mm - before, 0.0))[1] - zero) for mark in marks]
    else:
        length = line.length_mm
        far = [length - (mark.along_mm - before) if backwards else mark.along_mm - before for mark in marks]
    at = tuple(round(distance / gauge.step_mm) for distance in far)
    if backwards and hole is not None and before > 0.0:
        # Counted from the other end, such a hole begins where it would have ended.
        at = tuple(count - hole.counts for count in at)
    return Knitted(
        step,
        gauge.step_mm,
        round(length / gauge.step_mm),
        at,
        tuple(mark.n for mark in marks),
        hole,
        *(reversed(placement.ends) if backwards else placement.ends),
    )
