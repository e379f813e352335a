"""Plans with something else written into them, placed as any plan is, so that what is offered was tried."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from closures.app.job import check_plan, load_plan
from closures.errors import ClosureError
from closures.plan.plan import against_itself

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.checks.finding import Finding
    from closures.files import Beside
    from closures.jobs.whole.trying import Trials
    from closures.placing.placement import Placement
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

    Outcome = tuple[Placement, Sequence[Finding]]


def trials_of(given: Mapping[str, tuple[Plan, Beside]], findings: Mapping[str, Sequence[Finding]]) -> Trials:
    """What changes of the plans of a garment are tried with.

    Args:
        given: of each opening by its name its plan, and where the files are that it names.
        findings: of each opening, what the rules say of it as it is.
    """
    from closures.jobs.whole.trying import Trials

    def place(opening: Opening, plan: Plan) -> Outcome | None:
        told, beside = given[opening.name]
        return _placed(told, plan, beside)

    return Trials(lambda opening: given[opening.name][0], lambda opening: findings[opening.name], place)


def trials_of_files() -> Trials:
    """The same of plans that are placed each for itself, whose openings are called by their files."""
    from closures.jobs.whole.trying import Trials

    plan = lru_cache(maxsize=None)(lambda file: load_plan(Path(file)))
    return Trials(
        lambda opening: plan(opening.plan),
        lambda opening: check_plan(plan(opening.plan), Path(opening.plan)).findings,
        lambda opening, changed: _placed(plan(opening.plan), changed, Path(opening.plan)),
    )


def _placed(told: Plan, changed: Plan, beside: Beside) -> Outcome | None:
    """Place a changed plan; None where it contradicts itself and the plan as told did not, or is refused."""
    known = [(section.name, complaint) for section, complaint in against_itself(told)]
    if any((section.name, complaint) not in known for section, complaint in against_itself(changed)):
        return None
    try:
        answer = check_plan(changed, beside, is_trial=True)
    except ClosureError:
        return None
    return answer.placement, answer.findings
