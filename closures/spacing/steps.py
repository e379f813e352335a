"""The steps from one given place to a later one, of which a row on such places is made.

Where closures keep off clear zones by unlike amounts, whether a place is free depends on which closure of the row lies
there. Each place then stands several times, once for every part that a closure there may have in the row, and steps
lead from part to part: so the best way from place to place is found as ever, and is the best of all rows.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.spacing.reach import Interval, free_stretches
from closures.spacing.wish import Anchor, Apart, Clear, Rooms, Wish


@frozen
class Steps:
    """The steps between places: (gap, from, to), and the places where a row may begin and end.

    No step leads back in the order of the places. Where closures differ a place may stand there several times.
    """

    places: tuple[float, ...]
    steps: tuple[tuple[float, int, int], ...]
    starts: frozenset[int]
    ends: frozenset[int]

    def between(self, low_mm: float, high_mm: float) -> tuple[tuple[float, int, int], ...]:
        """The steps whose gap lies within limits: they are kept in the order of their gaps."""
        begin = bisect_left(self.steps, (low_mm - SAME_MM,))
        return self.steps[begin : bisect_right(self.steps, (high_mm + SAME_MM, math.inf))]


def allowed_on(wish: Wish, places: Sequence[float]) -> tuple[float, ...]:
    """Give those of the places that ends and zones leave free to some closure at least, ascending."""
    low, high = wish.first[0] - SAME_MM, wish.length_mm - wish.last[0] + SAME_MM
    inside = sorted(place for place in places if low <= place <= high)
    stretches = free_stretches(wish)
    free = [place for place in inside if _is_within(place, stretches)]
    return tuple(place for k, place in enumerate(free) if k == 0 or place - free[k - 1] > SAME_MM)


def _is_within(place: float, stretches: Sequence[Interval]) -> bool:
    return any(low - SAME_MM <= place <= high + SAME_MM for low, high in stretches)


def steps_of(wish: Wish, places: tuple[float, ...], shift_mm: float | None) -> Steps:
    """Find the steps between places that are free.

    Args:
        wish: what is asked.
        places: ascending.
        shift_mm: no closure is further from its anchor than this; None for what the anchors say.
    """
    windows = []
    for anchor in wish.anchors:
        within = anchor.within_mm if shift_mm is None else min(anchor.within_mm, shift_mm)
        windows.append((anchor.at_mm - within - SAME_MM, anchor.at_mm + within + SAME_MM))

    def passes(before: float, after: float) -> bool:
        return any(before < low and after > high for low, high in windows)

    steps = [
        (after - before, i, j)
        for i, before in enumerate(places)
        for j, after in enumerate(places[i + 1 :], i + 1)
        if wish.closest_mm - SAME_MM <= after - before <= wish.widest_mm + SAME_MM and not passes(before, after)
    ]
    starts = {i for i, p in enumerate(places) if p <= wish.first[1] + SAME_MM and not passes(-1e9, p)}
    ends = {i for i, p in enumerate(places) if wish.length_mm - p <= wish.last[1] + SAME_MM and not passes(p, 1e9)}
    found = Steps(places, tuple(sorted(steps)), frozenset(starts), frozenset(ends))
    return found if wish.rooms is None else _by_their_own(wish, wish.rooms, found)


@frozen
class _Part:
    """Which closure of its row one is, as far as that tells what is closed to it.

    Attributes:
        number: from 1; every later one than all that are told of counts alike.
        left: counted from the last, which is 1; 0 for all before those that are told of so.
        sides: for each anchor that tells one apart: -1 before the closure nearest to it, 0 that one, 1 after it.
    """

    number: int
    left: int
    sides: tuple[int, ...]


def _by_their_own(wish: Wish, rooms: Rooms, steps: Steps) -> Steps:
    """Let each place stand for every part that a closure there may have, and keep those that are free to it."""
    told = [number for one in rooms.apart for number in one.marks]
    most, last = max((n for n in told if n > 0), default=0) + 1, max((-n for n in told if n < 0), default=0)
    anchors = [anchor for anchor in wish.anchors if any(one.anchor == anchor.name for one in rooms.apart)]
    parts = [
        _Part(number, left, sides)
        for number in range(1, most + 1)
        for left in range(last + 1)
        for sides in product((-1, 0, 1), repeat=len(anchors))
    ]
    free = {part: free_stretches(replace(wish, clear=_closed_to(rooms, part, anchors))) for part in parts}
    # Parts go by their number from here on: a place with parts of its own is asked for some hundred thousand times.
    onward = [
        [
            k
            for k, after in enumerate(parts)
            if after.number == min(part.number + 1, most) and _leads(part.left, after.left, last)
        ]
        for part in parts
    ]
    places: list[float] = []
    at: list[dict[int, int]] = []
    for i, place in enumerate(steps.places):
        here = [
            k
            for k, part in enumerate(parts)
            if _is_within(place, free[part]) and _can_have(wish, steps, i, part, most, anchors)
        ]
        at.append({k: len(places) + n for n, k in enumerate(here)})
        places += [place] * len(here)
    own = [
        (gap, before, at[j][k])
        for gap, i, j in steps.steps
        for part, before in at[i].items()
        for k in onward[part]
        if k in at[j]
        and (not anchors or _keeps_sides(parts[part], parts[k], steps.places[i], steps.places[j], anchors))
    ]
    starts = {
        n for i in steps.starts for k, n in at[i].items() if parts[k].number == 1 and max(parts[k].sides, default=0) < 1
    }
    ends = {
        n
        for i in steps.ends
        for k, n in at[i].items()
        if parts[k].left == min(last, 1) and min(parts[k].sides, default=0) > -1
    }
    return Steps(tuple(places), tuple(sorted(own)), frozenset(starts), frozenset(ends))


def _can_have(wish: Wish, steps: Steps, i: int, part: _Part, most: int, anchors: Sequence[Anchor]) -> bool:
    """Whether a closure at a place can have this part, by what is asked of gaps, ends and anchors; it spares work."""
    place = steps.places[i]
    if part.number < most:
        before = part.number - 1
        if not before and i not in steps.starts:
            return False
        if not wish.first[0] + before * wish.closest_mm - SAME_MM * most <= place:
            return False
        if before and place > wish.first[1] + before * wish.widest_mm + SAME_MM * most:
            return False
    if part.left == 1 and i not in steps.ends:
        return False
    # The closure nearest to an anchor meets it.
    off = [place - anchor.at_mm for anchor in anchors]
    within = [anchor.within_mm + SAME_MM for anchor in anchors]
    return all(
        abs(mm) <= most_mm if side == 0 else side * mm > -most_mm
        for mm, most_mm, side in zip(off, within, part.sides, strict=True)
    )


def _closed_to(rooms: Rooms, part: _Part, anchors: Sequence[Anchor]) -> tuple[Clear, ...]:
    """What is closed to a closure of this part: of those that tell of it, the last counts."""
    met = {anchor.name for anchor, side in zip(anchors, part.sides, strict=True) if side == 0}

    def is_told(one: Apart) -> bool:
        return part.number in one.marks or (part.left > 0 and -part.left in one.marks) or one.anchor in met

    return next((one.clear for one in reversed(rooms.apart) if is_told(one)), rooms.clear)


def _leads(left: int, after: int, last: int) -> bool:
    """Whether the next closure, counted from the last one, is that one."""
    return left > 1 and after == left - 1 if left else after in (0, last)


def _keeps_sides(part: _Part, after: _Part, place: float, further: float, anchors: Sequence[Anchor]) -> bool:
    """Whether the closures nearest to anchors are those that these two parts say; the earlier one of two as near."""
    for anchor, side, other in zip(anchors, part.sides, after.sides, strict=True):
        is_earlier_nearest = anchor.at_mm - place <= further - anchor.at_mm
        if side == 1:
            is_so = other == 1
        elif side == 0:
            is_so = other == 1 and is_earlier_nearest
        else:
            is_so = other < 1 and not is_earlier_nearest
        if not is_so:
            return False
    return True
