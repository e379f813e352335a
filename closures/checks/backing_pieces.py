"""Can the backing that the plan asks for be cut behind every closure?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.said import led_by, to_both

if TYPE_CHECKING:
    from closures.checks.checked import Checked

RULE = "backing pieces"


def check_backing_pieces(checked: Checked) -> list[Finding]:
    """Is a piece cut behind every closure? Where none is, no figure counts it and no step lays it."""
    sheets = checked.placement.plan.sheets
    what = "No strip is cut for this lap" if sheets is not None and sheets.backing != "patches" else "No patch is cut"
    is_unwashed = checked.marked is not None and checked.marked.washed is not None
    state = " It is cut before the first wash: these are lengths of the unwashed cloth." if is_unwashed else ""
    return [
        Finding(
            RULE,
            "warn",
            to_both("") + f"{what}, and no figure counts one: " + led_by("", one.why) + state,
            "our own rule",
            one.lap,
            one.mark,
        )
        for one in checked.placement.unbacked
        if one.is_short
    ]
