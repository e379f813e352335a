"""Rows of one garment that cannot be there as they are told: twice on one side, or behind what opens elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from closures.jobs.whole.tellers import Told, are_both_sides, is_apart, opens_of
from closures.lengths import SAME_MM, format_length
from closures.said import for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.plan import Plan

_AT_THE_WAIST = {"belt", "waist", "waistband", "sash"}
_BELOW_IT = {"hip", "hips"}
"""Words by which straps, and zones that are kept clear of them, are called (common practice)."""


def rows_twice(told: Told) -> Iterator[tuple[str, str]]:
    """Tell a row that stands in the garment twice on one side: it would be marked, worked and bought twice.

    Straps of one plan are there more than once, as cuffs are, and so are pieces of flat goods; what is told to be clear
    of the other lies on a piece of its own.
    """
    for (first, plan), (second, other) in combinations(told, 2):
        is_told_apart = second.name in first.clear_of or first.name in second.clear_of
        # By what they tell of the row: one file has several paths, and a copy of it is the same row, whatever its title
        # is, how many spare parts it counts, or what else of it moves no mark.
        is_one = _row_of(plan) == _row_of(other) and bool(first.mirrored) == bool(second.mirrored)
        if is_one and not is_told_apart and not is_apart(plan):
            files = dict.fromkeys((first.plan, second.plan))
            both_name = f"both name {first.plan}" if len(files) == 1 else f"{in_a_row(list(files))} tell the same"
            yield (
                f"{first.name} and {second.name} are one row on one side of the body: {both_name}, and "
                f"{'both are' if first.mirrored else 'neither is'} mirrored",
                f"Leave one out; or write mirrored = {'false' if first.mirrored else 'true'} in one that lies on the "
                f'body\'s other side; or clear_of = ["{first.name}"] in {second.name}, where it is on a piece of '
                "its own.",
            )


def _row_of(plan: Plan) -> tuple[object, ...]:
    """What a plan tells of which edge its row lies on, and where along it."""
    places = (plan.spacing, plan.anchors, plan.clear, plan.swap, plan.change, plan.stand, plan.column, plan.tape)
    closure = (plan.closure.kind, plan.closure.size)
    return (plan.drawing, plan.edge, plan.garment, plan.strap, *places, *closure)


def whole_twice(told: Told) -> Iterator[tuple[str, str]]:
    """Tell a crotch from one leg to the other that is turned over: it lies on both sides already."""
    for opening, plan in told:
        ends = None if plan.garment is None else plan.garment.ends
        if not opening.mirrored or ends is None or opens_of(plan) not in ("crotch", "inseam"):
            continue
        sides = [{"left", "right"} & set(end.casefold().split()) for end in ends]
        if sides[0] and sides[1] and sides[0] != sides[1]:
            yield (
                f"{opening.name} runs from one side of the body to the other, as its ends are called, and is told with "
                "mirrored = true: it has no other half",
                f"Leave mirrored out of {opening.name}; or name the ends of {opening.plan} by one side alone.",
            )


def belts_on_each_other(told: Told) -> Iterator[tuple[str, tuple[str, str]]]:
    """Look at two straps over one opening that are told clear of each other and lie on each other by their levels.

    Yields:
        What is to be looked at, and both names.
    """
    for (first, plan), (second, other) in combinations(told, 2):
        one, two = first.crossing, second.crossing
        is_told = second.name in first.clear_of or first.name in second.clear_of
        if one is None or two is None or one.over != two.over or not is_told:
            continue
        if abs(one.level_mm - two.level_mm) < (_wide_mm(plan) + _wide_mm(other)) / 2 - SAME_MM:
            yield (
                f"clear_of says that {first.name} and {second.name} are clear of each other, and by their levels over "
                f"{one.over} they lie on each other. Look at level, and at the width of each.",
                (first.name, second.name),
            )


def zones_astray(told: Told) -> Iterator[tuple[str, tuple[str, str]]]:
    """Look at a clear zone that bears the name of a strap over its row, where the strap runs at other levels.

    Yields:
        What is to be looked at, and the names of the strap and the row.
    """
    for opening, plan in told:
        straps = [(one, own) for one, own in told if one.crossing is not None and one.crossing.over == opening.name]
        for zone in plan.clear:
            named = [(one, own) for one, own in straps if _is_named_after(zone.name, one.name)]
            level = zone.level_mm
            if level is None or not named:
                continue
            runs = [
                (one.crossing.level_mm - _wide_mm(own) / 2, one.crossing.level_mm + _wide_mm(own) / 2)
                for one, own in named
                if one.crossing is not None
            ]
            if any(low < level.high_mm and high > level.low_mm for low, high in runs):
                continue
            strap, (low, high) = named[0][0].name, runs[0]
            zone_low, zone_high, low_told, high_told = (
                format_length(mm, plan.units) for mm in (level.low_mm, level.high_mm, low, high)
            )
            yield (
                f'The clear zone "{zone.name}" of {opening.name} runs from {zone_low} to {zone_high}, and {strap} runs '
                f"over it from {low_told} to {high_told}: it keeps clear what lies elsewhere. "
                + for_author(
                    f"Look at level in the [[opening]] {strap}, at level under [[clear]], and at their units; where it "
                    "is another zone, give it another name.",
                    "Look at both levels and their units.",
                ),
                (strap, opening.name),
            )


def _is_named_after(zone: str, strap: str) -> bool:
    """Whether a clear zone is called after a strap, or both after the waist."""
    one, other = (set(name.casefold().split()) for name in (zone, strap))
    return bool(one & other) or bool(one & _AT_THE_WAIST and other & _AT_THE_WAIST and not other & _BELOW_IT)


def _wide_mm(plan: Plan) -> float:
    if plan.belt is not None:
        return plan.belt.width_mm
    return 0.0 if plan.row is None else plan.row.height_mm


def pairs_twice(told: Told) -> Iterator[tuple[str, str]]:
    """Tell a pair of cuffs that stands in the garment twice: it would be four."""
    for (first, plan), (second, other) in combinations(told, 2):
        row, its = (replace(one, where="", title="") for one in (plan, other))
        if row == its and plan.row is not None and plan.row.pair:
            yield (
                f"{first.name} and {second.name} are one pair told twice: pair = true under [row] makes the left and "
                "the right one already",
                f"Leave {second.name} out; or leave pair out under [row], where each is told by itself.",
            )


def straps_not_turned(told: Told) -> Iterator[tuple[str, tuple[str, str]]]:
    """Look at a left and a right strap of one plan, of which neither is the other's mirror image.

    Yields:
        What is to be looked at, and both names.
    """
    for (first, plan), (second, other) in combinations(told, 2):
        row, its = (replace(one, where="", title="") for one in (plan, other))
        is_one = plan.row is not None and not plan.row.pair and row == its
        if is_one and are_both_sides(first.name, second.name):
            yield (
                f"{first.name} and {second.name} are told alike, each as the wearer's left one: the right one is its "
                f"mirror image."
                + for_author(f" Write pair = true under [row], which makes both, and leave {second.name} out.")
                + " Where both lap the same way as they are worn, this is right as it is.",
                (first.name, second.name),
            )


def behind_elsewhere(told: Told) -> Iterator[tuple[str, str]]:
    """Refuse a row that is told behind another and opens elsewhere: it lies behind another only where both open."""
    plans = {opening.name: plan for opening, plan in told}
    for opening, plan in told:
        for name in opening.behind:
            other = plans[name]
            if plan.strap is None and other.strap is None and opens_of(plan) == opens_of(other):
                continue
            where = [
                "is a strap" if one.strap is not None else f"opens at the {opens_of(one)}" for one in (plan, other)
            ]
            yield (
                f"behind says that {opening.name} lies behind {name}, and {opening.name} {where[0]} while {name} "
                f"{where[1]}",
                f"Leave behind out of {opening.name}: a row lies behind another where both open.",
            )
