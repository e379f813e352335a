"""The same opening on the other side of the body: its plan turned over."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from closures.errors import PlanError, in_section
from closures.plan.garment import Opening

if TYPE_CHECKING:
    from closures.plan.plan import Plan

_OTHER = {"left": "right", "right": "left"}


def mirrored(plan: Plan) -> Plan:
    """Turn a plan over for the other side of the body.

    What was drawn is turned over on reading, left is right, and the front lies over the back as it did: the row's
    distances are the same, its pieces are mirror images.

    Args:
        plan: of an opening that the body has twice.

    Raises:
        PlanError: a front, a back or a strap, of which there is no other side.
    """
    opens = None if plan.garment is None else plan.garment.opens
    if plan.band is None or plan.edge is None or plan.garment is None or opens in (None, "front", "back"):
        what = "a belt or a row" if plan.band is None else f"a {opens or 'front'}"
        raise PlanError(
            f"{what} has no other side that is its mirror image",
            where=in_section("garment", "opens"),
            mend="Leave mirrored out; sides, shoulders, crotch halves, inseams and flat goods can be mirrored.",
        )
    words = str(opens).split()
    other = " ".join(_OTHER.get(word, word) for word in words)
    return replace(
        plan,
        garment=replace(plan.garment, opens=next(one for one in get_args(Opening) if one == other), ends=_ends(plan)),
        band=replace(plan.band, seen_from="outside" if plan.band.seen_from == "inside" else "inside"),
    )


def _ends(plan: Plan) -> tuple[str, str] | None:
    """What the ends are called on the other side: a left armhole is a right one there."""
    told = None if plan.garment is None else plan.garment.ends
    if told is None:
        return None
    first, last = (re.sub(r"\b(left|right)\b", lambda found: _OTHER[found[0]], end) for end in told)
    return (first, last)
