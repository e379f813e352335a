"""When no row meets the rules: which of them conflict, and which single changes would do.

The conflict is found by leaving out one rule after another for good, as long as what is left still cannot
be met; what remains cannot be met together, and leaving out any one of them mends it. Only a change to one
of those can help, so only they are tried. Every change offered has passed the test it was made for.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from closures.errors import SpacingError
from closures.spacing.even import place_alone
from closures.spacing.reach import reach, ruled_line
from closures.spacing.wish import Anchor, Clear, Show, Wish

_Change = Callable[[float], Wish]
_Test = Callable[[Wish], bool]
Offer = tuple[str, Wish]
"""A change in words, and the wish with it."""


_MANY = 16
"""More rules than this are left out in batches first."""

_MOST_CHANGES = 4
"""So many changes together are looked for at most."""

_MOST_SETS = 3
"""So many sets of equally few changes are told."""

_COUNTS_NEAR = 40
"""So far from the count asked for others are tried, where more than the count must change."""


class NoSpacing(SpacingError):
    """No row of closures meets all the rules.

    Args:
        conflict: the rules that cannot hold together, in words; without any one of them a row exists.
        offers: single changes that would do, in words; may be empty.
        others: further conflicts that share no rule with the first or with each other.
        together: where no single change does, sets of as few changes as can be that do together.

    Attributes:
        conflict, offers, others, together: likewise.
    """

    def __init__(
        self,
        conflict: tuple[str, ...],
        offers: tuple[str, ...],
        others: tuple[tuple[str, ...], ...] = (),
        together: tuple[tuple[str, ...], ...] = (),
    ) -> None:
        rules = "; ".join(conflict)
        what = (
            f"no row of closures can have {rules}"
            if len(conflict) == 1
            else (f"no row of closures can have all of these together: {rules}")
        )
        for other in others:
            what += f"; nor can it have {'all of these together: ' if len(other) > 1 else ''}{'; '.join(other)}"
        if not offers and together:
            sets = "; or ".join(" and ".join(changes) for changes in together)
            mend = f"No single change mends it. These together would do: {sets}."
        elif not offers:
            mend = "No change of these that was tried mends it; leave out some of them."
        elif len(offers) == 1:
            mend = f"This would do: {offers[0]}."
        else:
            mend = f"Any one of these would do: {'; '.join(offers)}."
        super().__init__(what, mend=mend)
        self.conflict = conflict
        self.offers = offers
        self.others = others
        self.together = together


@dataclass(frozen=True, slots=True)
class _Rule:
    """One hard rule: in words, how to leave it out, and what to offer instead."""

    words: str
    without: Callable[[Wish], Wish]
    offers: Callable[[Wish, _Test], Iterator[Offer]]


def is_possible(wish: Wish) -> bool:
    """Tell whether any row meets the hard rules; with a pitch, any count will do."""
    if wish.count in (1, None) and place_alone(wish) is not None:
        return True
    if wish.count == 1:
        return False
    _, works = reach(ruled_line(wish), wish.closest_mm, wish.widest_mm, wish.count)
    return bool(works)


def advise(wish: Wish, show: Show, step_mm: float) -> NoSpacing:
    """Make the error for a wish that no row meets.

    Args:
        wish: the wish.
        show: writes a length for people.
        step_mm: offers come in whole steps of this, rounded to the side that works.
    """
    rules = rules_of(wish, show, step_mm)
    clashes = _clashes(wish, rules)
    first = clashes[0]
    offers = tuple(words for rule in first for words, _ in rule.offers(wish, is_possible)) if len(clashes) == 1 else ()
    together = () if offers else _together(wish, rules, clashes)
    said = [tuple(rule.words for rule in clash) for clash in clashes]
    return NoSpacing(said[0], offers, tuple(said[1:]), together)


def _clashes(wish: Wish, rules: list[_Rule]) -> list[list[_Rule]]:
    """Find conflicts that share no rule, until without all of their rules a row exists."""
    found: list[list[_Rule]] = []
    while not is_possible(wish):
        conflict = _conflict(wish, rules)
        if not conflict:
            break
        found.append(conflict)
        for rule in conflict:
            wish = rule.without(wish)
        rules = [rule for rule in rules if rule not in conflict]
    return found


def _conflict(wish: Wish, rules: list[_Rule]) -> list[_Rule]:
    """Leave out rule after rule as long as no row exists; what is left cannot hold together."""
    size = len(rules)
    while size > _MANY:  # whole batches at once, where there are many
        size //= 2
        for begin in range(0, len(rules), size):
            batch = rules[begin : begin + size]
            loosened = wish
            for rule in batch:
                loosened = rule.without(loosened)
            if not is_possible(loosened):
                wish = loosened
                rules = [rule for rule in rules if rule not in batch]
                break
    loosened, kept = wish, []
    for rule in reversed(rules):  # so that limits give way before anchors, and anchors before the count
        without = rule.without(loosened)
        if is_possible(without):
            kept.append(rule)
        else:
            loosened = without
    return kept[::-1]


def _together(wish: Wish, rules: list[_Rule], clashes: list[list[_Rule]]) -> tuple[tuple[str, ...], ...]:
    """Find sets of as few changes as can be that mend all conflicts together, each tried."""
    if len(rules) > _MANY:
        rules = [rule for rule in rules if any(rule in clash for clash in clashes)]
    for size in range(max(len(clashes), 1), min(len(rules), _MOST_CHANGES) + 1):
        found: list[tuple[str, ...]] = []
        for chosen in combinations(rules, size):
            if all(any(rule in chosen for rule in clash) for clash in clashes):
                changes = _changes(wish, chosen)
                if changes:
                    found.append(changes)
            if len(found) == _MOST_SETS:
                break
        if found:
            return tuple(found)
    return ()


def _changes(wish: Wish, chosen: tuple[_Rule, ...]) -> tuple[str, ...]:
    """Change the chosen rules one after another, each by as little as does while the rest of them are left out."""
    words: list[str] = []
    for i, rule in enumerate(chosen):
        rest = chosen[i + 1 :]

        def works(changed: Wish, rest: tuple[_Rule, ...] = rest) -> bool:
            for other in rest:
                changed = other.without(changed)
            return is_possible(changed)

        if not works(rule.without(wish)):
            return ()
        change = next(rule.offers(wish, works), None)
        if change is None:
            return ()
        words.append(change[0])
        wish = change[1]
    return tuple(words)


def rules_of(wish: Wish, show: Show, step: float) -> list[_Rule]:
    rules: list[_Rule] = []
    if wish.count is not None:
        words = f"{wish.count} closures" if wish.count > 1 else "1 closure"
        rules.append(_Rule(words, _without_count, partial(_counts, wish.count)))
    for anchor in wish.anchors:
        words = f"anchor {anchor.name} at {show(anchor.at_mm)}, met within {show(anchor.within_mm)}"

        def of_anchor(changed: Wish, works: _Test, anchor: Anchor = anchor) -> Iterator[Offer]:
            return anchor_offers(changed, changed.anchors.index(anchor), show, step, works)

        rules.append(_Rule(words, partial(_without_anchor, anchor), of_anchor))
    for name in dict.fromkeys(zone.name for zone in wish.clear):
        # A zone told by level may be crossed by the line more than once: it is one rule all the same.
        spans = [f"{show(zone.low_mm)} and {show(zone.high_mm)}" for zone in wish.clear if zone.name == name]
        words = f"clear zone {name}, no centre between {', nor between '.join(spans)}"
        rules.append(_Rule(words, partial(_without_zone, name), partial(_zone_offers, name, show, step)))
    for end, ends in (("first", wish.first), ("last", wish.last)):
        words = f"the {end} closure {_range_in_words(ends, show)} from the {end} end"

        def of_end(changed: Wish, works: _Test, end: str = end) -> Iterator[Offer]:
            return end_offers(changed, end, show, step, works)

        rules.append(_Rule(words, partial(_without_end, end), of_end))
    if wish.widest_mm < math.inf:
        words = f"no gap wider than {show(wish.widest_mm)}"
        rules.append(_Rule(words, _without_widest, partial(_widest_offers, show, step)))
    words = f"no gap closer than {show(wish.closest_mm)}"
    rules.append(_Rule(words, _without_closest, partial(_closest_offers, show, step)))
    return rules


def _without_count(wish: Wish) -> Wish:
    return replace(wish, count=None, pitch_mm=1.0)  # the pitch is no hard rule: any will do


def _without_anchor(anchor: Anchor, wish: Wish) -> Wish:
    return replace(wish, anchors=tuple(other for other in wish.anchors if other != anchor))


def _without_zone(name: str, wish: Wish) -> Wish:
    return replace(wish, clear=tuple(zone for zone in wish.clear if zone.name != name))


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


def _counts(count: int, wish: Wish, works: _Test) -> Iterator[Offer]:
    """Offer the nearest counts below and above."""
    _, reached = reach(ruled_line(wish), wish.closest_mm, wish.widest_mm, None, whole=True)
    known = [1] * (place_alone(wish) is not None) + reached
    if not known:  # with other rules left out too: looked for nearby
        known = [other for other in range(max(count - _COUNTS_NEAR, 1), count + _COUNTS_NEAR) if other != count]
    for others in (sorted((n for n in known if n < count), reverse=True), sorted(n for n in known if n > count)):
        for other in others:
            changed = replace(wish, count=other, pitch_mm=None)
            if works(changed):
                yield (f"{other} closures" if other > 1 else "1 closure"), changed
                break


def _widest_offers(show: Show, step: float, wish: Wish, works: _Test) -> Iterator[Offer]:
    value = _raised(wish.widest_mm, wish.length_mm, step, lambda v: replace(wish, widest_mm=v), works)
    if value is not None:
        yield f"gaps of up to {show(value)}", replace(wish, widest_mm=value)


def _closest_offers(show: Show, step: float, wish: Wish, works: _Test) -> Iterator[Offer]:
    least = max(wish.least_mm, step)
    value = _lowered(wish.closest_mm, least, step, lambda v: replace(wish, closest_mm=v), works)
    if value is not None:
        yield f"gaps down to {show(value)}", replace(wish, closest_mm=value)


def end_offers(wish: Wish, end: str, show: Show, step: float, works: _Test) -> Iterator[Offer]:
    """Offer wider ranges for the first or the last closure, each tried."""
    low, high = wish.first if end == "first" else wish.last
    more = _raised(high, wish.length_mm, step, lambda v: _with_end(wish, end, (low, v)), works)
    less = _lowered(low, 0.0, step, lambda v: _with_end(wish, end, (v, high)), works)
    for least, most in ((low, more), (less, high)):
        if least is not None and most is not None:
            words = f"the {end} closure {show(least)} to {show(most)} from the {end} end"
            yield words, _with_end(wish, end, (least, most))


def _zone_offers(name: str, show: Show, step: float, wish: Wish, works: _Test) -> Iterator[Offer]:
    """Offer a zone shorter at an end of one of its stretches, or left out."""
    stretches = [i for i, zone in enumerate(wish.clear) if zone.name == name]
    if len(stretches) == 1:
        yield from clear_offers(wish, stretches[0], show, step, works)
    elif works(_without_zone(name, wish)):
        yield f"clear zone {name} left out", _without_zone(name, wish)


def anchor_offers(wish: Wish, index: int, show: Show, step: float, works: _Test) -> Iterator[Offer]:
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
                words = f"anchor {anchor.name} moved {show(move * step)} toward the {toward} end"
                yield words, change(at, anchor.within_mm)
                break
        else:
            continue
        break
    yield f"anchor {anchor.name} met within {show(within)}", change(anchor.at_mm, within)


def clear_offers(wish: Wish, index: int, show: Show, step: float, works: _Test) -> Iterator[Offer]:
    """Offer a clear zone shorter at either end, or left out, each tried."""
    zone = wish.clear[index]
    others = wish.clear[:index], wish.clear[index + 1 :]

    def change(low: float, high: float) -> Wish:
        return replace(wish, clear=(*others[0], Clear(zone.name, low, high), *others[1]))

    if not works(replace(wish, clear=others[0] + others[1])):
        return
    length = zone.high_mm - zone.low_mm

    def shorten(toward: str, cut: float) -> Wish:
        if toward == "first":
            return change(zone.low_mm + cut, zone.high_mm)
        return change(zone.low_mm, zone.high_mm - cut)

    for toward in ("first", "last"):
        cut = _raised(0.0, length - step, step, partial(shorten, toward), works)
        if cut is not None:
            yield f"clear zone {zone.name} {show(cut)} shorter at its {toward} end", shorten(toward, cut)
    yield f"clear zone {zone.name} left out", replace(wish, clear=others[0] + others[1])


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
