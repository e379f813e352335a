"""A swap as a part of the page: the offer in hand, and the others beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.swap_facts import removal_of_old
from closures.lengths import format_length
from closures.report.offers import holes_in_words
from closures.report.telling import number_of
from closures.series import runs_of

if TYPE_CHECKING:
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.swap import Swap
    from closures.plan.top import Units

_TOUCHES_MM = 0.05
"""What is told as 0.0 mm: an old hole so near, or so little under, touches."""


def swap_page(swap: Swap) -> str:
    """Write what is swapped, what is to be done, and what else could be done, in Markdown."""
    sections = (_cannot(swap), _taken(swap), _others(swap), _laps(swap))
    return "\n\n".join(section for section in sections if section)


def _cannot(swap: Swap) -> str:
    if not swap.cannot:
        return ""
    rows = ["## This swap cannot work as it stands", "", "Every offer fails a check.", ""]
    rows += [f"- {text}" for text in swap.cannot]
    rows += [
        "",
        "Tried, and this would make it work:" if swap.would else "No single change that was tried mends it.",
        "",
    ]
    return "\n".join([*rows, *(f"- {text}" for text in swap.would)]).rstrip()


def _what_becomes(swap: Swap) -> str:
    """How many of the old closures stay, and how many come off; on a pattern, how many are struck out."""
    total, gone = len(swap.old.places_mm), len(swap.offer.come_off) or len(swap.offer.struck)
    stay, told = total - gone, f"{total} × {swap.old.fastener.name}"
    are = "is" if gone == 1 else "are"
    parts = [] if not stay else [f"{'all ' if stay == total > 1 else f'{stay} ' if gone else ''}{_verb('stay', stay)}"]
    if gone:
        off = _verb("come", gone) + " off" if swap.old.made else f"{are} struck out"
        parts.append(f"{gone} {off}" if stay else off)
    return f"{told}{':' if len(parts) > 1 or stay == total > 1 else ''} {', '.join(parts)}"


def _verb(word: str, count: int) -> str:
    return f"{word}s" if count == 1 else word


def _taken(swap: Swap) -> str:
    offer, old = swap.offer, swap.old
    rows = [
        f"## The swap: offer {offer.n}, {offer.name}",
        "",
        f"{_what_becomes(swap)}{f' ({holes_in_words(swap)})' if old.holes else ''}.",
        "",
    ]
    if swap.lengthened:
        units = offer.placement.plan.units
        by, at = (format_length(mm, units) for mm in (swap.lengthened.by_mm, swap.lengthened.at_mm))
        rows += [f"The pattern is {by} longer, cut straight across at {at} along; what lies below moved down.", ""]
    rows += [f"{i}. {text}" for i, text in enumerate(offer.changes, 1)]
    if offer.come_off:
        rows += ["", f"**To take an old one off:** {removal_of_old(swap)}"]
    return "\n".join(rows)


def _others(swap: Swap) -> str:
    units = swap.offer.placement.plan.units
    rows = [
        "## All offers",
        "",
        f"| offer | | count | along, {units} | largest gap, {units} | anchors missed | old holes in the way | checks |",
        "|---:|---|---:|---|---:|---|---|---|",
    ]
    rows += [_row(swap, offer) for offer in swap.offers]
    if any(offer.overlaps for offer in swap.offers):
        rows += ["", "In the way: an old hole, and how it lies to the nearest new rim or buttonhole."]
    rows += ["", *(f"- Not offered, {no.name}: {no.why}" for no in swap.not_offered)]
    return "\n".join(rows).rstrip()


def _row(swap: Swap, offer: Offer) -> str:
    units = offer.placement.plan.units
    name = offer.name + (f" (same places as {offer.same_as})" if offer.same_as else "")
    name += " **in hand**" if offer.n == swap.taken else ""
    missed = ", ".join(anchor.name.replace("|", "/") for anchor in offer.anchors if not anchor.is_met) or "none"
    nearest: dict[int, float] = {}
    for clash in offer.overlaps:
        nearest[clash.hole] = min(clash.distance_mm, nearest.get(clash.hole, clash.distance_mm))
    alike: dict[str, list[int]] = {}
    for hole, mm in nearest.items():
        alike.setdefault(_in_the_way(mm, units), []).append(hole)
    holes = "; ".join(f"{runs_of(those)}: {told}" for told, those in alike.items()) or "none"
    places = ", ".join(number_of(place, units) for place in offer.places_mm)
    word = {"pass": "good", "warn": "look", "fail": "FAIL"}[offer.result]
    return (
        f"| {offer.n} | {name} | {len(offer.places_mm)} | {places} "
        f"| {number_of(offer.placement.spacing.largest_mm, units)} | {missed} | {holes} | {word} |"
    )


def _in_the_way(mm: float, units: Units) -> str:
    """How an old hole lies to the nearest new rim or buttonhole, in words, its figure never below 0."""
    told = format_length(abs(mm), units)
    return "touches it" if abs(mm) < _TOUCHES_MM else f"{told} under it" if mm < 0 else f"{told} from it"


def _laps(swap: Swap) -> str:
    from closures.jobs.swap.needs import needs_in_words

    rows = ["## The laps, and how the opening pulls", ""]
    needs = () if swap.offer.placement.sets_nothing else swap.needs
    rows += [f"- {needs_in_words(need, swap.old.made, swap.offer.placement.plan.units)}" for need in needs]
    rows.append(f"- {swap.pull}")
    if needs:
        rows += [
            "",
            "| from the closing line to the finished edge | mm | met | where it comes from |",
            "|---|---:|---|---|",
        ]
        rows += [
            f"| {floor.text} | {floor.mm:.2f} | {'yes' if floor.is_met else 'no'} | {floor.source} |"
            for floor in min(needs, key=lambda need: need.have_mm).floors
        ]
    return "\n".join(rows)
