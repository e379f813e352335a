"""The row that keeps as many old places as can be, and still meets every hard rule of a wish.

A row is cut at the old places that it keeps. What lies between two of them is a row of its own, with
both ends held, so the spacing's own search says whether so many new places fit there, and where. The
cheapest chain of such stretches is found from the first end to the last.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from closures.spacing import Anchor, Clear, Wish, best_spacing
from closures.spacing.advice import is_possible
from closures.spacing.reach import free_stretches
from closures.spacing.wish import TOUCH_MM

Sums = tuple[int, int]
"""Old places given up, and new ones taken."""

Filled = tuple[float, tuple[float, ...]]
"""The largest gap of a stretch, and the new places in it."""


def fewest_changes(wish: Wish, old_mm: Sequence[float]) -> tuple[float, ...] | None:
    """Find the row nearest to an old one that keeps to a wish's anchors, zones and limits on gaps.

    A change is an old place given up, a new one taken, or both at once. Among rows with equally few
    changes the count stays nearest to the old one; then the largest gap is least. An old end that is
    kept may lie outside the range that the wish gives for it; a new end may not.

    Args:
        wish: the rules; its pitch or count is not looked at.
        old_mm: the old places along the line, ascending.

    Returns:
        The places in mm; None where no row meets the rules.
    """
    chain = _Chain(wish, tuple(old_mm))
    best: tuple[tuple[int, int, float], tuple[float, ...]] | None = None
    for most_given_up in range(len(old_mm) + 1):
        rows = (
            ((max(g, a), abs(g - a), gap), row)
            for (g, a), (gap, row) in chain.rows(most_given_up).items()
            # With no gap the whole line is the gap.
            if len(row) > 1 or (row and wish.length_mm <= wish.widest_mm)
        )
        best = min(rows, default=None)
        # Any chain with a longer stretch than those tried gives up at least one place more.
        if best is not None and best[0][0] <= most_given_up + 1:
            break
    return None if best is None else best[1]


@dataclass(frozen=True)
class _Chain:
    """Stretches between kept places; -1 stands for the first end, the count of places for the last."""

    wish: Wish
    old: tuple[float, ...]

    @cached_property
    def known(self) -> dict[tuple[int, int], dict[int, Filled]]:
        return {}

    @cached_property
    def _free(self) -> tuple[tuple[float, float], ...]:
        """Where no zone lies: a place on the border of a zone is out of it, and of two zones that touch within both."""
        return free_stretches(self.wish)

    def rows(self, most_given_up: int) -> dict[Sums, Filled]:
        """The best whole row for each sum of changes, no stretch giving up more places than so many."""
        count = len(self.old)
        best: dict[int, dict[Sums, Filled]] = {-1: {(0, 0): (0.0, ())}}
        for j in range(count + 1):
            if j < count and not self._can_keep(self.old[j]):
                continue
            kept = (self.old[j],) if j < count else ()
            found: dict[Sums, Filled] = {}
            for i in range(max(-1, j - 1 - most_given_up), j):
                for (given_up, taken), (gap, places) in best.get(i, {}).items():
                    for new, (its_gap, inner) in self._stretch(i, j).items():
                        sums = (given_up + j - i - 1, taken + new)
                        row = (max(gap, its_gap), (*places, *inner, *kept))
                        if sums not in found or row < found[sums]:
                            found[sums] = row
            best[j] = _undominated(found)
        return best[count]

    def _can_keep(self, place: float) -> bool:
        return any(low - TOUCH_MM <= place <= high + TOUCH_MM for low, high in self._free)

    def _stretch(self, i: int, j: int) -> dict[int, Filled]:
        if (i, j) not in self.known:
            self.known[i, j] = self._fill(i, j)
        return self.known[i, j]

    def _fill(self, i: int, j: int) -> dict[int, Filled]:
        """For each count of new places that fits between two kept ones, the best row of them."""
        low = 0.0 if i < 0 else self.old[i]
        high = self.wish.length_mm if j == len(self.old) else self.old[j]
        filled: dict[int, Filled] = {}
        if j - i == 1 and (i < 0 or j == len(self.old)) and not self._missed(i, j, low, high):
            filled[0] = (0.0, ())
        for new in range(self._most_new(j - i - 1, low, high) + 1):
            row = None if new in filled else self._row(i, j, low, high, new)
            if row is not None:
                gap = max((b - a for a, b in pairwise(row)), default=0.0)
                filled[new] = (gap, row[int(i >= 0) : len(row) - int(j < len(self.old))])
        return filled

    def _missed(self, i: int, j: int, low: float, high: float) -> bool:
        """Whether an anchor beyond an old end that stays is left unmet."""
        ends = [place for place, is_kept in ((low, i >= 0), (high, j < len(self.old))) if is_kept]
        inside = [anchor for anchor in self.wish.anchors if low <= anchor.at_mm <= high]
        return any(all(abs(end - a.at_mm) > a.within_mm + TOUCH_MM for end in ends) for a in inside)

    def _most_new(self, given_up: int, low: float, high: float) -> int:
        """More new places than this are never fewest: one for each given up, anchor and gap too wide, and one."""
        anchors = sum(low <= anchor.at_mm <= high for anchor in self.wish.anchors)
        widest = self.wish.widest_mm
        return given_up + anchors + 1 + (0 if math.isinf(widest) else math.ceil((high - low) / widest))

    def _row(self, i: int, j: int, low: float, high: float, new: int) -> tuple[float, ...] | None:
        """The best row of so many new places between two ends, in places of the whole line."""
        kept = int(i >= 0) + int(j < len(self.old))
        if new + kept == 0:
            return None
        wish = replace(
            self.wish,
            length_mm=high - low,
            # One closure has no gap within its stretch; the row goes on beyond it.
            widest_mm=self.wish.widest_mm if new + kept > 1 else math.inf,
            first=self.wish.first if i < 0 else (0.0, 0.0),
            last=self.wish.last if j == len(self.old) else (0.0, 0.0),
            pitch_mm=None,
            count=new + kept,
            anchors=tuple(
                Anchor(a.name, a.at_mm - low, a.within_mm) for a in self.wish.anchors if low <= a.at_mm <= high
            ),
            clear=tuple(
                Clear(z.name, z.low_mm - low, z.high_mm - low)
                for z in self.wish.clear
                if z.high_mm > low + TOUCH_MM and z.low_mm < high - TOUCH_MM
            ),
        )
        if not is_possible(wish):
            return None
        return tuple(low + place for place in best_spacing(wish).positions_mm)


def _undominated(found: dict[Sums, Filled]) -> dict[Sums, Filled]:
    """Leave out rows that another beats with fewer changes, the same count and no larger a gap."""
    kept: dict[Sums, Filled] = {}
    least: dict[int, float] = {}
    for (given_up, taken), (gap, row) in sorted(found.items()):
        if gap < least.get(taken - given_up, math.inf):
            least[taken - given_up] = gap
            kept[given_up, taken] = (gap, row)
    return kept
