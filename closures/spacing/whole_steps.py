"""The best row on a ladder of places, such as the rows of knitting: as even as whole numbers allow.

What is hard, and what is best, is the rule of any row on given places. Of the many rows that are equally good by it,
this takes the one whose longer gaps are spread among the shorter ones: between two fixed closures, closure k of n lies
on the place that is nearest to its share of the way, and no whole number comes nearer.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from closures.lengths import SAME_MM
from closures.spacing.choice import departures_of
from closures.spacing.departures import compare
from closures.spacing.measure import measure
from closures.spacing.repeats import best_on_places
from closures.spacing.steps import allowed_on
from closures.spacing.wish import Show, Spacing, Wish, show_mm


def ladder(length_mm: float, step_mm: float, from_mm: float = 0.0) -> tuple[float, ...]:
    """All places on a line that lie whole steps from one place.

    Args:
        length_mm: of the line.
        step_mm: above 0.
        from_mm: that place, along the line; it may lie beyond either end.
    """
    low = math.ceil((-from_mm - SAME_MM) / step_mm)
    high = math.floor((length_mm - from_mm + SAME_MM) / step_mm)
    return tuple(from_mm + k * step_mm for k in range(low, high + 1))


def best_on_ladder(
    wish: Wish, places: Sequence[float], show: Show = show_mm, sits: str = "on a whole row", step_mm: float = 0.01
) -> Spacing:
    """Find the best row on a ladder, and spread its longer gaps among the shorter ones.

    Args:
        wish: what is asked.
        places: in mm along the line, ascending.
        show: writes a length for people.
        sits: where the places are, in words.
        step_mm: the smallest step that `show` tells apart.

    Raises:
        NoSpacing: no row on these places meets the rules.
    """
    found = best_on_places(wish, places, show, sits, step_mm)
    steps = [_index(places, place) for place in found.positions_mm]
    fixed = sorted({0, len(steps) - 1, *(shift.mark_index for shift in found.shifts)})
    for before, after in pairwise(fixed):
        gaps = after - before
        for k in range(1, gaps):
            # Twice the share of the way and one, halved: a share that lies half way goes to the later place.
            share = 2 * k * (steps[after] - steps[before]) + gaps
            steps[before + k] = steps[before] + share // (2 * gaps)
    row = tuple(places[step] for step in steps)
    chosen = measure(wish, row, found.reason)
    is_as_good = chosen.smallest_mm > found.smallest_mm - SAME_MM and chosen.largest_mm < found.largest_mm + SAME_MM
    if wish.pitch_mm is not None:
        lists = [departures_of(places_mm, wish.pitch_mm) for places_mm in (row, found.positions_mm)]
        is_as_good = is_as_good and compare(*lists) <= 0
    return chosen if is_as_good and set(row) <= set(allowed_on(wish, places)) else found


def _index(places: Sequence[float], place: float) -> int:
    return bisect_left(places, place - SAME_MM)
