"""The pages of all sizes: the nest of both laps on templates, with a cover that tells every size."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.extras.guide import PartsOf, size_guide, size_table
from closures.drawing.ink.shapes import Item, line
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.marking import bound, words_size
from closures.drawing.paper.booklet import Booklet, lay_templates
from closures.drawing.paper.columns import numbered_page, word_pages
from closures.drawing.paper.page import PageWords
from closures.drawing.paper.printed import Printed
from closures.drawing.paper.words import Chapter, ChapterPart, Key, Notice, SampleRow, Section, Table
from closures.drawing.sheets.nest_strip import nest_piece
from closures.drawing.sheets.signs import sign_of

if TYPE_CHECKING:
    from closures.catalogue.values import LapName, Paper
    from closures.drawing.paper.booklet import Templates
    from closures.drawing.sheets.sheet_text import SheetText
    from closures.jobs.sizes.sized import Sizes
    from closures.jobs.table.printer import Correction
    from closures.plan.band import Face

_LAPS: tuple[LapName, LapName] = ("over", "under")
_SAMPLE_MM = 13.0


def sizes_booklet(
    sizes: Sizes, paper: Paper, parts_of: PartsOf, correction: Correction | None = None, run: str = ""
) -> Booklet:
    """Make the pages of all sizes.

    Args:
        sizes: with their sheets.
        paper: what they are printed on.
        parts_of: counts the parts of a size.
        correction: how the templates are stretched for one printer.
        run: the run mark, empty where there is none.

    Raises:
        OutputError: something does not fit on that paper.
    """
    text = sizes.nest[0].text
    scale = type_scale(sizes.plan.has_large_letters)
    words = PageWords(text.title, paper.name, run, text.failures)
    if correction is not None:
        words = replace(words, note=f"Stretched on purpose for a printer that prints {correction.measured}.")
    face: Face = sizes.nest[0].face
    longs = tuple(nest_piece(sizes, lap, face, f"run {run}" if run else "") for lap in _LAPS)
    templates = lay_templates(longs, (), paper, words, scale, correction, sizes.catalogue.papers.values())

    def cover(told: str, first: int, has_squares: bool) -> tuple[Chapter, ...]:
        return (_cover(sizes, templates, told, first, parts_of, run, paper),)

    return bound(cover, templates, (), paper, words, scale)


def _cover(
    sizes: Sizes, templates: Templates, told: str, first: int, parts_of: PartsOf, run: str, paper: Paper
) -> Chapter:
    text = sizes.nest[0].text
    parts: list[ChapterPart] = []
    if text.failures:
        parts.append(
            Notice(f"A check failed: {text.failures}. Pierce nothing before you read the report.", "FAIL", wide=True)
        )
    lines = [text.closure, *(sheet.text.lap_words for sheet in sizes.nest), told]
    if run:
        lines.append(f"Run mark {run}: sheets with the same mark have the same holes.")
    parts.append(Section("Marking templates, all sizes", tuple(lines), tight=True))
    steps = (
        f"Print on {paper.name} at 100 %, with nothing fitted to the page. All sizes show and print; a reader that "
        "lists layers can hide the others. Beside this file lies one for every size alone.",
        "Measure the squares of every sheet. A sheet whose squares are not true is void.",
        "Cut the pieces out along their dashed borders. Trim the later piece on its join line, lay ring on ring, tape.",
        "Follow the line of your size. By each mark stand its number, its size in a frame, and how far it lies along; "
        "its leader runs to the dot. Prick the dots of your size only.",
    )
    parts.append(Section("Print, measure, tape", steps, 1))
    rows = tuple((str(first + k), name) for k, name in enumerate(templates.names))
    parts.append(Table("What lies on which sheet", ("sheet", "pieces"), rows, (1.0, 5.0)))
    samples: list[SampleRow] = []
    for pen, name in text.samples:
        stroke: tuple[Item, ...] = (line((0.0, 0.0), (_SAMPLE_MM, 0.0), pen=pen),)
        samples.append(SampleRow(stroke, f"size {name}"))
    parts.append(Key("The line of every size", tuple(samples)))
    parts.append(Key("What the signs mean", tuple(_sign(sign, text) for sign in text.signs)))
    parts += [
        Section("Check distances", text.check, tight=True),
        *(Section(heading, rows) for heading, rows in text.blocks),
    ]
    parts.append(size_table(sizes, parts_of))
    return Chapter("", tuple(parts))


def _sign(kind: str, text: SheetText) -> SampleRow:
    items, words = sign_of(kind)
    return SampleRow(items, dict(text.sign_words).get(kind, words))


def guide_pages(sizes: Sizes, paper: Paper, parts_of: PartsOf, run: str = "") -> tuple[Printed, ...]:
    """Set the guide for the envelope on pages of its own; off a roll, on a piece as long as it is wide."""
    size = words_size(paper)
    words = PageWords(sizes.plan.title, paper.name, run)
    pages = word_pages((size_guide(sizes, parts_of),), size, words, type_scale(sizes.plan.has_large_letters))
    return tuple(
        Printed(str(k), *size, (), numbered_page(page, k, len(pages)), shows=f"guide {k}")
        for k, page in enumerate(pages, 1)
    )
