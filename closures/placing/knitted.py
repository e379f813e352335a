"""Where closures can sit on knitting: on whole rows or whole stitches, so that a buttonhole begins with one of them.

Terms: a *step* is one row, or one stitch, in the direction that is counted along the closing line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM, format_both
from closures.series import how_many
from closures.spacing.whole_steps import ladder

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.curve import Point
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Laps
    from closures.placing.stack import Layer
    from closures.plan.gauge import GaugeWish
    from closures.plan.plan import Plan


@frozen
class KnittedHole:
    """One buttonhole as it is knitted.

    Attributes:
        counts: how many stitches, or how many rows, it takes.
        over: what it takes: stitches that are cast off, or rows that are worked in two halves.
        before: how many stitches, or rows, of the band lie between it and the free edge; None where the band's own
            number is not told.
        after: how many lie on its other side.
        length_mm: of the hole as knitted.
        wanted_mm: of the hole that the button asks for.
        from_edge_mm: how far it begins from the free edge.
    """

    counts: int
    over: Literal["stitches", "rows"]
    before: int | None
    after: int | None
    length_mm: float
    wanted_mm: float
    from_edge_mm: float

    @property
    def in_words(self) -> str:
        """How many of what it takes."""
        return (
            how_many(self.counts, "row") if self.over == "rows" else f"{self.counts} stitch{'es' * (self.counts != 1)}"
        )


@frozen
class FrontRows:
    """The rows of a front with which its band is knitted: they lie level.

    Attributes:
        begun_mm: the level of its first row: that of the end of the finished edge, the corner at which it is cast on.
            An end of the closing line lies square to that corner, so higher or lower where the edge slants there.
        way: 1.0 where the rows follow each other down the drawing, -1.0 where they go up.
        height_mm: of the front, from one end of its finished edge to the other.
    """

    begun_mm: float
    way: float
    height_mm: float

    def made_mm(self, point: Point) -> float:
        """How much of the front is knitted when its rows come to the level of a point."""
        return self.way * (point[1] - self.begun_mm)


def front_rows(gauge: GaugeWish, laps: Laps) -> FrontRows:
    """Find where the rows of a front begin, and which way they go.

    Raises:
        EdgeError: the edge or the closing line turns back, so that the rows of one part are none of the other's.
    """
    edge = laps.over.edge
    begun, other = (edge.start, edge.end) if gauge.cast_on == "first" else (edge.end, edge.start)
    front = FrontRows(begun[1], 1.0 if other[1] >= begun[1] else -1.0, abs(other[1] - begun[1]))
    for name, curve in (("finished edge", edge), ("closing line", laps.line)):
        points = curve.approximate_polyline()
        back = _turns_back_mm(front, points if gauge.cast_on == "first" else points[::-1])
        # What is nearer than half a row is told as the same row.
        if back > gauge.step_mm / 2:
            raise EdgeError(
                f"the rows of the front lie level, and the {name} turns back by {format_both(back)} on its way from "
                "where knitting begins: its rows cannot be counted along it",
                where=in_section("gauge", "line"),
                mend="Tell the stretch of the edge that does not turn back, by from and to under [edge], or "
                'line = "band rows" for a band of its own.',
            )
    return front


def _turns_back_mm(front: FrontRows, points: Sequence[Point]) -> float:
    """How far points fall back, at most, behind the row that those before them had come to."""
    most, back = -math.inf, 0.0
    for point in points:
        most = max(most, front.made_mm(point))
        back = max(back, most - front.made_mm(point))
    return back


SITS = {"band rows": "on a whole row", "front rows": "on a whole row", "stitches": "on a whole stitch"}

_MOST_STEPS = 2000


def steps_on(gauge: GaugeWish, laps: Laps, hole: Buttonhole | None, inset_mm: float) -> tuple[float, ...]:
    """Find the places on the closing line at which a closure can be knitted.

    A buttonhole that runs along the line begins with a whole step, so its mark lies as far after one as the hole
    reaches before its mark. One that runs across, and a closure without a buttonhole, sits between two steps.

    Args:
        gauge: of the knitting.
        laps: the closing line.
        hole: the buttonhole; None for a closure without.
        inset_mm: from the free edge to the closing line.

    Returns:
        Distances along the line in mm, ascending.

    Raises:
        EdgeError: the gauge is far too fine for the line, no row meets it, or the hole does not fit into the band.
    """
    line = laps.line
    if hole is not None:
        knitted_hole(gauge, hole, inset_mm)
    if line.length_mm / gauge.step_mm > _MOST_STEPS:
        raise EdgeError(
            f"the closing line holds {math.floor(line.length_mm / gauge.step_mm)} rows or stitches",
            where=in_section("gauge"),
            mend="Check stitches, rows and over.",
        )
    before = hole.before_mm if hole is not None and hole.way == "along" else 0.0
    if gauge.line == "stitches":
        return ladder(line.length_mm, step_along(gauge, line.length_mm), before)
    row, taken = gauge.step_mm, _first_row(gauge, hole, inset_mm)
    every = row if taken is None else 2 * row
    if gauge.line == "band rows" and gauge.cast_on == "first":
        return ladder(line.length_mm, every, before + (taken or 0) * row)
    if gauge.line == "band rows":
        return ladder(line.length_mm, every, line.length_mm + before - (taken or 0) * row)
    return _level_steps(gauge, laps, before, every, (taken or 0) * row)


def closed_at_both_ends(
    steps: Sequence[float], gauge: GaugeWish, laps: Laps, slit: Buttonhole | None, inset_mm: float
) -> tuple[float, ...]:
    """Leave out the places at which a buttonhole would have nothing knitted between it and an end of the band.

    Args:
        steps: places along the closing line, as of `steps_on`.
        gauge, laps, inset_mm: as there.
        slit: the buttonhole; None for a closure without, which can sit on any place.
    """
    if slit is None:
        return tuple(steps)
    hole, line = knitted_hole(gauge, slit, inset_mm), laps.line
    is_back = gauge.line != "stitches" and gauge.cast_on == "last"
    before = slit.before_mm if slit.way == "along" else 0.0
    front = front_rows(gauge, laps) if gauge.line == "front rows" else None
    total = round((line.length_mm if front is None else front.height_mm) / gauge.step_mm)
    # What is cast off across takes the row in which it is, and the next, in which stitches are cast on again.
    lead = 1 if gauge.line != "stitches" and hole.over == "stitches" else 0
    own = 2 if lead else hole.counts if slit.way == "along" else 0

    def is_closed(place: float) -> bool:
        begin = max(place - before, 0.0)
        far = line.length_mm - begin if is_back else begin
        if front is not None:
            far = front.made_mm(line.point_at(begin))
        made = round(far / step_along(gauge, line.length_mm)) - lead - (own if is_back and before else 0)
        return made >= 1 and total - made - own >= 1

    return tuple(place for place in steps if is_closed(place))


def _first_row(gauge: GaugeWish, hole: Buttonhole | None, inset_mm: float) -> int | None:
    """The row, counted from the beginning, from which every second one can carry a closure; None where each can.

    Rows are worked from the right side and from the wrong side in turn, the first from the right side. A hole that is
    cast off in a row lies after it, so that row is an odd one; a hole of several rows begins after an even one.
    """
    if hole is None or gauge.sides == "either":
        return None
    if hole.way == "across":
        return 1
    return 0 if gauge.cast_on == "first" else knitted_hole(gauge, hole, inset_mm).counts


def step_along(gauge: GaugeWish, length_mm: float) -> float:
    """How long one row or stitch is that is counted along a line, in mm.

    A band that is picked up takes whole stitches over the whole edge, so that they count alike from both its ends.
    """
    return length_mm / max(1, round(length_mm / gauge.step_mm)) if gauge.line == "stitches" else gauge.step_mm


def step_of(gauge: GaugeWish, way: Literal["across", "along"]) -> float:
    """How long one of the stitches or rows is that a buttonhole takes, in mm."""
    return gauge.step_mm if way == "along" else gauge.across_mm


def whole_counts(gauge: GaugeWish, way: Literal["across", "along"], length_mm: float) -> int:
    """How many stitches or rows come nearest to a length; one at the least."""
    return max(1, round(length_mm / step_of(gauge, way)))


def counts_for_button(gauge: GaugeWish, way: Literal["across", "along"], asked_mm: float, wide_mm: float) -> int:
    """How many stitches or rows a buttonhole takes: the nearest to what its button asks for, or one less.

    Knitting gives, and a hole longer than its button asks for lets it out. So where the nearest is longer, and one less
    is still as wide as the button, that is taken (from memory of what knitters do).

    Args:
        gauge: of the knitting.
        way: of the hole.
        asked_mm: how long a cut one would be.
        wide_mm: of the button, laid flat; of a ball half the way round it.
    """
    step, counts = step_of(gauge, way), whole_counts(gauge, way, asked_mm)
    is_longer = counts * step > asked_mm + SAME_MM
    return counts - 1 if is_longer and counts > 1 and (counts - 1) * step >= wide_mm - SAME_MM else counts


def knitted_hole(gauge: GaugeWish, slit: Buttonhole, inset_mm: float) -> KnittedHole:
    """Tell a buttonhole in whole stitches or rows.

    Knitting gives, so it takes the whole number that is nearest to the button's own length (common practice), or one
    less: see `counts_for_button`.

    Args:
        gauge: of the knitting.
        slit: the buttonhole in mm.
        inset_mm: from the free edge to the closing line.

    Raises:
        EdgeError: it leaves no stitch, or no row, between itself and an edge of the band.
    """
    runs_along_line = slit.way == "along"
    step, wanted = step_of(gauge, slit.way), slit.length_mm if slit.asked_mm is None else slit.asked_mm
    counts = whole_counts(gauge, slit.way, wanted) if slit.counts is None else slit.counts
    over: Literal["stitches", "rows"] = "stitches" if runs_along_line == (gauge.line == "stitches") else "rows"
    if gauge.across is None:
        return KnittedHole(counts, over, None, None, counts * step, wanted, inset_mm - _from_line_mm(slit))
    before = before_hole(gauge, slit, inset_mm)
    after = gauge.across - before - (0 if runs_along_line else counts)
    if before < 1 or after < 1:
        band = f"{gauge.across} {'rows' if gauge.line == 'stitches' else 'stitches'}"
        raise EdgeError(
            f"a buttonhole over {counts} {over} leaves nothing of a band of {band} beside it, {beside(before, after)}",
            where=in_section("gauge", "across"),
            mend="Take a smaller button or a wider band, or let the hole run along the band.",
        )
    return KnittedHole(counts, over, before, after, counts * step, wanted, before * gauge.across_mm)


def beside(before: int, after: int) -> str:
    """What a band has on both sides of a hole, in words that add up: less than none is how far it reaches past it."""
    if before < 0:
        return f"and would begin {-before} beyond its free edge"
    return (
        f"{before} before it and {after} after it"
        if after >= 0
        else f"with {before} before it, and would reach {-after} beyond the other edge"
    )


def before_hole(gauge: GaugeWish, slit: Buttonhole, inset_mm: float) -> int:
    """How many whole stitches or rows come nearest to what lies between the free edge and a hole."""
    return round((inset_mm - _from_line_mm(slit)) / gauge.across_mm)


def inset_after(gauge: GaugeWish, slit: Buttonhole, before: int) -> float:
    """How far from the free edge the closing line lies where a hole comes after so many whole stitches or rows."""
    return before * gauge.across_mm + _from_line_mm(slit)


def _from_line_mm(slit: Buttonhole) -> float:
    """How far nearer to the free edge than its closing line a hole begins."""
    return 0.0 if slit.way == "along" else slit.before_mm


def most_before(gauge: GaugeWish, slit: Buttonhole) -> int | None:
    """How many stitches or rows a band can have before a hole and one more behind it; None where its width is not told.

    Less than one where such a hole does not fit at all.
    """
    if gauge.across is None:
        return None
    wanted = slit.length_mm if slit.asked_mm is None else slit.asked_mm
    return gauge.across - 1 - (0 if slit.way == "along" else whole_counts(gauge, slit.way, wanted))


def _level_steps(gauge: GaugeWish, laps: Laps, before_mm: float, every_mm: float, first_mm: float) -> tuple[float, ...]:
    """The rows of a front lie level, from the level of the corner where it was cast on."""
    line, front = laps.line, front_rows(gauge, laps)
    count = math.floor((front.height_mm - first_mm) / every_mm + 1e-9)
    levels = [front.begun_mm + front.way * (first_mm + k * every_mm) for k in range(count + 1)]
    places = {along + before_mm for level in levels for along in line.crossings_of_level(level)}
    found = tuple(sorted(place for place in places if place <= line.length_mm))
    if not found:
        raise EdgeError(
            "no row of the front meets the closing line", where=in_section("gauge"), mend="Check rows and over."
        )
    return found


def keeps_loops(layers: Sequence[Layer], plan: Plan, catalogue: Catalogue) -> bool:
    """Whether there is a knit among layers and none of them runs where it is cut, so far as their cloths are named."""
    if plan.gauge is not None or not any("knit" in layer.structures for layer in layers):
        return False
    keep = {cloth.name for cloth in catalogue.cloths if cloth.loops_keep}
    return all("knit" not in layer.structures or layer.name in keep for layer in layers)
