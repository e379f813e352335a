"""The rule on whether a cloth bears what its closure does to it: the holes that it punches, cuts, opens or pierces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.checks.substitutes import of_the_same_use, why_not_borne
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.checks.checked import Checked


def check_bearing(checked: Checked) -> list[Finding]:
    """Does the cloth on either lap bear the holes that this kind needs?"""
    findings = []
    for lap, marks in checked.on_laps():
        if lap.name not in checked.fastener.clamps:
            continue
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        known = [(mark, stack) for mark, stack in stacks if stack.structures]
        told = [
            Finding(
                "cloth", "warn", f"{why} {_instead(checked, stack.structures)}", "common practice", lap.name, mark.n
            )
            for mark, stack in known
            if (why := why_not_borne(checked.fastener, stack.structures))
        ]
        if known and not told:
            text = "This cloth bears the holes that the kind makes in it."
            told = [Finding("cloth", "pass", text, "common practice", lap.name)]
        findings += told
    return findings


def _instead(checked: Checked, structures: frozenset[str]) -> str:
    others = of_the_same_use(checked, structures)
    take = f"Take one that it bears, such as {in_a_row(others, 'or')}" if others else "Take another kind"
    return f"{take}; else set one on a trial piece with its backing, and pull at it before you go on."
