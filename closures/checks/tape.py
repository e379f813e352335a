"""Does a tape of hooks or snaps end on its edge?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import TOLD_ALIKE_MM, format_length
from closures.offered import STEP_MM, up_mm
from closures.placing.taped import laid_anew, past_line_mm, tape_mm
from closures.series import in_a_row
from closures.spacing.fixed_pitch import meets, on_steps, wider_ends, with_end

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.checks.checked import Checked
    from closures.checks.finding import Result
    from closures.spacing.fixed_pitch import End

_MOST_APART_MM = 6.0
"""Between edges that a hook tape closes: our own rule."""
_FINISHED = ("sewn band", "finished")


def further_from_end(checked: Checked, end: End, limit_mm: float) -> str:
    """What keeps a tape so far from an end and still meets what is told: its places move together, or not at all.

    Each place is held against all rules before it is told: of two that fail nowhere anew, one that leaves nothing anew
    to be looked at comes first, and what is left is named.
    """
    placement, units = checked.placement, checked.placement.plan.units
    tape, wish = placement.plan.tape, placement.spacing.wish
    if tape is None or wish is None or checked.again is None:
        return "Move it in."
    step, least = STEP_MM[units], up_mm(limit_mm, units)
    stretch = on_steps((least, max(least, (wish.first if end == "first" else wish.last)[1])), step)
    further = with_end(wish, end, stretch)
    ways = [one for one in wider_ends(further, tape.pitch_mm, step, end) if one[0] >= least]
    if meets(further, tape.pitch_mm):
        ways = [stretch]
    told: dict[str, tuple[str, ...]] = {}
    before = _looks(checked.again(placement), len(placement.marks))
    for way in ways:
        moved = laid_anew(placement, with_end(wish, end, way), checked.catalogue)
        if moved is None:
            continue
        after = _looks(checked.again(moved), len(moved.marks))
        new = {name: result for name, result in after.items() if before.get(name) not in (result, "fail")}
        if ("end distance", end) in after or "fail" in new.values():
            continue
        low, high = (format_length(mm, units) for mm in way)
        told[f'write {end} = {{ from = "{low}", to = "{high}" }}'] = tuple(dict.fromkeys(rule for rule, _ in new))
    if not told:
        return "No other place of this tape keeps further away and meets what is told: see that it holds there."
    write, looks = min(told.items(), key=lambda one: len(one[1]))
    also = f", which gives a look at {in_a_row(looks)}" if looks else ""
    return f"All of a tape moves together: under [spacing] {write}{also}."


def _looks(findings: Sequence[Finding], count: int) -> dict[tuple[str, str], Result]:
    """What is not good, by its rule and the end of the row that it speaks of."""
    found: dict[tuple[str, str], Result] = {}
    for one in findings:
        where = {1: "first", count: "last"}.get(one.mark or 0, "")
        if one.result != "pass" and found.get((one.rule, where)) != "fail":
            found[one.rule, where] = one.result
    return found


def check_tape(checked: Checked) -> list[Finding]:
    """Does the tape, whose ends are cut and not turned, stand past an end of its line?"""
    placement = checked.placement
    cut, tape, bands = tape_mm(placement), placement.plan.tape, placement.plan.bands
    if cut is None or tape is None:
        return []
    apart = _far_apart(checked)
    past = past_line_mm(placement)
    most = max(past)
    if most < TOLD_ALIKE_MM:
        return apart
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
    return [*apart, Finding("tape", result, text, "geometry", None, None, most, limit, "most")]


def _far_apart(checked: Checked) -> list[Finding]:
    """Ask about edges that stand further apart than a tape's hooks reach."""
    garment = checked.placement.plan.garment
    most = 0.0 if garment is None or not garment.is_meeting else garment.gap_mm
    if most < _MOST_APART_MM + TOLD_ALIKE_MM:
        return []
    text = (
        f"The edges are told to stand {checked.show(most)} apart as they are worn, and the hooks of a tape seldom "
        f"reach over more than {checked.show(_MOST_APART_MM)}. Look at gap under [garment] and its unit; where the "
        "tapes stand out from their edges by as much, this is right as it is."
    )
    return [Finding("tape", "warn", text, "our own rule", None, None, most, _MOST_APART_MM, "most")]
