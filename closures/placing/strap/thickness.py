"""How thick a strap is: as measured, or the sum of the layers that lie in it everywhere; and how it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section
from closures.placing.stack import layers_on
from closures.plan.layers import LayerWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.plan.strap import Making


def strap_thickness_mm(measured_mm: float | None, layers: Sequence[LayerWish], catalogue: Catalogue) -> float | None:
    """Find a strap's thickness in mm.

    Args:
        measured_mm: as the plan gives it, None where it does not.
        layers: the plan's; those on one end only, or on part of an end, are no part of the whole strap.
        catalogue: where a cloth's typical thickness is looked up.

    Returns:
        The thickness, or None where neither tells it.

    Raises:
        CatalogueError: a cloth that the catalogue does not hold.
    """
    if measured_mm is not None:
        return measured_mm
    whole = [layer for layer in layers if layer.on == "both" and layer.across_mm is None]
    return sum(layer.typical_mm for layer in layers_on("over", whole, catalogue)) if whole else None


def made_of(made: Making | None, layers: Sequence[LayerWish], catalogue: Catalogue) -> Making:
    """Tell how a strap is cut: as the plan says, else in one layer where it is one of leather, else in two pieces."""
    if made is not None:
        return made
    plies = layers_on("over", layers, catalogue)
    is_one = len(plies) == 1 and plies[0].plies == 1 and "leather" in plies[0].structures
    return "one layer" if is_one else "two pieces"


def notes_on_layers(made: Making, layers: Sequence[LayerWish], catalogue: Catalogue) -> tuple[str, ...]:
    """Say where the layers that are told come to more, or to fewer, than what is cut makes of them.

    Layers that were measured and not named may be anything, and a fusible is no cloth.
    """
    whole = [layer for layer in layers if layer.on == "both" and layer.across_mm is None]
    plies = layers_on("over", whole, catalogue)
    if not plies or not all(layer.structures for layer in plies):
        return ()
    told = sum(layer.plies for layer in plies if "fusible" not in layer.structures)
    cut = 1 if made == "one layer" else 2
    if told > cut:
        return (
            f"The plan tells {told} layers of cloth, and what is cut makes {cut}: the rest, turned allowances or an "
            "interlining, must lie under every closure too.",
        )
    if told < cut:
        return (
            f"The plan tells {told} {'layer' if told == 1 else 'layers'} of cloth, and what is cut makes {cut}, so the "
            'strap comes out thicker than told: add the others as a [[layer]], or write made = "one layer".',
        )
    return ()


def strap_layers(measured_mm: float | None, layers: Sequence[LayerWish]) -> tuple[LayerWish, ...]:
    """Give the layers that fasteners clamp: the plan's or, where it has none, the strap as a whole.

    Raises:
        PlanError: a layer is told by a stretch of the closing line, which a strap does not have.
    """
    for n, layer in enumerate(layers, 1):
        if layer.along_mm is not None:
            raise PlanError(
                "it goes with closures along an edge",
                where=in_section("layer", "along", nth=n),
                mend="On a strap write across, which is measured from the tip, or leave it out for the whole strap.",
            )
    if layers or measured_mm is None:
        return tuple(layers)
    return (LayerWish(thickness_mm=measured_mm),)
