"""Does one name stand for one place? A fixed place, a clear zone and a girth called alike lie at one level."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from closures.checks.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.checks.checked import Checked
    from closures.plan.plan import Plan

_APART_MM = 10.0
"""Places of one name that lie so far apart are two places: our own rule."""


def check_named_places(checked: Checked) -> list[Finding]:
    """Do places of one name lie together, whichever section tells them?"""
    found = []
    for one, other in combinations(_named(checked.placement.told_plan), 2):
        (what, name, low, high), (its, its_name, its_low, its_high) = one, other
        apart = max(its_low - high, low - its_high)
        if what == its or name.casefold() != its_name.casefold() or apart < _APART_MM:
            continue
        text = (
            f"{_at(checked, one)}, and {_at(checked, other)}: one name, two places {checked.show(apart)} apart. Look "
            "at both, at their unit and from where each was measured; or give one of them another name."
        )
        found.append(Finding("named places", "warn", text[0].upper() + text[1:], "our own rule"))
    return found


def _named(plan: Plan) -> Iterator[tuple[str, str, float, float]]:
    """What each place with a level is, what it is called, and from which level to which it lies."""
    for anchor in plan.anchors:
        if anchor.level_mm is not None:
            yield "fixed place", anchor.name, anchor.level_mm, anchor.level_mm
    for zone in plan.clear:
        if zone.level_mm is not None:
            yield "clear zone", zone.name, zone.level_mm.low_mm, zone.level_mm.high_mm
    for ring in () if plan.way_in is None else plan.way_in.rings:
        yield "girth under [way_in]", ring.name, ring.level_mm, ring.level_mm


def _at(checked: Checked, place: tuple[str, str, float, float]) -> str:
    what, name, low, high = place
    level = f"at the level {checked.show(low)}" if low == high else f"from {checked.show(low)} to {checked.show(high)}"
    return f'the {what} "{name}" lies {level}'
