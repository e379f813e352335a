"""Rules on what a fastener clamps: how thick, how even, and whether it holds.

Terms: the *grip* is the range of thickness, on one lap, that a fastener is made for; a
*backing* is interfacing or a second layer that the fastener bites into.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.checked import SAME_MM, Checked
from closures.checks.finding import Finding, Result
from closures.lengths import format_mm

if TYPE_CHECKING:
    from closures.placing.placement import Mark
    from closures.placing.stack import Stack


def check_layer_thickness(checked: Checked) -> list[Finding]:
    """Does the fastener reach through the stack, and does the stack fill it, on each lap and at each mark?"""
    grip = checked.fastener.grip
    if grip is None:
        return []
    findings: list[Finding] = []
    source = grip[0].provenance.text
    for lap, marks in checked.on_laps():
        if lap.name not in checked.fastener.clamps:
            continue
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        if not stacks:
            text = (
                f"The plan tells no layers of the {lap.name} lap, so it is not known whether the fastener suits "
                f"them. It clamps {_mm(grip[0].value)} to {_mm(grip[1].value)}: measure the "
                "layers pinched together, and add a [[layer]]."
            )
            findings.append(Finding("layer thickness", "warn", text, source, lap.name))
            continue
        judged = [_judge_stack(checked, lap.name, mark, stack, source) for mark, stack in stacks]
        short = [finding for finding in judged if finding.result != "pass"]
        findings += short or [judged[0]]
    return findings


def _judge_stack(checked: Checked, lap: str, mark: Mark, stack: Stack, source: str) -> Finding:
    grip = checked.fastener.grip
    low, high = (0.0, 0.0) if grip is None else (grip[0].value, grip[1].value)
    found = stack.typical_mm
    lies = f"The stack is {_mm(found)} and the fastener clamps {_mm(low)} to {_mm(high)}"
    if found > high + SAME_MM:
        text = (
            f"{lies}: too short by {_mm(found - high)}. Trim or grade the allowances there, or take a longer "
            f"one{_others(checked, found)}."
        )
        return Finding("layer thickness", "fail", text, source, lap, mark.n, found, high)
    if found < low - SAME_MM:
        text = (
            f"{lies}: too long by {_mm(low - found)}, so it would sit loose. Add at least that much interfacing "
            f"or a patch under it, or take a shorter one{_others(checked, found)}."
        )
        return Finding("layer thickness", "fail", text, source, lap, mark.n, found, low)
    if stack.high_mm > high + SAME_MM or stack.low_mm < low - SAME_MM:
        thick = stack.high_mm > high + SAME_MM
        text = (
            f"{lies}. It fits, but such cloth runs from {_mm(stack.low_mm)} to {_mm(stack.high_mm)} and may come "
            f"out too {'thick' if thick else 'thin'}: measure your own layers, pinched together."
        )
        return Finding("layer thickness", "warn", text, source, lap, mark.n, found, high if thick else low)
    return Finding("layer thickness", "pass", f"{lies}: it fits.", source, lap, mark.n, found, high)


def _mm(mm: float) -> str:
    # Thicknesses are told in hundredths of a millimetre in either system: a sixteenth of an
    # inch is more than most stacks.
    return format_mm(mm, 2)


def _others(checked: Checked, stack_mm: float) -> str:
    """Sizes and kinds of the same family whose grip holds a stack: the same kind first, then the nearest cap."""
    own = checked.fastener
    fits = [
        other
        for other in checked.catalogue.fasteners
        if other.family == own.family
        and (other.kind, other.size) != (own.kind, own.size)
        and other.grip is not None
        and other.grip[0].value - SAME_MM <= stack_mm <= other.grip[1].value + SAME_MM
    ]
    fits.sort(key=lambda other: (other.kind != own.kind, abs(other.cap_mm - own.cap_mm)))
    names = [f"{other.kind} {other.size}" for other in fits[:2]]
    return f" (for example {' or '.join(names)})" if names else ""


def check_ridge(checked: Checked) -> list[Finding]:
    """Does the flange lie flat, clear of the borders of layers?"""
    limit, source = checked.limit_mm("ridge"), checked.source("ridge")
    findings = []
    for lap, marks in checked.on_laps():
        told = []
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        for mark, stack in stacks:
            if stack.border_mm is None:
                continue
            clear = stack.border_mm - checked.rim_mm
            result: Result
            if clear < -SAME_MM:
                text = (
                    f"The flange sits across the border of a layer, a step of {_mm(stack.step_mm)}: it will tilt. "
                    "Move the border or the closing line, or grade the allowance."
                )
                result = "fail"
            else:
                text = (
                    f"A layer ends {checked.show(max(clear, 0.0))} from the rim, and {checked.show(limit)} keeps the "
                    "flange flat. Trim it back, or carry it under the whole flange."
                )
                result = "warn"
            told.append(Finding("ridge", result, text, source, lap.name, mark.n, clear, limit))
        if stacks and not told:
            text = "No layer ends under a flange or near it."
            told = [Finding("ridge", "pass", text, source, lap.name, None, None, limit)]
        findings += told
    return findings


def check_backing(checked: Checked) -> list[Finding]:
    """Has every closure two layers or an interfacing to hold in, and a knit something that does not stretch?"""
    source = checked.source("layers least")
    least = round(checked.limit_mm("layers least"))
    findings = []
    for lap, marks in checked.on_laps():
        told = []
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        for mark, stack in stacks:
            reason = _lacking(stack, least)
            if reason:
                text = f"{reason} Back it with interfacing, a tape or a patch that does not stretch."
                told.append(Finding("backing", "warn", text, source, lap.name, mark.n))
        if stacks and not told:
            text = "Every closure has two layers or an interfacing to hold in."
            if any(_is_only_measured(stack) for _, stack in stacks):
                text = (
                    "The plan tells a thickness and not how many layers it is: look that there are two, or an "
                    "interfacing."
                )
            told = [Finding("backing", "pass", text, source, lap.name)]
        findings += told
    return findings


def _lacking(stack: Stack, least: int) -> str:
    if _is_only_measured(stack):
        return ""
    structures = {layer.structure for layer in stack.layers}
    plies = sum(layer.plies for layer in stack.layers)
    if "knit" in structures and structures == {"knit"}:
        return "The fastener holds in knit alone, which stretches out from under it."
    if plies < least and "fusible" not in structures:
        return "The fastener holds in one layer alone and may tear out."
    return ""


def _is_only_measured(stack: Stack) -> bool:
    """Layers pinched together and measured at once: what they are is not known."""
    return len(stack.layers) == 1 and stack.layers[0].structure == "measured"
