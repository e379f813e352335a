"""What hands do to the row itself: drag a closure, add one, take one out; set a fixed place or a clear stretch.

As in `moves`, every function takes a plan in hand and gives its text with that one change. A closure that a hand has
set is locked there: the row divides itself around it by its one rule.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.web.moves import InHand, lock_of, move_anchor, unlock_mark
from closures.errors import PlanError
from closures.plan.editing import add_section, remove_section, set_aside, set_key

if TYPE_CHECKING:
    from collections.abc import Container

    from closures.placing.placement import Mark

# A clear stretch that a click sets reaches so far to either side; its ends are dragged from there.
_HALF_STRETCH_MM = 20.0


def move_mark(hand: InHand, n: int, along_mm: float) -> str:
    """Set closure n at a place: what holds it is moved; at an end whose room is told it is that room, else a lock.

    Raises:
        PlanError: there is no such closure, or these do not run along an edge.
    """
    mark = _mark(hand, n)
    wish = hand.plan.spacing
    held = lock_of(hand.plan, hand.placement, n)
    if held is None and mark.anchor is not None:
        held = next((i for i, anchor in enumerate(hand.plan.anchors) if anchor.name == mark.anchor), None)
    if held is not None:
        return move_anchor(hand, held, along_mm)
    for is_end, key, room in (
        (n == 1, "first", wish.first if wish else None),
        (n == len(hand.placement.marks), "last", wish.last if wish else None),
    ):
        if is_end and room is not None and room.low_mm == room.high_mm:
            old = hand.held("spacing", key, 0)
            place = hand.snapped(along_mm if key == "first" else hand.laps.line.length_mm - along_mm, old)
            return set_key(hand.text, "spacing", key, hand.written(place, old))
    return _locked_at(hand, hand.text, along_mm)


def add_mark(hand: InHand, along_mm: float) -> str:
    """Add a closure at a place, locked there; a row that keeps to a gap is counted from then on.

    Raises:
        PlanError: these closures do not run along an edge.
    """
    return _locked_at(hand, _counted(hand, len(hand.placement.marks) + 1), along_mm)


def remove_mark(hand: InHand, n: int) -> str:
    """Take closure n out, with a lock that holds it; a row that keeps to a gap is counted from then on.

    Raises:
        PlanError: there is no such closure, it is the last one, or a fixed place asks for it.
    """
    mark = _mark(hand, n)
    if len(hand.placement.marks) < 2:
        raise PlanError("it is the only closure", mend="Leave one.")
    lock = lock_of(hand.plan, hand.placement, n)
    if lock is None and mark.anchor is not None:
        raise PlanError(
            f"mark {n} sits at the fixed place “{mark.anchor}”", mend="Remove that place first, or another closure."
        )
    text = hand.text if lock is None else unlock_mark(hand, n)
    return _counted(hand, len(hand.placement.marks) - 1, text)


def add_place(hand: InHand, along_mm: float) -> str:
    """Set a fixed place, where a closure must sit.

    Raises:
        PlanError: these closures do not run along an edge.
    """
    _need_row(hand)
    name = _free_name("place", {anchor.name.casefold() for anchor in hand.plan.anchors})
    return add_section(hand.text, "anchor", {"name": name, "along": hand.written(hand.snapped(along_mm, None), None)})


def add_stretch(hand: InHand, along_mm: float) -> str:
    """Set a clear stretch about a place.

    Raises:
        PlanError: these closures do not run along an edge.
    """
    _need_row(hand)
    name = _free_name("stretch", {zone.name for zone in hand.plan.clear})
    ends = [hand.snapped(along_mm + way * _HALF_STRETCH_MM, None) for way in (-1, 1)]
    return add_section(hand.text, "clear", {"name": name, "along": [hand.written(end, None) for end in ends]})


def taken_out(hand: InHand, section: str, n: int) -> str:
    """Take a fixed place or a clear stretch out, from 0.

    Raises:
        PlanError: there is none such in the plan.
    """
    held = hand.plan.anchors if section == "anchor" else hand.plan.clear
    if section not in ("anchor", "clear") or not 0 <= n < len(held):
        raise PlanError("there is nothing here to take out", mend="Load the page anew.")
    return remove_section(hand.text, section, n + 1)


def _locked_at(hand: InHand, text: str, along_mm: float) -> str:
    _need_row(hand)
    name = _free_name("lock", {anchor.name.casefold() for anchor in hand.plan.anchors})
    return add_section(text, "anchor", {"name": name, "along": hand.written(hand.snapped(along_mm, None), None)})


def _counted(hand: InHand, count: int, text: str | None = None) -> str:
    _need_row(hand)
    return set_aside(set_key(text or hand.text, "spacing", "count", count), "spacing", "pitch")


def _need_row(hand: InHand) -> None:
    if hand.plan.spacing is None:
        raise PlanError("closures of a belt or a row sit where the plan says", mend="Change the places instead.")


def _mark(hand: InHand, n: int) -> Mark:
    _need_row(hand)
    if not 1 <= n <= len(hand.placement.marks):
        raise PlanError("there is no such closure", mend="Load the page anew.")
    return hand.placement.marks[n - 1]


def _free_name(word: str, taken: Container[str]) -> str:
    n = 1
    while f"{word} {n}" in taken:
        n += 1
    return f"{word} {n}"
