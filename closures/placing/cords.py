"""A lace on what a child wears: cords catch and strangle, and have standards of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.lacing import lace_of
from closures.plan.body import OF_SEVEN_MONTHS
from closures.plan.ends import is_hood, is_neck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.placing.placed import Placement
    from closures.plan.plan import Plan
    from closures.plan.wearer import Market

SOURCE = "from memory: named, not looked up"
_TAKE = "Take a closure without a cord."
_ASK = "Take a closure without a cord, or ask first what holds where it is worn and sold."


def cords_of_a_child(placement: Placement) -> str:
    """What is said of the lace of a child's garment, in sentences; empty where no child or no lace is.

    Args:
        placement: with its plan's wearer, and where it is sold.
    """
    plan = placement.plan
    if not plan.is_for_child or not _is_laced(placement):
        return ""
    at_neck, at_back = _lies_at_neck(placement), placement.laps.garment.opens == "back"
    where = " at the neck" if at_neck else " at the back" if at_back else ""
    lace = lace_of(placement)
    hang = (
        "" if lace is None else f", and {format_length(lace.tied_mm, plan.units)} of it are tied or hang at either end"
    )
    return " ".join(
        (
            f"A lace{where} closes what a child wears{hang}: cords catch and strangle.",
            *_law(plan, at_neck, at_back),
            _TAKE if is_barred(placement) else _ASK,
        )
    )


def is_barred(placement: Placement) -> bool:
    """Whether a lace closes neck or hood of a child who may be under seven, where EN 14682 holds: it allows none there.

    Where no age is told it may be so; where nobody says where it is sold, Europe's rules are held to as well.
    """
    plan = placement.plan
    age = None if plan.body is None else plan.body.age_months
    is_young = plan.is_for_child and (age is None or age < OF_SEVEN_MONTHS)
    return is_young and _is_laced(placement) and _holds("EU", plan) and _lies_at_neck(placement)


def asks_for_age(placement: Placement) -> bool:
    """Whether the age of a child decides on its lace, and nothing tells it."""
    plan = placement.plan
    return (plan.body is None or plan.body.age_months is None) and not plan.is_under_three


def _is_laced(placement: Placement) -> bool:
    return placement.plan.lacing is not None or any(one.fastener.family == "eyelet" for one in placement.shares)


def _lies_at_neck(placement: Placement) -> bool:
    is_upper = placement.laps.garment.opens in (None, "front", "back")
    return any(is_hood(end) or (is_upper and is_neck(end)) for end in placement.ends)


def _holds(market: Market, plan: Plan) -> bool:
    """Whether the rules of a market are told: where it is sold, and wherever nobody says where."""
    sold = () if plan.wearer is None else plan.wearer.sold
    return not sold or market in sold


def _law(plan: Plan, at_neck: bool, at_back: bool) -> Iterator[str]:
    age = None if plan.body is None else plan.body.age_months
    if _holds("EU", plan):
        if at_neck and (age is None or age < OF_SEVEN_MONTHS):
            yield "Europe: EN 14682 allows no cords at hood and neck under seven."
        elif at_back:
            yield "Europe: EN 14682 has its own on cords at the back."
        else:
            yield "Europe: EN 14682 holds how long cords may be, and where."
    if _holds("US", plan):
        yield "US: 16 CFR 1120 with ASTM F1816 goes for cords at hoods, necks and waists of outerwear."
