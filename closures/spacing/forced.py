"""A row that cannot look even: which stretch forces it, and what would end it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.spacing.choice import best_row, can_look_even
from closures.spacing.mending import End, anchor_offers, clear_offers, end_offers
from closures.spacing.reason import unmet_pitch
from closures.spacing.unlike import closed_in
from closures.spacing.wish import Show, Wish


@frozen
class Forced:
    """The stretch of equal gaps that is furthest from the gap wanted.

    Attributes:
        gap_mm: each of its gaps.
        wanted_mm: the pitch, or with a count the mean of all gaps.
        first, last: index of the closures at its two ends.
        holds: what holds these two, each in words with its place; what is not held is left out.
        rules: the same as (what, index into the wish): ("first", 0), ("last", 0), ("anchor", 1), ("clear", 0); a limit
            of all gaps that the pitch lies past stands alone, as ("closest", 0) or ("widest", 0).
    """

    gap_mm: float
    wanted_mm: float
    first: int
    last: int
    holds: tuple[str, ...]
    rules: tuple[tuple[str, int], ...]


def unlike_by(places: Sequence[float]) -> float:
    """How much the widest gap of a row is wider than its narrowest; for two closures or more."""
    gaps = [after - before for before, after in pairwise(places)]
    return max(gaps) - min(gaps)


def looks_even(wish: Wish, places: tuple[float, ...]) -> bool:
    """Tell whether a row looks even: no gap too far from the one wanted, and all gaps much alike."""
    gaps = [after - before for before, after in pairwise(places)]
    if not gaps:
        return wish.pitch_mm is None or abs(wish.length_mm - wish.pitch_mm) <= wish.even_departure * wish.pitch_mm
    wanted = wish.pitch_mm or sum(gaps) / len(gaps)
    departure = max(abs(gap - wanted) for gap in gaps)
    is_near = departure <= wish.even_departure * wanted + SAME_MM
    return is_near and unlike_by(places) <= wish.even_spread * wanted + SAME_MM


def forced_stretch(wish: Wish, places: tuple[float, ...], show: Show) -> Forced:
    """Find the stretch that is furthest from the gap wanted, and what holds its ends; for two closures or more."""
    gaps = [after - before for before, after in pairwise(places)]
    wanted = wish.pitch_mm or sum(gaps) / len(gaps)
    furthest = max(abs(gap - wanted) for gap in gaps)
    # Of stretches that are as far off the first, whatever the last digits say.
    first = last = next(i for i, gap in enumerate(gaps) if abs(gap - wanted) >= furthest - SAME_MM)
    while first > 0 and abs(gaps[first - 1] - gaps[first]) <= SAME_MM:
        first -= 1
    while last < len(gaps) - 1 and abs(gaps[last + 1] - gaps[last]) <= SAME_MM:
        last += 1
    held = [rule for mark in (first, last + 1) for rule in _holding(wish, places, mark)]
    # A pitch that no gap may have is the reason, wherever the row begins and ends.
    rules = _limits(wish) or tuple(dict.fromkeys(held))
    holds = tuple(dict.fromkeys(_in_words(wish, places, rule, show) for rule in rules))
    return Forced(gaps[first], wanted, first, last + 1, holds, rules)


def what_would_end_it(wish: Wish, forced: Forced, show: Show, step_mm: float) -> Iterator[str]:
    """Give single changes with which the row could look even, each tried; those of what holds the stretch only.

    Args:
        wish: the wish of the row.
        forced: its forced stretch.
        show: writes a length for people.
        step_mm: the smallest step that `show` tells apart.
    """

    def works(changed: Wish) -> bool:
        told = can_look_even(changed)
        if told is not None:
            return told
        places = best_row(changed)
        return places is not None and looks_even(changed, places)

    for kind, index in forced.rules:
        if kind == "anchor":
            yield from (offer.words for offer in anchor_offers(wish, index, show, step_mm, works))
            anchors = (*wish.anchors[:index], *wish.anchors[index + 1 :])
            named = wish.rooms is not None and any(one.anchor == wish.anchors[index].name for one in wish.rooms.apart)
            if not named and works(replace(wish, anchors=anchors)):
                yield f"anchor {wish.anchors[index].name} left out"
        elif kind in ("closest", "widest"):
            limit = wish.closest_mm if kind == "closest" else wish.widest_mm
            if works(replace(wish, pitch_mm=limit)):
                yield f"a pitch of {show(limit)}"
        elif kind == "clear":
            yield from (offer.words for offer in clear_offers(wish, index, show, step_mm, works))
        else:
            end: End = "first" if kind == "first" else "last"
            yield from (offer.words for offer in end_offers(wish, end, show, step_mm, works))


def _limits(wish: Wish) -> tuple[tuple[str, int], ...]:
    """Give the limit of all gaps that the pitch lies past."""
    if wish.pitch_mm is None:
        return ()
    if wish.pitch_mm < wish.closest_mm - SAME_MM:
        return (("closest", 0),)
    return (("widest", 0),) if wish.pitch_mm > wish.widest_mm + SAME_MM else ()


def _holding(wish: Wish, places: tuple[float, ...], mark: int) -> Iterator[tuple[str, int]]:
    """Give the rules that a closure touches."""
    place = places[mark]
    for i, anchor in enumerate(wish.anchors):
        nearest = min(range(len(places)), key=lambda k: abs(places[k] - anchor.at_mm))
        if nearest == mark and abs(place - anchor.at_mm) >= anchor.within_mm - SAME_MM:
            yield "anchor", i
    for i, zone in enumerate(closed_in(wish, places)[mark]):
        if min(abs(place - zone.low_mm), abs(place - zone.high_mm)) <= SAME_MM:
            yield "clear", i
    if mark == 0 and min(abs(place - end) for end in wish.first) <= SAME_MM:
        yield "first", 0
    if mark == len(places) - 1 and min(abs(wish.length_mm - place - end) for end in wish.last) <= SAME_MM:
        yield "last", 0


def _in_words(wish: Wish, places: tuple[float, ...], rule: tuple[str, int], show: Show) -> str:
    kind, index = rule
    if kind in ("closest", "widest"):
        return unmet_pitch(wish, show)
    if kind == "anchor":
        return f"anchor {wish.anchors[index].name} at {show(wish.anchors[index].at_mm)}"
    if kind == "clear" and wish.rooms is not None:
        return f"clear zone {wish.clear[index].name}"
    if kind == "clear":
        zone = wish.clear[index]
        return f"clear zone {zone.name}, {show(zone.low_mm)} to {show(zone.high_mm)}"
    place = places[0] if kind == "first" else wish.length_mm - places[-1]
    called = wish.end_called("first" if kind == "first" else "last")
    return f"the {kind} closure, {show(place)} from the {called}"
