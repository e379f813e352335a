"""How the layers under a closure lie, from the outside inwards: what stiffens or backs them lies within the band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import ends_within, plies_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer, Stack


def as_they_lie(layers: Sequence[Layer], placement: Placement, lap: LapName) -> tuple[Layer, ...]:
    """Put layers in the order in which they lie.

    Interfacing is fused or sewn to the wrong side of the outer cloth, and a backing against it, under the facing
    (common practice); where a closure goes through the facing alone, both lie on that. A backing of a band that is
    sewn or knitted lies on its inner face. A patch over an old hole lies outside on the over lap, behind on the other.

    Args:
        layers: of a stack, as the plan lists them.
        placement: for what the plan says of backing, patches and state.
        lap: whose they are.

    Returns:
        The same layers; one of several plies is parted where something lies between them.
    """
    plan, rest = placement.plan, list(layers)
    patch = None if plan.swap is None or plan.swap.patch_mm is None else plan.swap.patch_cloth
    patches = _last_of(rest, patch)
    # One that is not cut is no layer, and the garment may be of the same cloth.
    is_backed = any(placement.is_backed(mark.n, lap) for mark in placement.on(lap))
    backing = _last_of(rest, plan.sheets.backing_cloth if plan.sheets is not None and is_backed else None)
    interfacing = [layer for layer in rest if "fusible" in layer.structures]
    cloths = [layer for layer in rest if layer not in interfacing]
    is_within = lap == "over" and (placement.is_beneath or ends_within(placement.fastener, plan))
    on_inner_face = plan.gauge is not None or (
        plan.state in ("sewn band", "finished") and not ends_within(placement.fastener, plan)
    )
    innermost = backing if on_inner_face else []
    between = [*interfacing, *([] if on_inner_face else backing)]
    outer, inner = ([], cloths) if is_within else _parted(cloths) if between else (cloths, [])
    lying = [*outer, *between, *inner, *innermost]
    return (*patches, *lying) if lap == "over" else (*lying, *patches)


def is_one_alone(layers: Sequence[Layer], least: int = 2) -> bool:
    """Whether layers are known to be too few to hold a closure, with no interfacing among them; leather bears one.

    Layers that were pinched together and measured at once are as many as nobody said.
    """
    structures = {word for layer in layers for word in layer.structures}
    if is_only_measured(layers) or structures & {"fusible", "leather"}:
        return False
    return sum(layer.plies for layer in layers) < least


def worked_structures(stack: Stack) -> frozenset[str]:
    """How the layers of a stack are made as far as holes go: the gaps of net matter where nothing else holds there."""
    holds = any(layer.structures and not {"openwork", "fusible"} & layer.structures for layer in stack.layers)
    return stack.structures - ({"openwork"} if holds else set())


def is_only_measured(layers: Sequence[Layer]) -> bool:
    """Whether layers were pinched together and measured at once: what they are is not known."""
    return len(layers) == 1 and not layers[0].structures


def _last_of(layers: list[Layer], cloth: str | None) -> list[Layer]:
    """Take the last layer of a cloth out, if there is one: the garment may be of the same."""
    found = [n for n, layer in enumerate(layers) if cloth is not None and layer.name == cloth]
    return [layers.pop(found[-1])] if found else []


def _parted(cloths: list[Layer]) -> tuple[list[Layer], list[Layer]]:
    """Part the outermost ply of cloth from those within."""
    if not cloths:
        return [], []
    first, more = cloths[0], cloths[1:]
    if first.plies == 1:
        return [first], more
    return [plies_of(first, 1)], [plies_of(first, first.plies - 1), *more]
