"""From the best gates to the places themselves: the evenest of the rows that share the best figures."""

import math
from itertools import pairwise

from closures.spacing.gates import Gates, gates_through, narrow, need_and_room
from closures.spacing.reach import lay_out, reach, trace
from closures.spacing.search import Best, middles
from closures.spacing.taut import pull_taut
from closures.spacing.wish import Wish

_COUNTS_COMPARED = 8
"""Among counts that are equally good, so many of the best fitting are compared."""

_SAME_MM = 1e-6
"""Figures that differ by less than this come from rounding alone."""


def choose_row(wish: Wish, best: Best) -> tuple[float, ...]:
    """Choose among the rows with the best figures.

    The gaps stray least from the pitch (or from each other) in the sum of squares; then the two ends are
    nearest to the middles of their ranges; then there are more closures rather than fewer.

    Returns:
        the places in mm, ascending.
    """
    chosen = pull(wish, best.gates, best.shift_mm)
    limit = _figures(wish, chosen)
    rows = [chosen]
    for gates in _others(wish, best):
        row = pull(wish, gates, best.shift_mm)
        figures = _figures(wish, row)
        if all(figure <= most + _SAME_MM for figure, most in zip(figures, limit, strict=True)):
            rows.append(row)
    if wish.pitch_mm is not None and any(len(row) > 1 for row in rows):
        rows = [row for row in rows if len(row) > 1]  # a single closure keeps no pitch
    return min(rows, key=lambda row: _rank(wish, row))


def pull(wish: Wish, gates: Gates, shift_mm: float) -> tuple[float, ...]:
    """Place the evenest row through gates, no closure farther than the shift from its anchor."""
    low, high = narrow(gates, shift_mm)
    first, last = middles(wish)
    if len(low) == 1:
        return (min(max((first + last) / 2, low[0]), high[0]),)
    wanted = wish.pitch_mm if wish.pitch_mm is not None else (last - first) / (len(low) - 1)
    need, room = (pair.slope for pair in need_and_room(low, high))
    least, most = min(need, room), max(need, room)
    if need <= room:  # any equal gaps between the two would do; keep them within the hard limits
        least, most = max(least, wish.closest_mm), min(most, wish.widest_mm)
    return tuple(pull_taut(low, high, min(max(wanted, least), most), first, last))


def _others(wish: Wish, best: Best) -> list[Gates]:
    """Find further gates with the best figures, of other counts where the count is free."""
    ground = lay_out(wish, best.shift_mm + _SAME_MM / 10)
    first, last = middles(wish)
    found = []
    for lo, hi in dict.fromkeys(best.boxes):
        gap = min(max(wish.pitch_mm or (lo + hi) / 2, lo), hi)
        levels, works = reach(ground, lo, hi, wish.count, whole=True)
        fits = sorted((abs((count - 1) * gap - (last - first)), count) for count in works)
        for _, count in fits[:_COUNTS_COMPARED]:
            places = trace(ground, levels, count, lo, hi, gap, last)
            found.append(gates_through(wish, ground, places))
    return found


def _figures(wish: Wish, row: tuple[float, ...]) -> tuple[float, float, float]:
    gaps = [b - a for a, b in pairwise(row)]
    pitch = wish.pitch_mm
    departure = max((abs(gap - pitch) for gap in gaps), default=0.0) if pitch is not None else 0.0
    shift = max((min(abs(place - a.at_mm) for place in row) for a in wish.anchors), default=0.0)
    return departure, (max(gaps) - min(gaps) if gaps else 0.0), shift


def _rank(wish: Wish, row: tuple[float, ...]) -> tuple[float, float, int]:
    gaps = [b - a for a, b in pairwise(row)]
    level = wish.pitch_mm if wish.pitch_mm is not None else math.fsum(gaps) / max(len(gaps), 1)
    first, last = middles(wish)
    unevenness = math.fsum((gap - level) ** 2 for gap in gaps)
    return round(unevenness, 6), round((row[0] - first) ** 2 + (row[-1] - last) ** 2, 6), -len(row)
