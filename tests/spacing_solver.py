"""The best row as mixed-integer programs: what a solver from outside (HiGHS, by way of scipy) makes of the same wish.

Nothing of `closures.spacing` but its values is used here. A closure's side of a clear zone and the closure that meets
an anchor are binary unknowns; every figure is one program, with those before it held. The list of departures, largest
first, comes by the sums of its k largest (W. Ogryczak, A. Tamir, Minimizing the sum of the k largest functions in
linear time, Information Processing Letters 85, 2003): k r + sum of max(0, d - r) is least at that sum.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import LinearConstraint, milp

HELD = 1e-5
"""A figure that was found is held to this, in mm; the solver works to about 1e-7."""


@dataclass
class Best:
    """What the solver found: the figures in mm, those that do not apply as None."""

    departure: float | None
    spread: float | None
    shift: float | None
    departures: tuple[float, ...] | None
    looks_even: bool


class Row:
    """The unknowns and the hard rules of a row of a settled count, two or more."""

    def __init__(self, wish, count):
        self.count, self.reach = count, 2 * wish.length_mm + 2000.0
        self.kinds, self.bounds, self.rows, self.limits = [], [], [], []
        self.places = [self.unknown(0.0, wish.length_mm) for _ in range(count)]
        self.gaps = [[(b, 1.0), (a, -1.0)] for a, b in zip(self.places, self.places[1:], strict=False)]
        first, last = self.places[0], self.places[-1]
        self.between(first, *wish.first)
        self.between(last, wish.length_mm - wish.last[1], wish.length_mm - wish.last[0])
        for gap in self.gaps:
            self.at_most([(v, -f) for v, f in gap], -wish.closest_mm)
            if wish.widest_mm < math.inf:
                self.at_most(gap, wish.widest_mm)
        for low, high in joined(wish.clear):
            for place in self.places:
                after = self.unknown(0, 1, whole=True)
                self.at_most([(place, 1.0), (after, -self.reach)], low)
                self.at_most([(place, -1.0), (after, self.reach)], self.reach - high)
        self.shift = self.unknown(0.0, max((a.within_mm for a in wish.anchors), default=0.0))
        for anchor in wish.anchors:
            meets = [self.unknown(0, 1, whole=True) for _ in self.places]
            self.at_most([(meet, -1.0) for meet in meets], -1.0)
            for place, meet in zip(self.places, meets, strict=True):
                for way in (1.0, -1.0):
                    off = [(place, way), (meet, self.reach)]
                    self.at_most(off, way * anchor.at_mm + anchor.within_mm + self.reach)
                    self.at_most([*off, (self.shift, -1.0)], way * anchor.at_mm + self.reach)

    def unknown(self, low, high, whole=False):
        self.kinds.append(int(whole))
        self.bounds.append((low, high))
        return len(self.kinds) - 1

    def between(self, unknown, low, high):
        was = self.bounds[unknown]
        self.bounds[unknown] = (max(was[0], low), min(was[1], high))

    def at_most(self, terms, limit):
        self.rows.append(terms)
        self.limits.append(limit)

    def least(self, terms):
        """Give the least value of a sum and hold it there, or None where the rules cannot be met."""
        if any(low > high for low, high in self.bounds):
            return None
        size = len(self.kinds)
        matrix = np.zeros((len(self.rows), size))
        for i, row in enumerate(self.rows):
            for unknown, factor in row:
                matrix[i, unknown] += factor
        goal = np.zeros(size)
        for unknown, factor in terms:
            goal[unknown] += factor
        low, high = (np.array(side, dtype=float) for side in zip(*self.bounds, strict=True))
        answer = milp(
            goal,
            integrality=np.array(self.kinds),
            bounds=(low, high),
            constraints=LinearConstraint(matrix, -np.inf, np.array(self.limits)),
            options={"mip_rel_gap": 0.0},
        )
        if answer.x is None:
            return None
        self.at_most(terms, float(answer.fun) + HELD)
        self.found = answer.x
        return float(answer.fun)

    def departures(self, pitch):
        """Make an unknown for each gap that is no less than its departure from the pitch."""
        offs = []
        for gap in self.gaps:
            off = self.unknown(0.0, self.reach)
            offs.append(off)
            self.at_most([*gap, (off, -1.0)], pitch)
            self.at_most([*((v, -f) for v, f in gap), (off, -1.0)], -pitch)
        return offs

    def at_most_all(self, unknowns):
        """Make an unknown that none of some others exceeds."""
        most = self.unknown(0.0, self.reach)
        for unknown in unknowns:
            self.at_most([(unknown, 1.0), (most, -1.0)], 0.0)
        return most

    def spread(self):
        """Give terms for the largest gap less the smallest."""
        least, most = self.unknown(0.0, self.reach), self.unknown(0.0, self.reach)
        for gap in self.gaps:
            self.at_most([*gap, (most, -1.0)], 0.0)
            self.at_most([*((v, -f) for v, f in gap), (least, 1.0)], 0.0)
        return [(most, 1.0), (least, -1.0)]

    def sum_of_largest(self, offs, k):
        """Give terms for the sum of the k largest of some unknowns."""
        level = self.unknown(0.0, self.reach)
        over = []
        for off in offs:
            rest = self.unknown(0.0, self.reach)
            self.at_most([(off, 1.0), (level, -1.0), (rest, -1.0)], 0.0)
            over.append((rest, 1.0))
        return [(level, float(k)), *over]


def joined(zones):
    """Join clear zones that touch or overlap."""
    spans = []
    for low, high in sorted((zone.low_mm, zone.high_mm) for zone in zones if zone.low_mm < zone.high_mm):
        if spans and low <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(spans[-1][1], high))
        else:
            spans.append((low, high))
    return spans


def alone(wish):
    """Give the shift of a single closure, or None where none can be; the whole line is its gap."""
    if wish.length_mm > wish.widest_mm:
        return None
    low = max(wish.first[0], wish.length_mm - wish.last[1], *(a.at_mm - a.within_mm for a in wish.anchors))
    high = min(wish.first[1], wish.length_mm - wish.last[0], *(a.at_mm + a.within_mm for a in wish.anchors))
    spans = [(low, high)] if low <= high else []
    for begin, end in joined(wish.clear):
        spans = [part for a, b in spans for part in ((a, min(b, begin)), (max(a, end), b)) if part[0] <= part[1]]
    shifts = []
    for a, b in spans:
        fine = np.linspace(a, b, 2001)
        shifts.append(min((max(abs(x - n.at_mm) for n in wish.anchors) if wish.anchors else 0.0) for x in fine))
    return min(shifts, default=None)


def best_with_count(wish):
    """Find the best figures with a count: the spread, then the shift."""
    if wish.count == 1:
        shift = alone(wish)
        return None if shift is None else Best(None, 0.0, shift, None, True)
    row = Row(wish, wish.count)
    spread = row.least(row.spread())
    if spread is None:
        return None
    return Best(None, spread, row.least([(row.shift, 1.0)]) if wish.anchors else 0.0, None, True)


def best_with_pitch(wish, counts):
    """Find the best figures with a pitch over the counts given, or None where no row meets the rules."""
    pitch = wish.pitch_mm
    by_count = {}
    for count in counts:
        row = Row(wish, count)
        offs = row.departures(pitch)
        off = row.least([(row.at_most_all(offs), 1.0)])
        if off is not None:
            by_count[count] = off, row, offs
    shift_alone = alone(wish)
    whole = None if shift_alone is None else abs(wish.length_mm - pitch)
    departures = [off for off, _, _ in by_count.values()] + ([] if whole is None else [whole])
    if not departures:
        return None
    least = min(departures)
    close = [(row, offs) for off, row, offs in by_count.values() if off <= least + HELD]
    if least <= pitch / 3:
        spreads = [(row.least(row.spread()), row) for row, _ in close]
        if whole is not None and whole <= least + HELD:
            spreads.append((0.0, None))
        spread = min(spread for spread, _ in spreads)
        if spread <= pitch / 4:
            even = [row for found, row in spreads if found <= spread + HELD]
            shifts = [shift_alone if row is None else row.least([(row.shift, 1.0)]) for row in even]
            return Best(least, spread, min(shifts) if wish.anchors else 0.0, None, True)
    return Best(least, None, None, best_list(wish, counts, whole), False)


def best_list(wish, counts, whole):
    """Find the best list of departures, largest first."""
    best = None if whole is None else (whole,)
    for count in counts:
        row = Row(wish, count)
        offs = row.departures(wish.pitch_mm)
        found = []
        for k in range(1, count):
            total = row.least(row.sum_of_largest(offs, k))
            if total is None:
                break
            found.append(total - sum(found))
            if best is not None and is_smaller([*best, *[0.0] * k][:k], found):
                break  # whatever comes now, this count is worse
        else:
            if best is None or is_smaller(found, best):
                best = tuple(found)
    return best


def is_smaller(one, other, near=0.01):
    """Tell whether a list is smaller at the first place where two differ; the shorter is followed by zeros."""
    for k in range(max(len(one), len(other))):
        a, b = (side[k] if k < len(side) else 0.0 for side in (one, other))
        if abs(a - b) > near:
            return a < b
    return False
