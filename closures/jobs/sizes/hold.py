"""What stays the same across sizes: the count, the pitch, or whichever pays in each size.

A longer front with the same count has wider gaps; with the same pitch it takes more closures. Which is
right is the designer's choice, so what either costs is told for every size.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.checks.rules import worst
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.checks.finding import Finding, Result
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

Kept = Literal["count", "pitch", "run"]
"""What a size keeps to; "run" where its row serves the run, and neither the held count nor the pitch gives it."""


@frozen
class Held:
    """What is held in every size.

    Attributes:
        count: how many closures.
        pitch_mm: the gap; None where the base has one closure only.
        is_wanted: the plan wants that gap; else it is the mean of those that the base has.
    """

    count: int
    pitch_mm: float | None
    is_wanted: bool = False


@frozen
class Cost:
    """What holding the count or the pitch comes to in one size, in mm.

    Attributes:
        kept: what is held.
        count: how many closures.
        smallest_mm, largest_mm, spread_mm: of the gaps.
        departure_mm: the largest departure of a gap from the pitch that is held; None without one.
        shift_mm: the largest distance of a closure from its anchor, 0 without one.
        result: the worst result of the checks.
        refused: why it cannot be, empty where it can.
    """

    kept: Kept
    count: int = 0
    smallest_mm: float = 0.0
    largest_mm: float = 0.0
    spread_mm: float = 0.0
    departure_mm: float | None = None
    shift_mm: float = 0.0
    result: Result = "fail"
    refused: str = ""


def pitch_of(placement: Placement) -> float | None:
    """The pitch that a placed base stands for: the plan's own, or the mean of its gaps."""
    spacing = placement.told_plan.along_an_edge[2]
    gaps = placement.as_told.spacing.gaps_mm
    if spacing.pitch_mm is not None:
        return spacing.pitch_mm
    return sum(gaps) / len(gaps) if gaps else None


def held_of(placement: Placement) -> Held:
    """What a placed base gives to hold in the other sizes."""
    wanted_mm = placement.told_plan.along_an_edge[2].pitch_mm
    return Held(len(placement.marks), pitch_of(placement), wanted_mm is not None)


def plan_holding(plan: Plan, kept: Kept, held: Held, near: bool = False) -> Plan:
    """Make the plan of a size keep to the count or to the pitch.

    Of a count the row is the one that comes nearest to the gap that the plan wants, as the base's own is; the most even
    one where it wants none. Which of both a size takes is for the run to say.

    Args:
        plan: of the size.
        kept: what it keeps to.
        held: the count and the pitch.
        near: of that count take the row that comes nearest to the pitch also where the plan wants none.

    Raises:
        ValueError: the pitch is to be held and there is none.
    """
    _, _, spacing = plan.along_an_edge
    if kept == "count":
        wanted_mm = held.pitch_mm if near or held.is_wanted else None
        return replace(plan, spacing=replace(spacing, count=held.count, pitch_mm=wanted_mm))
    if held.pitch_mm is None:
        raise ValueError("there is no pitch to hold")
    return replace(plan, spacing=replace(spacing, count=None, pitch_mm=held.pitch_mm))


def cost_of(kept: Kept, held: Held, placement: Placement, findings: tuple[Finding, ...]) -> Cost:
    """What a placement of a size costs, in the state of the cloth in which the plan was measured."""
    spacing = placement.as_told.spacing
    departure = None
    if held.pitch_mm is not None and spacing.gaps_mm:
        departure = max(abs(gap - held.pitch_mm) for gap in spacing.gaps_mm)
    return Cost(
        kept,
        len(placement.marks),
        spacing.smallest_mm,
        spacing.largest_mm,
        spacing.spread_mm,
        departure,
        max((abs(shift.shift_mm) for shift in spacing.shifts), default=0.0),
        worst(findings),
    )
