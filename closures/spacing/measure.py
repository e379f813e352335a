"""Measure a row of closures: its gaps, and how far it is from what was wanted."""

from itertools import pairwise

from closures.spacing.gates import nearest_index
from closures.spacing.wish import Shift, Spacing, Wish


def measure(wish: Wish, places: tuple[float, ...], reason: str) -> Spacing:
    """Give the figures of a row.

    Args:
        wish: what was wanted; its hard rules are not looked at.
        places: the places in mm, ascending, at least one.
        reason: why the row is as it is.
    """
    gaps = tuple(b - a for a, b in pairwise(places))
    smallest, largest = (min(gaps), max(gaps)) if gaps else (0.0, 0.0)
    departure = None
    if wish.pitch_mm is not None:
        # With no gap the whole line is the gap.
        departure = max(abs(gap - wish.pitch_mm) for gap in gaps or (wish.length_mm,))
    return Spacing(
        places, gaps, smallest, largest, largest - smallest, departure, shifts_of(wish, places), reason, wish
    )


def shifts_of(wish: Wish, places: tuple[float, ...]) -> tuple[Shift, ...]:
    """Find for each anchor the nearest closure, and how far it sits from the anchor."""
    shifts = []
    for anchor_index, anchor in enumerate(wish.anchors):
        mark = nearest_index(places, anchor.at_mm)
        shifts.append(Shift(anchor_index, mark, places[mark] - anchor.at_mm))
    return tuple(shifts)
