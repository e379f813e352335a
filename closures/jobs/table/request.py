"""Which pages and files are made beside the marking templates: what the plan says, and what is asked besides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import PlanError
from closures.nearest import nearest_name
from closures.plan.bands import BandsWish
from closures.plan.sheets import SheetsWish

if TYPE_CHECKING:
    from closures.plan.plan import Plan

_USUAL_ALLOWANCE_MM = 10.0

ALSO: dict[str, str] = {
    "coupon": "a trial piece for either lap",
    "backing": "pieces that back the closures, where they are needed",
    "order": "the order of work, the parts as they stack, and how to mark",
    "strip": "running distances, and a strip to step along with",
    "numbers": "numbers that pair on both laps",
    "handover": "a page for a colleague or a factory, and handover.csv",
    "bands": "the pattern pieces of both laps' bands",
    "stencil": "a template to cut for either lap, as SVG",
    "roll": "both laps whole, as roll.pdf",
    "projector": "a sheet for either lap to throw with light, as SVG",
}
"""What may be asked for besides what a plan says, with what it is."""


def asked_for(plan: Plan, also: Sequence[str] = ()) -> Plan:
    """Add to a plan's wishes what is asked for besides.

    Args:
        plan: the plan; what it says itself stands.
        also: names in `ALSO`, or "all".

    Returns:
        The plan with both.

    Raises:
        PlanError: a name that is not known.
    """
    names = [name.strip().lower() for name in also]
    for name in names:
        if name not in (*ALSO, "all"):
            near = nearest_name(name, (*ALSO, "all"))
            mend = f"Did you mean {near}?" if near else f"Write one of {', '.join(ALSO)}, or all."
            raise PlanError(f"'{name}' is not among the pages that can be made", where="--also", mend=mend)
    wanted = set(ALSO) if "all" in names else set(names)
    if plan.strap is not None:
        _refuse_on_strap(wanted if "all" not in names else set())
        wanted -= _ONLY_ON_EDGES
    if not wanted:
        return plan
    sheets = plan.sheets or SheetsWish()
    switches = {name: True for name in _SWITCHES if name in wanted}
    sheets = replace(sheets, **switches)  # type: ignore[arg-type]
    if "backing" in wanted and sheets.backing is None:
        sheets = replace(sheets, backing="as needed")
    if "numbers" in wanted and sheets.closing is None:
        sheets = replace(sheets, closing="numbers")
    bands = plan.bands
    if "bands" in wanted and bands is None:
        bands = BandsWish(_USUAL_ALLOWANCE_MM)
    return replace(plan, sheets=sheets, bands=bands)


_SWITCHES = ("coupon", "order", "strip", "handover", "stencil", "roll", "projector")
_ONLY_ON_EDGES = {"backing", "strip", "numbers", "handover", "bands", "stencil", "projector"}


def _refuse_on_strap(wanted: set[str]) -> None:
    clashing = sorted(wanted & _ONLY_ON_EDGES)
    if clashing:
        raise PlanError(
            f"{', '.join(clashing)} cannot be made for a belt or a row: its own sheets tell it already",
            where="--also",
            mend="Leave it out.",
        )
