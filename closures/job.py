"""The whole job in one call: a plan file in, a placement, its findings and its files out.

The command, the tests and anybody who imports the package go through here, so that they
cannot come to different answers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from closures import files
from closures.catalogue import load_catalogue
from closures.checks import check, worst
from closures.edges import read_edges
from closures.errors import SpacingError, naming
from closures.placement import place, place_strap
from closures.plan import read_plan
from closures.sizes import fitted_plan, make_fit, plan_of_size, printed_plan, size_all
from closures.swap import is_swap, make_swap, need_swap

if TYPE_CHECKING:
    from closures.catalogue import Catalogue
    from closures.checks import Finding, Result
    from closures.drawing import Sheet
    from closures.edges.listing import Listing
    from closures.placement import Placement
    from closures.plan import Plan
    from closures.sizes import Fit, Sizes
    from closures.sizes.run import Tell
    from closures.swap import Swap

# Enough to read the numbers on a screen: some 1000 dots for the longer side.
_DOTS_PER_MM = 4


@dataclass(frozen=True, slots=True)
class Answer:
    """What a plan comes to.

    Attributes:
        placement: the closures as placed.
        findings: what the rules say of them.
        sheets: the marking templates, over lap first; empty where only checks were asked for.
        catalogue: what was looked up in.
        swap: what could be put in place of the old closures, and which offer this is; None for a plan
            without any.
        fit: what the wearer's own measures came to; None for the pattern as printed.
    """

    placement: Placement
    findings: tuple[Finding, ...]
    sheets: tuple[Sheet, ...]
    catalogue: Catalogue
    swap: Swap | None = None
    fit: Fit | None = None

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


def check_plan(plan: Plan, beside: files.Beside = None, take: int | None = None) -> Answer:
    """Place a plan's closures and hold them against the rules, without drawing.

    Args:
        plan: what is asked.
        beside: the plan file, beside which its drawing and supplies lie; or these files by name, and then
            no other is read; None for the current folder.
        take: number of an offer, where the plan speaks of old closures; None for the recommended one.

    Returns:
        The placement and its findings; of a plan with sizes those of its base, and where a wearer's own
        measures are told, of the fitted pattern.

    Raises:
        ClosureError: something is wrong with the plan, a file it names, the edge or the wishes.
    """
    if plan.fit is not None:
        return _check_fitted(plan, beside)
    if plan.sizes is not None:
        with naming(plan.where):
            plan = plan_of_size(plan, plan.sizes.base)
    drawing = None if plan.drawing is None else files.read_beside(beside, plan.drawing, "drawing")
    supplies = None if plan.supplies is None else files.read_beside(beside, plan.supplies, "supplies")
    table_name = None if plan.edge is None else plan.edge.points_file
    table = None if table_name is None else files.read_beside(beside, table_name, "points")
    with naming(plan.where):
        catalogue = load_catalogue(supplies, plan.supplies or "")
        if is_swap(plan) or take is not None:
            need_swap(plan)
            swap = make_swap(plan, read_edges(plan, drawing, table), catalogue)
            swap = swap if take is None else swap.take(take)
            return Answer(swap.offer.placement, swap.offer.findings, (), catalogue, swap)
        if plan.strap is None:
            placement = place(plan, read_edges(plan, drawing, table), catalogue)
        else:
            placement = place_strap(plan, catalogue)
    return Answer(placement, check(placement, catalogue), (), catalogue)


def _check_fitted(plan: Plan, beside: Path | None) -> Answer:
    """Place a pattern as printed and as fitted, and hold one against the other."""
    fit, plan = plan.fit, printed_plan(plan)
    if fit is None:
        raise ValueError("the plan tells no wearer")
    if plan.sizes is not None:
        plan = check_sizes(plan, beside, (fit.size or plan.sizes.base,)).base.placement.plan
    try:
        printed = check_plan(plan, beside).placement
    except SpacingError:
        # What cannot be spaced as printed may well be spaced as fitted.
        printed = None
    with naming(plan.where):
        supplies = None if plan.supplies is None else files.read_beside(beside, plan.supplies, "supplies")
        catalogue = load_catalogue(supplies, plan.supplies or "")
        answer = check_plan(fitted_plan(plan, fit, catalogue), beside)
        found = make_fit(plan, fit, printed, answer.placement, catalogue)
    return replace(answer, findings=(*answer.findings, *found.findings), fit=found)


def check_sizes(
    plan: Plan, beside: Path | None = None, only: Sequence[str] = (), tell: Tell = lambda done, of: None
) -> Sizes:
    """Place every size of a plan, each exactly as `check_plan` places a plan of that size alone.

    Args:
        plan: with sizes.
        beside: as for `check_plan`.
        only: the sizes that are wanted; all where it is empty.
        tell: told after each size how many are done, and of how many.

    Returns:
        The sizes; one that cannot be placed is among them with the reason.

    Raises:
        PlanError: a size that is wanted is not there, or no size can be placed.
    """
    return size_all(plan, lambda own: check_plan(own, beside), only, tell)


def place_sizes(
    plan: Plan,
    beside: Path | None = None,
    face: Literal["outside", "inside"] = "outside",
    only: Sequence[str] = (),
    tell: Tell = lambda done, of: None,
) -> Sizes:
    """Place every size of a plan, and draw the sheets of each and the nest of all.

    Args:
        plan, beside, only, tell: as for `check_sizes`.
        face: which face of the cloth the sheets lie on.

    Returns:
        The sizes with their sheets.

    Raises:
        PlanError: as for `check_sizes`.
    """
    from closures.drawing import draw_sizes

    return draw_sizes(check_sizes(plan, beside, only, tell), face)


def size_files(sizes: Sizes, paper: str) -> dict[str, bytes]:
    """Make the files of all sizes, name to content.

    Args:
        sizes: with their sheets.
        paper: key of a paper in the catalogue.

    Returns:
        The sheets of each size, the nested sheets, the layered pages, the page for the envelope, the table for
        the factory, and the report in its two forms.

    Raises:
        CatalogueError: there is no such paper.
        OutputError: the sheets do not fit on it.
    """
    from closures.drawing import size_guide, write_pdf, write_printed, write_svg
    from closures.report import sizes_csv, sizes_json, sizes_page

    chosen = sizes.catalogue.paper(paper)
    return {
        **{sheet.file: write_svg(sheet) for size in sizes.placed for sheet in size.sheets},
        **{sheet.file: write_svg(sheet) for sheet in sizes.nest},
        "marking.pdf": write_pdf(sizes.nest, chosen),
        "guide.pdf": write_printed(size_guide(sizes, chosen), f"{sizes.plan.title}: guide"),
        "sizes.csv": sizes_csv(sizes),
        "report.json": sizes_json(sizes),
        "report.md": sizes_page(sizes),
    }


def swap_plan(plan: Plan, beside: files.Beside = None) -> Answer:
    """Make every offer of a plan that speaks of old closures, without drawing.

    Args:
        plan: what is asked.
        beside: as for `check_plan`.

    Returns:
        The recommended offer as the placement, all offers in `swap`.

    Raises:
        ClosureError: as for `check_plan`, or the plan does not tell what is there now.
    """
    with naming(plan.where):
        need_swap(plan)
    return check_plan(plan, beside)


def place_plan(
    plan: Plan,
    beside: files.Beside = None,
    face: Literal["outside", "inside"] = "outside",
    take: int | None = None,
    whole: bool = False,
) -> Answer:
    """Place a plan's closures, hold them against the rules and draw both laps.

    Args:
        plan: what is asked.
        beside: as for `check_plan`.
        face: which face of the cloth the sheets lie on.
        take: as for `check_plan`.
        whole: draw a strap without a break, for paper on a roll.

    Returns:
        The placement, its findings and its sheets.

    Raises:
        ClosureError: as for `check_plan`.
    """
    from closures.drawing import draw_sheets

    answer = check_plan(plan, beside, take)
    sheets = draw_sheets(answer.placement, answer.findings, answer.catalogue, face, whole=whole, swap=answer.swap)
    return replace(answer, sheets=sheets)


def offers_picture(answer: Answer) -> bytes:
    """Draw all offers of a swap as rows, old above new, as an SVG.

    Raises:
        PlanError: the answer has no offers.
    """
    from closures.drawing import draw_offers
    from closures.swap import no_swap

    if answer.swap is None:
        raise no_swap()
    return draw_offers(answer.swap)


def edges_of(data: bytes, where: str) -> Listing:
    """List what in a drawing could be an edge.

    Args:
        data: the bytes of the drawing.
        where: its name, for messages.

    Raises:
        DrawingError: it cannot be read, or holds nothing.
    """
    from closures.edges.listing import list_edges

    return list_edges(data, where)


def edges_picture(listing: Listing) -> bytes:
    """Draw what a drawing holds with numbers on the lines, as a PNG.

    Raises:
        OutputError: pictures cannot be made here.
    """
    from closures.drawing import write_picture
    from closures.drawing.edge_picture import edge_picture
    from closures.drawing.svg import write_shapes
    from closures.report.edge_listing import MOST_SHOWN

    width, height, items = edge_picture(listing, MOST_SHOWN)
    return write_picture(write_shapes(listing.where, width, height, items), round(_DOTS_PER_MM * width))


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
        **{sheet.file: write_svg(sheet) for sheet in answer.sheets},
        "marking.pdf": write_pdf(answer.sheets, chosen),
        "report.json": report_json(answer.placement, answer.findings, answer.sheets, answer.swap),
        "report.md": report_page(answer.placement, answer.findings, answer.sheets, answer.swap),
    }
