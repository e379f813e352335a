"""Seam allowances under a flange that no layer tells: asked for, since every figure is one without them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.placing.pressed_in import (
    OWN_ALLOWANCE_MM,
    adds_own_allowance,
    is_laid_away,
    lies_raw,
    pressed_in,
    seam_in_words,
    trimmed_mm,
)
from closures.said import Said

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked

_AWAY = {"inner edge": ", or lays it the other way, into the garment"}
"""What else becomes of an allowance, where it can lie out of the band (common practice)."""
_LAID_AWAY = (
    "it cannot be trimmed clear of every part and hold its seam, so the order of work lays it the other way, out of "
    "the band and into the garment, where no part clamps it. Do so; or take a smaller closure, or set it further away"
)
"""What becomes of one that has no room in the band at every closure (common practice)."""


def untold_allowances(checked: Checked, lap: LapName) -> list[Finding]:
    """Ask, under the rule of the ridge, for the allowances that reach under a flange of a lap, or near it."""
    found = pressed_in(checked.placement, checked.catalogue)
    whole = pressed_in(checked.placement.row, checked.catalogue)
    own = {mark.n for mark in checked.placement.marks}
    findings = []
    for one in found:
        if one.lap != lap or one.mark not in own:
            continue
        where, ends = seam_in_words(one.at, checked.placement.strap), "ends under the flange or past it"
        if one.clear_mm > 0.0:
            ends = f"ends {checked.show(one.clear_mm)} from the rim"
        how = "it cannot be trimmed clear of that and hold its seam. Take a smaller closure, or set it further away"
        on_page = how
        if one.at == "inner edge" and is_laid_away(whole):
            how = on_page = _LAID_AWAY
        elif lies_raw(whole, one.at, lap):
            does = f"cuts it off {where} and lays the lining raw there, glued and stitched"
            how, on_page = f"the order of work {does}. Do so", f"the order of work {does}"
        elif (to := trimmed_mm(whole, one.at, lap)) is not None and one.has_room:
            does = f"trims it to {checked.show(to)} before it is pressed in{_AWAY.get(one.at, '')}"
            how, on_page = f"the order of work {does}. Do so", f"the order of work {does}"
        whose = f"The seam allowance of {checked.show(one.allowance_mm)}"
        if one.is_taken:
            whose = f"Your own seam allowance, taken as {checked.show(one.allowance_mm)} since the plan tells none,"
        pressed = f"that is pressed in {where} {ends}"
        untold = "no layer tells it, so it is in no figure"
        if one.is_measured:
            untold = "a part tilts where a layer ends under it, whatever your measured thickness counts"
        text = Said(
            f"{whose} {pressed}, and {untold}: {how}, or tell it as a [[layer]] under the whole flange.",
            f"The seam allowance {pressed}: {on_page}.",
        )
        source, limit = checked.source("ridge"), checked.limit_mm("ridge")
        findings.append(Finding("ridge", "warn", text, source, lap, one.mark, one.clear_mm, limit, "least"))
    return findings


def taken_allowance(checked: Checked) -> str:
    """Say what is taken for the allowance that whoever cuts a strap adds; empty where the plan tells it."""
    strap = checked.placement.strap
    if strap is None or not adds_own_allowance(strap):
        return ""
    return f" Your own seam allowance is taken as {checked.show(OWN_ALLOWANCE_MM)}: a wider one was not looked at."
