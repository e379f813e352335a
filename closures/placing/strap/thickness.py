"""How thick a strap is: as measured, or the sum of the layers that lie in it everywhere."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section
from closures.placing.single_layer import lying_all_over, told_plies
from closures.placing.stack import layers_on
from closures.plan.layers import LayerWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.plan.strap import Making


_CUT: dict[Making, int] = {"two pieces": 2, "folded": 2, "one layer": 1}
_REST = (
    "The plan tells {told} layers of cloth, and what is cut makes {cut}: the rest, turned allowances or an "
    "interfacing, must lie under every closure too."
)


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
    whole = [layer for layer in lying_all_over(layers) if layer.on == "both"]
    return sum(layer.typical_mm for layer in layers_on("over", whole, catalogue)) if whole else None


def notes_on_layers(made: Making, layers: Sequence[LayerWish], catalogue: Catalogue) -> tuple[str, ...]:
    """Say where the layers that are told come to more than what is cut in two makes of them."""
    told = told_beyond(made, layers, catalogue)
    if told is None or made == "one layer":
        return ()
    return (_REST.format(told=told, cut=_CUT[made]),)


def told_beyond(made: Making, layers: Sequence[LayerWish], catalogue: Catalogue) -> int | None:
    """Count the layers of cloth that are told all along a strap, where they are more than are cut; else None."""
    whole = [layer for layer in lying_all_over(layers) if layer.on == "both"]
    told = told_plies(layers_on("over", whole, catalogue))
    return told if told is not None and told > _CUT[made] else None


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
