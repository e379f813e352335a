"""Where interfacing lies: behind which bands, and behind what of a folded piece, be it a band, a cuff or another."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.placing.lap import Lap
    from closures.plan.plan import Plan

OUTER_HALF = "the half that will lie outside, up to the fold"
"""What one interfacing lies behind: all over it would lie twice once folded, and its stack tells it once (geometry).
That it stiffens the outer half is common practice."""


def behind_folded(interfacings: int) -> str:
    """Behind what of one folded piece so many interfacings lie, one at least; what is one more stiffens the outer half.

    Args:
        interfacings: how many the plan tells of it.
    """
    each, more = divmod(interfacings, 2)
    if not each:
        return OUTER_HALF
    told = "each half" if each == 1 else f"each half, {each} behind one"
    return f"{told}, up to the fold" + (", and one more behind the half that will lie outside" if more else "")


def lays_interfacing(plan: Plan, lap: Lap) -> bool:
    """Whether interfacing is cut for a lap's band and laid behind all of it; a front that reaches far past has none."""
    return plan.bands is not None and not lap.is_far and plan.bands.interfacings_of(lap.name) > 0
