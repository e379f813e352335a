"""What holds of a belt or a row where the plan does not say: settings, steps and places, each told in one line."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.usual_row import Usual
from closures.plan.strap import SpotWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, Rule
    from closures.plan.belt import BeltWish
    from closures.plan.plan import Plan
    from closures.plan.row import RowWish
    from closures.plan.strap import TipShape

_OWN = "our own rule"
# What is pushed on or sewn through turns about one place: two hold the over end straight. Common practice.
_IN_PAIRS = ("press-set snap", "sew-on snap")


def with_usual_strap(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[Plan, tuple[str, ...]]:
    """Fill in what a belt or a row leaves open.

    Args:
        plan: with a belt or a row.
        fastener: its closure.
        catalogue: where the usual figures are kept.

    Returns:
        The plan, and a line for everything that was filled in.
    """
    if plan.belt is not None:
        belt, told = _belt(plan, plan.belt, fastener, catalogue)
        return replace(plan, belt=belt), tuple(one.told for one in told)
    if plan.row is not None:
        row, told = _row(plan, plan.row, fastener, catalogue)
        return replace(plan, row=row), tuple(one.told for one in told)
    return plan, ()


def _belt(plan: Plan, belt: BeltWish, fastener: Fastener, catalogue: Catalogue) -> tuple[BeltWish, list[Usual]]:
    told = []
    if belt.settings == 0:
        rule = catalogue.rule("belt settings")
        belt = replace(belt, settings=round(rule.value.value))
        told.append(Usual(f"{belt.settings} settings", rule.value.provenance.text, "settings under [belt]"))
    if belt.step_mm == 0.0:
        rule = catalogue.rule("belt step")
        room = fastener.least_pitch.value
        step, source = rule.value.value, rule.value.provenance.text
        if room > step:
            step, source = room, _OWN
        belt = replace(belt, step_mm=step)
        what = f"{format_length(step, plan.units)} from one setting to the next"
        told += [Usual(what, source, "step under [belt]")] if belt.settings > 1 else []
    if not belt.caps_mm:
        first, rule = _from_tip(fastener, catalogue, belt.ends)
        many = 2 if fastener.family in _IN_PAIRS and belt.settings > 1 else 1
        belt = replace(belt, caps_mm=tuple(first + 2 * n * belt.step_mm for n in range(many)))
        what = f"{'Closures' if many > 1 else 'One closure'} of the over end "
        what += " and ".join(format_length(mm, plan.units) for mm in belt.caps_mm) + " from its tip"
        source = rule.value.provenance.text
        if many > 1:
            # Nobody publishes how far the second lies from the first.
            source = f"the first: {source}; the second, two steps on so that the end lies straight: {_OWN}"
        told.append(Usual(what, source, "caps under [belt]"))
    return belt, told


def _row(plan: Plan, row: RowWish, fastener: Fastener, catalogue: Catalogue) -> tuple[RowWish, list[Usual]]:
    told = []
    if row.ends == "rounded" and row.corner_mm is None and row.piece == "cuff":
        # A cuff is rounded at its corners alone; a tab or a belt may end in half a circle.
        rule = catalogue.rule("cuff corner")
        row = replace(row, corner_mm=min(rule.value.value, row.height_mm / 2))
        what = f"Corners of the rounded tip {format_length(row.corner_mm or 0.0, plan.units)} in radius"
        told.append(Usual(what, rule.value.provenance.text, "corner under [row]"))
    if not row.over:
        first, rule = _from_tip(fastener, catalogue, row.ends, carries=fastener.mark.over)
        shared = _shared_mm(row, first, _from_tip(fastener, catalogue, "square", carries=fastener.mark.under)[0])
        row = replace(row, over=(SpotWish(first if shared is None else shared),))
        what = f"The closure of the over end {format_length(row.over[0].from_tip_mm, plan.units)} from its tip"
        source = rule.value.provenance.text
        if shared is not None:
            what += ", as far in as the overlap leaves at either tip"
            source = _OWN
        told.append(Usual(what, source, "over under [row]"))
    if not row.under and row.overlap_mm is None and row.target_mm is None:
        first, rule = _from_tip(fastener, catalogue, "square", carries=fastener.mark.under)
        row = replace(row, under=(SpotWish(first),))
        overlap = format_length(first + row.over[0].from_tip_mm, plan.units)
        what = f"That of the under end {format_length(first, plan.units)} from its tip: the ends lap by {overlap}"
        told.append(Usual(what, rule.value.provenance.text, "under or overlap under [row]"))
    return row, told


def _shared_mm(row: RowWish, over_mm: float, under_mm: float) -> float | None:
    """Where the closure of the over end lies that leaves either tip alike, where the overlap is too short for both."""
    overlap = row.overlap_mm if row.target_mm is None else row.length_mm - row.target_mm
    if row.under or overlap is None or not 0.0 < overlap < over_mm + under_mm:
        return None
    return overlap * over_mm / (over_mm + under_mm)


def _from_tip(
    fastener: Fastener, catalogue: Catalogue, tip: TipShape, carries: str | None = None
) -> tuple[float, Rule]:
    """How far from a tip the first closure sits, with the rule that decides it: clear of the end; a hook at the end.

    The sides of a pointed tip stand at a right angle: what lies d from the point lies d / sqrt(2) from either.
    """
    narrows = math.sqrt(2.0) if tip == "pointed" else 1.0
    if carries == "hook":
        rule = catalogue.rule("hook from edge")
        return narrows * rule.value.value, rule
    ends, past = catalogue.rule("ends least"), catalogue.rule("edge warn extra")
    clear = narrows * (fastener.rim_mm + past.value.value)
    return (clear, past) if clear > ends.value.value else (ends.value.value, ends)
