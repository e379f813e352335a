"""Is a loop held by its ends? What is not sewn in draws out of the seam."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.placing.looped import SEWN_MM

if TYPE_CHECKING:
    from closures.checks.checked import Checked

_LEAST_SEWN_MM = 5.0
"""Of cord at either end of a loop, sewn into a seam: our own rule."""


def check_loops(checked: Checked) -> list[Finding]:
    """Is enough of each loop's cord told to be sewn in?"""
    wish = checked.placement.plan.loop
    if wish is None or wish.sewn_mm is None or wish.sewn_mm > _LEAST_SEWN_MM - SAME_MM:
        return []
    nothing = "nothing" if wish.sewn_mm == 0.0 else f"only {checked.show(wish.sewn_mm)}"
    text = (
        f"Of each loop, {nothing} is told to be sewn in at either end: there a cord draws out of its seam under pull. "
        f"Write {checked.show(SEWN_MM)} as sewn under [loop], or leave sewn out. Where the loops are worked of thread "
        "on the finished edge, nothing is sewn in, and it is right as it is."
    )
    return [Finding("loop", "warn", text, "our own rule", None, None, wish.sewn_mm, _LEAST_SEWN_MM, "least")]
