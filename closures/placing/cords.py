"""A lace on what a child wears: cords catch and strangle, and have standards of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.lacing import lace_of
from closures.plan.body import OF_SEVEN_MONTHS
from closures.plan.ends import is_neck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

SOURCE = "from memory: named, not looked up"


def cords_of_a_child(placement: Placement) -> str:
    """What there is to look at before a child's garment is laced, in sentences; empty where no child or no lace is.

    Args:
        placement: with its plan's wearer, and where it is sold.
    """
    plan = placement.plan
    if not plan.is_for_child or not _is_laced(placement):
        return ""
    opens, ends = placement.laps.garment.opens, placement.ends
    at_neck = opens in (None, "front", "back") and any(is_neck(end) for end in ends)
    where = " at the neck" if at_neck else " at the back" if opens == "back" else ""
    lace = lace_of(placement)
    hang = (
        "" if lace is None else f", and {format_length(lace.tied_mm, plan.units)} of it are tied or hang at either end"
    )
    return " ".join(
        (
            f"A lace{where} closes what a child wears{hang}: cords catch and strangle.",
            *_law(plan, at_neck, opens == "back"),
            "Take a closure without a cord, or ask first what holds where it is worn and sold.",
        )
    )


def _is_laced(placement: Placement) -> bool:
    return placement.plan.lacing is not None or any(one.fastener.family == "eyelet" for one in placement.shares)


def _law(plan: Plan, at_neck: bool, at_back: bool) -> Iterator[str]:
    sold = () if plan.wearer is None else plan.wearer.sold
    age = None if plan.body is None else plan.body.age_months
    if not sold or "EU" in sold:
        if at_neck and (age is None or age < OF_SEVEN_MONTHS):
            yield "Europe: EN 14682 allows no cords at hood and neck under seven."
        elif at_back:
            yield "Europe: EN 14682 has its own on cords at the back."
        else:
            yield "Europe: EN 14682 holds how long cords may be, and where."
    if not sold or "US" in sold:
        yield "US: 16 CFR 1120 with ASTM F1816 goes for cords at hoods, necks and waists of outerwear."
