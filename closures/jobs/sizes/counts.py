"""Which counts a run of sizes takes: one for each size, or one for all.

Terms: a count *serves* a size when some row of it meets every hard rule there; its *departure* is how far the gaps of
that row are, at most, from the pitch that is held.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.spacing.choice import row_for_count
from closures.spacing.departures import SAME_DEPARTURE_MM
from closures.spacing.even import place_alone
from closures.spacing.reach import reach, ruled_line

if TYPE_CHECKING:
    from closures.spacing.wish import Wish


_LOOKED_AT = 3
"""So many counts on either side of the one that comes nearest to the pitch are looked at in each size."""


@dataclass(frozen=True, slots=True)
class OneCount:
    """A count that serves all sizes, and the largest departure from the pitch that it brings."""

    count: int
    departure_mm: float


def counts_that_serve(wish: Wish) -> tuple[int, ...]:
    """Give all counts that serve a size, ascending."""
    _, works = reach(ruled_line(wish), wish.closest_mm, wish.widest_mm, None, whole=True)
    return (1,) * (place_alone(wish) is not None) + tuple(works)


def departure_of(wish: Wish, count: int, pitch_mm: float) -> float | None:
    """Give the departure of the best row of a count; None where the count does not serve."""
    row = row_for_count(replace(wish, count=count, pitch_mm=None), count)
    if row is None:
        return None
    gaps = [after - before for before, after in pairwise(row)] or [wish.length_mm]
    return max(abs(gap - pitch_mm) for gap in gaps)


def departures_near(wish: Wish, pitch_mm: float, also: int, at_most: int = _LOOKED_AT) -> dict[int, float]:
    """Give the departures of the counts about the one that comes nearest to the pitch, and of one more."""
    serve = counts_that_serve(wish)
    first, last = wish.middles
    near = (last - first) / pitch_mm + 1
    about = sorted(serve, key=lambda count: abs(count - near))[: 2 * at_most + 1]
    found = {count: departure_of(wish, count, pitch_mm) for count in sorted({*about, *({also} & set(serve))})}
    return {count: departure for count, departure in found.items() if departure is not None}


def counts_for_run(sizes: Sequence[Mapping[int, float]]) -> tuple[int, ...] | None:
    """Choose a count for each size, so that counts never fall as sizes rise.

    The largest departure over the run is as small as can be; among those there are the fewest different counts; among
    those the departures are smallest in sum.

    Args:
        sizes: for each size from the smallest up, the counts that serve it with their departures.

    Returns:
        The counts; None where no such choice is.
    """
    bounds = sorted({departure for counts in sizes for departure in counts.values()})
    low, high = 0, len(bounds)
    while low < high:
        middle = (low + high) // 2
        if _run_within(sizes, bounds[middle]) is None:
            low = middle + 1
        else:
            high = middle
    return None if low == len(bounds) else _run_within(sizes, bounds[low] + SAME_DEPARTURE_MM)


def _run_within(sizes: Sequence[Mapping[int, float]], most_mm: float) -> tuple[int, ...] | None:
    """Give the run with the fewest different counts of which no departure is larger."""
    best: dict[int, tuple[int, float, tuple[int, ...]]] = {0: (0, 0.0, ())}
    for counts in sizes:
        further: dict[int, tuple[int, float, tuple[int, ...]]] = {}
        for count, departure in counts.items():
            if departure > most_mm:
                continue
            ways = [
                (kinds + (count != before), total + departure, (*run, count))
                for before, (kinds, total, run) in best.items()
                if before <= count
            ]
            if ways:
                further[count] = min(ways)
        best = further
    return min(best.values())[2] if best else None


def one_count(wishes: Sequence[Wish], pitch_mm: float | None) -> OneCount | None:
    """Find the single count that serves all sizes, the one with the smallest largest departure; None without one."""
    if not wishes:
        return None
    shared = set.intersection(*(set(counts_that_serve(wish)) for wish in wishes))
    best: OneCount | None = None
    for least, count in sorted((max(_least_departure(wish, n, pitch_mm) for wish in wishes), n) for n in shared):
        if best is not None and least > best.departure_mm:
            break
        departures = [departure_of(wish, count, pitch_mm or wish.length_mm) for wish in wishes]
        known = [departure for departure in departures if departure is not None]
        if len(known) == len(wishes) and (best is None or max(known) < best.departure_mm):
            best = OneCount(count, max(known))
    return best


def _least_departure(wish: Wish, count: int, pitch_mm: float | None) -> float:
    """Give a departure that no row of a count falls below: that of the mean gap, wherever its ends lie."""
    pitch = pitch_mm or wish.length_mm
    if count == 1:
        return abs(wish.length_mm - pitch)
    low = (wish.length_mm - wish.last[1] - wish.first[1]) / (count - 1)
    high = (wish.length_mm - wish.last[0] - wish.first[0]) / (count - 1)
    return max(low - pitch, pitch - high, 0.0)
