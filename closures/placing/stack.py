"""What lies under a flange: the stack that one fastener clamps, on one lap.

Terms: a *layer* is cloth, interfacing or a seam allowance, lying somewhere on a lap; the
*stack* is all of them that lie under the *flange*, the part of the fastener that presses
on the cloth; a *step* is a change of thickness under the flange.

A layer is told by how far it reaches from the finished edge (`across`) and between which
distances on the closing line (`along`). The two laps clamp separate stacks; they are
never added.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.errors import naming
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.plan.plan import Plan

# Two borders nearer than this are one: nobody folds an allowance to a hundredth of it.
_SAME_BORDER_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer with its thickness known.

    Attributes:
        name: what people call it.
        low_mm, typical_mm, high_mm: thickness of all its plies together.
        plies: how many.
        structure: woven, knit, nonwoven, leather or fusible; "measured" where the user gave a thickness.
        across_mm, along_mm: where it lies; None for everywhere.
    """

    name: str
    low_mm: float
    typical_mm: float
    high_mm: float
    plies: int
    structure: str
    across_mm: tuple[float, float] | None
    along_mm: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Stack:
    """What one fastener clamps on one lap.

    Attributes:
        low_mm, typical_mm, high_mm: the thickest place under the flange.
        thinnest_mm: the typical thickness at the thinnest place under the flange.
        layers: the layers at the thickest place.
        border_mm: from the centre to the nearest border of a layer, None where there is none
            near the flange.
    """

    low_mm: float
    typical_mm: float
    high_mm: float
    thinnest_mm: float
    layers: tuple[Layer, ...]
    border_mm: float | None

    @property
    def step_mm(self) -> float:
        """The step in thickness under the flange."""
        return self.typical_mm - self.thinnest_mm


def clamped_layers(plan: Plan) -> tuple[LayerWish, ...]:
    """List everything of a plan that a flange may clamp.

    Args:
        plan: its layers, the cloth of its backing, and what is turned under at the inner edge of its facings.

    Returns:
        The layers as told, then those that follow from the rest of the plan.
    """
    found = list(plan.layers)
    if plan.sheets is not None and plan.sheets.backing_cloth is not None:
        found.append(LayerWish(cloth=plan.sheets.backing_cloth))
    if plan.bands is not None and plan.bands.turn_cloth is not None and plan.band is not None:
        turn = plan.bands.turn_mm
        for lap, width in (("over", plan.band.width_mm), ("under", plan.band.under_width_mm)):
            across = Range(max(width - turn, 0.0), width)
            found.append(LayerWish(cloth=plan.bands.turn_cloth, on=lap, across_mm=across))  # type: ignore[arg-type]
    return tuple(found)


def layers_on(lap: str, wishes: Sequence[LayerWish], catalogue: Catalogue) -> tuple[Layer, ...]:
    """List the layers of one lap with their thickness.

    Args:
        lap: "over" or "under".
        wishes: the plan's layers.
        catalogue: where a cloth's thickness is looked up.

    Returns:
        The layers, in the plan's order.

    Raises:
        CatalogueError: a cloth that the catalogue does not hold.
    """
    return tuple(_layer(wish, catalogue) for wish in wishes if wish.on in (lap, "both"))


def _layer(wish: LayerWish, catalogue: Catalogue) -> Layer:
    across = None if wish.across_mm is None else (wish.across_mm.low_mm, wish.across_mm.high_mm)
    along = None if wish.along_mm is None else (wish.along_mm.low_mm, wish.along_mm.high_mm)
    if wish.thickness_mm is not None:
        thickness = wish.count * wish.thickness_mm
        return Layer("measured layer", thickness, thickness, thickness, wish.count, "measured", across, along)
    with naming("[[layer]] cloth"):
        cloth = catalogue.cloth(wish.cloth or "")
    low, typical, high = (wish.count * f.value for f in (cloth.low, cloth.typical, cloth.high))
    return Layer(cloth.name, low, typical, high, wish.count, cloth.structure, across, along)


def stack_under(
    layers: Sequence[Layer], edge_distance_mm: float, along_mm: float, flange_mm: float, ridge_mm: float
) -> Stack | None:
    """Find the stack under a flange.

    Args:
        layers: of one lap.
        edge_distance_mm: from the lap's finished edge to the centre.
        along_mm: of the centre, on the closing line.
        flange_mm: radius of the flange.
        ridge_mm: how far outside the flange a border still matters.

    Returns:
        The stack at the thickest place under the flange, or None where no layers are told.
    """
    if not layers:
        return None
    places = _places(layers, edge_distance_mm, along_mm, flange_mm)
    stacks = [_lying_at(layers, across, along) for across, along in places]
    thickest = max(stacks, key=_typical)
    return Stack(
        low_mm=sum(layer.low_mm for layer in thickest),
        typical_mm=_typical(thickest),
        high_mm=sum(layer.high_mm for layer in thickest),
        thinnest_mm=min(_typical(stack) for stack in stacks),
        layers=thickest,
        border_mm=_nearest_border(layers, edge_distance_mm, along_mm, flange_mm + ridge_mm),
    )


def _typical(stack: Sequence[Layer]) -> float:
    return sum(layer.typical_mm for layer in stack)


def _places(layers: Sequence[Layer], across: float, along: float, radius: float) -> tuple[tuple[float, float], ...]:
    """One place inside the flange for each patch that the layers' borders cut it into."""
    columns = _between([layer.across_mm for layer in layers], across, radius)
    rows = _between([layer.along_mm for layer in layers], along, radius)
    inside = [
        (a, s) for a in columns for s in rows if (a - across) ** 2 + (s - along) ** 2 <= radius**2 + _SAME_BORDER_MM
    ]
    return tuple(inside) or ((across, along),)


def _between(ranges: Sequence[tuple[float, float] | None], centre: float, radius: float) -> list[float]:
    """The places between the borders that fall within a radius, nearest the centre in each strip."""
    borders = {end for pair in ranges if pair is not None for end in pair if abs(end - centre) < radius}
    ends = [centre - radius, *sorted(borders), centre + radius]
    strips = [(low, high) for low, high in itertools.pairwise(ends) if high - low > _SAME_BORDER_MM]
    return [min(max(centre, low + _SAME_BORDER_MM), high - _SAME_BORDER_MM) for low, high in strips] or [centre]


def _lying_at(layers: Sequence[Layer], across: float, along: float) -> tuple[Layer, ...]:
    return tuple(layer for layer in layers if _within(layer.across_mm, across) and _within(layer.along_mm, along))


def _within(span: tuple[float, float] | None, value: float) -> bool:
    return span is None or span[0] <= value <= span[1]


def _nearest_border(layers: Sequence[Layer], across: float, along: float, reach: float) -> float | None:
    """From the centre to the nearest border of a layer, where one comes within reach.

    A border at the finished edge itself is the fold, no ridge, and is passed over.
    """
    found = [
        abs(end - across)
        for layer in layers
        if layer.across_mm is not None
        for end in layer.across_mm
        if end > _SAME_BORDER_MM and _touches(layer.along_mm, along, reach)
    ]
    found += [
        abs(end - along)
        for layer in layers
        if layer.along_mm is not None
        for end in layer.along_mm
        if end > _SAME_BORDER_MM and _touches(layer.across_mm, across, reach)
    ]
    nearest = min(found, default=None)
    return nearest if nearest is not None and nearest < reach - _SAME_BORDER_MM else None


def _touches(span: tuple[float, float] | None, centre: float, reach: float) -> bool:
    return span is None or (span[0] < centre + reach and span[1] > centre - reach)
