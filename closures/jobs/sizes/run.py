"""Every size of a plan, each by the same way that a plan of one size goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from closures.errors import ClosureError, PlanError, naming
from closures.jobs.sizes.family import plan_of_size
from closures.jobs.sizes.hold import Cost, Held, chosen_hold, cost_of, held_of, plan_holding
from closures.jobs.sizes.sized import RefusedSize, Sized, Sizes
from closures.nearest import nearest_name

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.jobs.sizes.hold import Kept
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan
    from closures.plan.sizes import SizesWish

Tell = Callable[[int, int], None]
"""Told how many steps are done, and of how many."""


class Checked(Protocol):
    """What placing a plain plan comes to."""

    @property
    def placement(self) -> Placement: ...
    @property
    def findings(self) -> tuple[Finding, ...]: ...
    @property
    def catalogue(self) -> Catalogue: ...


def size_all(
    plan: Plan, check: Callable[[Plan], Checked], only: Sequence[str] = (), tell: Tell = lambda done, of: None
) -> Sizes:
    """Place every size of a plan.

    Args:
        plan: with sizes.
        check: places a plain plan and holds it against the rules.
        only: the sizes that are wanted; all where it is empty.
        tell: told after each size.

    Returns:
        The sizes; one that cannot be placed is among them with the reason.

    Raises:
        PlanError: a size that is wanted is not in the plan; or no size can be placed: all reasons together.
    """
    sizes = plan.sizes
    if sizes is None:
        raise ValueError("the plan has no sizes")
    names = _wanted(sizes, only, plan.where)
    plans = {name: _plan_or_reason(plan, name) for name in sizes.names}
    held, catalogue, base = _held(plans, sizes, check)
    every: list[Sized | RefusedSize] = []
    for done, name in enumerate(names, start=1):
        own = plans[name]
        if isinstance(own, ClosureError):
            every.append(RefusedSize(name, str(own)))
        else:
            every.append(_sized(name, own, held, sizes, check, base))
        tell(done, len(names))
    if not any(isinstance(size, Sized) for size in every):
        raise _none([size for size in every if isinstance(size, RefusedSize)])
    return Sizes(plan, held, tuple(every), catalogue)


def _wanted(sizes: SizesWish, only: Sequence[str], where: str) -> tuple[str, ...]:
    for name in only:
        if name not in sizes.names:
            near = nearest_name(name, sizes.names)
            mend = f"Did you mean {near}?" if near else f"There are {', '.join(sizes.names)}."
            raise PlanError(f"there is no size {name}", where=where, mend=mend)
    return tuple(name for name in sizes.names if not only or name in only)


def _plan_or_reason(plan: Plan, name: str) -> Plan | ClosureError:
    try:
        with naming(plan.where):
            return plan_of_size(plan, name)
    except ClosureError as error:
        return error


def _held(
    plans: dict[str, Plan | ClosureError], sizes: SizesWish, check: Callable[[Plan], Checked]
) -> tuple[Held, Catalogue, tuple[Plan, Checked]]:
    """Find what is held, from the base; where that cannot be placed, from the size nearest to it."""
    reasons = []
    for name in sorted(sizes.names, key=lambda name: abs(sizes.steps_to(name))):
        own = plans[name]
        try:
            if isinstance(own, ClosureError):
                raise own
            answer = check(own)
        except ClosureError as error:
            reasons.append(RefusedSize(name, str(error)))
        else:
            return held_of(answer.placement), answer.catalogue, (own, answer)
    raise _none(reasons)


def _none(refused: Sequence[RefusedSize]) -> PlanError:
    """One error of many, each reason once, with the sizes that it is told of."""
    by_reason: dict[str, list[str]] = {}
    for size in refused:
        by_reason.setdefault(size.why, []).append(size.name)
    told = "\n".join(f"size {', '.join(names)}: {why}" for why, names in by_reason.items())
    return PlanError(f"no size can be placed.\n{told}")


def _sized(
    name: str,
    plan: Plan,
    held: Held,
    sizes: SizesWish,
    check: Callable[[Plan], Checked],
    known: tuple[Plan, Checked],
) -> Sized | RefusedSize:
    answers: dict[Kept, Checked] = {}
    costs: list[Cost] = []
    kinds: tuple[Kept, ...] = ("count", "pitch") if held.pitch_mm is not None else ("count",)
    for kept in kinds:
        own = plan_holding(plan, kept, held)
        try:
            # The base was placed already, to find what is held.
            answer = known[1] if own == known[0] else check(own)
        except ClosureError as error:
            costs.append(Cost(kept, refused=str(error)))
        else:
            answers[kept] = answer
            costs.append(cost_of(kept, held, answer.placement, answer.findings))
    pays_mm = known[1].catalogue.rule("another count pays").value.value
    chosen = chosen_hold(costs, pays_mm) if sizes.hold == "best" else sizes.hold
    if chosen is None or chosen not in answers:
        why = next((cost.refused for cost in costs if cost.kept == (chosen or "count")), costs[0].refused)
        return RefusedSize(name, why, tuple(costs))
    answer = answers[chosen]
    return Sized(name, answer.placement, answer.findings, (), chosen, tuple(costs))
