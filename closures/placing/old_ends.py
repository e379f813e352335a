"""Where a row ends on a finished garment: where the closures that are there end, unless the plan says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.plan.kinds import Range

if TYPE_CHECKING:
    from closures.plan.plan import Plan


def old_ends(plan: Plan, length_mm: float) -> tuple[Range, Range] | None:
    """Find how far the first and the last old closure lie from either end of the closing line.

    Args:
        plan: with the closures that are there, or without.
        length_mm: of the closing line.

    Returns:
        Both in mm; None where the garment is not finished, or fewer than two closures are there.
    """
    old = plan.swap
    if old is None or plan.state != "finished" or plan.change is not None:
        return None
    if old.places_mm is not None:
        if len(old.places_mm) < 2 or old.places_mm[-1] > length_mm:
            return None
        first, last = old.places_mm[0], length_mm - old.places_mm[-1]
    elif old.first_mm is None or old.last_mm is None or (old.count or 1) < 2:
        return None
    else:
        first, last = old.first_mm, old.last_mm
    return Range(first, first), Range(last, last)
