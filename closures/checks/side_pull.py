"""Does more than one snap hold a waistband together, whether it is told as a strap or by its two ends as laps?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.placing.role import is_for_show
from closures.placing.ways_beside import is_short_band
from closures.said import for_author
from closures.series import how_many

if TYPE_CHECKING:
    from closures.checks.checked import Checked
    from closures.placing.strap.values import Strap

_SNAPS = ("press-set snap", "sew-on snap", "magnetic snap")
_ADD = "add a hook and bar or an inner button, or a second snap beside it"


def check_side_pull(checked: Checked, strap: Strap) -> list[Finding]:
    """Does more than one snap hold a waistband together?"""
    if strap.piece != "waistband" or checked.fastener.family not in _SNAPS:
        return []
    return [_judged(strap.target.engaged, "the waistband. Bending", "")]


def check_side_pull_on_laps(checked: Checked) -> list[Finding]:
    """Does more than one snap hold what may be a waistband: a row of one closure along an edge as short as its height?

    What lies beside the row and closes holds with it.
    """
    placement = checked.placement.row
    length_mm = placement.laps.line.length_mm
    told = placement.told_plan
    if placement.fastener.family not in _SNAPS or len(placement.marks) > 1 or not is_short_band(told, length_mm):
        return []
    holding = sum(len(share.marks) for share in placement.shares if not is_for_show(share))
    high = checked.show(length_mm)
    more = ", by [[single]]" if not told.singles else ""
    return [_judged(holding, f"this band, {high} high. Where that is a waistband, bending", more)]


def _judged(holding: int, what: str, how: str) -> Finding:
    if holding > 1:
        text = f"{how_many(holding, 'closure')} share the pull round the waist."
        return Finding("side pull", "pass", text, "common practice")
    found = f"One snap alone holds {what} and sitting pull it sideways, and it pops open: {_ADD}"
    text = found + for_author(f"{how}.", ".")
    return Finding("side pull", "warn", text, "common practice")
