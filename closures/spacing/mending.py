"""The hard rules of a wish one by one: in words, how to leave one out, and the nearest changes to it that would do.

Every change is tried before it is offered, by a test that the caller gives; its figures are whole steps.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Literal

from closures.frozen import frozen
from closures.spacing.even import place_alone
from closures.spacing.search import counts_of
from closures.spacing.wish import Anchor, Clear, Show, Wish, with_zones

Change = Callable[[float], Wish]
Test = Callable[[Wish], bool]
End = Literal["first", "last"]
Key = Literal["count", "first", "last", "widest", "closest", "at", "within", "low", "high", "out"]


@frozen
class Offer:
    """A change to one rule.

    Attributes:
        words: what to do.
        wish: the wish with it.
        key: which figure changes: of the row; an anchor's place or freedom; an end of a clear zone, or the whole of it.
        name: of the anchor or the zone, else empty.
        index: of the anchor, from 0.
        by_mm: of an end of a zone, how much shorter the zone becomes there.
    """

    words: str
    wish: Wish
    key: Key
    name: str = ""
    index: int = 0
    by_mm: float = 0.0


@frozen
class Rule:
    """One hard rule: in words, how to leave it out, and what to offer instead; a fixed one is no plan's to change."""

    words: str
    without: Callable[[Wish], Wish]
    offers: Callable[[Wish, Test], Iterator[Offer]]
    is_fixed: bool = False


def rules_of(wish: Wish, show: Show, step: float) -> list[Rule]:
    """List the hard rules of a wish; those that rather give way stand last."""
    rules: list[Rule] = []
    if wish.count is not None:
        words = f"{wish.count} closures" if wish.count > 1 else "1 closure"
        rules.append(Rule(words, _without_count, partial(_counts, wish.count)))
    for anchor in wish.anchors:
        words = f"anchor {anchor.name} at {show(anchor.at_mm)}, met within {show(anchor.within_mm)}"

        def of_anchor(changed: Wish, works: Test, anchor: Anchor = anchor) -> Iterator[Offer]:
            return anchor_offers(changed, changed.anchors.index(anchor), show, step, works)

        rules.append(Rule(words, partial(_without_anchor, anchor), of_anchor))
    for name in dict.fromkeys(zone.name for zone in wish.clear):
        # A zone told by level may be crossed by the line more than once: it is one rule all the same.
        spans = [f"{show(zone.low_mm)} and {show(zone.high_mm)}" for zone in wish.clear if zone.name == name]
        words = f"clear zone {name}, no centre between {', nor between '.join(spans)}"
        words += ", nor as near to it as some of these closures are large" if wish.rooms is not None else ""
        rules.append(Rule(words, partial(_without_zone, name), partial(_zone_offers, name, show, step)))
    both: tuple[tuple[End, tuple[float, float]], ...] = (("first", wish.first), ("last", wish.last))
    for end, ends in both:
        words = f"the {end} closure {_range_in_words(ends, show)} from the {wish.end_called(end)}"

        def of_end(changed: Wish, works: Test, end: End = end) -> Iterator[Offer]:
            return end_offers(changed, end, show, step, works)

        rules.append(Rule(words, partial(_without_end, end), of_end))
    if wish.widest_mm < math.inf:
        words = f"no gap wider than {show(wish.widest_mm)}"
        rules.append(Rule(words, _without_widest, partial(_widest_offers, show, step)))
    if wish.closest_mm > wish.least_mm:
        words = f"no gap closer than {show(wish.closest_mm)}"
        rules.append(Rule(words, _without_closest, partial(_closest_offers, show, step)))
    if wish.least_mm > 0:
        words = f"no gap closer than the {show(wish.least_mm)} that these closures need"
        rules.append(Rule(words, _without_least, lambda wish, works: iter(()), is_fixed=True))
    return rules


def _without_count(wish: Wish) -> Wish:
    return replace(wish, count=None, pitch_mm=1.0)  # the pitch is no hard rule: any will do


def _without_anchor(anchor: Anchor, wish: Wish) -> Wish:
    return replace(wish, anchors=tuple(other for other in wish.anchors if other != anchor))


def _without_zone(name: str, wish: Wish) -> Wish:
    return with_zones(wish, lambda zones: tuple(zone for zone in zones if zone.name != name))


def _without_end(end: str, wish: Wish) -> Wish:
    return _with_end(wish, end, (0.0, wish.length_mm))


def _with_end(wish: Wish, end: str, ends: tuple[float, float]) -> Wish:
    return replace(wish, first=ends) if end == "first" else replace(wish, last=ends)


def _without_widest(wish: Wish) -> Wish:
    return replace(wish, widest_mm=math.inf)


def _without_closest(wish: Wish) -> Wish:
    return replace(wish, closest_mm=wish.least_mm)


def _without_least(wish: Wish) -> Wish:
    closest = wish.closest_mm if wish.closest_mm > wish.least_mm else 0.0
    return replace(wish, closest_mm=closest, least_mm=0.0)


def _range_in_words(ends: tuple[float, float], show: Show) -> str:
    low, high = ends
    return show(low) if low == high else f"{show(low)} to {show(high)}"


def _counts(count: int, wish: Wish, works: Test) -> Iterator[Offer]:
    """Offer the nearest counts below and above."""
    known = [1] * (place_alone(wish) is not None) + counts_of(wish)
    for others in (sorted((n for n in known if n < count), reverse=True), sorted(n for n in known if n > count)):
        for other in others:
            changed = replace(wish, count=other, pitch_mm=None)
            if works(changed):
                yield Offer(f"{other} closures" if other > 1 else "1 closure", changed, "count")
                break


def _widest_offers(show: Show, step: float, wish: Wish, works: Test) -> Iterator[Offer]:
    value = _raised(wish.widest_mm, wish.length_mm, step, lambda v: replace(wish, widest_mm=v), works)
    if value is not None:
        yield Offer(f"gaps of up to {show(value)}", replace(wish, widest_mm=value), "widest")


def _closest_offers(show: Show, step: float, wish: Wish, works: Test) -> Iterator[Offer]:
    least = max(wish.least_mm, step)
    value = _lowered(wish.closest_mm, least, step, lambda v: replace(wish, closest_mm=v), works)
    if value is not None:
        yield Offer(f"gaps down to {show(value)}", replace(wish, closest_mm=value), "closest")


def end_offers(wish: Wish, end: End, show: Show, step: float, works: Test) -> Iterator[Offer]:
    """Offer wider ranges for the first or the last closure, each tried."""
    low, high = wish.first if end == "first" else wish.last
    more = _raised(high, wish.length_mm, step, lambda v: _with_end(wish, end, (low, v)), works)
    less = _lowered(low, 0.0, step, lambda v: _with_end(wish, end, (v, high)), works)
    for least, most in ((low, more), (less, high)):
        if least is not None and most is not None:
            words = f"the {end} closure {show(least)} to {show(most)} from the {wish.end_called(end)}"
            yield Offer(words, _with_end(wish, end, (least, most)), end)


def _zone_offers(name: str, show: Show, step: float, wish: Wish, works: Test) -> Iterator[Offer]:
    """Offer a zone shorter at an end of one of its stretches, or left out."""
    stretches = [i for i, zone in enumerate(wish.clear) if zone.name == name]
    if len(stretches) == 1:
        yield from clear_offers(wish, stretches[0], show, step, works)
    elif works(_without_zone(name, wish)):
        yield Offer(f"clear zone {name} left out", _without_zone(name, wish), "out", name)


def anchor_offers(wish: Wish, index: int, show: Show, step: float, works: Test) -> Iterator[Offer]:
    """Offer another place for an anchor and more freedom about it, each tried."""
    anchor = wish.anchors[index]

    def change(at: float, within: float) -> Wish:
        changed = Anchor(anchor.name, at, within)
        return replace(wish, anchors=(*wish.anchors[:index], changed, *wish.anchors[index + 1 :]))

    most = max(abs(anchor.at_mm), abs(wish.length_mm - anchor.at_mm)) + step
    within = _raised(anchor.within_mm, most, step, lambda v: change(anchor.at_mm, v), works)
    if within is None:
        return
    # A window widened by so much reaches the nearest place that a row can use; moved by as much, likewise.
    moves = math.ceil((within - anchor.within_mm) / step - 1e-9)
    for move in range(max(moves - 1, 1), moves + 2):
        for sign, toward in zip((-1, 1), wish.ends, strict=True):
            at = anchor.at_mm + sign * move * step
            if works(change(at, anchor.within_mm)):
                words = f"anchor {anchor.name} moved {show(move * step)} toward the {toward}"
                yield Offer(words, change(at, anchor.within_mm), "at", anchor.name, index)
                break
        else:
            continue
        break
    yield Offer(
        f"anchor {anchor.name} met within {show(within)}", change(anchor.at_mm, within), "within", anchor.name, index
    )


def clear_offers(wish: Wish, index: int, show: Show, step: float, works: Test) -> Iterator[Offer]:
    """Offer a clear zone shorter at either end, or left out, each tried."""
    zone = wish.clear[index]
    without = with_zones(wish, lambda zones: (*zones[:index], *zones[index + 1 :]))
    if not works(without):
        return
    length = zone.high_mm - zone.low_mm

    def shorten(toward: str, cut: float) -> Wish:
        def shorter(one: Clear) -> Clear:
            ends = (one.low_mm + cut, one.high_mm) if toward == "first" else (one.low_mm, one.high_mm - cut)
            return Clear(one.name, *ends)

        return with_zones(wish, lambda zones: (*zones[:index], shorter(zones[index]), *zones[index + 1 :]))

    ends: tuple[tuple[str, Key], ...] = (("first", "low"), ("last", "high"))
    for (toward, key), end in zip(ends, wish.ends, strict=True):
        cut = _raised(0.0, length - step, step, partial(shorten, toward), works)
        if cut is not None:
            words = f"clear zone {zone.name} {show(cut)} shorter at its end toward the {end}"
            yield Offer(words, shorten(toward, cut), key, zone.name, by_mm=cut)
    yield Offer(f"clear zone {zone.name} left out", without, "out", zone.name)


def _raised(base: float, most: float, step: float, change: Change, works: Test) -> float | None:
    """Find the least whole step above a figure that does, where more of it never does worse."""
    begin = math.floor(base / step + 1e-9)
    return _bisect(math.ceil(most / step - 1e-9) - begin, lambda k: (begin + k) * step, change, works)


def _lowered(base: float, least: float, step: float, change: Change, works: Test) -> float | None:
    """Find the greatest whole step below a figure that does, where less of it never does worse."""
    begin = math.ceil(base / step - 1e-9)
    return _bisect(begin - math.ceil(least / step - 1e-9), lambda k: (begin - k) * step, change, works)


def _bisect(most: int, value: Callable[[int], float], change: Change, works: Test) -> float | None:
    if most < 1 or not works(change(value(most))):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        if works(change(value(middle))):
            high = middle
        else:
            low = middle
    return value(high)
