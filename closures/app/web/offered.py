"""The offers of a swap side by side: the front before and after each, and what decides between them."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.web.wording import of_a_placed
from closures.frozen import frozen
from closures.lengths import format_length
from closures.report.offers import failed_in_words, to_buy, told_in_words

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap

_FRONT = re.compile(r"front-(\d{1,3})\.svg")
_RESULTS = {"pass": "✓ every check passes", "warn": "! something to look at", "fail": "✕ a check fails"}


@frozen
class Shown:
    """One offer as the page shows it.

    Attributes:
        n: its number.
        name, why: what it is, and what for.
        is_taken: it is the one in hand.
        is_recommended: it is the one that is taken where nobody chooses.
        result: pass, warn or fail.
        verdict: the same in words.
        front: the file of its picture.
        seen: what that picture shows.
        decides: what tells it from the others; each with ``fail`` where it is against it.
        work: all that is to be done for it.
        same: the other offers that come to the same here, by number and name.
    """

    n: int
    name: str
    why: str
    is_taken: bool
    is_recommended: bool
    result: str
    verdict: str
    front: str
    seen: str
    decides: tuple[tuple[str, str], ...]
    work: tuple[str, ...]
    same: tuple[str, ...] = ()


def offers_shown(swap: Swap | None) -> tuple[Shown, ...]:
    """Tell every offer, those that come to the same once; none where nothing is swapped.

    Of several that are one row with one work the one in hand stands for all, else the one that is recommended.
    """
    if swap is None:
        return ()
    alike: dict[object, list[Shown]] = {}
    for offer in swap.offers:
        shown = _shown(swap, offer)
        alike.setdefault((_row_of(offer), shown.result, shown.decides, shown.work), []).append(shown)
    found = []
    for group in alike.values():
        first = max(group, key=lambda one: (one.is_taken, one.is_recommended, -one.n))
        same = tuple(f"{one.n}. {one.name}" for one in group if one is not first)
        is_recommended = any(one.is_recommended for one in group)
        found.append(replace(first, same=same, is_recommended=is_recommended))
    return tuple(sorted(found, key=lambda one: one.n))


def _row_of(offer: Offer) -> tuple[object, ...]:
    """Where an offer has its closures, and which."""
    marks = offer.placement.all_marks
    return tuple((round(mark.along_mm, 2), offer.placement.fastener_of(mark.n)) for mark in marks)


def _shown(swap: Swap, offer: Offer) -> Shown:
    from closures.drawing.extras.worn_front import front_in_words

    plan = offer.placement.plan
    return Shown(
        offer.n,
        of_a_placed(offer.name, plan),
        of_a_placed(offer.why, plan),
        offer.n == swap.taken,
        offer.n == swap.recommended,
        offer.result,
        _RESULTS[offer.result],
        f"front-{offer.n}.svg",
        front_in_words(swap.take(offer.n)),
        _decides(swap, offer),
        tuple(of_a_placed(text, plan) for text in offer.changes),
    )


def _decides(swap: Swap, offer: Offer) -> tuple[tuple[str, str], ...]:
    """What decides: fixed places met or missed, holes to close and left in sight, gaps, what to buy, what fails."""
    spacing, plan = offer.placement.spacing, offer.placement.plan
    units = plan.units
    missed = [n for n, anchor in enumerate(offer.anchors) if not anchor.is_met]
    # The anchors stand first; what follows them is told because it is otherwise.
    rows = [
        ("fail" if n in missed or n >= len(offer.anchors) else "", of_a_placed(line, plan))
        for n, line in enumerate(told_in_words(offer))
    ]
    if swap.old.made and swap.old.holes:
        closed, seen = len({clash.hole for clash in offer.overlaps}), len(offer.in_sight)
        told = f"Old holes to close and back, in the way of a closure: {closed or 'none'}"
        rows.append(("", f"{told}; old holes in sight afterwards, sewn shut: {seen or 'none'}."))
    count = len(offer.placement.marks)
    gaps = f", largest gap {format_length(spacing.largest_mm, units)}" if count > 1 else ""
    rows.append(("", f"Closures: {count}{gaps}."))
    rows += [("", to_buy(offer))] if to_buy(offer) else []
    return (*rows, *(("fail", of_a_placed(text, plan)) for text in failed_in_words(offer)))


def offer_picture(name: str, answer: Answer) -> bytes | None:
    """Draw a picture of offers by its file name; None where it is none."""
    found = _FRONT.fullmatch(name)
    if answer.swap is None or (found is None and name != "offers.svg"):
        return None
    if found is None:
        from closures.app.job import offers_picture

        return offers_picture(answer)
    n = int(found[1])
    if not 1 <= n <= len(answer.swap.offers):
        return None
    from closures.drawing.extras.worn_front import draw_worn_front

    return draw_worn_front(answer.swap.take(n))
