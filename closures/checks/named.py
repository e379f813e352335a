"""Does one name stand for one place, and does each lie where a body has it?

A fixed place, a clear zone and a girth called alike lie at one level, a waist lies below a bust, and a point that was
drawn inside the piece belongs to the place of the line that is level with it.
"""

from __future__ import annotations

from itertools import combinations, permutations
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.plan.ends import lies_lower
from closures.said import Said, for_author

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.checks.checked import Checked
    from closures.plan.plan import Plan

_Place = tuple[str, str, float, float]

_UNDER = " under [way_in]"
_LEVEL_MM = 1.0
"""A place that lies no further above or below a point is level with it: what a chalk mark is wide; our own rule."""
_APART_MM = 10.0
"""Places of one name that lie so far apart are two places: our own rule."""


def check_named_places(checked: Checked) -> list[Finding]:
    """Do places of one name lie together, whichever section tells them?"""
    found = []
    places = list(_named(checked.placement.told_plan))
    if checked.placement.laps.garment.opens != "flat":
        found += [_out_of_order(checked, one, other) for one, other in permutations(places, 2) if _is_above(one, other)]
    for one, other in combinations(places, 2):
        (what, name, low, high), (its, its_name, its_low, its_high) = one, other
        apart = max(its_low - high, low - its_high)
        if what == its or name.casefold() != its_name.casefold() or apart < _APART_MM:
            continue
        text = (
            f"{_at(checked, one)}, and {_at(checked, other)}: one name, two places {checked.show(apart)} apart. Look "
            "at both, at their unit and from where each was measured; or give one of them another name."
        )
        found.append(Finding("named places", "warn", _without_key(text[0].upper() + text[1:]), "our own rule"))
    if checked.placement.laps.garment.opens != "flat":
        found += [_at_one_level(checked, one, other) for one, other in permutations(places, 2) if _is_level(one, other)]
    return [*found, *_carried_over(checked)]


def _is_level(one: _Place, other: _Place) -> bool:
    """Whether two places of a body that lie one below the other, from the bust down, are told at one level."""
    is_point = one[2] == one[3] and other[2] == other[3]
    return is_point and lies_lower(one[1], other[1]) and abs(one[2] - other[2]) <= _LEVEL_MM


def _at_one_level(checked: Checked, one: _Place, other: _Place) -> Finding:
    text = (
        f"{_at(checked, other)}, and {_at(checked, one)}: one place for two that lie one below the other on a body. "
        "Look whether one figure was typed twice."
    )
    return Finding("named places", "warn", _without_key(text[0].upper() + text[1:]), "our own rule")


def _carried_over(checked: Checked) -> Iterator[Finding]:
    """A point drawn inside the piece is carried to the nearest place of the line, which may not be level with it."""
    for anchor in checked.placement.anchors:
        off_mm = abs(anchor.level_mm - anchor.drawn_level_mm)
        if anchor.carried_mm is None or off_mm <= _LEVEL_MM:
            continue
        text = (
            f'The point of "{anchor.name}" lies {checked.show(anchor.carried_mm)} from the closing line, at the level '
            f"{checked.show(anchor.drawn_level_mm)}; taken is the place of the line nearest to it, at the level "
            f"{checked.show(anchor.level_mm)}. A bust point is carried level across"
            + for_author(": then write level in place of at.", ".")
            + " If it is a notch of the line, all is well."
        )
        yield Finding("named places", "warn", text, "our own rule")


def _is_above(one: _Place, other: _Place) -> bool:
    """Whether a place lies above another that the body has higher up."""
    return other[2] - one[3] >= _APART_MM and lies_lower(one[1], other[1])


def _out_of_order(checked: Checked, one: _Place, other: _Place) -> Finding:
    text = (
        f"{_at(checked, one)}, and {_at(checked, other)}, below it, where a body has them the other way round. Look "
        "whether the two were exchanged, at their unit, and from where each was measured."
    )
    return Finding("named places", "warn", _without_key(text[0].upper() + text[1:]), "our own rule")


def _named(plan: Plan) -> Iterator[_Place]:
    """What each place with a level is, what it is called, and from which level to which it lies."""
    for anchor in plan.anchors:
        if anchor.level_mm is not None:
            yield "fixed place", anchor.name, anchor.level_mm, anchor.level_mm
    for zone in plan.clear:
        if zone.level_mm is not None:
            yield "clear zone", zone.name, zone.level_mm.low_mm, zone.level_mm.high_mm
    for ring in () if plan.way_in is None else plan.way_in.rings:
        yield f"girth{_UNDER}", ring.name, ring.level_mm, ring.level_mm


def _without_key(text: str) -> Said:
    return Said(text, text.replace(_UNDER, ""))


def _at(checked: Checked, place: _Place) -> str:
    what, name, low, high = place
    level = f"at the level {checked.show(low)}" if low == high else f"from {checked.show(low)} to {checked.show(high)}"
    return f'the {what} "{name}" lies {level}'
