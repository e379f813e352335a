"""A row of closures that come on a tape: which ends it may leave, and how much tape is cut.

A tape is cut half way between two closures, so that each has half a pitch of tape on either side.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.errors import EdgeError, SpacingError, in_section
from closures.placing.marking import mark_row
from closures.placing.stack import ends_within
from closures.placing.tape import length_both_ways
from closures.plan.kinds import Range
from closures.plan.shown import shown_beside
from closures.plan.spacing import SpacingWish
from closures.series import how_many
from closures.spacing.fixed_pitch import best_at_pitch

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placed import Placement
    from closures.plan.plan import Plan
    from closures.spacing import Wish


# Halves that must meet miss by no more than this on either lap: our own rule.
_DRIFT_MM = 1.0


def with_tape_ends(plan: Plan, length_mm: float) -> Plan:
    """Give a tape the ends that are not told: its cut ends on the line, and less than a pitch left over beyond either.

    The last lets every place of a tape be reached, and keeps it from ending short of a clear zone without a word. A
    count that is told may end anywhere.
    """
    if plan.tape is None:
        return plan
    spacing = plan.spacing or SpacingWish()
    least = min(plan.tape.pitch_mm / 2, length_mm)
    free = Range(least, length_mm if spacing.count is not None else min(3 * least, length_mm))
    return replace(
        plan,
        spacing=replace(spacing, first=spacing.first or free, last=spacing.last or free, pitch_mm=plan.tape.pitch_mm),
    )


def laid_anew(placement: Placement, wish: Wish, catalogue: Catalogue) -> Placement | None:
    """Lay the tape of a placement where other ends let it, on the same lines; None where it cannot be laid so.

    Args:
        placement: of a tape.
        wish: the ends, and what else the tape keeps to, on its closing line.
        catalogue: cloths and rules.
    """
    plan, tape = placement.plan, placement.plan.tape
    if tape is None or plan.spacing is None:
        return None
    try:
        row = best_at_pitch(wish, tape.pitch_mm)
    except SpacingError:
        return None
    count = len(row.positions_mm)
    if placement.beside and count != len(placement.marks):
        return None  # what lies beside it is numbered on from the row
    rims = [placement.fastener.rim_mm] * count
    within = set(range(1, count + 1)) if ends_within(placement.fastener, plan) else set()
    marks = mark_row(plan, placement.laps, rims, row, placement.anchors, catalogue, within=within)
    spacing = replace(plan.spacing, first=Range(*wish.first), last=Range(*wish.last))
    return replace(placement, plan=replace(plan, spacing=spacing), spacing=row, marks=marks)


def tape_mm(placement: Placement) -> float | None:
    """How long either tape is cut, its ends not turned; None where the closures come singly."""
    tape = placement.plan.tape
    return None if tape is None else tape.pitch_mm * len(placement.marks)


def tape_to_buy_mm(placement: Placement) -> float:
    """How long a tape is bought for either lap, spare and trial closures counted in; 0 where they come singly."""
    tape, closure = placement.plan.tape, placement.plan.closure
    return 0.0 if tape is None else tape.pitch_mm * (len(placement.marks) + closure.spare + closure.trial)


def left_over_mm(placement: Placement) -> tuple[float, float]:
    """What the closing line leaves over beyond the tape's cut at its first and its last end; less than 0 past it."""
    tape = placement.plan.tape
    half = 0.0 if tape is None else tape.pitch_mm / 2
    places = placement.spacing.positions_mm
    return places[0] - half, placement.laps.line.length_mm - places[-1] - half


def past_line_mm(placement: Placement) -> tuple[float, float]:
    """How far the tape stands past its line at the first and the last end, on the lap where it does most; 0 within."""
    tape = placement.plan.tape
    if tape is None:
        return 0.0, 0.0
    half, first, last = tape.pitch_mm / 2, 0.0, 0.0
    for lap in placement.laps.both:
        marks = placement.on(lap.name)
        first = max(first, half - marks[0].along_mm)
        last = max(last, half - (lap.line.length_mm - marks[-1].along_mm))
    return first, last


def refuse_drift(placement: Placement) -> Placement:
    """Refuse a tape whose other half cannot lie opposite it, as the under lap's own line is longer or shorter there.

    Raises:
        EdgeError: the pitch is kept on the over lap's line, and marks of the under lap run out of step with its tape.
    """
    tape = placement.plan.tape
    if tape is None:
        return placement
    show = shown_beside(placement.plan.units)
    for lap in placement.laps.both:
        along = [mark.along_mm for mark in placement.on(lap.name)]
        drift = max((abs(b - a - tape.pitch_mm) for a, b in pairwise(along)), default=0.0) * (len(along) - 1)
        if drift > _DRIFT_MM:
            raise EdgeError(
                f"on the {lap.name} lap's own line the closures would lie {show(drift)} out of step with a tape "
                f"at its pitch of {show(tape.pitch_mm)}",
                where=in_section("tape"),
                mend="On this curve take single hooks or snaps: leave [tape] out; or sew short tapes, a plan for each.",
            )
    return placement


def taped_in_words(placement: Placement) -> tuple[str, ...]:
    """Tell how much tape to cut and what the line leaves over at either end; nothing where closures come singly."""
    cut, tape = tape_mm(placement), placement.plan.tape
    if cut is None or tape is None:
        return ()
    show = partial(length_both_ways, units=placement.plan.units)
    left = [
        f"{show(abs(mm))} {'left over' if mm >= 0 else 'past the line'} at the {end}"
        for mm, end in zip(left_over_mm(placement), placement.ends, strict=True)
    ]
    return (
        f"Tape to cut: {show(cut)} for either lap, {how_many(len(placement.marks), 'closure')} at "
        f"{show(tape.pitch_mm)}, half way between two, its ends overcast and not turned; {' and '.join(left)}. "
        f"To buy: {show(tape_to_buy_mm(placement))} of each, spare and trial counted in.",
    )
