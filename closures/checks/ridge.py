"""The rule on what lies under a flange or beside it: a layer that ends there tilts it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding, Result
from closures.checks.pressed_in import taken_allowance, untold_allowances
from closures.lengths import SAME_MM, format_mm

if TYPE_CHECKING:
    from closures.checks.checked import Checked


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
                    f"The flange sits across the border of a layer, a step of {format_mm(stack.step_mm, 2)}: it will "
                    "tilt. Move the border or the closing line, or grade the allowance."
                )
                result = "fail"
            else:
                text = (
                    f"A layer ends {checked.show(max(clear, 0.0))} from the rim, and {checked.show(limit)} keeps the "
                    "flange flat. Trim it back, or carry it under the whole flange."
                )
                result = "warn"
            told.append(Finding("ridge", result, text, source, lap.name, mark.n, clear, limit, "least"))
        is_withheld = checked.placement.is_withheld
        if not is_withheld:
            # Of what is held back no seam is sewn, trimmed or pressed.
            told += untold_allowances(checked, lap.name)
        if stacks and not told and not is_withheld:
            text = f"No layer ends under a flange or near it.{taken_allowance(checked)}"
            told = [Finding("ridge", "pass", text, source, lap.name, None, None, limit)]
        findings += told
    return findings
