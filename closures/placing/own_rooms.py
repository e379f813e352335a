"""How far closures of one row that differ keep off clear zones: each by its own rim and buttonhole.

Which mark differs is known when the row is spaced. So a row is looked for with the least that any of its closures asks
beside a zone, and each mark that would then lie too near pushes that side of its zone away. Where no such row is found,
every mark is given the most.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import EdgeError, Gathering, SpacingError
from closures.placing.buttonhole import slit_reach_mm
from closures.placing.differing import all_fasteners, differing_in
from closures.placing.meeting import PlacedZone, meet_zone
from closures.placing.stand import seam_of
from closures.spacing import Clear
from closures.spacing.reason import without_claim

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from closures.catalogue.catalogue import Catalogue
    from closures.placing.lap import Laps
    from closures.placing.placed import Placement, Prepared
    from closures.plan.plan import Plan
    from closures.spacing import Spacing

_MOST_FOR_ALL = (
    ", where each closure keeps as far off as the largest of the row: with each by its own size no row was found, "
    "and not all were tried"
)

# How far a mark may lie within the closed stretch of its own zone, by rounding: our own rule.
_ROUNDING_MM = 1e-6


def zones_of(
    plan: Plan, laps: Laps, rim_mm: float, slit_mm: tuple[float, float], catalogue: Catalogue, wrong: Gathering
) -> tuple[PlacedZone, ...]:
    """Meet all clear zones of a plan with its closing line, that of a stand's seam among them.

    Args:
        plan, laps: as of `meet_zone`.
        rim_mm, slit_mm: likewise.
        catalogue: for how far below a stand's seam a flange lies flat.
        wrong: takes what is wrong with zones that do not meet the line.
    """
    return (
        *wrong.each(lambda wish: meet_zone(wish, laps, rim_mm, slit_mm), plan.clear),
        *seam_of(plan, laps, rim_mm, catalogue.rule("ridge").value.value, slit_mm[0]),
    )


def closed_by(zones: Iterable[PlacedZone]) -> tuple[Clear, ...]:
    """The stretches of a line that zones close to the centres of closures."""
    return tuple(Clear(zone.name, low, high) for zone in zones for low, high in zone.closed_mm)


def row_by_own_rooms(prepared: Prepared, choose: Callable[[Prepared], Spacing], catalogue: Catalogue) -> Spacing:
    """Find a row whose every mark keeps off each zone by its own closure.

    What is closed begins at the least that any closure asks for. Where a mark lies in what its own closes, that side of
    that stretch is widened to it, and the row is looked for again. A row that needed none of this is the best there is.

    Args:
        prepared: with zones as wide as the most that is asked.
        choose: finds the best row of what is prepared.
        catalogue: fasteners and rules.

    Raises:
        SpacingError: no row is found, with every mark given the most either.
    """
    least = with_least_rooms(prepared, catalogue)
    if least is None:
        return choose(prepared)
    clear: tuple[Clear, ...] | None = least.wish.clear
    try:
        while clear is not None:
            row = choose(replace(least, wish=replace(least.wish, clear=clear)))
            wider = _widened(least, row, clear, catalogue)
            if wider == clear:
                # A row for which a side had to be widened is a good one, and not proved the best.
                reason = row.reason if clear == least.wish.clear else without_claim(row.reason)
                return replace(row, wish=least.wish, reason=reason)
            clear = wider
    except (SpacingError, EdgeError):
        pass
    try:
        row = choose(prepared)
    except SpacingError as error:
        error.faults = tuple(replace(fault, what=f"{fault.what}{_MOST_FOR_ALL}") for fault in error.faults)
        raise
    return replace(row, wish=least.wish, reason=without_claim(row.reason))


def has_rooms_of_their_own(placement: Placement) -> bool:
    """Whether closures that differ keep off clear zones by different amounts, so that rows are found as told above."""
    return bool(placement.plan.differs and placement.zones)


def with_least_rooms(prepared: Prepared, catalogue: Catalogue) -> Prepared | None:
    """Give every mark the least room beside a zone that any closure of its row asks for.

    Args:
        prepared: with zones as wide as the most that is asked.
        catalogue: fasteners and rules.

    Returns:
        None where all ask for the same, or where its zones were changed since.
    """
    plan = prepared.plan
    if not plan.differs or prepared.wish.clear != closed_by(prepared.zones):
        return None
    set_in_it = (plan.closure, *(one.closure(plan.closure) for one in plan.differs))
    fasteners = all_fasteners(plan, catalogue)
    reaches = [slit_reach_mm([one], plan, catalogue) for one in zip(set_in_it, fasteners, strict=True)]
    slit_mm = min(before for before, _ in reaches), min(after for _, after in reaches)
    rim_mm = min(fastener.rim_mm for fastener in fasteners)
    clear = _closed_to(prepared, rim_mm, slit_mm, catalogue)
    return None if clear == prepared.wish.clear else replace(prepared, wish=replace(prepared.wish, clear=clear))


def _widened(
    prepared: Prepared, row: Spacing, clear: tuple[Clear, ...], catalogue: Catalogue
) -> tuple[Clear, ...] | None:
    """What a row was spaced by, each side wide enough for the mark that lies there too near to a zone by its own.

    The same where every mark keeps off; None where stretches that its own closes are not those that were closed.

    Raises:
        EdgeError: what differs is told of marks that the row does not have.
    """
    plan, wider = prepared.plan, list(clear)
    for one in differing_in(plan, row, prepared.anchors, prepared.laps.garment.ends, catalogue):
        slit_mm = slit_reach_mm([(one.closure, one.fastener)], plan, catalogue)
        own = _closed_to(prepared, one.fastener.rim_mm, slit_mm, catalogue)
        if len(own) != len(clear):
            return None
        for i, zone in enumerate(own):
            for place in (row.positions_mm[n - 1] for n in one.marks):
                if zone.low_mm + _ROUNDING_MM < place < zone.high_mm - _ROUNDING_MM:
                    wider[i] = _pushed(wider[i], zone, is_before=place <= clear[i].low_mm + _ROUNDING_MM)
    return tuple(wider)


def _pushed(zone: Clear, own: Clear, *, is_before: bool) -> Clear:
    if is_before:
        return replace(zone, low_mm=min(zone.low_mm, own.low_mm))
    return replace(zone, high_mm=max(zone.high_mm, own.high_mm))


def _closed_to(
    prepared: Prepared, rim_mm: float, slit_mm: tuple[float, float], catalogue: Catalogue
) -> tuple[Clear, ...]:
    """What all zones close to the centres of closures of one size."""
    wrong = Gathering()
    zones = zones_of(prepared.plan, prepared.laps, rim_mm, slit_mm, catalogue, wrong)
    wrong.raise_if_any()
    return closed_by(zones)
