"""Where interfacing lies: behind which bands, and behind what of a folded piece, be it a band, a cuff or another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.placing.lap import Lap
    from closures.placing.stack import Stack
    from closures.plan.plan import Plan

Held = Literal["glue", "tape", "sew", "fuse", "fuse or sew"]
REWAXED = (
    "through needle holes that are there already where you can, with fresh wax rubbed over every hole, tried on a "
    "scrap first: tape and glue hold badly on wax"
)
"""How what backs waxed cloth is sewn to it: from memory."""

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


def is_waxed(words: Set[str]) -> bool:
    """Whether what lies on a cloth is sewn to it, since its wax holds neither tape nor glue (from memory).

    Args:
        words: what the cloth is, as words of structures or as facts such as ``cloth: leather``.
    """
    return bool({"waxed", "cloth: waxed"} & words) and not {"leather", "cloth: leather"} & words


def rewaxed(words: Set[str]) -> str:
    """How it is sewn there, to stand after what says so; empty of any other cloth."""
    return f" ({REWAXED})" if is_waxed(words) else ""


def way_held(made: Set[str], *, is_flattened: bool, backing: Set[str] | None = None) -> Held:
    """How what stiffens or backs a cloth is held on it (common practice; that wax holds neither tape nor glue is from
    memory).

    Args:
        made: what the cloth is, in the words of structures, and whether it is of silk.
        is_flattened: an iron set down on it flattens its pile, its ribs or its wadding.
        backing: what that is that backs it, in the same words; None where nobody told, and it may be a fusible.
    """
    if "leather" in made:
        # A needle would leave its holes in the face as well.
        return "glue"
    if is_waxed(made):
        return "sew"
    if "coated" in made:
        return "tape"
    # Glue comes through a sheer, and silk keeps the spots of a steam iron and the shine of a dry one.
    if is_flattened or {"sheer", "silk"} & made:
        return "sew"
    return "fuse or sew" if backing is None else "fuse" if "fusible" in backing else "sew"
