"""Whether a lap is of a single layer of cloth, with no facing behind it: none to turn, to open or to sew a part to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import layers_on

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")


def single_laps(plan: Plan, catalogue: Catalogue) -> tuple[LapName, ...]:
    """List the laps that a plan tells a single layer of named cloth of, with or without interfacing on it.

    A layer that is only measured may stand for several, a lap of which nothing is told may have a facing, and bands
    that are cut for both have theirs.
    """
    return () if plan.bands is not None else tuple(lap for lap in _LAPS if _is_single(plan, catalogue, lap))


def is_of_one_layer(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether both laps are single layers."""
    return single_laps(plan, catalogue) == _LAPS


def _is_single(plan: Plan, catalogue: Catalogue, lap: LapName) -> bool:
    told = [wish for wish in plan.layers if wish.on in (lap, "both")]
    # An interfacing is fused to the cloth: it is no facing.
    made = zip(told, layers_on(lap, told, catalogue), strict=True)
    own = [wish for wish, layer in made if "fusible" not in layer.structures]
    return len(own) == 1 and own[0].count == 1 and own[0].cloth is not None and own[0].thickness_mm is None
