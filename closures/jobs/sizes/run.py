"""Every size of a plan, each by the same way that a plan of one size goes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from closures.errors import ClosureError, PlanError, UpsideDownError, naming
from closures.frozen import frozen
from closures.jobs.sizes.compared import compare_sizes
from closures.jobs.sizes.counts import DepartureOf, OneCount, SizeCounts, counts_of_all, departure_of, one_count
from closures.jobs.sizes.family import plan_of_size
from closures.jobs.sizes.hold import Cost, Held, cost_of, held_of, plan_holding
from closures.jobs.sizes.sized import RefusedSize, Sized, Sizes
from closures.nearest import nearest_name
from closures.spacing.departures import SAME_DEPARTURE_MM
from closures.spacing.wish import scaled

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.jobs.sizes.hold import Kept
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan
    from closures.plan.sizes import SizesWish
    from closures.spacing.wish import Wish

_HALVINGS = 5
"""A row is wanted near to gaps that differ by a 32nd of what lies between: our own rule."""

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
    tried: dict[str, _Tried] = {}
    # Which count a size takes in a run that is as good as can be depends on all the others.
    needed = sizes.names if sizes.hold == "best" else names
    for done, name in enumerate(needed, start=1):
        own = plans[name]
        if not isinstance(own, ClosureError):
            tried[name] = _try(own, held, check, base, near=sizes.hold == "best")
        tell(min(done, len(names)), len(names))
    counts = _counts(tried, held, base[0], check) if sizes.hold == "best" else {}
    every: list[Sized | RefusedSize] = []
    for name in names:
        reason = plans[name]
        if isinstance(reason, ClosureError):
            every.append(RefusedSize(name, str(reason)))
        else:
            every.append(_sized(name, tried[name], held, sizes, check, base, counts.get(name)))
    if not any(isinstance(size, Sized) for size in every):
        raise _none([size for size in every if isinstance(size, RefusedSize)])
    every = _compared(sizes, every, plans, check)
    return Sizes(plan, held, tuple(every), catalogue, one_count=_one_count(plan, sizes, tried, held, check))


def _compared(
    sizes: SizesWish,
    every: Sequence[Sized | RefusedSize],
    plans: Mapping[str, Plan | ClosureError],
    check: Callable[[Plan], Checked],
) -> list[Sized | RefusedSize]:
    """Hold the sizes against each other, those that are not wanted too, and say of each what there is to look at."""
    placed = {size.name: size.placement for size in every if isinstance(size, Sized)}
    refused = {size.name for size in every if isinstance(size, RefusedSize)}
    for name, own in plans.items():
        if name not in placed and name not in refused and not isinstance(own, ClosureError):
            answer = _or_none(check, own)
            if answer is not None:
                placed[name] = answer.placement
    found = compare_sizes(sizes, list(placed.items()))
    return [replace(one, findings=(*one.findings, *found)) if isinstance(one, Sized) else one for one in every]


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
    """One error of many, each reason once, with the sizes that it concerns."""
    by_reason: dict[str, list[str]] = {}
    for size in refused:
        by_reason.setdefault(size.why, []).append(size.name)
    told = "\n".join(f"size {', '.join(names)}: {why}" for why, names in by_reason.items())
    return PlanError(f"no size can be placed.\n{told}")


@frozen
class _Tried:
    """One size with the count and with the pitch that is held.

    Attributes:
        plan: of the size.
        answers: what each came to, where it can be.
        costs: of each.
        near: the row of the count that comes nearest to the pitch; None where counts are not chosen for a whole run.
    """

    plan: Plan
    answers: dict[Kept, Checked]
    costs: tuple[Cost, ...]
    near: Checked | None = None

    @property
    def wish(self) -> Wish | None:
        """The spacing asked for in this size, as numbers: of stripes and knitting without their places."""
        placed = next((answer.placement for answer in self.answers.values()), None)
        if placed is None or placed.spacing.wish is None:
            return None
        # A row is wished for as it is worn, and the pitch is held as the plan tells it.
        return scaled(placed.spacing.wish, placed.as_told.laps.line.length_mm / placed.as_worn.laps.line.length_mm)


def _try(plan: Plan, held: Held, check: Callable[[Plan], Checked], known: tuple[Plan, Checked], near: bool) -> _Tried:
    answers: dict[Kept, Checked] = {}
    costs: list[Cost] = []
    kinds: tuple[Kept, ...] = ("count", "pitch") if held.pitch_mm is not None else ("count",)
    for kept in kinds:
        own = plan_holding(plan, kept, held)
        try:
            # The base was placed already, to find what is held: whatever that is, it is as its own plan has it.
            answer = known[1] if known[0] in (own, plan) else check(own)
        except ClosureError as error:
            costs.append(Cost(kept, refused=_reason(error)))
        else:
            answers[kept] = answer
    nearest = _nearest(plan, held, check, answers) if near else None
    if "count" in answers and plan != known[0]:
        answers["count"] = _even_enough(plan, held, check, answers["count"])
    costs += [cost_of(kept, held, answer.placement, answer.findings) for kept, answer in answers.items()]
    return _Tried(plan, answers, tuple(sorted(costs, key=lambda cost: kinds.index(cost.kept))), nearest)


def _reason(error: ClosureError) -> str:
    """Say why a size cannot be placed where another one was: what would turn the lines of all is no mend of one."""
    if not isinstance(error, UpsideDownError):
        return str(error)
    return f"{error.faults[0].what}. Turn the line of this size round in the drawing: others run the other way."


def _even_enough(plan: Plan, held: Held, check: Callable[[Plan], Checked], nearest: Checked) -> Checked:
    """The row of a held count nearest to the pitch; where it looks uneven and others do not, one of those near to it.

    The most even row knows nothing of the pitch. So a row is wanted near to other gaps, half way and half way again
    between its mean gap and the pitch: the last that looks even is taken.
    """
    pitch = held.pitch_mm
    if not held.is_wanted or pitch is None or _looks_even(nearest.placement, held):
        return nearest
    found = _or_none(check, plan_holding(plan, "count", replace(held, is_wanted=False)))
    if found is None or not _looks_even(found.placement, held):
        return nearest
    gaps = found.placement.as_told.spacing.gaps_mm
    even, uneven = sum(gaps) / len(gaps), pitch
    for _ in range(_HALVINGS):
        middle = (even + uneven) / 2
        row = _or_none(check, plan_holding(plan, "count", replace(held, pitch_mm=middle)))
        if row is not None and _looks_even(row.placement, held):
            found, even = row, middle
        else:
            uneven = middle
    return found


def _or_none(check: Callable[[Plan], Checked], plan: Plan) -> Checked | None:
    try:
        return check(plan)
    except ClosureError:
        return None


def _looks_even(placement: Placement, held: Held) -> bool:
    from closures.spacing.forced import looks_even

    row = placement.as_told.spacing
    return row.wish is None or looks_even(replace(row.wish, pitch_mm=held.pitch_mm), row.positions_mm)


def _nearest(
    plan: Plan, held: Held, check: Callable[[Plan], Checked], answers: Mapping[Kept, Checked]
) -> Checked | None:
    """Place the row of the held count that comes nearest to the pitch."""
    if held.is_wanted:
        return answers.get("count")
    by_pitch = answers.get("pitch")
    if by_pitch is not None and len(by_pitch.placement.marks) == held.count:
        return by_pitch
    return _or_none(check, plan_holding(plan, "count", held, near=True))


def _departure_of(size: _Tried, held: Held, check: Callable[[Plan], Checked]) -> DepartureOf | None:
    """How far off the pitch a count comes in a size whose row is not what its wish alone says; None of any other.

    Closures sit on given places; or which of them lies next to an end that nobody told depends on the count; or a count
    has too few marks for those that are told of.
    """
    plan, spacing = size.plan, size.plan.spacing
    is_end_open = spacing is None or spacing.last is None or (spacing.first is None and plan.stand is None)
    if plan.stripe is None and plan.gauge is None and not (plan.differs and is_end_open):
        return _with_marks_told(size, held) if plan.differs else None
    wish = size.wish

    def by_placing(count: int) -> float | None:
        answer = _or_none(check, plan_holding(size.plan, "count", replace(held, count=count), near=True))
        if answer is None:
            return None
        if count == 1 and wish is not None and held.pitch_mm is not None:
            return abs(wish.length_mm - held.pitch_mm)
        return cost_of("run", held, answer.placement, ()).departure_mm or 0.0

    return by_placing


def _with_marks_told(size: _Tried, held: Held) -> DepartureOf | None:
    wish, pitch, least = size.wish, held.pitch_mm, _most_marks_told(size.plan)
    if wish is None or pitch is None:
        return None
    return lambda count: None if count < least else departure_of(wish, count, pitch)


def _most_marks_told(plan: Plan) -> int:
    """The greatest number of a mark that differs: no row with fewer closures has it."""
    return max((n for one in plan.differs for n in (*one.marks, one.mark or 1)), default=1)


def _counts(tried: dict[str, _Tried], held: Held, base: Plan, check: Callable[[Plan], Checked]) -> dict[str, int]:
    """Choose the counts of a run that is as good as can be; a base whose plan tells a count keeps it."""
    pitch = held.pitch_mm
    if pitch is None:
        return {}
    served: dict[str, SizeCounts] = {}
    for name, size in tried.items():
        placed = [answer.placement for answer in (size.near, size.answers.get("pitch")) if answer is not None]
        costs = [cost_of("run", held, placement, ()) for placement in placed]
        known = {cost.count: cost.departure_mm or 0.0 for cost in costs}
        if size.plan == base and base.along_an_edge[2].count is not None:
            served[name] = SizeCounts({held.count: known.get(held.count, 0.0)})
        elif known:
            served[name] = SizeCounts(known, size.wish, pitch, _departure_of(size, held, check))
    run = counts_of_all(list(served.values()))
    if run is None:
        run = tuple(min(size.known, key=lambda count: size.known[count]) for size in served.values())
    return dict(zip(served, run, strict=True))


def _one_count(
    plan: Plan, sizes: SizesWish, tried: dict[str, _Tried], held: Held, check: Callable[[Plan], Checked]
) -> OneCount | None:
    wishes = [size.wish for size in tried.values()]
    known = [wish for wish in wishes if wish is not None]
    if len(known) < len(sizes.names):
        return None
    least = _most_marks_told(plan)
    return one_count(known, held.pitch_mm, least, [_departure_of(size, held, check) for size in tried.values()])


def _sized(
    name: str,
    tried: _Tried,
    held: Held,
    sizes: SizesWish,
    check: Callable[[Plan], Checked],
    known: tuple[Plan, Checked],
    count: int | None,
) -> Sized | RefusedSize:
    turned = _drawn_the_other_way(tried, known[1].placement)
    if turned:
        return RefusedSize(name, turned, tried.costs)
    if sizes.hold == "best":
        return _sized_for_the_run(name, tried, held, check, count)
    kept: Kept = "pitch" if sizes.hold == "pitch" and held.pitch_mm is not None else "count"
    if tried.plan == known[0] and sizes.hold == "pitch":
        # The base is as its own plan has it.
        return Sized(name, known[1].placement, known[1].findings, (), kept, tried.costs)
    answer = tried.answers.get(kept)
    if answer is None:
        why = next((cost.refused for cost in tried.costs if cost.kept == kept), tried.costs[0].refused)
        return RefusedSize(name, why, tried.costs)
    return Sized(name, answer.placement, answer.findings, (), kept, tried.costs)


def _drawn_the_other_way(tried: _Tried, base: Placement) -> str:
    """Say that a size is drawn from the other end than the base; nothing where it is not, or cannot be placed."""
    placed = next((answer.placement for answer in tried.answers.values()), None)
    if placed is None:
        return ""
    (ax, ay), (bx, by) = (_from_end_to_end(one) for one in (placed, base))
    if ax * bx + ay * by >= 0.0:
        return ""
    first, last = placed.laps.garment.ends
    return (
        f"its edge runs the other way than that of the base, so that its {first} would lie where the base's {last} "
        "lies: one of both is drawn from the other end. Turn the line of this size round in the drawing."
    )


def _from_end_to_end(placement: Placement) -> tuple[float, float]:
    edge = placement.laps.over.edge
    return edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]


def _sized_for_the_run(
    name: str, tried: _Tried, held: Held, check: Callable[[Plan], Checked], count: int | None
) -> Sized | RefusedSize:
    """Give a size the row of its count in the run, and say which of the rows that are priced it is."""
    answer, costs = tried.near or tried.answers.get("count"), tried.costs
    if count not in (None, held.count):
        answer = tried.answers.get("pitch")
        if answer is None or len(answer.placement.marks) != count:
            answer = check(plan_holding(tried.plan, "count", replace(held, count=count), near=True))
    if answer is None:
        return RefusedSize(name, costs[0].refused, costs)
    for kept, other in tried.answers.items():
        if _is_same_row(answer.placement, other.placement):
            return Sized(name, answer.placement, answer.findings, (), kept, costs)
    costs = (*costs, cost_of("run", held, answer.placement, answer.findings))
    return Sized(name, answer.placement, answer.findings, (), "run", costs)


def _is_same_row(one: Placement, other: Placement) -> bool:
    """Whether two rows of one size are priced alike, as near as rows are told apart."""
    both = (one.marks, other.marks)
    return len(one.marks) == len(other.marks) and all(
        abs(a.along_mm - b.along_mm) < SAME_DEPARTURE_MM for a, b in zip(*both, strict=True)
    )
