"""The row whose worst gap is the least: numbers in, numbers out.

What a gap costs is the pull over it times its length, so that it goes with the square of the gap where the pull is
even. Terms are those of `spacing`: *places* along the line, *anchors* to be met within a *window*, *clear* stretches.

For a bound on the cost, the places that a closure can take form stretches, found from the first closure to the last;
the least bound for which the last one can be reached is found by halving. A longer gap never costs less, whichever
end is moved, and so stretches of places lead to stretches of places.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import field
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.spacing.wish import Wish

# Two places nearer than this are one.
_SAME_MM = 1e-7
_HALVINGS = 60
_STEPS = 40
# The bound is found to a millionth of itself: a thousandth of a mm in a gap.
_BOUND = 1e-7
# A stretch is looked at in so many places for those from which nothing can be reached.
_LOOKS = 24

Stretch = tuple[float, float]


@frozen
class Weights:
    """What a mm of the line weighs, straight from knot to knot and level beyond the ends; above 0.

    Attributes:
        knots: (place, weight), rising, at least one.
    """

    knots: tuple[tuple[float, float], ...]
    _places: tuple[float, ...] = field(init=False, repr=False)
    _sums: tuple[float, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        sums = [0.0]
        for (a, one), (b, other) in pairwise(self.knots):
            sums.append(sums[-1] + (b - a) * (one + other) / 2)
        object.__setattr__(self, "_places", tuple(place for place, _ in self.knots))
        object.__setattr__(self, "_sums", tuple(sums))

    def at(self, place: float) -> float:
        """The weight at a place."""
        i = bisect_right(self._places, place)
        if i == 0:
            return self.knots[0][1]
        if i == len(self.knots):
            return self.knots[-1][1]
        (a, one), (b, other) = self.knots[i - 1], self.knots[i]
        return one + (other - one) * (place - a) / (b - a)

    def up_to(self, place: float) -> float:
        """The weight of all that lies before a place, but for a constant."""
        i = bisect_right(self._places, place)
        if i == 0:
            return (place - self.knots[0][0]) * self.knots[0][1]
        a, one = self.knots[i - 1]
        return self._sums[i - 1] + (place - a) * (one + self.at(place)) / 2

    def cost(self, start: float, end: float) -> float:
        """What a gap costs: its weight times its length."""
        return (self.up_to(end) - self.up_to(start)) * (end - start)


@frozen
class Row:
    """A row as found: its `places` in mm, and the cost of its `worst` gap."""

    places: tuple[float, ...]
    worst: float


def least_worst(wish: Wish, weights: Weights, count: int) -> Row | None:
    """Find the row of a count whose worst gap costs least.

    Args:
        wish: its hard rules: ends, closest, widest, anchors, clear stretches; its pitch and count are not looked at.
        weights: of the line.
        count: how many closures.

    Returns:
        The row; of rows whose worst gap costs as little, one whose other gaps cost about alike. None where no row of
        that count meets the rules.
    """
    rules = _Rules(wish, weights)
    high = weights.cost(0.0, wish.length_mm)
    if not rules.can(count, high):
        return None
    low = 0.0
    for _ in range(_HALVINGS):
        if high - low <= _BOUND * high:
            break
        middle = (low + high) / 2
        if rules.can(count, middle):
            high = middle
        else:
            low = middle
    places = rules.row(count, high)
    if places is None:
        return None
    return Row(places, max((weights.cost(a, b) for a, b in pairwise(places)), default=0.0))


def fewest_within(wish: Wish, weights: Weights, bound: float, most: int) -> int | None:
    """Find the fewest closures of which no gap costs more than a bound; None where no count up to the most does."""
    rules = _Rules(wish, weights)
    return rules.fewest(bound, most)


class _Rules:
    """The hard rules of one wish, ready to be asked."""

    def __init__(self, wish: Wish, weights: Weights) -> None:
        self.wish, self.weights = wish, weights
        length = wish.length_mm
        self.windows = sorted((a.at_mm - a.within_mm, a.at_mm + a.within_mm) for a in wish.anchors)
        self.first = (wish.first[0], min(wish.first[1], self._next_end(-math.inf)))
        last_start = max((start for start, _ in self.windows), default=-math.inf)
        self.last = (max(length - wish.last[1], last_start), length - wish.last[0])
        # No gap of the closest kind costs more, wherever it lies.
        self.dearest = wish.closest_mm**2 * max(weight for _, weight in weights.knots)

    def can(self, count: int, bound: float) -> bool:
        """Whether a row of a count has no gap that costs more."""
        stretches = self._starts()
        for _ in range(count - 1):
            stretches = self._onwards(stretches, bound)
            if not stretches:
                return False
        return bool(_meeting(stretches, self.last))

    def fewest(self, bound: float, most: int) -> int | None:
        """The least count for which `can` holds."""
        stretches = self._starts()
        for count in range(1, most + 1):
            if _meeting(stretches, self.last):
                return count
            stretches = self._onwards(stretches, bound)
            if not stretches:
                return None
        return None

    def row(self, count: int, bound: float) -> tuple[float, ...] | None:
        """A row of a count within a bound, its gaps costing about alike."""
        steps = [self._starts()]
        for _ in range(count - 1):
            steps.append(self._onwards(steps[-1], bound))
        ends = _meeting(steps[-1], self.last)
        if not ends:
            return None
        start = self.first[0] if count > 1 else self.last[0]
        places = [_nearest(ends, (self.last[0] + self.last[1]) / 2)]
        for k in range(count - 2, -1, -1):
            after = places[-1]
            least = self._least_before(after, bound)
            allowed = _meeting(steps[k], (least, after - self.wish.closest_mm))
            if not allowed:
                # Only where the rounding of a hair's breadth shut the way.
                return None
            middle = (self.first[0] + self.first[1]) / 2 if k == 0 else self._part(start, after, k / (k + 1))
            places.append(_nearest(allowed, middle))
        return tuple(self._snapped(place) for place in reversed(places))

    def _snapped(self, place: float) -> float:
        """A place that lies a hair's breadth from where a rule puts it, put there."""
        wish = self.wish
        bounds = [*self.first, *self.last]
        bounds += [end for window in self.windows for end in window]
        bounds += [end for zone in wish.clear for end in (zone.low_mm, zone.high_mm)]
        return next((bound for bound in bounds if abs(bound - place) < 10 * _SAME_MM), place)

    def _starts(self) -> list[Stretch]:
        low, high = self.first
        return self._clear([(low, high)]) if low <= high + _SAME_MM else []

    def _next_end(self, place: float) -> float:
        """Where the first window that lies wholly beyond a place ends: no closure after it may lie further."""
        return next((end for start, end in self.windows if start > place + _SAME_MM), math.inf)

    def _most(self, place: float) -> float:
        """How far the next closure may lie, whatever its gap costs."""
        return min(place + self.wish.widest_mm, self._next_end(place), self.wish.length_mm)

    def _reach(self, place: float, bound: float) -> float:
        """How far the next closure may lie."""
        low, high = place, max(self._most(place), place)
        weights = self.weights
        if weights.cost(place, high) <= bound:
            return high
        # Newton's steps from the even weight at hand, kept between what is near enough and what is too far.
        before, at = weights.up_to(place), place + math.sqrt(bound / weights.at(place))
        for _ in range(_STEPS):
            if not low < at < high:
                at = (low + high) / 2
            held = weights.up_to(at) - before
            over = held * (at - place) - bound
            if over > 0:
                high = at
            else:
                low = at
            if high - low < _SAME_MM or 0 <= -over < _BOUND**2 * bound:
                break
            at -= over / (held + weights.at(at) * (at - place))
        return low

    def _least_before(self, place: float, bound: float) -> float:
        """The least place from which a place can be reached."""
        low, high = -self.wish.length_mm, place
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if self._reach(middle, bound) + _SAME_MM >= place:
                high = middle
            else:
                low = middle
            if high - low < _SAME_MM:
                break
        return high

    def _onwards(self, stretches: list[Stretch], bound: float) -> list[Stretch]:
        """Where the next closure may lie."""
        found = []
        for low, high in stretches:
            cuts = [low, *(start for start, _ in self.windows if low < start < high), high]
            for a, b in pairwise(cuts) if high > low else ((low, high),):
                # Just before a window its end bounds what comes next; in it, the one after.
                found += self._from(a, b - (2 * _SAME_MM if b < high else 0.0), bound)
        return self._clear(_united(found))

    def _from(self, low: float, high: float, bound: float) -> list[Stretch]:
        closest = self.wish.closest_mm
        at = [low] if high <= low else [low + (high - low) * i / _LOOKS for i in range(_LOOKS + 1)]
        if bound >= self.dearest and self._most(at[-1]) >= at[-1] + closest:
            # The closest gap is cheap enough everywhere and ends before what bounds it: both ends tell the whole.
            return [(low + closest, max(self._reach(at[-1], bound), at[-1] + closest))]
        run: list[Stretch] = []
        found = []
        for place in at:
            nearest, furthest = place + closest, self._reach(place, bound)
            if furthest + _SAME_MM >= nearest:
                run.append((nearest, max(furthest, nearest)))
            elif run:
                found.append((run[0][0], run[-1][1]))
                run = []
        return [*found, (run[0][0], run[-1][1])] if run else found

    def _clear(self, stretches: list[Stretch]) -> list[Stretch]:
        """Take out what lies in a clear stretch."""
        for zone in self.wish.clear:
            left = []
            for low, high in stretches:
                if zone.low_mm >= high or zone.high_mm <= low:
                    left.append((low, high))
                    continue
                if low <= zone.low_mm:
                    left.append((low, zone.low_mm))
                if high >= zone.high_mm:
                    left.append((zone.high_mm, high))
            stretches = left
        return stretches

    def _part(self, start: float, end: float, share: float) -> float:
        """The place before which so large a share of a stretch lies, of the root of its weight."""
        steps = 64
        roots = [math.sqrt(self.weights.at(start + (end - start) * (i + 0.5) / steps)) for i in range(steps)]
        wanted, done = share * sum(roots), 0.0
        for i, root in enumerate(roots):
            if done + root >= wanted:
                return start + (end - start) * (i + (wanted - done) / root) / steps
            done += root
        return end


def _united(stretches: Sequence[Stretch]) -> list[Stretch]:
    united: list[Stretch] = []
    for low, high in sorted(stretches):
        if united and low <= united[-1][1] + _SAME_MM:
            united[-1] = (united[-1][0], max(united[-1][1], high))
        else:
            united.append((low, high))
    return united


def _meeting(stretches: Sequence[Stretch], other: Stretch) -> list[Stretch]:
    """What stretches have in common with one, a hair's breadth forgiven."""
    found = []
    for low, high in stretches:
        a, b = max(low, other[0]), min(high, other[1])
        if a <= b + 2 * _SAME_MM:
            found.append((min(a, b), max(a, b)))
    return found


def _nearest(stretches: Sequence[Stretch], place: float) -> float:
    return min((min(max(place, low), high) for low, high in stretches), key=lambda near: abs(near - place))
