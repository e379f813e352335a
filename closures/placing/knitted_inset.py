"""Where a knitted buttonhole can lie across its band: whole stitches, or whole rows, from the free edge.

An inset that is told in mm hardly ever falls on them. The closing line goes where the nearest hole can be knitted, on
both laps, so that the sheets, the list to knit by and the sewn-on button have one place. The laps overlap as told.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.lengths import format_length, parse_length
from closures.placing.buttonhole import buttonhole_for
from closures.placing.column import hidden_wish
from closures.placing.differing import fastener_of
from closures.placing.knitted import before_hole, beside, inset_after, knitted_hole, most_before, whole_counts
from closures.said import to_change

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.buttonhole import Buttonhole
    from closures.plan.band import BandWish
    from closures.plan.column import ColumnWish
    from closures.plan.gauge import GaugeWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units


def with_knitted_insets(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[Plan, tuple[str, ...]]:
    """Move the closing lines to where their buttonholes can be knitted, where the plan tells how wide the band is.

    Args:
        plan: with a band, and the way of its buttonholes settled.
        fastener: the closure of the row.
        catalogue: where the lengths of buttonholes come from.

    Returns:
        The plan, and what was moved: a line, or none.

    Raises:
        EdgeError: a buttonhole leaves nothing of the band beside it.
    """
    gauge, band, edge = plan.gauge, plan.band, plan.edge
    slit = buttonhole_for(fastener, plan, catalogue)
    if gauge is None or gauge.across is None or band is None or slit is None or edge is None or edge.line is not None:
        return plan, ()
    _refuse_no_room(plan, fastener, slit, catalogue)
    inset = _knitted_mm(gauge, slit, band.inset_mm)
    column, reach = plan.column, band.inset_mm + band.under_inset_mm
    if column is not None:
        if column.works:
            apart = _knitted_mm(gauge, slit, band.inset_mm + column.apart_mm) - inset
            column = replace(column, apart_mm=apart)
        under = reach - inset if band.is_under_inset_told else inset + column.apart_mm
        reach = inset + _under_column(plan, column, under, catalogue)
    own = replace(band, inset_mm=inset, under_inset_mm=reach - inset, assumes_inset=False, assumes_under_inset=False)
    return replace(plan, band=own, column=column), _told(plan, own, column, slit)


def _knitted_mm(gauge: GaugeWish, slit: Buttonhole, inset_mm: float) -> float:
    """The inset at which such a hole begins after whole stitches, or lies after whole rows."""
    return inset_after(gauge, slit, knitted_hole(gauge, slit, inset_mm).before or 0)


def _refuse_no_room(plan: Plan, fastener: Fastener, slit: Buttonhole, catalogue: Catalogue) -> None:
    """Refuse a hole that leaves nothing of its band beside it, with what would leave a stitch or a row there.

    The line of a band lies where the plan tells it or, where it tells none, in its middle: either way it is moved by no
    more than half a stitch or row, so that what is told and what is left out come to one row.

    Raises:
        EdgeError: as above.
    """
    gauge, band = plan.gauge, plan.band
    if gauge is None or gauge.across is None or band is None:
        return
    taken = 0 if slit.way == "along" else whole_counts(gauge, slit.way, slit.length_mm)
    before = before_hole(gauge, slit, band.inset_mm)
    if before >= 1 and gauge.across - before - taken >= 1:
        return
    what = "rows" if gauge.line == "stitches" else "stitches"
    raise EdgeError(
        f"a buttonhole over {taken or 1} {what} leaves nothing of a band of {gauge.across} {what} beside it, "
        f"{beside(before, gauge.across - before - taken)}",
        where=in_section("gauge", "across"),
        mend=_ways_out(band, gauge, fastener, slit, catalogue, plan.units),
    )


def _ways_out(
    band: BandWish, gauge: GaugeWish, fastener: Fastener, slit: Buttonhole, catalogue: Catalogue, units: Units
) -> str:
    """What would leave room beside a hole, each so that the closure still holds behind the edge of its lap."""
    taken = 0 if slit.way == "along" else whole_counts(gauge, slit.way, slit.length_mm)
    holds_mm = fastener.rim_mm + catalogue.rule("edge fail extra").value.value
    across, step = gauge.across or 0, gauge.across_mm
    ways = []

    def lies_in(wide: int) -> int | None:
        """What lies before the hole in a band so wide; None where it does not fit."""
        before = before_hole(gauge, slit, band.inset_mm if band.is_inset_told else wide * step / 2)
        is_held = band.is_inset_told or inset_after(gauge, slit, before) >= holds_mm
        return before if before >= 1 and wide - before - taken >= 1 and is_held else None

    wide = next((n for n in range(across + 1, across + 1 + 2 * max(taken, 2)) if lies_in(n) is not None), None)
    if wide is not None:
        size = format_length(wide * step, units)
        ways.append(f"knit a band of {wide} or more, {size} wide, and write that as across and [band] width")
    fits = across - 1 - before_hole(gauge, slit, band.inset_mm)
    if 1 <= fits < taken:
        ways.append(f"take a smaller button, whose hole takes {fits} or fewer")
    most = most_before(gauge, slit)
    if most is not None and most >= 1 and inset_after(gauge, slit, most) >= holds_mm:
        inset = format_length(inset_after(gauge, slit, most), units)
        if before_hole(gauge, slit, float(parse_length(inset))) == most:
            ways.append(f'lay the line {most} before the hole, by inset = "{inset}" under [band]')
    if slit.way == "across":
        ways.append('let the hole run along the band, by hole = "along" under [closure]')
    told = "; ".join(ways[:-1]) + ("; or " if ways[1:] else "") + "".join(ways[-1:])
    return f"{told[:1].upper()}{told[1:]}."


def _under_column(plan: Plan, column: ColumnWish, under_mm: float, catalogue: Catalogue) -> float:
    """How far the under lap reaches past the row: its own band holds the hidden closure's hole, level with a column."""
    if plan.gauge is None or column.inner is None:
        return under_mm
    closure = hidden_wish(plan.closure, column.inner)
    slit = buttonhole_for(fastener_of(closure, catalogue), replace(plan, closure=closure), catalogue)
    return under_mm if slit is None else column.apart_mm + _knitted_mm(plan.gauge, slit, under_mm - column.apart_mm)


def _told(plan: Plan, own: BandWish, column: ColumnWish | None, slit: Buttonhole) -> tuple[str, ...]:
    gauge, band, units = plan.gauge, plan.band, plan.units
    if gauge is None or band is None:
        return ()
    lay, lie, under = (format_length(mm, units) for mm in (band.inset_mm, own.inset_mm, own.under_inset_mm))
    moved = []
    if lie != lay:
        moved.append(
            f"the closing line lies {lie} from the over lap's edge and {under} from the under lap's, not "
            f"{lay} from the over lap's"
        )
    if plan.column is not None and column is not None:
        far, near = (format_length(one.apart_mm, units) for one in (plan.column, column))
        if far != near:
            moved.append(f"the columns lie {near} apart, not {far}")
    if not moved:
        return ()
    what = "rows" if gauge.line == "stitches" else "stitches"
    hole = "begins" if slit.way == "across" else "lies"
    return (
        f"A knitted buttonhole {hole} after whole {what} from the free edge: {', and '.join(moved)} (geometry)."
        + to_change("inset under [band], or across under [gauge]"),
    )
