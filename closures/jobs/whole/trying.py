"""A change of one plan of a garment on trial: placed with it, and held against all that was found before.

What is written into a plan holds for every opening that names it, on either side of the body: all of them are tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.checks.finding import Finding
    from closures.jobs.whole.clearances import Clearance
    from closures.jobs.whole.frames import Worked
    from closures.placing.placement import Placement
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

Change = Callable[["Plan"], "Plan"]
"""What is written into a plan."""

Between = Callable[[Sequence["Worked"]], Sequence["Clearance"]]
"""What is found between openings."""

_RANKS = ("pass", "warn", "fail")


@frozen
class Trials:
    """What a change is tried with.

    Attributes:
        plan: of an opening, as it is placed.
        findings: of an opening, what the rules say of it as it is.
        place: places an opening by another plan, with what the rules say of it; None where that is refused.
    """

    plan: Callable[[Opening], Plan]
    findings: Callable[[Opening], Sequence[Finding]]
    place: Callable[[Opening, Plan], tuple[Placement, Sequence[Finding]] | None]


@frozen
class Tried:
    """What a change comes to that is taken and fails nowhere anew.

    Attributes:
        worked: all openings with it.
        looks: what is to be looked at anew, by the names of rules.
    """

    worked: tuple[Worked, ...]
    looks: tuple[str, ...]


def try_change(change: Change, plan: str, worked: Sequence[Worked], trials: Trials, between: Between) -> Tried | None:
    """Place every opening of a plan with a change.

    Args:
        change: what is written into it.
        plan: its file, as the openings name it.
        worked: all openings, as they are.
        trials: what it is tried with.
        between: finds what lies between openings.

    Returns:
        What it comes to; None where the plan is refused with it, or anything fails that did not before.
    """
    changed: list[Worked] = []
    new: dict[str, int] = {}
    for one in worked:
        if one.opening.plan != plan:
            changed.append(one)
            continue
        placed = trials.place(one.opening, change(trials.plan(one.opening)))
        if placed is None:
            return None
        placement, findings = placed
        changed.append(replace(one, placement=placement))
        before = _worst((f.rule, f.result) for f in trials.findings(one.opening))
        new |= _worse(before, _worst((f.rule, f.result) for f in findings))
    found = [_worst((_between_names(one), one.result) for one in between(each)) for each in (worked, changed)]
    new |= _worse(*found)
    if any(how == _RANKS.index("fail") for how in new.values()):
        return None
    return Tried(tuple(changed), tuple(new))


def _between_names(one: Clearance) -> str:
    return " and ".join(one.names)


def _worst(found: Iterable[tuple[str, str]]) -> dict[str, int]:
    worst: dict[str, int] = {}
    for name, result in found:
        worst[name] = max(worst.get(name, 0), _RANKS.index(result))
    return worst


def _worse(before: Mapping[str, int], after: Mapping[str, int]) -> dict[str, int]:
    """What is worse than it was, each with how bad it is."""
    return {name: how for name, how in after.items() if how > before.get(name, 0)}
