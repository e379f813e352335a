"""The evenest row through fixed gates: a taut string.

Plot place less c times the index against the index. A row with all gaps c is level there, and the row that
strays least from it is a string pulled taut through the gates, its ends free to slide in theirs. A taut
string makes the sum of f(gap - c) least for every convex f that is least at 0, all at once, so it has the
smallest largest gap, the largest smallest gap and the smallest sum of squares together.
"""

import math
from itertools import pairwise


def pull_taut(low: list[float], high: list[float], gap_mm: float, first_mm: float, last_mm: float) -> list[float]:
    """Find the evenest places, one in each gate.

    Args:
        low: least places.
        high: greatest places.
        gap_mm: the gap to keep to; between the smallest and the largest gap of an evenest row.
        first_mm: where the first closure would best be, where the row is free to slide.
        last_mm: where the last would best be, likewise.

    Returns:
        the places, ascending, each within its gate.
    """
    count = len(low)
    floor = [value - gap_mm * i for i, value in enumerate(low)]
    roof = [value - gap_mm * i for i, value in enumerate(high)]
    wanted = (first_mm + last_mm - gap_mm * (count - 1)) / 2
    knots = _knots(floor, roof, wanted)
    places = []
    for (i, a), (j, b) in pairwise(knots):
        slope = (b - a) / (j - i)
        places += [a + slope * (k - i) + gap_mm * k for k in range(i, j)]
    places.append(knots[-1][1] + gap_mm * knots[-1][0])
    return [min(max(p, a), b) for p, a, b in zip(places, low, high, strict=True)]


def _knots(floor: list[float], roof: list[float], wanted: float) -> list[tuple[int, float]]:
    """Find where the string bends, as (index, height), with both its ends."""
    count = len(floor)
    at, height = _level_start(floor, roof, wanted)
    knots = [(0, height)] if at > 0 else []
    knots.append((at, height))
    while at < count - 1:
        at, height = _next_bend(floor, roof, at, height)
        knots.append((at, height))
    return knots


def _level_start(floor: list[float], roof: list[float], wanted: float) -> tuple[int, float]:
    """Follow the string level from its free first end to the first gate that bends it, or to the last."""
    least, greatest, at_floor, at_roof = -math.inf, math.inf, 0, 0
    for i, (a, b) in enumerate(zip(floor, roof, strict=True)):
        if a > greatest:
            return at_roof, greatest
        if b < least:
            return at_floor, least
        if a >= least:
            least, at_floor = a, i
        if b <= greatest:
            greatest, at_roof = b, i
    return len(floor) - 1, min(max(wanted, least), greatest)


def _next_bend(floor: list[float], roof: list[float], at: int, height: float) -> tuple[int, float]:
    """Follow the string from a bend to the next one, or level to its free last end."""
    least, greatest, at_floor, at_roof = -math.inf, math.inf, at, at
    for i in range(at + 1, len(floor)):
        up, down = (roof[i] - height) / (i - at), (floor[i] - height) / (i - at)
        if down > greatest:
            return at_roof, roof[at_roof]
        if up < least:
            return at_floor, floor[at_floor]
        if down >= least:
            least, at_floor = down, i
        if up <= greatest:
            greatest, at_roof = up, i
    if greatest < 0:
        return at_roof, roof[at_roof]
    if least > 0:
        return at_floor, floor[at_floor]
    return len(floor) - 1, height
