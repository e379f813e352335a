"""The plan in hand, read, placed and made into files, each on the one path that the command takes."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from closures.app.job import Answer, check_plan, is_roll, place_plan, result_files
from closures.app.sizing import place_sizes, plan_held, size_files
from closures.plan.reading import read_plan
from closures.results.standing import sealed

if TYPE_CHECKING:
    from closures.app.web.bench import Bench, Step
    from closures.plan.band import Face
    from closures.plan.plan import Plan


def plan_of(bench: Bench, step: Step | None = None) -> Plan:
    """Read the plan in hand."""
    return _plans((step or bench.step).text, bench.title)


@lru_cache(maxsize=64)
def _plans(text: str, title: str) -> Plan:
    return read_plan(text.encode(), title)


def answer_of(bench: Bench, step: Step | None = None) -> Answer:
    """Place the plan in hand, or another step of it.

    Raises:
        ClosureError: it cannot be placed.
    """
    step = step or bench.step
    return _answers(step.text, step.take, step.size, bench.title, tuple(sorted(bench.files.items())))


@lru_cache(maxsize=64)
def _answers(text: str, take: int | None, size: str, title: str, beside: tuple[tuple[str, bytes], ...]) -> Answer:
    plan, by_name = _plans(text, title), dict(beside)
    return check_plan(plan_held(plan, size, by_name) if size and has_sizes(plan) else plan, by_name, take)


def has_sizes(plan: Plan) -> bool:
    """Whether a plan is answered size by size."""
    return plan.sizes is not None and plan.fit is None


def results_of(bench: Bench, paper: str = "a4", face: Face = "outside", only: str = "") -> dict[str, bytes]:
    """Make the files of the plan in hand: those that the command writes, and the plan itself.

    Args:
        bench: the plan.
        paper: key of a paper in the catalogue.
        face: which face of the cloth the sheets lie on.
        only: one size of several, empty for all.

    Raises:
        ClosureError: it cannot be placed, or does not fit on the paper.
    """
    plan, text = plan_of(bench), {"plan.toml": bench.step.text.encode()}
    if has_sizes(plan) and not only:
        return {**sealed(size_files(place_sizes(plan, bench.files, face), paper)), **text}
    if has_sizes(plan):
        plan = plan_held(plan, only, bench.files)
    answer = place_plan(plan, bench.files, face, bench.step.take, whole=is_roll(paper))
    return {**sealed(result_files(answer, paper)), **text}
