"""Where along a strip a join may lie: off what lies there, by so much as there is room for."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence

from closures.frozen import frozen

OVERLAP_MM = 12.0
CLEAR_MM = 8.0
"""What is kept between a join and a thing: a pin through a mark holds one layer of paper, and tape covers none."""

LEAST_CLEAR_MM = 0.5
"""What is kept at the very least, midway between things that stand close; nearer than that no join is laid."""

_ABOUT, _ABOUT_MM = 0.8, 40.0
_STEP_MM = 1.0
_ROUNDED_MM = 1e-6


@frozen
class Thing:
    """What no join enters: from and to along the line, in mm."""

    low_mm: float
    high_mm: float


# Nothing lies under the overlap; or, where things stand closer, it passes beneath one that the later part alone shows.
BEYOND_A_JOIN_MM = (OVERLAP_MM, 0.0)


class Closed:
    """The stretches of a strip in which no join may lie, joined where they overlap; their own ends are open."""

    def __init__(self, things: Sequence[Thing], beyond: float, clear: float = CLEAR_MM) -> None:
        self.lows: list[float] = []
        self.highs: list[float] = []
        for low, high in sorted((one.low_mm - clear - beyond, one.high_mm + clear) for one in things):
            if self.highs and low < self.highs[-1]:
                self.highs[-1] = max(high, self.highs[-1])
            else:
                self.lows.append(low)
                self.highs.append(high)
        self._before = sorted(place for one in things if not self.holds(place := one.low_mm - clear - beyond))

    def furthest(self, least: float, most: float) -> float | None:
        """The furthest open place of a range: its own end, or just before a thing; None where there is none."""
        if least <= most and not self.holds(most):
            return most
        before = bisect_right(self._before, most)
        return self._before[before - 1] if before and self._before[before - 1] >= least else None

    def holds(self, place: float) -> bool:
        before = bisect_left(self.lows, place)
        return before > 0 and place < self.highs[before - 1]

    def holds_all(self, low: float, high: float) -> bool:
        before = bisect_left(self.lows, low)
        return before > 0 and high < self.highs[before - 1]


def open_near(
    things: Sequence[Thing], closed: Iterable[Closed], target: float, low: float, high: float
) -> Iterator[float]:
    """Places for a join, well clear of things before less clear ones, the nearest to a target first."""
    for one in closed:
        places = () if one.holds_all(low, high) else _outwards(target, low, high)
        yield from (place for place in places if not one.holds(place))
    # The widest gap of all may lie further off than a part can reach: those about the target are asked first.
    for about in (_ABOUT_MM, math.inf):
        close = between_close(things, max(low, target - about), min(high, target + about))
        yield from sorted(close, key=lambda place: abs(place - target))


def between_close(things: Sequence[Thing], least: float, most: float) -> tuple[float, ...]:
    """The places midway between things that stand close, where the gaps are about the widest; none in a narrow gap."""
    gaps: list[tuple[float, float]] = []
    reached = -math.inf
    for thing in sorted(things, key=lambda one: one.low_mm):
        if reached < thing.low_mm and math.isfinite(reached):
            gaps.append(((thing.low_mm - reached) / 2, (thing.low_mm + reached) / 2))
        reached = max(reached, thing.high_mm)
    clear = [(half, place) for half, place in gaps if least <= place <= most and half >= LEAST_CLEAR_MM - _ROUNDED_MM]
    widest = max((half for half, _ in clear), default=0.0)
    return tuple(place for half, place in clear if half >= _ABOUT * widest)


def _outwards(target: float, least: float, most: float) -> Iterator[float]:
    if least > most:
        return
    middle = min(max(target, least), most)
    yield middle
    for k in range(1, math.ceil((most - least) / _STEP_MM) + 1):
        for place in (middle - k * _STEP_MM, middle + k * _STEP_MM):
            if least <= place <= most:
                yield place
