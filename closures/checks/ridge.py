"""The rule on what lies under a flange or beside it: a layer that ends there tilts it.

What is sewn on has no flange that presses on the cloth: thread holds it over a small step, layer or allowance alike.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding, Result
from closures.checks.pressed_in import taken_allowance, untold_allowances
from closures.lengths import SAME_MM, format_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.placing.marking import LapMark, Mark


def check_ridge(checked: Checked) -> list[Finding]:
    """Does the flange lie flat, clear of the borders of layers?"""
    limit, source = checked.limit_mm("ridge"), checked.source("ridge")
    findings = []
    for lap, marks in checked.on_laps():
        if lap.name not in checked.fastener.clamps:
            findings += _not_clamped(checked, lap.name, marks)
            continue
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


def _not_clamped(checked: Checked, lap: LapName, marks: Sequence[tuple[Mark, LapMark]]) -> list[Finding]:
    """Look at a step as thick as bulky cloth alone: a part that is sewn there leans, a worked hole catches on it."""
    limit, source = checked.limit_mm("bulky cloth"), checked.source("bulky cloth")
    stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
    told = [
        Finding(
            "ridge",
            "warn",
            f"The closure lies across the border of a layer, a step of {format_mm(stack.step_mm, 2)}: a part that is "
            "sewn on there leans, and a buttonhole worked over it catches. Move the border or the closing line, or "
            "grade the allowance.",
            source,
            lap,
            mark.n,
            stack.step_mm,
            limit,
            "most",
        )
        for mark, stack in stacks
        if stack.border_mm is not None and stack.border_mm < checked.rim_mm - SAME_MM and stack.step_mm >= limit
    ]
    if told or not stacks:
        return told
    text = "Nothing clamps the cloth here: no layer that ends under a closure tilts it."
    return [Finding("ridge", "pass", text, source, lap, None, None, limit)]
