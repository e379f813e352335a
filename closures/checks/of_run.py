"""Does this size stand in step with the other sizes of its run?

Which figures are held against each other is told by `jobs/sizes/compared.py`, which alone sees all sizes; a plan of one
size carries what was found there.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.said import to_both

if TYPE_CHECKING:
    from closures.checks.checked import Checked

COMPARED = "sizes compared"
"""The rule's name, by which its findings are known among those of a size."""


def check_sizes_compared(checked: Checked) -> list[Finding]:
    """Say of one size of a run what was found when the run was placed."""
    return found_in_run(checked.placement.told_plan.of_run)


def found_in_run(texts: Iterable[str]) -> list[Finding]:
    """The findings of a run of sizes, of which each size tells all."""
    return [Finding(COMPARED, "warn", to_both(text), "our own rule") for text in texts]
