"""Which way buttonholes beside a row run, where a plan does not tell it: of a hidden button, of a single one.

They are pulled as the row is, so that they run as its own do; beside a row that has none, such as one of snaps, across
where it pulls, as on a coat or a waistband.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.offered import at_least
from closures.placing.buttonhole import buttonhole_for
from closures.placing.column import hidden_wish
from closures.placing.differing import fastener_of
from closures.placing.shrinkage import as_measured, banded
from closures.placing.usual_gap import is_of_coat_cloth
from closures.placing.usual_row import Usual
from closures.plan.ends import closes_a_neck

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.plan.closure import ClosureWish
    from closures.plan.plan import Plan

Way = Literal["along", "across"]

MOST_OF_A_BAND_MM = 100.0
"""A waistband told as laps is no higher, and a front or a back is no shorter: our own rule."""
_AT_A_WAIST = ("front", "back", "left side", "right side")


def is_short_band(plan: Plan, length_mm: float) -> bool:
    """Whether a row may be the one closure of a waistband that is told as laps, along its height."""
    wish = plan.garment
    opens = None if wish is None else wish.opens
    is_neck = wish is not None and wish.ends is not None and closes_a_neck(wish.ends)
    is_there = opens is None or opens in _AT_A_WAIST
    return is_there and plan.gauge is None and length_mm <= MOST_OF_A_BAND_MM and not is_neck


def with_ways_beside(
    plan: Plan, row: Fastener, catalogue: Catalogue, length_mm: float, unwashed: float = 1.0
) -> tuple[Plan, tuple[str, ...]]:
    """Fill in which way the buttonholes beside a row run.

    Args:
        plan: with a band, its insets and the way of the row's own buttonholes settled.
        row: the closure of the row.
        catalogue: where the lengths of buttonholes come from.
        length_mm: of the closing line.
        unwashed: as of `with_usual_way`.

    Returns:
        The plan, and a line for each that was filled in.
    """
    told: list[str] = []
    band, column = plan.band, plan.column
    if band is None:
        return plan, ()

    def way_of(closure: ClosureWish, inset_mm: float, section: str, nth: int, key: str) -> Way | None:
        fastener = fastener_of(closure, catalogue, section, nth)
        if fastener.mark.buttonhole_lap is None:
            return None
        way, why, source = _way(plan, row, catalogue, length_mm)
        short = -_room_mm(plan, closure, fastener, inset_mm, catalogue, unwashed) if way == "across" else 0.0
        if short > 0:
            by, _ = as_measured(plan)
            narrow = at_least(short * unwashed * by, plan.units)
            way, why = "along", f"since the band is {narrow} too narrow beside it for one across"
        what = f"The buttonhole of {closure.kind} {closure.size} beside the row runs {way} its line, {why}"
        told.append(Usual(what, source, key).told)
        return way

    singles = tuple(
        one
        if one.hole is not None
        else replace(
            one,
            hole=way_of(
                one.closure(plan.closure),
                band.inset_mm if one.inset_mm is None else one.inset_mm,
                "single",
                nth,
                "hole under [[single]]",
            ),
        )
        for nth, one in enumerate(plan.singles, start=1)
    )
    if column is not None and column.inner is not None and column.inner.hole is None:
        wish, inset = hidden_wish(plan.closure, column.inner), band.inset_mm + column.apart_mm
        hole = way_of(wish, inset, "column", 0, "hole within inner under [column]")
        column = replace(column, inner=replace(column.inner, hole=hole))
    return replace(plan, singles=singles, column=column), tuple(told)


def _way(plan: Plan, row: Fastener, catalogue: Catalogue, length_mm: float) -> tuple[Way, str, str]:
    """Which way such a hole runs where there is room, why, and where that comes from."""
    if row.mark.buttonhole_lap is not None and plan.closure.hole is not None:
        return plan.closure.hole, "as the row's own do", "common practice"
    source = f"published: {catalogue.source('NMSU231').text}"
    is_flat = plan.garment is not None and plan.garment.opens == "flat"
    if not is_flat and (plan.column is not None or is_of_coat_cloth(plan, catalogue)):
        return "across", "as a coat has them, where it pulls", source
    if is_short_band(plan, length_mm):
        return "across", "as a waistband has them, where it pulls", source
    return "along", "as on the band of a shirt", source


def _room_mm(
    plan: Plan, closure: ClosureWish, fastener: Fastener, inset_mm: float, catalogue: Catalogue, unwashed: float
) -> float:
    """What the worn lap has to spare beyond a hole across and a little cloth; negative where it lacks."""
    across = replace(plan, closure=replace(closure, hole="across"), shrinkage=None)
    hole, least = buttonhole_for(fastener, across, catalogue), catalogue.rule("ridge").value.value
    if plan.band is None or hole is None:
        return 0.0
    band, inset = banded(plan.band, 1.0 / unwashed), inset_mm / unwashed
    near, wide = inset, band.width_mm
    if fastener.mark.buttonhole_lap == "under":
        near, wide = band.inset_mm + band.under_inset_mm - inset, band.under_width_mm
    return min(near - hole.before_mm, wide - near - hole.after_mm) - least
