"""The band row by row, or stitch by stitch: where each buttonhole is worked, in whole numbers.

How a buttonhole is worked here: stitches are cast off in one row and cast on again over the gap in the next, so that
the hole lies between the two rows (common practice).

A band that is picked up along the edge is picked up from right to left with the right side facing, so that the cloth
hangs beneath: a wearer's right front from the hem, a left front from the neck (common practice). The rows after that
are of the wrong side and of the right side in turn, and each runs the other way than the one before.

A band that is counted in rows has its odd rows on the right side, worked from right to left as that side is seen
(common practice): which of its edges such a row begins at depends on the front, and on the end that is cast on.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.placing.buttonhole import buttonhole_for
from closures.placing.knitted import front_rows, knitted_hole, step_along

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.knitted import KnittedHole
    from closures.placing.placement import Placement

Step = Literal["row", "stitch"]


@frozen
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
        second: of two columns the hole of the second, in the same row or stitch; None without.
        beside: how many closures there are before the number of the same closure of the second column; 0 without one.
        hidden: the hole in the other band, its closure's number, and that of the closure it lies level with.
        begins_at: the name of the end where the counting begins, such as "hem": of a band that is picked up, where the
            row of the buttonholes begins.
        other_end: the name of the other.
        right_from_free: whether a row of the right side begins at the free edge, where the rows are counted.
        band_last: whether the band is knitted with its front, so that such a row can come to it last.
        band_mm: how wide the band with the buttonholes is, from its free edge to where it is picked up or sewn on.
    """

    step: Step
    step_mm: float
    total: int
    at: tuple[int, ...]
    marks: tuple[int, ...]
    hole: KnittedHole | None
    begins_at: str
    other_end: str
    second: KnittedHole | None = None
    beside: int = 0
    hidden: tuple[KnittedHole, int, int] | None = None
    picked_up: tuple[str, str] | None = None
    whose: str = ""
    right_from_free: bool = True
    band_last: bool = False
    band_mm: float = 0.0

    @property
    def from_wrong_side(self) -> bool:
        """Whether the row of the buttonholes of a band that is picked up is worked from the wrong side."""
        return self.picked_up is not None and self.hole is not None and is_of_wrong_side(self.hole)

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
    band = placement.plan.along_an_edge[1]
    hole = None if slit is None else knitted_hole(gauge, slit, band.inset_mm)
    line = placement.laps.line
    step: Step = "stitch" if gauge.line == "stitches" else "row"
    backwards, picked_up = gauge.cast_on == "last", None
    if step == "stitch":
        from_last = _picked_up_from_last(placement)
        picked_up = placement.ends[::-1] if from_last else placement.ends
        backwards = from_last != (hole is not None and is_of_wrong_side(hole))
    marks = tuple(reversed(placement.marks)) if backwards else placement.marks
    if gauge.line == "front rows":
        front = front_rows(gauge, placement.laps)
        length = front.height_mm
        far = [front.made_mm(line.point_at(max(mark.along_mm - before, 0.0))) for mark in marks]
    else:
        length = line.length_mm
        counts_back = backwards and step == "row"
        far = [length - (mark.along_mm - before) if counts_back else mark.along_mm - before for mark in marks]
    each_mm = step_along(gauge, line.length_mm)
    at = tuple(round(distance / each_mm) for distance in far)
    if backwards and step == "stitch":
        at = tuple(round(length / each_mm) - count for count in at)
    if backwards and hole is not None and before > 0.0:
        # Counted from the other end, such a hole begins where it would have ended.
        at = tuple(count - hole.counts for count in at)
    begins_at, other_end = reversed(placement.ends) if backwards else placement.ends
    knitted = Knitted(
        step,
        each_mm,
        round(length / each_mm),
        at,
        tuple(mark.n for mark in marks),
        hole,
        begins_at,
        other_end,
        second=_second(placement, slit, hole),
        beside=0 if placement.plan.column is None else len(placement.marks),
        hidden=_hidden(placement, catalogue),
        picked_up=picked_up,
        whose=placement.laps[_buttonhole_lap(placement)].whose,
        # As a band is picked up: with the cloth on the left hand of the way, the right hand side is the free edge.
        right_from_free=_picked_up_from_last(placement) == backwards,
        band_last=gauge.line == "front rows",
        band_mm=band.width_mm,
    )
    _refuse_open_holes(knitted, placement)
    return knitted


def _refuse_open_holes(knitted: Knitted, placement: Placement) -> None:
    """Refuse a buttonhole with nothing knitted between it and an end of the band: it would be open there.

    Raises:
        EdgeError: there is one.
    """
    first, last = knitted.plain[0], knitted.plain[-1]
    if knitted.hole is None or min(first, last) > 0:
        return
    n, end = (knitted.marks[0], knitted.begins_at) if first < 1 else (knitted.marks[-1], knitted.other_end)
    raise EdgeError(
        f"not one {knitted.step} is left between the buttonhole of closure {n} and the {end}",
        where=in_section("spacing", "first" if n == placement.marks[0].n else "last"),
        mend="Write more, or take a smaller button.",
    )


def is_of_wrong_side(hole: KnittedHole) -> bool:
    """Whether the row in which a hole is cast off is worked from the wrong side, in a band that is picked up.

    The first row after the stitches were picked up is of the wrong side. A hole lies after the row in which it is cast
    off, so that row's number is that of the rows between the edge and the hole. Where those are not told, the knitter
    is told to take a row of the right side; a hole of several rows is worked in both.
    """
    return hole.over == "stitches" and hole.after is not None and hole.after % 2 == 1


def _buttonhole_lap(placement: Placement) -> LapName:
    return placement.fastener.mark.buttonhole_lap or "over"


def _picked_up_from_last(placement: Placement) -> bool:
    """Whether the band with the buttonholes is picked up from the last end of its edge.

    Stitches are picked up from right to left, the right side facing and the cloth beneath: so the cloth lies on the
    left hand of the way they take.
    """
    return (placement.laps.over.cloth_on == "right") == (_buttonhole_lap(placement) == "over")


def _second(placement: Placement, slit: Buttonhole | None, hole: KnittedHole | None) -> KnittedHole | None:
    """The hole of a second column that works, which lies further in beside the row's.

    Raises:
        EdgeError: no stitch, or no row, is left between the two.
    """
    gauge, column = placement.plan.gauge, placement.plan.column
    if gauge is None or column is None or not column.works or slit is None or hole is None:
        return None
    second = knitted_hole(gauge, slit, placement.beside[0].laps.over.inset_mm)
    own = hole.counts
    if slit.way == "along":
        # Where stitches are cast off, the row in which they are cast on again lies between the two.
        own = 1 if gauge.line == "stitches" else 0
    if hole.before is not None and second.before is not None and second.before - hole.before - own < 1:
        raise EdgeError(
            "nothing of the band is left between the buttonholes of both columns",
            where=in_section("column", "apart"),
            mend="Write more, or take a smaller button.",
        )
    return second


def _hidden(placement: Placement, catalogue: Catalogue) -> tuple[KnittedHole, int, int] | None:
    """The hole of the hidden closure, which lies level with a closure of the row."""
    gauge, column = placement.plan.gauge, placement.plan.column
    if gauge is None or column is None or column.inner is None:
        return None
    hidden = placement.beside[1]
    slit = buttonhole_for(hidden.fastener, hidden.plan, catalogue)
    if slit is None:
        return None
    (mark,), (second, *_) = hidden.marks, placement.beside
    level = min(second.marks, key=lambda other: abs(other.along_mm - mark.along_mm))
    lap = hidden.laps[hidden.fastener.mark.buttonhole_lap or "under"]
    return knitted_hole(gauge, slit, lap.inset_mm), mark.n, level.n - len(placement.marks)
