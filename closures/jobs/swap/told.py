"""What a plan of a swap tells of its row, and an offer that keeps old places does not keep to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.jobs.swap.words import counted
from closures.lengths import TOLD_ALIKE_MM
from closures.placing.told_pitch import misses_pitch
from closures.said import to_both
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.jobs.swap.offer import Offer, Shop

KEPT_PLACES = "kept places"
"""The rule of what is told and not kept."""


def told_otherwise(shop: Shop, offer: Offer) -> Iterator[Finding]:
    """Look at a count, at gaps, and at room at the ends, that the plan tells and an offer has otherwise.

    A gap that is told is a wish: it is missed from where a row of ten has one closure more or fewer by it.

    Args:
        shop: what offers are made from.
        offer: one of them.

    Yields:
        A look for each; nothing for what the plan leaves as is usual.
    """
    prepared, wish = shop.prepared, shop.prepared.wish
    usual = {one.key for one in prepared.usual}
    places = offer.places_mm
    told, has = [], []
    if wish.count is not None and "count" not in usual and wish.count != len(places):
        told.append(counted(wish.count, "closure"))
        has.append(str(len(places)))
    gaps, pitch_mm = offer.placement.spacing.gaps_mm, wish.pitch_mm
    if pitch_mm is not None and "pitch" not in usual and gaps:
        # A narrower one holds what a wider one may let gape.
        largest = max(gaps)
        if largest > pitch_mm and misses_pitch(largest, pitch_mm, prepared.plan.spacing, shop.catalogue):
            told.append(f"gaps of {shop.show(pitch_mm)}")
            has.append(f"one of {shop.show(largest)}")
    ends = (
        ("first", wish.ends[0], wish.first, places[0]),
        ("last", wish.ends[1], wish.last, wish.length_mm - places[-1]),
    )
    for key, end, (least, most), room in ends:
        if key not in usual and not least - TOLD_ALIKE_MM <= room <= most + TOLD_ALIKE_MM:
            span = shop.show(least) if most - least < TOLD_ALIKE_MM else f"{shop.show(least)} to {shop.show(most)}"
            told.append(f"{span} between the {key} closure and the {end}")
            has.append(shop.show(room))
    if told:
        text = (
            f"You told {in_a_row(told)}; this offer has {in_a_row(has)}, by the places that it keeps. "
            "Take another offer where that counts, or leave open what the old places give."
        )
        yield Finding(KEPT_PLACES, "warn", to_both(text), "common practice")
