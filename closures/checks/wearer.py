"""Rules on who wears the garment: hands, haste, children, implants. They look and warn; they claim nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.placing.cords import SOURCE as CORDS_FROM
from closures.placing.cords import cords_of_a_child, is_barred
from closures.placing.nothing_set import ASK_FIRST, ASK_OF_IMPLANTS, withheld
from closures.placing.role import is_for_show
from closures.said import Said, to_both

if TYPE_CHECKING:
    from closures.checks.checked import Checked

_RULE = "wearer"
_ALLOWED = (
    "Somebody has an implant, and the plan says that their clinic, or its maker, allows these magnets: keep to what "
    "the answer says, and ask again before another kind or size of magnet is taken."
)

_OLD_MAGNETS = (
    "The old closures are magnets: keep the garment away from whoever has an implant, or was not asked, till the last "
    "is off and put away."
)
_OLD_MAGNETS_OF_A_CHILD = (
    "The old closures are magnets, and magnets that come off get swallowed: keep the garment from every child till the "
    "last is off and put away."
)


def check_wearer(checked: Checked) -> list[Finding]:
    """Does the kind suit those who wear it, and was the question on implants asked before magnets?"""
    profiles = checked.placement.plan.profiles
    findings = [*_withheld(checked), *_implants(checked)]
    if "child" in profiles:
        findings += _child(checked)
    if "weak hands" in profiles or "single hand" in profiles:
        findings += _hands(checked)
    if "quick change" in profiles:
        findings += _quick(checked)
    return findings


def _withheld(checked: Checked) -> list[Finding]:
    """What keeps the closures from being set at all: nothing else fails for a wearer."""
    found = []
    for one in withheld(checked.placement):
        basis = f"published: {checked.catalogue.source(one.source).text}" if one.source else one.basis
        found.append(Finding(_RULE, "fail", Said(one.found, one.change), basis))
    return found


def _implants(checked: Checked) -> list[Finding]:
    wish = checked.placement.plan.wearer
    asked = wish is not None and "implants" in wish.profiles
    answer = "not asked" if wish is None else wish.implants
    source = f"published: {checked.catalogue.source('FDA').text}"
    if checked.fastener.family != "magnetic snap":
        if answer != "none" and _were_magnets(checked):
            return [Finding(_RULE, "warn", to_both(_OLD_MAGNETS), source)]
        if not asked or any(share.fastener.family == "magnetic snap" for share in checked.placement.row.shares):
            return []
        return [Finding(_RULE, "pass", "No magnets are in this closure.", "derived: the kind of closure chosen")]
    if answer == "none":
        return [Finding(_RULE, "pass", "Nobody asked has an implant, as the plan says.", "the plan")]
    if answer == "allowed":
        return [Finding(_RULE, "warn", to_both(_ALLOWED), source)]
    if answer == "some" or asked:
        return []
    return [Finding(_RULE, "warn", Said(ASK_OF_IMPLANTS, ASK_FIRST), source)]


def _were_magnets(checked: Checked) -> bool:
    """Whether magnets are in the garment that become closures of another kind."""
    old = checked.placement.plan.swap
    if old is None or (old.hole is not None and not old.hole.made):
        return False
    fastener = checked.catalogue.fastener(old.kind, old.size, cap_mm=old.cap_mm, thickness_mm=old.thickness_mm)
    return fastener.family == "magnetic snap"


def _child(checked: Checked) -> list[Finding]:
    if checked.fastener.family == "magnetic snap":
        return []
    if _were_magnets(checked):
        return [Finding(_RULE, "warn", to_both(_OLD_MAGNETS_OF_A_CHILD), "published: medical press")]
    if is_for_show(checked.placement) and checked.placement.plan.is_under_three:
        text = (
            "These buttons close nothing, and under three what comes loose goes into the mouth. Leave them off, or "
            "have embroidery or a print show where they would lie."
        )
        return [Finding(_RULE, "warn", to_both(text), "common practice")]
    # Nothing else of a child's wear is a matter of geometry: what there is to say stands with the cautions.
    if checked.fastener.family != "eyelet" or is_barred(checked.placement):
        return []
    told = cords_of_a_child(checked.placement)
    return [Finding(_RULE, "warn", to_both(told), CORDS_FROM)] if told else []


def _hands(checked: Checked) -> list[Finding]:
    least, source = checked.limit_mm("easy cap"), checked.source("easy cap")
    found = checked.fastener.cap_mm
    if checked.fastener.cap is None:
        text = "No width is known for this closure: let the wearer open and close one before all are set."
        return [Finding(_RULE, "warn", to_both(text), "common practice")]
    if found < least - SAME_MM:
        text = (
            f"A closure {checked.show(found)} across is small for such hands: take {checked.show(least)} or more, "
            "and fewer."
        )
        return [Finding(_RULE, "warn", text, source, None, None, found, least, "least")]
    if checked.fastener.family == "press-set snap":
        tried = (
            "those that are there" if checked.placement.is_all_there else "one on the trial coupon before all are set"
        )
        text = f"A snap asks for a push and a pull. Let the wearer try {tried}."
        return [Finding(_RULE, "pass", text, "common practice", None, None, found, least, "least")]
    return [Finding(_RULE, "pass", "Large enough for such hands.", source, None, None, found, least, "least")]


def _quick(checked: Checked) -> list[Finding]:
    return [*_many(checked), *_slow_kind(checked)]


def _many(checked: Checked) -> list[Finding]:
    most, source = round(checked.rule("quick count").value.value), checked.source("quick count")
    count = len(checked.placement.row.marks)
    told = "1 closure" if count == 1 else f"{count} closures"
    if count > most:
        text = f"{told} take long in a quick change; {most} or fewer are told. Try a wider pitch."
        return [Finding(_RULE, "warn", to_both(text), source)]
    return [Finding(_RULE, "pass", f"{told}, not more than {most}, for a quick change.", source)]


def _slow_kind(checked: Checked) -> list[Finding]:
    """What asks for two hands, or for a look, is slow in the dark: said of each kind that does (common practice)."""
    fastener = checked.fastener
    slow = next((why for of, why in _SLOW.items() if of in (fastener.family, fastener.kind)), None)
    if fastener.mark.buttonhole_lap is not None:
        slow = _BUTTON
    if slow is None or is_for_show(checked.placement):
        return []
    shown = "" if checked.placement.plan.is_for_child else "; buttons may be sewn on over them for show"
    text = (
        f"This kind, {fastener.kind}, is slow in a quick change: {slow}. Snaps, or a few large hooks with bars, are "
        f"quicker{shown}."
    )
    return [Finding(_RULE, "warn", to_both(text), "common practice")]


_BUTTON = "each asks for two hands"
_SMALL_HOOKS = "each hook is small, and is hooked in by eye or by feel"
_SLOW = {
    "loop": _BUTTON,
    "hook and eye": _SMALL_HOOKS,
    "hook tape": _SMALL_HOOKS,
    "eyelet": "a lace is drawn close from end to end",
}
