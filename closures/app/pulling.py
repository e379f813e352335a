"""What an answer says of gape, hold and way in, where its plan asks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.checks.finding import Finding
    from closures.jobs.gape.row import Gape
    from closures.placing.placement import Placement


def way_in_findings(placement: Placement) -> tuple[Finding, ...]:
    """What the rules of getting in find; none where the plan does not ask."""
    if placement.plan.way_in is None:
        return ()
    from closures.jobs.gape.getting_in import judge_way_in

    way_in = judge_way_in(placement)
    return () if way_in is None else way_in.findings


def gape_of(answer: Answer) -> Gape | None:
    """The row under its pull; None where the plan does not ask."""
    if answer.placement.plan.pull is None:
        return None
    from closures.jobs.gape.row import judge_row

    return judge_row(answer.placement, answer.catalogue)


def pulling_figures(answer: Answer) -> dict[str, Any]:
    """What gape, hold and way in add to the report for programs."""
    figures: dict[str, Any] = {}
    gape = gape_of(answer)
    if gape is not None:
        from closures.report.gape import gape_figures

        figures |= gape_figures(gape, answer.placement)
    if answer.placement.plan.way_in is not None:
        from closures.jobs.gape.getting_in import judge_way_in
        from closures.report.gape import way_in_figures

        way_in = judge_way_in(answer.placement)
        figures |= {} if way_in is None else way_in_figures(way_in)
    return figures


def pulling_sections(answer: Answer) -> list[str]:
    """What gape, hold and way in add to the report's page."""
    sections = []
    gape = gape_of(answer)
    if gape is not None:
        from closures.report.gape import gape_section

        sections.append(gape_section(gape, answer.placement))
    if answer.placement.plan.way_in is not None:
        from closures.jobs.gape.getting_in import judge_way_in
        from closures.report.gape import way_in_section

        way_in = judge_way_in(answer.placement)
        sections += [] if way_in is None else [way_in_section(way_in)]
    return sections


def pulling_terminal(answer: Answer, width: int) -> str:
    """What gape and hold add for a terminal, without a final line break; the way in stands among the checks."""
    gape = gape_of(answer)
    if gape is None:
        return ""
    from closures.report.gape import gape_terminal

    return gape_terminal(gape, answer.placement, width)
