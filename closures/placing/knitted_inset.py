"""Where a knitted buttonhole can lie across its band: whole stitches, or whole rows, from the free edge.

An inset that is told in mm hardly ever falls on them. The closing line goes where the nearest hole can be knitted, on
both laps, so that the sheets, the list to knit by and the sewn-on button have one place. The laps overlap as told.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.buttonhole import buttonhole_for
from closures.placing.column import hidden_wish
from closures.placing.differing import fastener_of
from closures.placing.knitted import knitted_hole, most_before

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.buttonhole import Buttonhole
    from closures.plan.band import BandWish
    from closures.plan.column import ColumnWish
    from closures.plan.gauge import GaugeWish
    from closures.plan.plan import Plan


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
    is_told = band.is_inset_told or band.is_under_inset_told
    inset = _knitted_mm(gauge, slit, band.inset_mm if is_told else _with_room_mm(gauge, slit, band.inset_mm))
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
    before = knitted_hole(gauge, slit, inset_mm).before or 0
    return before * gauge.across_mm + (0.0 if slit.way == "along" else slit.before_mm)


def _with_room_mm(gauge: GaugeWish, slit: Buttonhole, inset_mm: float) -> float:
    """The inset nearest to one that nobody told, at which something is knitted between the hole and the band's seam."""
    most = most_before(gauge, slit)
    if most is None or most < 1:
        return inset_mm
    return min(inset_mm, most * gauge.across_mm + (0.0 if slit.way == "along" else slit.before_mm))


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
        f"A knitted buttonhole {hole} after whole {what} from the free edge: {', and '.join(moved)} (geometry). To "
        "change it: inset under [band], or across under [gauge].",
    )
