"""The pages of an answer: what they are made of, bound and written."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.errors import PaperTooSmallError, naming

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.catalogue.values import Paper
    from closures.drawing.marking import Marking
    from closures.drawing.paper.booklet import Booklet
    from closures.jobs.table.printer import Correction


_FAILS_TOO = "Checks fail as well, and may be why: mend first what closures check tells."


def marking_of(answer: Answer) -> Marking:
    """Gather what the pages of an answer are made of; its sheets are drawn already."""
    from closures.drawing.marking import Marking
    from closures.drawing.sheets.sheet import faces_of_sheets
    from closures.placing.run_mark import run_mark
    from closures.report.parts import parts_in_words

    placement = answer.placement
    return Marking(
        placement,
        answer.findings,
        answer.catalogue,
        answer.sheets,
        faces_of_sheets(answer.sheets),
        answer.swap,
        parts_in_words(placement),
        run_mark(placement),
    )


def booklet_of(answer: Answer, paper: Paper, correction: Correction | None = None) -> Booklet:
    """Make the pages of an answer.

    Args:
        answer: a placement with its sheets.
        paper: what they are printed on.
        correction: how templates are stretched for one printer.

    Raises:
        EdgeError: pieces of bands cannot be made.
        PaperTooSmallError: something does not fit on that paper.
    """
    from closures.drawing.marking import make_booklet

    with naming(answer.placement.plan.where):
        try:
            return make_booklet(marking_of(answer), paper, correction)
        except PaperTooSmallError as error:
            if all(finding.result != "fail" for finding in answer.findings):
                raise
            # A row that lies past its band is too large for many a page: the paper is not what is wrong.
            first = f"{_FAILS_TOO} {error.faults[0].mend}".strip()
            faults = (replace(error.faults[0], mend=first), *error.faults[1:])
            raise PaperTooSmallError.of(faults) from error


def pages_as_pdf(booklet: Booklet) -> bytes:
    """Write a booklet as one file."""
    from closures.drawing.write.pdf import write_pages

    return write_pages(booklet.pages, f"{booklet.title}: marking templates", None, booklet.bookmarks, booklet.run)


def listed(booklet: Booklet) -> dict[str, Any]:
    """Tell how many sheets there are to print, and what lies on each, for the report."""
    return {
        "printing": {"paper": booklet.paper, "sheets": len(booklet.pages), "told": booklet.told},
        "pages": [{"sheet": name, "shows": shows} for name, shows in booklet.listing],
    }
