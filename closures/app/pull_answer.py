"""Whether a row gapes and holds, asked by itself: the answer, what would narrow it, and the even row beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.app.job import check_plan
from closures.app.pulling import beside_of, gape_of, helps_of
from closures.errors import PlanError
from closures.frozen import frozen
from closures.plan.pull import PullWish
from closures.report import gape as report

if TYPE_CHECKING:
    from closures import files
    from closures.plan.plan import Plan


@frozen
class Told:
    """The answer to whether a row gapes: `blocks` of lines for people, `figures` for programs."""

    blocks: tuple[tuple[str, ...], ...]
    figures: dict[str, Any]


def pull_answer(plan: Plan, beside: files.Beside = None) -> Told:
    """Tell whether a plan's row gapes and holds, what to measure, and what a row for calm would gain.

    Args:
        plan: along an edge; where it tells no pull, everything is taken from tables.
        beside: as for `job.check_plan`.

    Raises:
        ClosureError: as for `job.check_plan`, or the plan is of a belt or a row.
    """
    if plan.strap is not None:
        mend = "Ask for a plan along an edge."
        raise PlanError("a belt or a row has no gaps along a band that could gape", where=plan.where, mend=mend)
    if plan.garment is not None and plan.garment.is_meeting:
        mend = "Ask for a plan of two laps; what edges that meet need is a guard sewn behind them."
        raise PlanError("these edges only meet: there is no lap whose edge could gape", where=plan.where, mend=mend)
    answer = check_plan(plan if plan.pull is not None else replace(plan, pull=PullWish()), beside)
    gape = gape_of(answer)
    if gape is None:
        raise ValueError("the plan tells no pull")
    helps, rows = helps_of(answer, gape), beside_of(answer)
    measures = report.measure_lines(gape, answer.placement)
    units = answer.placement.plan.units
    blocks = [
        report.head_lines(gape, answer.placement),
        report.gap_lines(gape),
        report.helping_lines(helps),
        () if rows is None else (rows.text(units),),
        measures,
    ]
    figures = report.gape_figures(gape, answer.placement, helps)
    figures["gape_to_measure"] = report.measure_figures(gape, answer.placement)
    if rows is not None:
        figures["gape_rows"] = report.rows_figures(rows)
    return Told(tuple(tuple(block) for block in blocks if block), figures)
