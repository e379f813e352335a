"""Whether cloth keeps what a needle, a pin or an iron does to it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.placing.stack import clamped_layers, cloths_among, layers_on

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.placing.stack import Layer
    from closures.plan.layers import LayerWish
    from closures.plan.plan import Plan

SPOILT_BY_A_WASH = {
    "leather": "leather hardens and shrinks in water and heat, and its dye runs",
    "coated": "a coat may crack, and no iron is set on it",
    "wool": "wool felts and shrinks",
    "silk": "silk shrinks, and its dye runs",
}
"""Common practice: what a wash does to cloth that is cleaned in another way."""


def own_layers(plan: Plan) -> tuple[LayerWish, ...]:
    """List the layers that decide how a garment is treated: its own, without backing and patches.

    What is laid on it at the closures alone is worked as itself, and the garment around it as its own cloth asks.
    """
    if plan.swap is None or plan.swap.patch_cloth is None:
        return clamped_layers(replace(plan, sheets=None))
    # An offer has the patches behind old holes among its layers, each as large as it is cut.
    of = plan.swap.patch_cloth
    own = tuple(one for one in plan.layers if one.cloth != of or one.along_mm is None or one.across_mm is None)
    return clamped_layers(replace(plan, layers=own, sheets=None, swap=replace(plan.swap, patch_cloth=None)))


def faces_of(plan: Plan, catalogue: Catalogue) -> tuple[Layer, ...]:
    """List the outermost cloth of each lap, which a sheet is laid on: a plan tells its layers from there inwards."""
    laps = [layers_on(lap, own_layers(plan), catalogue) for lap in ("over", "under")]
    found = [face_among(layers) for layers in laps]
    return tuple(face for face in found if face is not None)


def face_among(layers: Sequence[Layer]) -> Layer | None:
    """Find the outermost cloth of one lap; what binds its edge alone is none where other cloth lies there."""
    cloths = [layer for layer in layers if "fusible" not in layer.structures]
    return next((layer for layer in cloths if layer.across_mm is None), cloths[0] if cloths else None)


def keeps_marks_within(layers: Sequence[Layer], faces: Sequence[Layer], plan: Plan, catalogue: Catalogue) -> bool:
    """Whether only what lies within keeps what needle and iron do to it, and the cloth outside does not."""
    return bool(faces) and keeps_marks(layers, plan, catalogue) and not keeps_marks(faces, plan, catalogue)


def has_nap_alone(layers: Sequence[Layer], catalogue: Catalogue) -> bool:
    """Whether what is brushed among layers has a nap, which bears an iron, and no pile, so far as cloths are named."""
    napped = {cloth.name for cloth in catalogue.cloths if cloth.has_nap}
    brushed = [layer for layer in layers if "pile" in layer.structures]
    return bool(brushed) and all(layer.name in napped for layer in brushed)


def has_nap_inside(layers: Sequence[Layer], catalogue: Catalogue) -> bool:
    """Whether every nap among layers lies on the inside of the garment, under a smooth face."""
    inside = {cloth.name for cloth in catalogue.cloths if cloth.nap_is_inside}
    return all(layer.name in inside for layer in layers if "pile" in layer.structures)


def has_ribs(layers: Sequence[Layer], catalogue: Catalogue) -> bool:
    """Whether a layer is of a named knit whose ribs an iron presses flat."""
    ribbed = {cloth.name for cloth in catalogue.cloths if cloth.is_ribbed}
    return any(layer.name in ribbed for layer in layers)


def is_flattened(made: Set[str], *, is_ribbed: bool) -> bool:
    """Whether an iron set down on a cloth flattens it for good: a pile, ribs, or what it was filled for.

    Args:
        made: what the cloth is; a nap, which is raised again, is no pile.
        is_ribbed: it has ribs.
    """
    return is_ribbed or bool({"pile", "padded"} & made)


def is_cleaned(layers: Sequence[Layer], catalogue: Catalogue) -> bool:
    """Whether a layer is of a named cloth that is steamed or cleaned and not washed, whatever its fibre bears."""
    cleaned = {cloth.name for cloth in catalogue.cloths if cloth.is_cleaned}
    return any(layer.name in cleaned for layer in layers)


def keeps_marks(layers: Sequence[Layer], plan: Plan, catalogue: Catalogue) -> bool:
    """Whether needle and iron leave what stays to be seen, as is feared of a pile that nobody names.

    Velvet, silk, satin and sheers do (common practice); what is knitted by hand closes over a needle.
    """
    if plan.gauge is not None:
        return False
    if {"silk", "satin", "sheer"} & cloths_among(layers):
        return True
    known = {cloth.name: cloth.marks for cloth in catalogue.cloths}
    pile = [layer for layer in layers if "pile" in layer.structures and "knit" not in layer.structures]
    return any(known.get(layer.name, True) for layer in pile)
