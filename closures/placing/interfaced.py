"""Where interfacing lies: behind which bands, and behind what of a folded piece, be it a band, a cuff or another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.placing.lap import Lap
    from closures.placing.stack import Stack
    from closures.plan.plan import Plan

Held = Literal["glue", "tape", "sew", "fuse or sew"]

OUTER_HALF = "the half that will lie outside, up to the fold"
"""What one interfacing lies behind: all over it would lie twice once folded, and its stack tells it once (geometry).
That it stiffens the outer half is common practice."""


STAY_OF_NET = "organza or lawn"
"""What backs net and lace: interfacing is seen through them, and theirs is what threads hold in (common practice)."""
INNER_HALF = "the half that will lie inside, up to the fold"
"""What one interfacing lies behind where that half alone holds the closures: its stack counts it there (geometry)."""


def behind_folded(interfacings: int, half: str = OUTER_HALF) -> str:
    """Behind what of one folded piece so many interfacings lie, one at least; what is one more stiffens one half.

    Args:
        interfacings: how many the plan tells of it.
        half: which half takes what is one more.
    """
    each, more = divmod(interfacings, 2)
    if not each:
        return half
    told = "each half" if each == 1 else f"each half, {each} behind one"
    return f"{told}, up to the fold" + (
        f", and one more behind {half.removesuffix(', up to the fold')}" if more else ""
    )


def is_openwork(stack: Stack) -> bool:
    """Whether all that lies somewhere is net or lace."""
    return bool(stack.layers) and all("openwork" in layer.structures for layer in stack.layers)


def lays_interfacing(plan: Plan, lap: Lap) -> bool:
    """Whether interfacing is cut for a lap's band and laid behind all of it; a front that reaches far past has none."""
    return plan.bands is not None and not lap.is_far and plan.bands.interfacings_of(lap.name) > 0


def way_held(made: Set[str], *, is_flattened: bool) -> Held:
    """How what stiffens or backs a cloth is held on it (common practice).

    Args:
        made: what the cloth is, in the words of structures, and whether it is of silk.
        is_flattened: an iron set down on it flattens its pile, its ribs or its wadding.
    """
    if "leather" in made:
        # A needle would leave its holes in the face as well.
        return "glue"
    if "coated" in made:
        return "tape"
    # Glue comes through a sheer, and silk keeps the spots of a steam iron and the shine of a dry one.
    return "sew" if is_flattened or {"sheer", "silk"} & made else "fuse or sew"
