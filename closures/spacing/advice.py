"""When no row meets the rules: which of them conflict, and which single changes would do.

The conflict is found by leaving out one rule after another for good, as long as what is left still cannot
be met; what remains cannot be met together, and leaving out any one of them mends it. Only a change to one
of those can help, so only they are tried. Every change offered has passed the test it was made for.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from closures.errors import SpacingError
from closures.spacing.even import place_alone
from closures.spacing.reach import lay_out, reach
from closures.spacing.wish import Anchor, Clear, Show, Wish

_Change = Callable[[float], Wish]
_Test = Callable[[Wish], bool]


class NoSpacing(SpacingError):
    """No row of closures meets all the rules.

    Args:
        conflict: the rules that cannot hold together, in words; without any one of them a row exists.
        offers: single changes that would do, in words; may be empty.

    Attributes:
        conflict: likewise.
        offers: likewise.
    """

    def __init__(self, conflict: tuple[str, ...], offers: tuple[str, ...]) -> None:
        rules = "; ".join(conflict)
        what = (
            f"no row of closures can have {rules}"
            if len(conflict) == 1
            else (f"no row of closures can have all of these together: {rules}")
        )
        if not offers:
            mend = "No single change of one figure mends it; loosen two of these."
        elif len(offers) == 1:
            mend = f"This would do: {offers[0]}."
        else:
            mend = f"Any one of these would do: {'; '.join(offers)}."
        super().__init__(what, mend=mend)
        self.conflict = conflict
        self.offers = offers


@dataclass(frozen=True, slots=True)
class _Rule:
    """One hard rule: in words, how to leave it out, and what to offer instead."""

    words: str
    without: Callable[[Wish], Wish]
    offers: Callable[[], Iterator[str]]


def is_possible(wish: Wish) -> bool:
    """Tell whether any row meets the hard rules; with a pitch, any count will do."""
    if wish.count in (1, None) and place_alone(wish) is not None:
        return True
    if wish.count == 1:
        return False
    _, works = reach(lay_out(wish), wish.closest_mm, wish.widest_mm, wish.count)
    return bool(works)


def advise(wish: Wish, show: Show, step_mm: float) -> NoSpacing:
    """Make the error for a wish that no row meets.

    Args:
        wish: the wish.
        show: writes a length for people.
        step_mm: offers come in whole steps of this, rounded to the side that works.
    """
    conflict = _conflict(wish, _rules(wish, show, step_mm))
    offers = tuple(offer for rule in conflict for offer in rule.offers())
    return NoSpacing(tuple(rule.words for rule in conflict), offers)


def _conflict(wish: Wish, rules: list[_Rule]) -> list[_Rule]:
    loosened, kept = wish, []
    for rule in reversed(rules):  # so that limits give way before anchors, and anchors before the count
        without = rule.without(loosened)
        if is_possible(without):
            kept.append(rule)
        else:
            loosened = without
    return kept[::-1]


def _rules(wish: Wish, show: Show, step: float) -> list[_Rule]:
    works, rules = is_possible, []
    if wish.count is not None:
        words = f"{wish.count} closures" if wish.count > 1 else "1 closure"
        rules.append(_Rule(words, _without_count, partial(_counts, wish, wish.count)))
    for i, anchor in enumerate(wish.anchors):
        words = f"anchor {anchor.name} at {show(anchor.at_mm)}, met within {show(anchor.within_mm)}"
        rules.append(_Rule(words, partial(_without_anchor, anchor), partial(anchor_offers, wish, i, show, step, works)))
    for i, zone in enumerate(wish.clear):
        words = f"clear zone {zone.name}, no centre between {show(zone.low_mm)} and {show(zone.high_mm)}"
        rules.append(_Rule(words, partial(_without_zone, zone), partial(clear_offers, wish, i, show, step, works)))
    for end, ends in (("first", wish.first), ("last", wish.last)):
        words = f"the {end} closure {_range_in_words(ends, show)} from the {end} end"
        rules.append(_Rule(words, partial(_without_end, end), partial(end_offers, wish, end, show, step, works)))
    if wish.widest_mm < math.inf:
        words = f"no gap wider than {show(wish.widest_mm)}"
        rules.append(_Rule(words, _without_widest, partial(_widest_offers, wish, show, step, works)))
    words = f"no gap closer than {show(wish.closest_mm)}"
    rules.append(_Rule(words, _without_closest, partial(_closest_offers, wish, show, step, works)))
    return rules


def _without_count(wish: Wish) -> Wish:
    return replace(wish, count=None, pitch_mm=1.0)  # the pitch is no hard rule: any will do


def _without_anchor(anchor: Anchor, wish: Wish) -> Wish:
    return replace(wish, anchors=tuple(other for other in wish.anchors if other is not anchor))


def _without_zone(zone: Clear, wish: Wish) -> Wish:
    return replace(wish, clear=tuple(other for other in wish.clear if other is not zone))


def _without_end(end: str, wish: Wish) -> Wish:
    return _with_end(wish, end, (0.0, wish.length_mm))


def _with_end(wish: Wish, end: str, ends: tuple[float, float]) -> Wish:
    return replace(wish, first=ends) if end == "first" else replace(wish, last=ends)


def _without_widest(wish: Wish) -> Wish:
    return replace(wish, widest_mm=math.inf)


def _without_closest(wish: Wish) -> Wish:
    return replace(wish, closest_mm=0.0)


def _range_in_words(ends: tuple[float, float], show: Show) -> str:
    low, high = ends
    return show(low) if low == high else f"{show(low)} to {show(high)}"


def _counts(wish: Wish, count: int) -> Iterator[str]:
    ground = lay_out(wish)
    _, works = reach(ground, wish.closest_mm, wish.widest_mm, None, whole=True)
    works = [1] * (place_alone(wish) is not None) + works
    below = max((n for n in works if n < count), default=None)
    above = min((n for n in works if n > count), default=None)
    for other in (below, above):
        if other is not None:
            yield f"{other} closures" if other > 1 else "1 closure"


def _widest_offers(wish: Wish, show: Show, step: float, works: _Test) -> Iterator[str]:
    value = _raised(wish.widest_mm, wish.length_mm, step, lambda v: replace(wish, widest_mm=v), works)
    if value is not None:
        yield f"gaps of up to {show(value)}"


def _closest_offers(wish: Wish, show: Show, step: float, works: _Test) -> Iterator[str]:
    least = max(wish.least_mm, step)
    value = _lowered(wish.closest_mm, least, step, lambda v: replace(wish, closest_mm=v), works)
    if value is not None:
        yield f"gaps down to {show(value)}"


def end_offers(wish: Wish, end: str, show: Show, step: float, works: _Test) -> Iterator[str]:
    """Offer wider ranges for the first or the last closure, each tried."""
    low, high = wish.first if end == "first" else wish.last
    more = _raised(high, wish.length_mm, step, lambda v: _with_end(wish, end, (low, v)), works)
    less = _lowered(low, 0.0, step, lambda v: _with_end(wish, end, (v, high)), works)
    for ends in ((low, more), (less, high)):
        if None not in ends:
            yield f"the {end} closure {show(ends[0] or 0.0)} to {show(ends[1] or 0.0)} from the {end} end"


def anchor_offers(wish: Wish, index: int, show: Show, step: float, works: _Test) -> Iterator[str]:
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
        for sign, toward in ((-1, "first"), (1, "last")):
            at = anchor.at_mm + sign * move * step
            if works(change(at, anchor.within_mm)):
                yield f"anchor {anchor.name} moved {show(move * step)} toward the {toward} end"
                break
        else:
            continue
        break
    yield f"anchor {anchor.name} met within {show(within)}"


def clear_offers(wish: Wish, index: int, show: Show, step: float, works: _Test) -> Iterator[str]:
    """Offer a clear zone shorter at either end, or left out, each tried."""
    zone = wish.clear[index]
    others = wish.clear[:index], wish.clear[index + 1 :]

    def change(low: float, high: float) -> Wish:
        return replace(wish, clear=(*others[0], Clear(zone.name, low, high), *others[1]))

    if not works(replace(wish, clear=others[0] + others[1])):
        return
    length = zone.high_mm - zone.low_mm
    for toward, shorten in (
        ("first", lambda v: change(zone.low_mm + v, zone.high_mm)),
        ("last", lambda v: change(zone.low_mm, zone.high_mm - v)),
    ):
        cut = _raised(0.0, length - step, step, shorten, works)
        if cut is not None:
            yield f"clear zone {zone.name} {show(cut)} shorter at its {toward} end"
    yield f"clear zone {zone.name} left out"


def _raised(base: float, most: float, step: float, change: _Change, works: _Test) -> float | None:
    """Find the least whole step above a figure that does, where more of it never does worse."""
    begin = math.floor(base / step + 1e-9)
    return _bisect(math.ceil(most / step - 1e-9) - begin, lambda k: (begin + k) * step, change, works)


def _lowered(base: float, least: float, step: float, change: _Change, works: _Test) -> float | None:
    """Find the greatest whole step below a figure that does, where less of it never does worse."""
    begin = math.ceil(base / step - 1e-9)
    return _bisect(begin - math.ceil(least / step - 1e-9), lambda k: (begin - k) * step, change, works)


def _bisect(most: int, value: Callable[[int], float], change: _Change, works: _Test) -> float | None:
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
