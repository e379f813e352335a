"""The whole job in one call: a plan file in, a placement, its findings and its files out.

The command, the tests and anybody who imports the package go through here, so that they
cannot come to different answers.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures import files
from closures.app.given import edges_of, files_of_edges, supplies_of
from closures.app.known_names import names_known
from closures.app.pages import booklet_of, listed, pages_as_pdf
from closures.app.pulling import pulling_figures, pulling_sections, way_in_findings
from closures.app.tape_ways import place_or_tell
from closures.app.typed import as_typed
from closures.app.verified import require_sound_cutter_results, require_sound_results
from closures.catalogue.loading import load_catalogue
from closures.checks.rules import check, worst
from closures.errors import OutputError, SpacingError, naming
from closures.frozen import frozen
from closures.placing.strap.placed_strap import place_strap
from closures.plan.garment_file import slug
from closures.plan.mixed import doubting_units
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from closures.advice.advice import Advice
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding, Result
    from closures.drawing.paper.booklet import Booklet
    from closures.drawing.sheets.sheet import Sheet
    from closures.edges.around import Around
    from closures.edges.reading import Edges
    from closures.jobs.knitting.instructions import Knitted
    from closures.jobs.sizes.wearer import Fit
    from closures.jobs.swap.swap import Swap
    from closures.jobs.table.printer import Correction
    from closures.placing.placement import Placement
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan


@frozen
class Answer:
    """What a plan comes to.

    Attributes:
        placement: the closures as placed.
        findings: what the rules say of them.
        sheets: the marking templates, over lap first; empty where only checks were asked for.
        catalogue: what was looked up in.
        swap: what could be put in place of the old closures, and which offer this is; None for a plan
            without any.
        edges: the curves that the edge arrived as; None for a strap, and where old closures are there.
        fit: what the wearer's own measures came to; None for the pattern as printed.
    """

    placement: Placement
    findings: tuple[Finding, ...]
    sheets: tuple[Sheet, ...]
    catalogue: Catalogue
    swap: Swap | None = None
    fit: Fit | None = None
    edges: Edges | None = None

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
    return read_plan(files.read_plan_file(path), path.name, names_known(path))


def check_plan(plan: Plan, beside: files.Beside = None, take: int | None = None, *, is_trial: bool = False) -> Answer:
    """Place a plan's closures and hold them against the rules, without drawing.

    Args:
        plan: what is asked.
        beside: the plan file, beside which its drawing and supplies lie; or these files by name, and then
            no other is read; None for the current folder.
        take: number of an offer, where the plan speaks of old closures; None for the one that the plan tells, else the
            recommended one.
        is_trial: the plan is what something else would offer: nothing is tried in its turn.

    Returns:
        The placement and its findings; of a plan with sizes those of its base, and where a wearer's own
        measures are told, of the fitted pattern.

    Raises:
        ClosureError: something is wrong with the plan, a file it names, the edge or the wishes.
    """
    if plan.fit is not None:
        return _check_fitted(plan, beside)
    if plan.sizes is not None:
        from closures.jobs.sizes.family import plan_of_size

        with naming(plan.where):
            plan = plan_of_size(plan, plan.sizes.base)
    given = files_of_edges(plan, beside)
    supplies = supplies_of(plan, beside)
    with doubting_units(plan), naming(plan.where):
        catalogue = load_catalogue(supplies, plan.supplies or "")
        if plan.speaks_of_old or take is not None:
            from closures.jobs.swap.swap import make_swap, need_swap

            need_swap(plan)
            swap = make_swap(plan, edges_of(plan, given), catalogue, is_trial=is_trial)
            swap = swap.take_told(plan) if take is None else swap.take(take)
            findings = (*swap.offer.findings, *way_in_findings(swap.offer.placement))
            return as_typed(Answer(swap.offer.placement, findings, (), catalogue, swap))
        edges = None if plan.strap is not None else edges_of(plan, given)
        placement = place_strap(plan, catalogue) if edges is None else place_or_tell(plan, edges, catalogue)
        if plan.gauge is not None:
            from closures.jobs.knitting.instructions import knit

            # A row that cannot be knitted is refused here, so that a check, or a repair on trial, hears of it.
            knit(placement, catalogue)
    findings = (*check(placement, catalogue, is_trial=is_trial), *way_in_findings(placement))
    return as_typed(Answer(placement, findings, (), catalogue, edges=edges))


def _check_fitted(plan: Plan, beside: files.Beside) -> Answer:
    """Place a pattern as printed and as fitted, and hold one against the other."""
    from closures.jobs.sizes.run import size_all
    from closures.jobs.sizes.wearer import fitted_plan, make_fit, printed_plan

    fit, plan = plan.fit, printed_plan(plan)
    if fit is None:
        raise ValueError("the plan tells no wearer")
    if plan.sizes is not None:
        one = (fit.size or plan.sizes.base,)
        plan = size_all(plan, lambda own: check_plan(own, beside), one).base.plan_alone
    try:
        printed = check_plan(plan, beside).placement
    except SpacingError:
        # What cannot be spaced as printed may well be spaced as fitted.
        printed = None
    with naming(plan.where):
        catalogue = load_catalogue(supplies_of(plan, beside), plan.supplies or "")
        answer = check_plan(fitted_plan(plan, fit, catalogue), beside)
        found = make_fit(plan, fit, printed, answer.placement, catalogue)
    return replace(answer, findings=(*answer.findings, *found.findings), fit=found)


def is_roll(paper: str) -> bool:
    """Tell whether a paper comes from a roll, so that nothing needs to be left out to fit a page.

    Args:
        paper: key of a paper in the catalogue.

    Raises:
        CatalogueError: there is no such paper.
    """
    return load_catalogue().paper(paper).is_roll


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
    from closures.jobs.swap.swap import need_swap

    with naming(plan.where):
        need_swap(plan)
    return check_plan(plan, beside)


def place_plan(
    plan: Plan, beside: files.Beside = None, face: FaceWish = "usual", take: int | None = None, whole: bool = False
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
    from closures.drawing.sheets.drawing import draw_sheets

    answer = check_plan(plan, beside, take)
    sheets = draw_sheets(answer.placement, answer.findings, answer.catalogue, face, whole=whole, swap=answer.swap)
    return replace(answer, sheets=sheets)


def offers_picture(answer: Answer) -> bytes:
    """Draw all offers of a swap as rows, old above new, as an SVG.

    Raises:
        PlanError: the answer has no offers.
    """
    from closures.drawing.extras.offers import draw_offers
    from closures.jobs.swap.swap import no_swap

    if answer.swap is None:
        raise no_swap()
    return draw_offers(answer.swap)


PICTURE_PX = 1200
"""Width of a PNG to look at: more than most windows are wide."""


def picture_on_piece(answer: Answer, suffix: str, beside: files.Beside = None) -> bytes:
    """Draw the row on the piece it belongs to, to look at.

    Args:
        answer: a placement along an edge.
        suffix: ``.svg`` or ``.png``.
        beside: as for `check_plan`; None where nothing but the row, its edges and its outline is to be shown.

    Raises:
        OutputError: the suffix is neither, the row is of a strap, or a PNG cannot be made here.
    """
    from closures.drawing.sheets.on_piece import piece_picture
    from closures.drawing.write.picture import picture_as

    if answer.placement.strap is not None:
        raise OutputError("a strap has no piece to draw its row on", where="--picture", mend="Leave it out.")
    return picture_as(piece_picture(answer.placement, _around(answer.placement, beside)), suffix, PICTURE_PX)


def _around(placement: Placement, beside: files.Beside) -> tuple[Around, ...]:
    """What the drawing shows on the piece beside the edge."""
    from closures.edges.around import lines_around

    plan, laps = placement.plan, placement.laps
    if beside is None or plan.drawing is None:
        return ()
    outlines = [curve for curve in (placement.outline, placement.under_outline) if curve is not None]
    known = [laps.over.edge, laps.under.edge, laps.line, *outlines]
    return lines_around(plan, files.read_beside(beside, plan.drawing, "drawing"), known)


def cutter_files(answer: Answer) -> dict[str, bytes]:
    """Write both laps as DXF for a cutter, name to content.

    Args:
        answer: a placement.

    Returns:
        ``over.dxf`` and ``under.dxf``.

    Raises:
        OutputError: a figure is not finite.
        UnsoundError: read back, their points are not the marks.
    """
    from closures.drawing.write.dxf import write_dxf

    made = {f"{lap.name}.dxf": write_dxf(answer.placement, lap) for lap in answer.placement.laps.both}
    require_sound_cutter_results(answer.placement, made)
    return made


def result_files(
    answer: Answer,
    paper: str,
    correction: Correction | None = None,
    opening: str = "",
    booklet: Booklet | None = None,
) -> dict[str, bytes]:
    """Make the files of an answer, name to content.

    Args:
        answer: a placement with its sheets.
        paper: key of a paper in the catalogue.
        correction: how printed pages are stretched for one printer; nothing else is.
        opening: of a garment's opening, its name: its files and its reports call it so; one set of pages serves all.
        booklet: its pages on that paper, where they are made already.

    Returns:
        The two sheets, the pages and the report in its two forms, and what the plan asks for besides.

    Raises:
        CatalogueError: there is no such paper.
        OutputError: the sheets do not fit on it.
        UnsoundError: read back, they do not keep what they must.
    """
    from closures.drawing.write.svg import write_svg
    from closures.report.figures import report_json
    from closures.report.fit import fit_section
    from closures.report.page import report_page
    from closures.report.workshop import workshop_sections

    chosen = answer.catalogue.paper(paper)
    start = f"{slug(opening)}-" if opening else ""
    answer = replace(answer, sheets=tuple(replace(one, stem=f"{start}{one.name}") for one in answer.sheets))
    sheets = {sheet.file: write_svg(sheet, has_live_text(answer.placement.plan)) for sheet in answer.sheets}
    booklet = None if opening else booklet or booklet_of(answer, chosen, correction)
    traced = answer.placement.picture
    advice = advice_of(answer)
    figures = table_figures(answer, correction, advice) | ({} if booklet is None else listed(booklet))
    faces = {sheet.lap: sheet.face for sheet in answer.sheets}
    more = workshop_sections(answer.placement, answer.findings, answer.catalogue, faces, correction)
    if answer.fit is not None:
        more = [fit_section(answer.fit, answer.placement.plan.units, answer.placement.ends), *more]
    more = [*knitting_words(answer), *pulling_sections(answer), *more]
    made = {
        **({} if traced is None else {"traced.png": traced}),
        **sheets,
        **({} if booklet is None else {"marking.pdf": pages_as_pdf(booklet)}),
        **_further_files(answer, opening),
        "report.json": report_json(answer.placement, answer.findings, answer.sheets, answer.swap, figures),
        "report.md": report_page(answer.placement, answer.findings, answer.sheets, advice, answer.swap, more),
    }
    require_sound_results(answer.placement, made, answer.catalogue)
    return {name if name in sheets else f"{start}{name}": content for name, content in made.items()}


def has_live_text(plan: Plan) -> bool:
    """Whether a plan asks for words as text in its SVG sheets."""
    return plan.sheets is not None and plan.sheets.words == "text"


def _further_files(answer: Answer, opening: str) -> dict[str, bytes]:
    if not answer.placement.plan.asks_for_pages:
        return {}
    from closures.drawing.extras.registry import further_files

    return further_files(answer.placement, answer.findings, answer.sheets, answer.catalogue, answer.swap, opening)


def advice_of(answer: Answer) -> Advice:
    """Say everything that is said about an answer's work beside its figures."""
    from closures.advice.advice import advise
    from closures.drawing.sheets.sheet import faces_of_sheets

    faces = faces_of_sheets(answer.sheets)
    return advise(answer.placement, answer.findings, answer.catalogue, answer.swap, faces=faces)


def table_figures(answer: Answer, correction: Correction | None = None, advice: Advice | None = None) -> dict[str, Any]:
    """What the work at the table and a wearer add to the report; `advice` where it was worked out already."""
    from closures.report.advice import advice_figures
    from closures.report.fit import fit_figures
    from closures.report.workshop import workshop_figures

    table = workshop_figures(answer.placement, answer.findings, answer.catalogue, correction)
    knitted = knitted_row(answer)
    if knitted is not None:
        from closures.report.knitting import knitting_figures

        table["knitting"] = knitting_figures(knitted)
    table |= pulling_figures(answer)
    table |= advice_figures(advice or advice_of(answer))
    # What is said about a wearer may be of the work at the table and of the fit.
    return table if answer.fit is None else table | {"wearer": table.get("wearer", {}) | fit_figures(answer.fit)}


def knitted_row(answer: Answer) -> Knitted | None:
    """The row in whole rows or stitches, None where the plan tells no gauge."""
    if answer.placement.plan.gauge is None:
        return None
    from closures.jobs.knitting.instructions import knit

    return knit(answer.placement, answer.catalogue)


def knitting_words(answer: Answer) -> list[str]:
    """The section of the report's page for a knitter, if there is one."""
    knitted = knitted_row(answer)
    if knitted is None:
        return []
    from closures.report.knitting import knitting_section

    return [knitting_section(knitted, answer.placement.plan.units)]
