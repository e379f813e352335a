"""What an answer says of gape, hold and way in, where its plan asks for it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.edges.reading import Edges
    from closures.jobs.gape.calm import Beside
    from closures.jobs.gape.helps import Helps
    from closures.jobs.gape.row import Gape
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


def place_as_aimed(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Place a row along an edge, even or calm as the plan asks; args and errors are those of `place`."""
    if plan.way_in is not None and plan.way_in.outlines:
        from closures.jobs.gape.drawn_rings import with_drawn_girths

        plan = with_drawn_girths(plan, edges)
    if plan.spacing is not None and plan.spacing.aim == "calm":
        from closures.jobs.gape.calm import place_calm

        return place_calm(plan, edges, catalogue)
    from closures.placing.placement import place

    return place(plan, edges, catalogue)


def way_in_findings(placement: Placement) -> tuple[Finding, ...]:
    """What the rules of getting in find; none where the plan does not ask."""
    if placement.plan.way_in is None:
        return ()
    from closures.jobs.gape.getting_in import judge_way_in

    way_in = judge_way_in(placement.as_told)
    return () if way_in is None else way_in.findings


def gape_of(answer: Answer) -> Gape | None:
    """The row under its pull; None where the plan does not ask."""
    if answer.placement.plan.pull is None:
        return None
    from closures.jobs.gape.row import judge_row

    return judge_row(answer.placement, answer.catalogue)


def helps_of(answer: Answer, gape: Gape) -> Helps:
    """What would help the row; nothing where its edges are not at hand to place it anew."""
    from closures.jobs.gape.helps import Helps, find_helps

    edges = answer.edges
    if edges is None:
        return Helps((), "")
    placement = replace(answer.placement.as_told, plan=answer.placement.told_plan)
    return find_helps(placement, gape, answer.catalogue, lambda plan: place_as_aimed(plan, edges, answer.catalogue))


def beside_of(answer: Answer) -> Beside | None:
    """The even row and the calm one; None where the plan tells no pull, or its edges are not at hand."""
    plan = answer.placement.told_plan
    if plan.pull is None or answer.edges is None:
        return None
    from closures.jobs.gape.calm import beside

    return beside(plan, answer.edges, answer.catalogue)


def pulling_figures(answer: Answer) -> dict[str, Any]:
    """What gape, hold and way in add to the report for programs."""
    figures: dict[str, Any] = {}
    gape = gape_of(answer)
    if gape is not None:
        from closures.report.gape import gape_figures

        figures |= gape_figures(gape, answer.placement, helps_of(answer, gape))
    if answer.placement.plan.way_in is not None:
        from closures.jobs.gape.getting_in import judge_way_in
        from closures.report.gape import way_in_figures

        way_in = judge_way_in(answer.placement.as_told)
        figures |= {} if way_in is None else way_in_figures(way_in)
    return figures


def pulling_sections(answer: Answer) -> list[str]:
    """What gape, hold and way in add to the report's page."""
    sections = []
    gape = gape_of(answer)
    if gape is not None:
        from closures.report.gape import gape_section

        sections.append(gape_section(gape, answer.placement, helps_of(answer, gape)))
    if answer.placement.plan.way_in is not None:
        from closures.jobs.gape.getting_in import judge_way_in
        from closures.report.gape import way_in_section

        way_in = judge_way_in(answer.placement.as_told)
        sections += [] if way_in is None else [way_in_section(way_in)]
    return sections


def pulling_terminal(answer: Answer, width: int) -> str:
    """What gape and hold add for a terminal, without a final line break; the way in stands among the checks."""
    gape = gape_of(answer)
    if gape is None:
        return ""
    from closures.report.gape import gape_terminal

    return gape_terminal(gape, answer.placement, helps_of(answer, gape), width)
