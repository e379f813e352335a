"""Rows whose closures keep off clear zones by unlike amounts, each by its own size.

Which stretches are free then depends on which closure of the row it is, so a pass (see `reach`) looks at those of its
own closure step by step, for one count after another. A closure that is named by an anchor may be any of the row: each
that can be is tried. What is found so has gates like any other row, and its figures follow from them alike. Of the
rows with the best figures the evenest is found by looking at every choice of sides: few are left by then.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.spacing.gates import CLOSE_ENOUGH_MM, Gates, gates_of, narrow, nearest_index, need_and_room, side_of
from closures.spacing.reach import STEP_SLACK_MM, free_stretches, opened, reach, ruled_line, trace
from closures.spacing.wish import TOUCH_MM

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from closures.spacing.reach import Interval, Level, RuledLine
    from closures.spacing.wish import Anchor, Clear, Rooms, Wish

MOST_WAYS = 20_000
"""So many choices of sides are looked at for the evenest of rows whose figures are as good."""

_MOST_COUNTS = 100
"""Where any count will do so many are tried, from the fewest: with gaps about a pitch there are a handful, and a row
for which no gap is too small needs no more closures than the widest gap, the anchors and the zones ask for."""

_KEPT_MM = 1e-6
"""A closure as little within what is closed to it lies on its border: rounding."""


def closed_to_each(rooms: Rooms, count: int, meeting: Mapping[str, int]) -> list[tuple[Clear, ...]]:
    """Give for each closure of a row the stretches in which its centre may not lie.

    Args:
        rooms: what each keeps off.
        count: the number of closures.
        meeting: for an anchor's name the index of the closure that meets it; of anchors that tell one apart, at least.
    """
    closed = [rooms.clear] * count
    for one in rooms.apart:
        told = [number - 1 if number > 0 else count + number for number in one.marks]
        if one.anchor is not None and one.anchor in meeting:
            told.append(meeting[one.anchor])
        for k in told:
            if 0 <= k < count:
                closed[k] = one.clear
    return closed


def closed_in(wish: Wish, places: tuple[float, ...]) -> list[tuple[Clear, ...]]:
    """Give for each closure of a row that is there the stretches in which its centre may not lie."""
    if wish.rooms is None:
        return [wish.clear] * len(places)
    meeting = {anchor.name: nearest_index(places, anchor.at_mm) for anchor in wish.anchors}
    return closed_to_each(wish.rooms, len(places), meeting)


def keeps_off(wish: Wish, places: tuple[float, ...]) -> bool:
    """Tell whether each closure of a row keeps off clear zones by its own."""
    return not any(
        zone.low_mm + _KEPT_MM < place < zone.high_mm - _KEPT_MM
        for place, zones in zip(places, closed_in(wish, places), strict=True)
        for zone in zones
    )


def wish_of_one(wish: Wish) -> Wish:
    """Give the wish for one single closure, which meets every anchor, with what is closed to it for all."""
    if wish.rooms is None:
        return wish
    (closed,) = closed_to_each(wish.rooms, 1, dict.fromkeys((anchor.name for anchor in wish.anchors), 0))
    return replace(wish, clear=closed, rooms=None)


@frozen
class _Pass:
    """The sets of places of each closure of a row of one count (see `reach`), where there is such a row.

    Attributes:
        free: what is free to each closure.
        met: for the name of each anchor that tells a closure apart, the index of that closure.
        levels: the sets.
    """

    free: tuple[tuple[Interval, ...], ...]
    met: Mapping[str, int]
    levels: list[Level]


def seek_unlike(wish: Wish, line: RuledLine, box: Interval, count: int | None, gap_mm: float) -> Gates | None:
    """Find the gates of some row with every gap in the box, as `seek` does, or None without one."""
    for one in _passes(wish, line, box, count):
        many = len(one.levels)
        places = trace(line, one.levels, many, *box, gap_mm, wish.middles[1])
        sides = [free[side_of(place, free)] for place, free in zip(places, one.free, strict=True)]
        holding = [one.met.get(anchor.name, nearest_index(places, anchor.at_mm)) for anchor in wish.anchors]
        return gates_of(wish, sides, holding)
    return None


def ways_within(wish: Wish, box: Interval, count: int | None, shift_mm: float) -> Iterator[Gates]:
    """Give the gates of all rows of two or more closures with every gap in a box, and shifts no larger than given.

    Each choice of the stretches that the closures lie in, and of those that meet the anchors, comes once; no more than
    `MOST_WAYS` of them.
    """
    line, left = ruled_line(wish, shift_mm), MOST_WAYS
    for one in _passes(wish, line, box, count):
        for gates in _choices(wish, line, one, box):
            if left == 0:
                return
            left -= 1
            low, high = narrow(gates, shift_mm)
            need, room = (pair.slope for pair in need_and_room(low, high))
            if need <= box[1] + CLOSE_ENOUGH_MM and room >= box[0] - CLOSE_ENOUGH_MM:
                yield gates


def _passes(wish: Wish, line: RuledLine, box: Interval, count: int | None) -> Iterator[_Pass]:
    rooms = wish.rooms
    if rooms is None:
        raise ValueError("these closures keep off alike")
    if box[0] > box[1]:
        return
    known: dict[tuple[Clear, ...], tuple[Interval, ...]] = {}
    for many in _counts(line, box) if count is None else (count,):
        for met in _meetings(wish, rooms, line, box, many):
            closed = closed_to_each(rooms, many, met)
            for one in closed:
                if one not in known:
                    known[one] = free_stretches(replace(wish, clear=one))
            free = tuple(known[one] for one in closed)
            opens = [opened(stretches, line.last[1]) for stretches in free]
            for anchor in wish.anchors:
                if anchor.name in met:
                    k = met[anchor.name]
                    opens[k] = _within(opens[k], _window(line, anchor))
            levels, works = reach(line, *box, many, opens=opens)
            if works:
                yield _Pass(free, met, levels[:many])


def _counts(line: RuledLine, box: Interval) -> list[int]:
    """Give the numbers of closures, two or more, that gaps of a box allow where all keep off by the least."""
    _, works = reach(line, *box, None, whole=True)
    return works[:_MOST_COUNTS]


def _meetings(wish: Wish, rooms: Rooms, line: RuledLine, box: Interval, count: int) -> Iterator[dict[str, int]]:
    """Give each choice of the closures that meet the anchors which tell a closure apart."""
    names = {one.anchor for one in rooms.apart}
    named = sorted((anchor for anchor in wish.anchors if anchor.name in names), key=lambda anchor: anchor.at_mm)
    able = []
    for anchor in named:
        begin, end = _window(line, anchor)
        able.append([k for k in range(count) if _can_reach(line, box, k, count, begin, end)])
    for chosen in product(*able):
        if all(before <= after for before, after in pairwise(chosen)):
            yield {anchor.name: k for anchor, k in zip(named, chosen, strict=True)}


def _can_reach(line: RuledLine, box: Interval, k: int, count: int, begin: float, end: float) -> bool:
    """Tell whether the gaps of a box let a closure be between two places, whatever zones there are."""
    lo, hi, rest = box[0] - STEP_SLACK_MM, box[1] + STEP_SLACK_MM, count - 1 - k
    low = max(line.first[0] + k * lo, line.last[0] - rest * hi if rest else line.last[0])
    high = min(line.first[1] + k * hi if k else line.first[1], line.last[1] - rest * lo)
    return max(low, begin) <= min(high, end)


def _window(line: RuledLine, anchor: Anchor) -> Interval:
    reach_mm = min(anchor.within_mm, line.shift_mm) + TOUCH_MM
    return anchor.at_mm - reach_mm, anchor.at_mm + reach_mm


def _within(stretches: Sequence[Interval], span: Interval) -> tuple[Interval, ...]:
    cut = ((max(low, span[0]), min(high, span[1])) for low, high in stretches)
    return tuple((low, high) for low, high in cut if low <= high)


def _choices(wish: Wish, line: RuledLine, found: _Pass, box: Interval) -> Iterator[Gates]:
    """Walk back through the sets of a pass by every choice of stretches and of closures that meet anchors."""
    lo, hi = box[0] - STEP_SLACK_MM, box[1] + STEP_SLACK_MM
    count = len(found.levels)
    # From the last anchor to the first: the closure that meets one never comes before that of an earlier one.
    anchors = sorted(range(len(wish.anchors)), key=lambda i: (wish.anchors[i].at_mm, i), reverse=True)
    # What is left to walk: the closure that comes next, where it may be, the sides taken, who meets each anchor yet.
    steps: list[tuple[int, Interval, tuple[int, ...], tuple[int, ...]]] = [(count - 1, line.last, (), ())]
    while steps:
        k, span, sides, holding = steps.pop()
        if k < 0:
            if len(holding) == len(anchors):
                by_anchor = dict(zip(anchors, holding, strict=True))
                stretches = [free[at] for free, at in zip(found.free, reversed(sides), strict=True)]
                yield gates_of(wish, stretches, [by_anchor[i] for i in range(len(anchors))])
            continue
        for at, (begin, end) in _sides(found.levels[k], found.free[k], span):
            met = holding
            while True:
                left = anchors[len(met) :]
                further = (begin - hi, end - lo)
                # An anchor that is left is met further on: by a closure that is not past it yet.
                if not left or (k and further[1] >= _window(line, wish.anchors[left[0]])[0]):
                    steps.append((k - 1, further, (*sides, at), met))
                if not left or found.met.get(wish.anchors[left[0]].name, k) != k:
                    break
                window = _window(line, wish.anchors[left[0]])
                begin, end = max(begin, window[0]), min(end, window[1])
                if begin > end:
                    break
                met = (*met, k)


def _sides(level: Level, free: Sequence[Interval], span: Interval) -> list[tuple[int, Interval]]:
    """Give the free stretches that a set reaches within a span, each with from where to where."""
    found: dict[int, Interval] = {}
    for low, high in level:
        low, high = max(low, span[0]), min(high, span[1])
        if low > high + STEP_SLACK_MM:
            continue
        at = side_of((low + high) / 2, free)
        before = found.get(at, (low, high))
        found[at] = (min(before[0], low), max(before[1], high))
    return list(found.items())
