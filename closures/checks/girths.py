"""Do the girths that are told of one body go together, and is a strap as long as what it is called?

A girth told in another unit, or of another wearer, is far off every other one. How far is our own rule: between the
trunk's own girths lies less, whoever wears it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.checks.usual import is_far, meant_in, usual_mm
from closures.lengths import SAME_MM
from closures.plan.ends import opens_a_neck
from closures.said import Said, for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.checks.checked import Checked
    from closures.placing.strap.values import Strap
    from closures.plan.body import BodyWish
    from closures.plan.plan import Plan

_LEAST_SHARE, _MOST_SHARE = 0.6, 1.6
"""Of the trunk's girths that are told, what another one of it comes to at the least and at the most: our own rule."""
_LEAST_OF_WAIST = 0.9
"""Of a waist, what goes round it at the least: cloth and flesh give a little (our own rule)."""
_CHILDS_MOST_MM = 1000.0
"""Round the waist of a child, at the most: our own rule."""
_WIDEST_MM = 250.0
"""Across such a piece, and across a belt: beyond a deep cuff and a broad sash (our own rule)."""
_OURS = "our own rule"
_OF_A_BODY = ("head", "neck", "shoulders", "chest", "waist", "seat", "hand", "heel")


def check_girths(checked: Checked) -> list[Finding]:
    """Does the girth under ``[pull]`` go with the body, or the belt round it?"""
    plan = checked.placement.told_plan
    is_child = plan.is_for_child
    pulled = unlike_girth(plan, plan.body, checked.show, is_child=is_child)
    belted = unlike_belt(plan, plan.body, checked.show, is_child=is_child)
    # A girth that no body has is far off all others too.
    told = _far_girths(checked) or [_unlike_body(plan.body, checked.show), pulled or belted]
    return [Finding("girth", "warn", text, _OURS) for text in told if text]


def _far_girths(checked: Checked) -> list[str]:
    """What is told of each girth that no body has, from the smallest newborn to the largest wearer."""
    plan = checked.placement.told_plan
    body = plan.body
    told = [] if body is None else [("body", name, getattr(body, f"{name}_mm")) for name in _OF_A_BODY]
    if plan.pull is not None:
        told.append(("pull", "girth", plan.pull.girth_mm))
    return [
        for_author(f"{name} under [{section}] tells", f"The {'girth' if section == 'pull' else name} is told")
        + f" {checked.show(mm)}, and it is seldom {_than(checked, mm, usual)}. "
        + for_author(f"Look at {name} and its unit.", "Look at the figure and its unit.")
        + _meant(checked, mm, usual)
        for section, name, mm in told
        if mm is not None and (usual := usual_mm(checked.catalogue, name)) is not None and is_far(mm, usual)
    ]


def _than(checked: Checked, mm: float, usual: tuple[float, float]) -> str:
    """Beyond which bound a length lies: "less than 240 mm"."""
    least, most = usual
    return f"less than {checked.show(least)}" if mm < least else f"more than {checked.show(most)}"


def _meant(checked: Checked, mm: float, usual: tuple[float, float]) -> str:
    """Ask whether the same number was meant in another unit, in which it is usual."""
    likely = meant_in(mm, checked.placement.plan.units, usual)
    return f" Was it meant as {' or as '.join(likely)}?" if likely else ""


def _unlike_body(body: BodyWish | None, show: Callable[[float], str]) -> str:
    """What is unlikely of the girths that are told of one body, each beside the others; empty where nothing is."""
    if body is None:
        return ""
    if body.neck_mm is not None and body.head_mm is not None and body.neck_mm > body.head_mm:
        return (
            for_author("[body] tells neck =", "The neck is told")
            + f" {show(body.neck_mm)} and "
            + for_author("head =", "the head")
            + f" {show(body.head_mm)}: a neck is less round than its "
            "head. Look whether the two were exchanged, and at their units."
        )
    told = _trunk(body)
    for key, mm in told.items():
        others = {name: other for name, other in told.items() if name != key}
        if others and is_unlike(mm, tuple(others.values())):
            return (
                for_author("[body] tells ", "Of one body are told ")
                + _in_words(told, show)
                + ": girths of one body seldom lie so far apart. Look at each figure and its unit."
            )
    return ""


def check_slit(checked: Checked) -> list[Finding]:
    """Does the neck open no further than the edge at which it opens?"""
    placement, wish = checked.placement, checked.placement.plan.way_in
    opens_mm = placement.laps.over.edge.length_mm
    if wish is None or wish.slit_mm is None or wish.slit_mm <= opens_mm + SAME_MM:
        return []
    if not opens_a_neck(placement.laps.garment.opens, placement.ends):
        return []
    text = (
        for_author("slit under [way_in] tells", "The plan tells")
        + f" that the neck opens {checked.show(wish.slit_mm)} below its edge, and this edge is "
        f"{checked.show(opens_mm)} long. "
        + for_author(
            "Look at slit and its unit, or leave it out: then it is as far as the last closure that opens.",
            "Look at that figure and its unit.",
        )
        + " Where the neck has another opening, which is longer, it is right as it is."
    )
    return [Finding("way in", "warn", text, "geometry", None, None, opens_mm, wish.slit_mm)]


def check_strap_length(checked: Checked, strap: Strap) -> list[Finding]:
    """Is a cuff, a collar or a waistband as long as one is, and no wider? It may be exchanged with its height."""
    row, belt = checked.placement.plan.row, checked.placement.plan.belt
    found = []
    usual = None if row is None else usual_mm(checked.catalogue, row.piece)
    if row is not None and usual is not None and is_far(row.length_mm, usual):
        than = (
            f"shorter than {checked.show(usual[0])}"
            if row.length_mm < usual[0]
            else f"longer than {checked.show(usual[1])}"
        )
        found.append(
            f"The {row.piece} is told {checked.show(row.length_mm)} long and {checked.show(row.height_mm)} high, "
            f"and one is seldom {than}."
            + for_author(
                " Look at length under [row] and its unit, whether it and height were exchanged, and whether piece "
                "says what it is.",
                " Look at both figures and their units, and whether they were exchanged.",
            )
            + _meant(checked, row.length_mm, usual)
        )
    name, key, wide_mm = ("belt", "width", belt.width_mm) if belt is not None else ("", "", 0.0)
    if row is not None and usual is not None:
        name, key, wide_mm = row.piece, "height", row.height_mm
    if wide_mm > _WIDEST_MM + SAME_MM:
        section = "belt" if belt is not None else "row"
        found.append(
            f"The {name} is told {checked.show(wide_mm)} wide, and one is seldom wider than "
            f"{checked.show(_WIDEST_MM)}. "
            + for_author(f"Look at {key} under [{section}] and its unit.", "Look at the figure and its unit.")
        )
    return [Finding("length", "warn", text, _OURS) for text in found]


def unlike_girth(plan: Plan, body: BodyWish | None, show: Callable[[float], str], *, is_child: bool) -> str:
    """What is unlikely of the girth that a plan tells under ``[pull]``; empty where nothing is.

    Args:
        plan: with its pull.
        body: whose girths it is held against.
        show: writes a length for people.
        is_child: whether a child wears it.
    """
    girth = None if plan.pull is None else plan.pull.girth_mm
    told = _trunk(body)
    if girth is None:
        return ""
    if told and is_unlike(girth, tuple(told.values())):
        return (
            for_author("girth under [pull] tells", "The plan tells")
            + f" {show(girth)} round the body where the front pulls, and "
            + for_author("[body] tells ", "of that body ")
            + _in_words(told, show)
            + ": girths of one body seldom lie so far apart. Look at each figure and its unit."
        )
    if is_child and girth > _CHILDS_MOST_MM + SAME_MM:
        return (
            for_author("girth under [pull] tells", "The plan tells")
            + f" {show(girth)} round the body where the front pulls, and a child wears it, who "
            f"is seldom more than {show(_CHILDS_MOST_MM)} round. "
            + for_author("Look at girth and its unit, and", "Look at the figure and its unit, and")
            + " at who is told to wear it."
        )
    return ""


def is_unlike(mm: float, others_mm: Sequence[float]) -> bool:
    """Whether a girth of a trunk lies far off every other one that is told of it."""
    return not _LEAST_SHARE * min(others_mm) <= mm <= _MOST_SHARE * max(others_mm)


def unlike_belt(plan: Plan, body: BodyWish | None, show: Callable[[float], str], *, is_child: bool) -> str:
    """What is unlikely of the waist that a belt is told to go round; empty where nothing is.

    Args:
        plan: of the belt.
        body: whose girths it is held against.
        show: writes a length for people.
        is_child: whether a child wears it.
    """
    waist = None if plan.belt is None else plan.belt.waist_mm
    if waist is None:
        return ""
    told = _trunk(body)
    least = max([_LEAST_SHARE * min(told.values(), default=0.0), _LEAST_OF_WAIST * told.get("waist", 0.0)])
    if told and not least <= waist <= _MOST_SHARE * max(told.values()):
        return (
            f"The belt is told to go round {show(waist)}, and "
            + for_author("[body] tells ", "of the body ")
            + _in_words(told, show)
            + for_author(
                ". Look at waist under [belt], at [body], and at the unit of each;",
                ". Look at each figure and its unit;",
            )
            + " where the belt sits elsewhere, or on another, it is right as it is."
        )
    if is_child and waist > _CHILDS_MOST_MM + SAME_MM:
        return (
            f"The belt is told to go round {show(waist)}, and a child wears it, who is seldom more than "
            f"{show(_CHILDS_MOST_MM)} round. "
            + for_author("Look at waist under [belt] and its unit, and", "Look at the figure and its unit, and")
            + " at who is told to wear it."
        )
    return ""


def _trunk(body: BodyWish | None) -> dict[str, float]:
    """The girths of the trunk that were measured, by their keys."""
    told = {} if body is None else {"chest": body.chest_mm, "waist": body.waist_mm, "seat": body.seat_mm}
    return {key: mm for key, mm in told.items() if mm is not None}


def _in_words(told: dict[str, float], show: Callable[[float], str]) -> str:
    return Said(
        in_a_row([f"{key} = {show(mm)}" for key, mm in told.items()]),
        in_a_row([f"{key} {show(mm)}" for key, mm in told.items()]),
    )
