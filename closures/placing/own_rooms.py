"""How far closures of one row that differ keep off clear zones: each by its own rim and buttonhole.

Which closures differ is told by their number, by an end or by an anchor, so what is closed to each is known before the
row is spaced, and the best row is found by it: see `closures.spacing.unlike`, and `closures.spacing.steps` where the
places are given, as on the repeats of a stripe.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import Gathering
from closures.placing.buttonhole import slit_reach_mm
from closures.placing.differing import differing_in
from closures.placing.meeting import PlacedZone, meet_zone
from closures.placing.stand import seam_of
from closures.spacing import Clear
from closures.spacing.measure import measure
from closures.spacing.wish import Anchor, Apart, Rooms, Wish

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from closures.catalogue.catalogue import Catalogue
    from closures.placing.differing import Differing
    from closures.placing.lap import Laps
    from closures.placing.placed import Prepared
    from closures.plan.plan import Plan
    from closures.spacing import Spacing


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
    """Find the row whose every mark keeps off each zone by its own closure.

    Args:
        prepared: with zones as wide as the most that is asked.
        choose: finds the best row of what is prepared.
        catalogue: fasteners and rules.

    Raises:
        SpacingError: there is no such row.
        EdgeError: what differs is told of nothing that the row can have.
    """
    return choose(with_own_rooms(prepared, catalogue) or prepared)


def with_own_rooms(prepared: Prepared, catalogue: Catalogue) -> Prepared | None:
    """Give every mark the room beside zones that its own closure asks for.

    Args:
        prepared: with zones as wide as the most that is asked.
        catalogue: fasteners and rules.

    Returns:
        None where all ask for the same, or where its zones were changed since.

    Raises:
        EdgeError: what differs is told of nothing that the row can have.
    """
    plan, most = prepared.plan, prepared.wish.clear
    if not (plan.differs or _is_stand_alone_closed(plan, most)) or not most or most != closed_by(prepared.zones):
        return None
    kinds = _kinds(prepared, catalogue)
    closed = [_closed_to(prepared, kind, catalogue) for kind, _, _ in kinds]
    if all(one == most for one in closed):
        return None
    if any(len(one) != len(most) for one in closed):
        # What lies beyond an end of the line, or between two stretches of one zone, is closed to the largest alone.
        return None
    narrowest = tuple(
        Clear(zone.name, max(one[i].low_mm for one in closed), min(one[i].high_mm for one in closed))
        for i, zone in enumerate(most)
    )
    apart = tuple(Apart(marks, anchor, its) for (_, marks, anchor), its in zip(kinds[1:], closed[1:], strict=True))
    return replace(prepared, wish=replace(prepared.wish, clear=narrowest, rooms=Rooms(closed[0], apart)))


def _is_stand_alone_closed(plan: Plan, most: tuple[Clear, ...]) -> bool:
    """Whether the closure of a stand, whose place is settled, lies where the others of its row may not.

    Elsewhere it leaves the row as it is: its buttonhole runs another way, and that is all in which it differs.
    """
    return plan.stand is not None and any(zone.low_mm < plan.stand.first_mm < zone.high_mm for zone in most)


def _kinds(prepared: Prepared, catalogue: Catalogue) -> list[tuple[Differing, tuple[int, ...], str | None]]:
    """What is set in a row: its own closures, then for each mark that differs which one it is, by number or anchor.

    It is asked of a row so long that every mark that can be told of is another one.
    """
    plan, anchors = prepared.plan, prepared.anchors
    most = max((n for one in plan.differs for n in (*one.marks, one.mark or 1)), default=1)
    ends = prepared.laps.garment.ends
    count = most + len(anchors) + 2
    at = {ends[0].casefold(): 1, ends[1].casefold(): count}
    met = [at.get(anchor.name.casefold(), most + nth) for nth, anchor in enumerate(anchors, start=1)]
    # Marks a millimetre apart, with an anchor on each that one may meet.
    told = tuple(Anchor(anchor.name, float(n - 1)) for anchor, n in zip(anchors, met, strict=True))
    asked = Wish(float(count), (0.0, 0.0), (0.0, 0.0), 1.0, count=count, anchors=told)
    row = measure(asked, tuple(float(k) for k in range(count)), "")
    found: list[tuple[Differing, tuple[int, ...], str | None]] = []
    for nth, one in enumerate(differing_in(plan, row, anchors, ends, catalogue)):
        if nth == 0:
            found.append((one, (), None))
            continue
        for n in sorted(one.marks):
            if n in met and n not in (1, count):
                found.append((one, (), anchors[met.index(n)].name))
            else:
                found.append((one, (-1 if n == count else n,), None))
    return found


def _closed_to(prepared: Prepared, kind: Differing, catalogue: Catalogue) -> tuple[Clear, ...]:
    """What all zones close to the centres of closures of one kind."""
    plan, wrong = prepared.plan, Gathering()
    slit_mm = slit_reach_mm([(kind.closure, kind.fastener)], plan, catalogue)
    zones = zones_of(plan, prepared.laps, kind.fastener.rim_mm, slit_mm, catalogue, wrong)
    wrong.raise_if_any()
    return closed_by(zones)
