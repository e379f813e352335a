"""Whether a lap is of a single layer of cloth, with no facing behind it: none to turn, to open or to sew a part to."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")


def single_laps(plan: Plan) -> tuple[LapName, ...]:
    """List the laps that a plan tells a single layer of named cloth of.

    A layer that is only measured may stand for several, and a lap of which nothing is told may have a facing.
    """
    return tuple(lap for lap in _LAPS if is_single_on(plan, lap))


def is_of_one_layer(plan: Plan) -> bool:
    """Whether both laps are single layers, which no band of their own covers."""
    return plan.bands is None and single_laps(plan) == _LAPS


def is_single_on(plan: Plan, lap: LapName) -> bool:
    """Whether a plan tells a lap as a single layer of named cloth."""
    own = [layer for layer in plan.layers if layer.on in (lap, "both")]
    return len(own) == 1 and own[0].count == 1 and own[0].cloth is not None and own[0].thickness_mm is None
