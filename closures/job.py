"""The whole job in one call: a plan file in, a placement, its findings and its files out.

The command, the tests and anybody who imports the package go through here, so that they
cannot come to different answers.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from closures import files
from closures.catalogue import load_catalogue
from closures.checks import check, worst
from closures.edges import read_edges
from closures.errors import naming
from closures.placement import place
from closures.plan import read_plan

if TYPE_CHECKING:
    from closures.catalogue import Catalogue
    from closures.checks import Finding, Result
    from closures.drawing import Sheet
    from closures.placement import Placement
    from closures.plan import Plan


@dataclass(frozen=True, slots=True)
class Answer:
    """What a plan comes to.

    Attributes:
        placement: the closures as placed.
        findings: what the rules say of them.
        sheets: the marking templates, over lap first; empty where only checks were asked for.
        catalogue: what was looked up in.
    """

    placement: Placement
    findings: tuple[Finding, ...]
    sheets: tuple[Sheet, ...]
    catalogue: Catalogue

    @property
    def result(self) -> Result:
        """The worst result of any rule."""
        return worst(self.findings)


def load_plan(path: Path) -> Plan:
    """Read a plan file.

    Args:
        path: the plan file.

    Returns:
        The plan.

    Raises:
        PlanError: it cannot be read or understood; all its faults are told together.
    """
    return read_plan(files.read_plan_file(path), path.name)


def check_plan(plan: Plan, beside: Path | None = None) -> Answer:
    """Place a plan's closures and hold them against the rules, without drawing.

    Args:
        plan: what is asked.
        beside: the plan file, beside which its drawing and supplies lie; None for the current folder.

    Returns:
        The placement and its findings.

    Raises:
        ClosureError: something is wrong with the plan, a file it names, the edge or the wishes.
    """
    drawing = None if plan.drawing is None else files.read_beside(beside, plan.drawing, "drawing")
    supplies = None if plan.supplies is None else files.read_beside(beside, plan.supplies, "supplies")
    with naming(plan.where):
        catalogue = load_catalogue(supplies, plan.supplies or "")
        placement = place(plan, read_edges(plan, drawing), catalogue)
    return Answer(placement, check(placement, catalogue), (), catalogue)


def place_plan(plan: Plan, beside: Path | None = None, face: Literal["outside", "inside"] = "outside") -> Answer:
    """Place a plan's closures, hold them against the rules and draw both laps.

    Args:
        plan: what is asked.
        beside: as for `check_plan`.
        face: which face of the cloth the sheets lie on.

    Returns:
        The placement, its findings and its sheets.

    Raises:
        ClosureError: as for `check_plan`.
    """
    from closures.drawing import draw_sheets

    answer = check_plan(plan, beside)
    sheets = draw_sheets(answer.placement, answer.findings, answer.catalogue, face)
    return Answer(answer.placement, answer.findings, sheets, answer.catalogue)


def result_files(answer: Answer, paper: str) -> dict[str, bytes]:
    """Make the files of an answer, name to content.

    Args:
        answer: a placement with its sheets.
        paper: key of a paper in the catalogue.

    Returns:
        The two sheets, the pages and the report in its two forms.

    Raises:
        CatalogueError: there is no such paper.
        OutputError: the sheets do not fit on it.
    """
    from closures.drawing import write_pdf, write_svg
    from closures.report import report_json, report_page

    chosen = answer.catalogue.paper(paper)
    return {
        **{f"{sheet.lap}.svg": write_svg(sheet) for sheet in answer.sheets},
        "marking.pdf": write_pdf(answer.sheets, chosen),
        "report.json": report_json(answer.placement, answer.findings, answer.sheets),
        "report.md": report_page(answer.placement, answer.findings, answer.sheets),
    }
