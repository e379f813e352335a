"""What hands do to a plan: move a fixed place or a clear stretch, lock a mark, choose units.

Every function takes a plan and gives a plan; lengths are mm along the closing line from its first end.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, TypeVar

from closures.errors import PlanError
from closures.lengths import format_length
from closures.plan.anchors import AnchorWish
from closures.plan.kinds import Range

if TYPE_CHECKING:
    from closures.placing.lap import Laps
    from closures.placing.placement import Placement
    from closures.plan.anchors import ClearWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units

Thing = TypeVar("Thing")
Part = Literal["whole", "from", "to"]

# Two ends of a stretch do not pass each other: this much stays between them.
_LEAST_STRETCH_MM = 1.0
# A closure within this of a fixed place sits at it: a hundredth of what counts as well placed.
_AT_MM = 0.01

STEP_MM: Mapping[str, float] = {"mm": 1.0, "in": 25.4 / 16}
"""How far an arrow key moves a thing, and what a dragged one snaps to."""


def snapped(mm: float, units: Units, length_mm: float) -> float:
    """Round a place to what the units are read in, and keep it on the line."""
    return min(max(_rounded(mm, units), 0.0), length_mm)


def _rounded(mm: float, units: Units) -> float:
    """The nearest whole mm or sixteenth of an inch, as the float that its written form reads as."""
    return float(Fraction(round(mm / STEP_MM["in"]) * 127, 80)) if units == "in" else float(round(mm))


def move_anchor(plan: Plan, placement: Placement, n: int, along_mm: float) -> Plan:
    """Move the nth fixed place, from 0; one told by its level stays told by its level.

    Raises:
        PlanError: there is no such place.
    """
    wish = _nth(plan.anchors, n, "fixed place")
    laps = placement.laps
    to = snapped(along_mm, plan.units, laps.line.length_mm)
    level = _as_level(laps, to, plan.units) if wish.level_mm is not None else None
    if level is None:
        moved = replace(wish, level_mm=None, at=None, which=None, along_mm=to)
    else:
        moved = replace(wish, level_mm=level, which=None)
    return replace(plan, anchors=(*plan.anchors[:n], moved, *plan.anchors[n + 1 :]))


def move_zone(plan: Plan, placement: Placement, n: int, part: Part, along_mm: float) -> Plan:
    """Move the nth clear stretch, from 0, or one of its ends.

    Args:
        plan: what is asked.
        placement: where the stretch lies now.
        n: which stretch.
        part: the whole, by its middle, or one end.
        along_mm: where that comes to lie.

    Raises:
        PlanError: there is no such stretch, or it lies in several pieces.
    """
    wish = _nth(plan.clear, n, "clear stretch")
    stretches = placement.zones[n].stretches_mm
    if len(stretches) != 1:
        raise PlanError(
            "it meets the line more than once and cannot be moved along it",
            where=f'[[clear]] "{wish.name}"',
            mend="Write its levels.",
        )
    laps, (low, high) = placement.laps, stretches[0]
    length = laps.line.length_mm
    if part == "whole":
        half = (high - low) / 2
        low_to = min(max(snapped(along_mm - half, plan.units, length), 0.0), length - 2 * half)
        low, high = low_to, low_to + 2 * half
    elif part == "from":
        low = min(snapped(along_mm, plan.units, length), high - _LEAST_STRETCH_MM)
    else:
        high = max(snapped(along_mm, plan.units, length), low + _LEAST_STRETCH_MM)
    moved = _stretch(wish, laps, max(low, 0.0), min(high, length), plan.units)
    return replace(plan, clear=(*plan.clear[:n], moved, *plan.clear[n + 1 :]))


def lock_mark(plan: Plan, placement: Placement, n: int) -> Plan:
    """Fix mark n where it is: a fixed place that nothing may stray from.

    Raises:
        PlanError: there is no such mark, or these closures do not run along an edge.
    """
    _nth(placement.marks, n - 1, "mark")
    if plan.spacing is None:
        raise PlanError("closures of a belt or a row sit where the plan says", mend="Change the places instead.")
    mark = placement.marks[n - 1]
    name = f"locked at {format_length(mark.along_mm, plan.units)}"
    wish = AnchorWish(name, along_mm=mark.along_mm, within_mm=0.0)
    return replace(plan, anchors=(*plan.anchors, wish))


def unlock_mark(plan: Plan, placement: Placement, n: int) -> Plan:
    """Let mark n go again.

    Raises:
        PlanError: there is no such mark, or no lock holds it.
    """
    lock = lock_of(plan, placement, n)
    if lock is None:
        raise PlanError(f"mark {n} is not locked", mend="Lock it first.")
    return replace(plan, anchors=(*plan.anchors[:lock], *plan.anchors[lock + 1 :]))


def lock_of(plan: Plan, placement: Placement, n: int) -> int | None:
    """Find the lock that holds mark n, as an index of the plan's fixed places."""
    if not 1 <= n <= len(placement.marks):
        return None
    along = placement.marks[n - 1].along_mm
    return next(
        (
            i
            for i, wish in enumerate(plan.anchors)
            if wish.along_mm is not None and wish.within_mm == 0.0 and abs(wish.along_mm - along) < _AT_MM
        ),
        None,
    )


def in_units(plan: Plan, units: str) -> Plan:
    """Choose the units that people are answered in.

    Raises:
        PlanError: they are neither mm nor in.
    """
    if units not in ("mm", "in"):
        raise PlanError(f"'{units[:20]}' is neither mm nor in", mend="Choose mm or in.")
    return replace(plan, units="in" if units == "in" else "mm")


def _nth(things: tuple[Thing, ...], n: int, what: str) -> Thing:
    if not 0 <= n < len(things):
        raise PlanError(f"there is no such {what}", mend="Load the page anew.")
    return things[n]


def _stretch(wish: ClearWish, laps: Laps, low: float, high: float, units: Units) -> ClearWish:
    if wish.level_mm is not None:
        one, other = _as_level(laps, low, units), _as_level(laps, high, units)
        if one is not None and other is not None and one != other:
            return replace(wish, level_mm=Range(min(one, other), max(one, other)))
    return replace(wish, level_mm=None, along_mm=Range(low, high))


def _as_level(laps: Laps, along_mm: float, units: Units) -> float | None:
    """The level of a place, None where the line does not meet it just once, near that place.

    It is rounded as a length is read, and finer where the line runs so level that this would move the place.
    """
    exact = laps.line.point_at(along_mm)[1] - laps.level_zero_mm
    for level in (_rounded(exact, units), round(exact, 1)):
        met = laps.line.crossings_of_level(level + laps.level_zero_mm)
        if len(met) == 1 and abs(met[0] - along_mm) <= 0.6 * STEP_MM[units]:
            return level
    return None
