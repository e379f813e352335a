"""A row of a knitted band in the report: a section of its page, and figures for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.jobs.knitting.words import holes_in_words, knitting_line, list_to_knit_by
from closures.report.telling import rounded

if TYPE_CHECKING:
    from closures.jobs.knitting.instructions import Knitted
    from closures.placing.knitted import KnittedHole
    from closures.plan.top import Units


def knitting_figures(knitted: Knitted) -> dict[str, Any]:
    """Put it into plain figures."""
    figures = {
        "step": knitted.step,
        "step_mm": rounded(knitted.step_mm),
        "total": knitted.total,
        "begins_at": knitted.begins_at,
        "marks": list(knitted.marks),
        "before_each": list(knitted.at),
        "own": knitted.own,
        "plain": list(knitted.plain),
        "hole": None if knitted.hole is None else _hole_figures(knitted.hole),
    }
    if knitted.picked_up is not None:
        figures["picked_up_from"] = knitted.picked_up[0]
        figures["from_wrong_side"] = knitted.from_wrong_side
    if knitted.second is not None:
        figures["second_hole"] = _hole_figures(knitted.second)
    if knitted.hidden is not None:
        hole, n, level = knitted.hidden
        figures["hidden_hole"] = {"mark": n, "level_with": level, **_hole_figures(hole)}
    return figures


def _hole_figures(hole: KnittedHole) -> dict[str, Any]:
    return {
        "counts": hole.counts,
        "over": hole.over,
        "before": hole.before,
        "after": hole.after,
        "length_mm": rounded(hole.length_mm),
        "wanted_mm": rounded(hole.wanted_mm),
    }


def knitting_section(knitted: Knitted, units: Units) -> str:
    """Write the list to knit by, as a section of the report's page."""
    lines = ["## Knit it", "", knitting_line(knitted), ""]
    lines += [f"{n}. {words}" for n, words in enumerate(list_to_knit_by(knitted, units), start=1)]
    lines += ["", *holes_in_words(knitted, units)]
    return "\n".join(lines).rstrip()
