"""The two questions: what is the best row, and what are the figures of a given one."""

import math
from collections.abc import Sequence
from itertools import pairwise

from closures.errors import SpacingError
from closures.spacing.advice import advise
from closures.spacing.choice import best_row
from closures.spacing.measure import measure
from closures.spacing.reason import gaps_in_words, reason_for
from closures.spacing.wish import MOST_CLOSURES, Show, Spacing, Wish, check_wish, show_mm


def best_spacing(wish: Wish, show: Show = show_mm, step_mm: float = 0.01) -> Spacing:
    """Find the best row of closures.

    See `choice` for what the best is. Each figure is within 0.002 mm of the best there is.

    Args:
        wish: what is asked.
        show: writes a length for people, for the reason and for advice.
        step_mm: the smallest step that `show` tells apart; advice comes in whole steps.

    Returns:
        the row; its ends, anchors and clear zones are kept exactly, its gaps to 0.000001 mm.

    Raises:
        NoSpacing: no row meets the rules; says which conflict, and what would do.
        SpacingError: a figure of the wish makes no sense, or the row would have more than 5,000 closures.
    """
    check_wish(wish)
    if wish.count is None:
        _refuse_too_many(wish, wish.pitch_mm or math.nan, show)
    places = best_row(wish)
    if places is None:
        raise advise(wish, show, step_mm)
    return measure(wish, places, reason_for(wish, places, show))


def evaluate_spacing(wish: Wish, positions: Sequence[float], show: Show = show_mm) -> Spacing:
    """Give the figures of a row that is already there.

    Args:
        wish: what was wanted; only its pitch and its anchors are used.
        positions: the places in mm along the line from the first end, ascending.
        show: writes a length for people.

    Returns:
        the row with its figures, whether or not it meets the rules.

    Raises:
        SpacingError: no places, one that is not finite, or places that do not ascend.
    """
    check_wish(wish)
    places = tuple(float(place) for place in positions)
    if not places:
        raise SpacingError("a row needs at least one place", mend="Give the place of each closure.")
    for place in places:
        if not math.isfinite(place):
            raise SpacingError(f"a place is {place}, not a finite number", mend="Write a length in figures.")
    for before, after in pairwise(places):
        if after <= before:
            raise SpacingError(
                f"the place at {show(after)} does not lie beyond the one before it, at {show(before)}",
                mend="Give the places in order from the first end, each once.",
            )
    gaps = measure(wish, places, "").gaps_mm
    words = f"{len(places)} closures" if gaps else "1 closure"
    reason = f"{words} where given: {gaps_in_words(gaps, show)}." if gaps else f"{words} where given."
    return measure(wish, places, reason)


def _refuse_too_many(wish: Wish, pitch_mm: float, show: Show) -> None:
    shortest_run = max(wish.length_mm - wish.first[1] - wish.last[1], 0.0)
    gap = min(max(pitch_mm, wish.closest_mm), wish.widest_mm)
    if shortest_run / gap > MOST_CLOSURES - 1:
        raise SpacingError(
            f"gaps of {show(gap)} on a line of {show(wish.length_mm)} make more than the "
            f"{MOST_CLOSURES} closures that one row can have",
            mend="Ask for a larger pitch.",
        )
