"""Does a tape of hooks or snaps end on its edge?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import TOLD_ALIKE_MM, format_length
from closures.offered import STEP_MM, up_mm
from closures.placing.taped import past_line_mm, tape_mm
from closures.spacing.wish import scaled

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.checks.finding import Result
    from closures.spacing.fixed_pitch import End

_FINISHED = ("sewn band", "finished")


def further_from_end(checked: Checked, end: End, limit_mm: float) -> str:
    """What keeps a tape so far from an end and still meets what is told: its places move together, or not at all."""
    from closures.spacing.fixed_pitch import meets, wider_ends, with_end

    tape, wish = checked.placement.plan.tape, checked.placement.spacing.wish
    if tape is None or wish is None:
        return "Move it in."
    step = STEP_MM[checked.placement.plan.units]
    by, least = checked.told_along, up_mm(limit_mm * checked.told_along, checked.placement.plan.units)
    wish = scaled(wish, by)
    stretch = (least, max(least, (wish.first if end == "first" else wish.last)[1]))
    further = with_end(wish, end, stretch)
    ways = [one for one in wider_ends(further, tape.pitch_mm * by, step, end) if one[0] >= least]
    if meets(further, tape.pitch_mm * by):
        ways = [stretch]
    if not ways:
        return "No other place of this tape keeps further away and meets what is told: see that it holds there."
    low, high = (format_length(mm, checked.placement.plan.units) for mm in ways[0])
    return f'All of a tape moves together: under [spacing] write {end} = {{ from = "{low}", to = "{high}" }}.'


def check_tape(checked: Checked) -> list[Finding]:
    """Does the tape, whose ends are cut and not turned, stand past an end of its line?"""
    placement = checked.placement
    cut, tape, bands = tape_mm(placement), placement.plan.tape, placement.plan.bands
    if cut is None or tape is None:
        return []
    past = past_line_mm(placement)
    most = max(past)
    if most < TOLD_ALIKE_MM:
        return []
    stands = " and ".join(
        f"{checked.show(mm)} past the {end}"
        for mm, end in zip(past, placement.ends, strict=True)
        if mm >= TOLD_ALIKE_MM
    )
    text = f"The tape, {checked.show(cut)} long, stands {stands}, and its ends are not turned. "
    shorter = (
        f"let first and last under [spacing] be {checked.show_up(tape.pitch_mm / 2)} or more, half of its pitch, or "
        "take a closure less."
    )
    result: Result = "warn"
    limit: float | None = None
    if placement.plan.state in _FINISHED:
        result, limit = "fail", 0.0
        text += f"The ends there are finished, and nothing takes it in: {shorter}"
    elif bands is not None and most > bands.allowance_mm + TOLD_ALIKE_MM:
        result, limit = "fail", bands.allowance_mm
        text += f"The seam allowance takes in {checked.show(bands.allowance_mm)}: {shorter}"
    else:
        text += f"Measure the seam allowance there: only where it is wider can it take them in; else {shorter}"
    return [Finding("tape", result, text, "geometry", None, None, most, limit)]
