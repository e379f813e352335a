"""Every size of a plan in one run: placed, drawn, and made into files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from closures.app.job import check_plan, has_live_text
from closures.cores import all_done
from closures.files import Beside
from closures.frozen import frozen
from closures.jobs.sizes.run import size_all

if TYPE_CHECKING:
    from closures.catalogue.values import Paper
    from closures.drawing.paper.booklet import Booklet
    from closures.jobs.sizes.run import Tell
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.jobs.table.printer import Correction
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan


def check_sizes(
    plan: Plan, beside: Beside = None, only: Sequence[str] = (), tell: Tell = lambda done, of: None
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
    beside: Beside = None,
    face: FaceWish = "usual",
    only: Sequence[str] = (),
    tell: Tell = lambda done, of: None,
    cores: int = 1,
) -> Sizes:
    """Place every size of a plan, and draw the sheets of each and the nest of all.

    Args:
        plan, beside, only, tell: as for `check_sizes`.
        face: which face of the cloth the sheets lie on.
        cores: as for `size_files`.

    Returns:
        The sizes with their sheets.

    Raises:
        PlanError: as for `check_sizes`.
    """
    from closures.drawing.sheets.drawing import draw_sizes

    return draw_sizes(check_sizes(plan, beside, only, tell), face, cores)


@frozen
class _Made:
    """What a job of `size_files` comes to: sheets and pages by the names of their files, and what the report tells."""

    sheets: dict[str, bytes]
    pages: dict[str, bytes]
    told: dict[str, Any]


def size_files(sizes: Sizes, paper: str, correction: Correction | None = None, cores: int = 1) -> dict[str, bytes]:
    """Make the files of all sizes, name to content.

    Args:
        sizes: with their sheets.
        paper: key of a paper in the catalogue.
        correction: how the layered pages are stretched for one printer; nothing else is.
        cores: how many may be at work; more than one only from a process without threads. The files are the same.

    Returns:
        The sheets of each size, the nested sheets, the layered pages, the page for the envelope, the table for
        the factory, and the report in its two forms.

    Raises:
        CatalogueError: there is no such paper.
        OutputError: the sheets do not fit on it.
        UnsoundError: read back, they do not keep what they must.
    """
    from closures.advice.of_sizes import advise_sizes
    from closures.app.pages import listed, pages_as_pdf
    from closures.app.verified import require_sound_size_results
    from closures.drawing.ink.shapes import Layers
    from closures.drawing.marking_sizes import guide_bookmarks, guide_pages, sizes_booklet
    from closures.drawing.sheets.sheet import faces_of_sheets
    from closures.drawing.write.pdf import write_pages
    from closures.drawing.write.svg import write_svg
    from closures.jobs.sizes.sized import run_of
    from closures.report.advice import advice_figures
    from closures.report.sizes import parts_of_size, sizes_csv, sizes_json
    from closures.report.sizes_words import sizes_page

    chosen = sizes.catalogue.paper(paper)
    run = run_of(sizes)
    layers = Layers(tuple(size.name for size in sizes.placed), "Sizes")
    live = has_live_text(sizes.plan)

    def all_together() -> _Made:
        booklet = sizes_booklet(sizes, chosen, parts_of_size, correction, run)
        title = f"{booklet.title}: marking templates"
        pages = write_pages(booklet.pages, title, layers, booklet.bookmarks, booklet.run)
        return _Made(
            {sheet.file: write_svg(sheet, live) for sheet in sizes.nest}, {"marking.pdf": pages}, listed(booklet)
        )

    def guide() -> _Made:
        pages = guide_pages(sizes, chosen, parts_of_size, run)
        title = f"{sizes.plan.title}: guide to all sizes"
        return _Made({}, {"guide.pdf": write_pages(pages, title, None, guide_bookmarks(pages), run)}, {})

    def alone(size: Sized) -> _Made:
        name, booklet = _pages_alone(sizes, size, chosen, correction)
        sheets = {sheet.file: write_svg(sheet, live) for sheet in size.sheets}
        return _Made(sheets, {name: pages_as_pdf(booklet)}, listed(booklet))

    jobs: list[Callable[[], _Made]] = [all_together, guide, *(partial(alone, size) for size in sizes.placed)]
    nested, guiding, *each = all_done(jobs, cores)
    told = {size.name: one.told for size, one in zip(sizes.placed, each, strict=True)}
    advice = advise_sizes(sizes, faces_of_sheets(sizes.nest))
    made = {
        **{name: data for one in (*each, nested) for name, data in one.sheets.items()},
        **{name: data for one in (nested, *each, guiding) for name, data in one.pages.items()},
        "sizes.csv": sizes_csv(sizes),
        "report.json": sizes_json(sizes, correction, nested.told | advice_figures(advice), told),
        "report.md": sizes_page(sizes, advice, correction),
    }
    require_sound_size_results({size.name: size.placement for size in sizes.placed}, made, sizes.catalogue, cores)
    return made


def pages_of_sizes(sizes: Sizes, paper: str) -> Booklet:
    """Make the layered pages of all sizes, as `size_files` writes them; raises as there."""
    from closures.drawing.marking_sizes import sizes_booklet
    from closures.jobs.sizes.sized import run_of
    from closures.report.sizes import parts_of_size

    return sizes_booklet(sizes, sizes.catalogue.paper(paper), parts_of_size, None, run_of(sizes))


def _pages_alone(sizes: Sizes, size: Sized, paper: Paper, correction: Correction | None) -> tuple[str, Booklet]:
    """Make the pages of one size alone, and the name of their file."""
    from closures.drawing.marking import Marking, make_set
    from closures.drawing.sheets.sheet import faces_of_sheets
    from closures.placing.run_mark import run_mark
    from closures.report.parts import parts_in_words

    placement = size.placement
    marking = Marking(
        placement,
        size.findings,
        sizes.catalogue,
        size.sheets,
        faces_of_sheets(size.sheets),
        parts=parts_in_words(placement),
        run=run_mark(placement),
    )
    booklet = make_set((marking,), f"{sizes.plan.title}, size {size.name}", paper, correction)
    return size.pages_file, booklet


def plan_held(plan: Plan, name: str, beside: Beside = None) -> Plan:
    """Make the plain plan of one size as it comes to in the run of all sizes, its count or its pitch held.

    Args:
        plan, beside: as for `check_sizes`.
        name: of the size.

    Raises:
        PlanError: as for `check_sizes`.
    """
    return check_sizes(plan, beside, (name,)).base.plan_alone
