"""Which counts a run of sizes takes: one for each size, or one for all.

Terms: a count *serves* a size when some row of it meets every hard rule there; its *departure* is how far the gaps of
the row of that count that comes nearest to the pitch that is held are from it, at most.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.spacing.departures import SAME_DEPARTURE_MM
from closures.spacing.even import place_alone
from closures.spacing.search import counts_of, least_departure

if TYPE_CHECKING:
    from closures.spacing.wish import Wish


DepartureOf = Callable[[int], float | None]
"""Gives the departure of a count in mm; None where it does not serve."""


@frozen
class OneCount:
    """A count that serves all sizes, and the largest departure from the pitch that it brings."""

    count: int
    departure_mm: float


def counts_that_serve(wish: Wish) -> tuple[int, ...]:
    """Give all counts that serve a size, ascending."""
    return (1,) * (place_alone(wish) is not None) + tuple(counts_of(wish))


def departure_of(wish: Wish, count: int, pitch_mm: float) -> float | None:
    """Give the departure of the row of a count that comes nearest to the pitch; None where the count does not serve."""
    if count == 1:
        return None if place_alone(wish) is None else abs(wish.length_mm - pitch_mm)
    found = least_departure(wish, pitch_mm, count)
    return None if found is None else found.value


class SizeCounts:
    """The counts that one size can have, each with its departure, which is worked out when it can matter.

    Attributes:
        known: the departures worked out so far.
    """

    def __init__(
        self,
        known: Mapping[int, float],
        wish: Wish | None = None,
        pitch_mm: float = 0.0,
        find: DepartureOf | None = None,
    ) -> None:
        """Take counts and departures that are known.

        Args:
            known: the counts.
            wish: the spacing asked for, where other counts may be had as well.
            pitch_mm: that is held.
            find: works out a departure where closures sit on given places only; as on a free line if left out.
        """
        self.known = dict(known)
        self._wish, self._pitch_mm, self._find = wish, pitch_mm, find
        serve = () if wish is None else counts_that_serve(wish)
        self._least = {n: _least_departure(wish, n, pitch_mm) for n in serve if n not in known} if wish else {}

    @property
    def all(self) -> set[int]:
        """All counts, whether or not their departures are known."""
        return {*self.known, *self._least}

    @property
    def next_mm(self) -> float:
        """A departure below which no count falls that is not worked out yet; infinite where all are."""
        return min(self._least.values(), default=math.inf)

    def reach_to(self, most_mm: float) -> bool:
        """Work out every count whose departure can be as small as this; tell whether there was one."""
        asked = [count for count, least in self._least.items() if least <= most_mm]
        for count in asked:
            del self._least[count]
            departure = self._departure_of(count)
            if departure is not None:
                self.known[count] = departure
        return bool(asked)

    def _departure_of(self, count: int) -> float | None:
        if self._find is not None:
            return self._find(count)
        return None if self._wish is None else departure_of(self._wish, count, self._pitch_mm)


def counts_of_all(sizes: Sequence[SizeCounts]) -> tuple[int, ...] | None:
    """Choose the counts of a run as `counts_for_run` does, from all that each size can have.

    Args:
        sizes: from the smallest up; their counts are worked out until no other can matter.
    """
    if counts_for_run([dict.fromkeys(size.all, 0.0) for size in sizes]) is None:
        return None
    while True:
        run = counts_for_run([size.known for size in sizes])
        if run is None:
            most = min(size.next_mm for size in sizes)
            if most == math.inf:
                return None
            most *= 1.25
        else:
            most = max(size.known[count] for size, count in zip(sizes, run, strict=True)) + SAME_DEPARTURE_MM
        found = [size.reach_to(most) for size in sizes]
        if run is not None and not any(found):
            return run


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


def one_count(
    wishes: Sequence[Wish], pitch_mm: float | None, least: int = 1, finds: Sequence[DepartureOf | None] = ()
) -> OneCount | None:
    """Find the single count that serves all sizes, the one with the smallest largest departure; None without one.

    Args:
        wishes: of the sizes.
        pitch_mm: that is held.
        least: the highest number of a mark that the plan names: with fewer closures there is no such mark.
        finds: of each size, as for `SizeCounts`; none where all lie on free lines.
    """
    if not wishes:
        return None
    shared = {n for n in set.intersection(*(set(counts_that_serve(wish)) for wish in wishes)) if n >= least}
    best: OneCount | None = None
    for off, count in sorted((max(_least_departure(wish, n, pitch_mm) for wish in wishes), n) for n in shared):
        if best is not None and off > best.departure_mm:
            break
        known: list[float] = []
        for wish, find in zip_longest(wishes, finds):
            departure = find(count) if find else departure_of(wish, count, pitch_mm or wish.length_mm)
            if departure is None:
                break
            known.append(departure)
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
