"""Does a tape of hooks or snaps end on its edge?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import TOLD_ALIKE_MM
from closures.placing.taped import past_line_mm, tape_mm

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.checks.finding import Result

_FINISHED = ("sewn band", "finished")


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
