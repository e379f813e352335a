"""What of a garment may not bear the wash that it gets: a patch, a backing, or a cloth that the plan washes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.cloth_marks import SPOILT_BY_A_WASH, own_layers
from closures.placing.stack import layers_on
from closures.plan.layers import LayerWish
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.catalogue.catalogue import Catalogue
    from closures.placing.stack import Layer
    from closures.plan.plan import Plan

_WASHED = ("wash: first", "wash: done", "wash: after", "wash: trial")


def bears_no_wash(plan: Plan, words: Set[str], catalogue: Catalogue) -> str:
    """Name what a garment's wash may spoil, and why.

    Args:
        plan: its layers, patches and backing.
        words: facts of its own cloth.
        catalogue: where cloths are looked up.

    Returns:
        A part of a sentence, such as ``the patches, of leather 2 oz, since leather …``; empty where all of it
        bears the wash, as far as is known.
    """
    if not words & set(_WASHED):
        return ""
    own = [layer for lap in ("over", "under") for layer in layers_on(lap, own_layers(plan), catalogue)]
    alike = {reason for layer in own for reason in _reasons(layer)}
    told: dict[str, tuple[str, ...]] = {}
    for what, cloth in (
        ("the patches, of", None if plan.swap is None else plan.swap.patch_cloth),
        ("the backing, of", None if plan.sheets is None else plan.sheets.backing_cloth),
    ):
        laid = () if cloth is None else layers_on("over", (LayerWish(cloth=cloth),), catalogue)
        # What is as the garment is bears what the garment bears.
        reasons = tuple(reason for layer in laid for reason in _reasons(layer) if reason not in alike)
        if reasons:
            told[f"{what} {cloth}"] = reasons
    is_washed = plan.garment is not None and plan.garment.washing in ("washed", "to be washed")
    if is_washed or plan.shrinkage is not None:
        told_of = "is washed" if is_washed else "shrinks in its first wash"
        for layer in own:
            reasons = tuple(reason for reason in _reasons(layer) if reason in ("leather", "coated"))
            if reasons:
                told[f"the {layer.name or 'cloth'}, which the plan says {told_of}"] = reasons
    if not told:
        return ""
    why = dict.fromkeys(SPOILT_BY_A_WASH[reason] for reasons in told.values() for reason in reasons)
    return f"{in_a_row(tuple(told))}, since {in_a_row(tuple(why))}"


def spoilt_by_a_wash(words: Set[str]) -> str:
    """Say what a wash does to leather or coated cloth; empty of other cloth."""
    return " and ".join(SPOILT_BY_A_WASH[one] for one in ("leather", "coated") if f"cloth: {one}" in words)


def _reasons(layer: Layer) -> list[str]:
    made = {*layer.structures, layer.fibre}
    return [reason for reason in SPOILT_BY_A_WASH if reason in made]
