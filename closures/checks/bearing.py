"""The rules on whether cloth bears what is done to it: the holes that its closures make, and the wash that it gets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.checks.substitutes import FINE, SEWN_ON, of_the_same_use, why_not_borne
from closures.placing.cloth_marks import SPOILT_BY_A_WASH, own_layers
from closures.placing.interfaced import STAY_OF_NET, is_openwork
from closures.placing.layers_between import worked_structures
from closures.placing.stack import cloths_among, layers_on
from closures.said import Said, for_author, to_both
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.placing.stack import Stack

_SPOILT = {kind: SPOILT_BY_A_WASH[kind] for kind in ("leather", "coated")}


def check_bearing(checked: Checked) -> list[Finding]:
    """Does the cloth on either lap bear the holes that this kind needs?"""
    findings = []
    for lap, marks in checked.on_laps():
        if lap.name not in checked.fastener.clamps:
            continue
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        known = [(mark, stack) for mark, stack in stacks if stack.structures]
        told = [
            Finding("cloth", "warn", to_both(f"{why} {_instead(checked, stack)}"), "common practice", lap.name, mark.n)
            for mark, stack in known
            if (why := why_not_borne(checked.fastener, worked_structures(stack)))
        ]
        if known and not told:
            text = "This cloth bears the holes that the kind makes in it."
            told = [Finding("cloth", "pass", text, "common practice", lap.name)]
        findings += told
    return findings


def check_washing(checked: Checked) -> list[Finding]:
    """Is what a wash may spoil to be washed, by either way to tell it? Asked of leather and coated cloth alone."""
    plan = checked.placement.plan
    loses = plan.shrinkage is not None
    if not loses and (plan.garment is None or plan.garment.washing != "to be washed"):
        return []
    reasons: dict[str, str] = {}
    for lap in ("over", "under"):
        for layer in layers_on(lap, own_layers(plan), checked.catalogue):
            why = next((why for kind, why in _SPOILT.items() if kind in layer.structures), "")
            reasons |= {layer.name: why} if why else {}
    if not reasons:
        return []
    is_tried = plan.state in (None, "cut pieces") and plan.gauge is None
    piece = "The order of work begins with a piece that is washed as a trial"
    instead = 'leave [shrinkage] out, and write washing = "never"' if loses else 'write washing = "never"'
    found = (
        f"The plan says that its cloth {'loses in its first wash' if loses else 'is washed'}, and "
        f"{in_a_row(tuple(reasons))} may not bear it: {in_a_row(tuple(dict.fromkeys(reasons.values())))}."
    )
    text = (
        f"{found} {piece if is_tried else 'Wash a piece of the same as a trial before anything is marked'}; where that "
        f"does not come out {'as the plan says' if loses else 'as it went in'}, {instead} under [garment]."
    )
    told = Said(checked.placement.plan.in_words(text), found)
    return [Finding("washing", "warn", told, "common practice")]


def cut_in_openwork(checked: Checked, lap: LapName, stack: Stack) -> str:
    """Say why a buttonhole holds in no net or lace alone, and what it wants; all of it is common practice."""
    if lap != checked.fastener.mark.buttonhole_lap or not is_openwork(stack):
        return ""
    return (
        f"A slit that is cut in net or lace alone has no threads to hold its stitches. Lay a stay of {STAY_OF_NET} "
        "behind each buttonhole" + for_author(", as backing_cloth under [sheets] or as a [[layer]],", "") + " or close "
        "it with loops at the edge in place of buttonholes."
    )


def _instead(checked: Checked, stack: Stack) -> str:
    others = of_the_same_use(checked, stack)
    take = f"Take one that it bears, such as {in_a_row(others, 'or')}" if others else "Take another kind"
    if not others and cloths_among(stack.layers) & FINE:
        return SEWN_ON
    return f"{take}; else set one on a trial piece with its backing, and pull at it before you go on."
