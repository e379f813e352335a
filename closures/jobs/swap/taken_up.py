"""Old round holes that the hole of a new part takes up whole: nothing of them is left to be closed or backed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.jobs.swap.covers import keeps_needle_holes_where_old
from closures.lengths import SAME_MM
from closures.series import numbered

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.catalogue.values import Fastener, LapName
    from closures.jobs.swap.offer import Offer, Shop
    from closures.placing.placement import Placement


def taken_up(shop: Shop, placement: Placement) -> frozenset[tuple[int, int, LapName]]:
    """Mark, hole and lap where the hole that is made for a new part is as wide as the old one or wider, and round it.

    So it is in leather and coated cloth, which do not fray: the old hole is opened to the new one's width (common
    practice). The threads round one in other cloth are worn, and are backed.

    Args:
        shop: what offers are made from.
        placement: the row.
    """
    new, old = placement.fastener, shop.old
    if not old.made or not keeps_needle_holes_where_old(shop.prepared.plan, new, old, shop.catalogue):
        return frozenset()
    return frozenset(
        (mark.n, hole.n, hole.lap)
        for hole in old.holes
        if hole.slit is None
        for mark in placement.on(hole.lap)
        if hole.farthest_mm(mark.at) <= made_for(new, hole.lap) / 2 + SAME_MM
    )


def made_for(new: Fastener, lap: LapName) -> float:
    """Least diameter in mm of the hole that is made in a lap for a part; 0 where none is."""
    if new.leaves.on(lap) != "hole" or new.hole is None or new.hole.diameter is None:
        return 0.0
    return new.hole.diameter.value


def taken_up_in_words(shop: Shop, offer: Offer) -> Iterator[str]:
    """Say which old holes new parts take up."""
    found = taken_up(shop, offer.placement) if not offer.placement.staying else frozenset()
    by_lap = {lap: sorted({n for _, n, at in found if at == lap}) for lap in ("over", "under")}
    laps = [lap for lap, holes in by_lap.items() if holes]
    if not laps:
        return
    if len(laps) == 2 and by_lap["over"] != by_lap["under"]:
        told = " and ".join(f"{numbered('hole', by_lap[lap])} of the {lap} lap" for lap in laps)
    else:
        told = f"{numbered('hole', by_lap[laps[0]])} ({' and '.join(f'{lap} lap' for lap in laps)})"
    wide = made_for(offer.placement.fastener, "over" if laps[0] == "over" else "under")
    old_mm = max(hole.length_mm for hole in shop.old.holes if hole.slit is None)
    many = len({n for _, n, _ in found}) > 1
    does = "is as wide as the new part asks for" if math.isclose(wide, old_mm) else f"is opened to {shop.show(wide)}"
    yield f"Old {told}: {'each' if many else 'it'} {does}, and the new part fills it: no patch goes behind it."
