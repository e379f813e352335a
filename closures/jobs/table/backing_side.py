"""Which layer of a lap a backing lies on: the one that its closures are set or sewn to.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.marked_face import is_held_within
from closures.placing.stack import ends_within

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

MADE_SIDE = "against its inner face, since the band is closed; it shows there"
"""Where a backing lies on a band that is sewn already: common practice."""
OPENED_SIDE = (
    "against its inner face, where it shows; where the band is opened for the magnets, within it, on the layers that "
    "meet the other lap"
)
"""The same where magnets go into a band that is sewn already, and may be opened for them: common practice."""
FACING = "the facing"
FOLDED_WITHIN = "the half that is folded within"
"""What lies on the inside of a band, of two pieces and of one that is folded: common practice."""


def inner_of(placement: Placement) -> str:
    """What lies on the inside of both bands."""
    bands = placement.plan.bands
    return FOLDED_WITHIN if bands is not None and bands.made == "folded" else FACING


def is_made(plan: Plan) -> bool:
    """Whether the bands are closed before a closure is set, as far as the plan tells."""
    return plan.state in ("sewn band", "finished")


def made_side(placement: Placement) -> str:
    """Where a backing lies on a lap whose band is closed, or may be opened."""
    is_finished = placement.plan.state == "finished" and placement.strap is None
    return OPENED_SIDE if is_finished and placement.fastener.family == "magnetic snap" else MADE_SIDE


def lies_on_facing(placement: Placement, lap: LapName) -> bool:
    """Whether the facing alone holds the closures of a lap that has one, so that a backing belongs on it."""
    if placement.is_beneath or ends_within(placement.fastener, placement.plan):
        return lap == "over"
    # What is sewn within a band that is closed already is backed from its inner face, and a knitted one has no facing.
    is_open = not is_made(placement.plan) and placement.plan.gauge is None
    return is_open and is_held_within(placement, lap)


def is_behind_facing(placement: Placement, lap: LapName) -> bool:
    """Whether the interfacing that is cut for a lap's band lies on its facing, and not on the band that shows.

    A folded band is one piece, whichever half of it takes the interfacing.
    """
    bands = placement.plan.bands
    if bands is None or bands.made == "folded" or placement.strap is not None:
        return False
    return lies_on_facing(placement.row, lap)
