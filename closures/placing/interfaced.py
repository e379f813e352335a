"""Behind what of a folded piece its interfacing lies, said alike of bands, cuffs and all that is folded."""

from __future__ import annotations

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
