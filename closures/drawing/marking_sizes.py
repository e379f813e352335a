"""The pages of all sizes: the nest of both laps on templates, with a cover that tells every size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.advice.of_sizes import advise_sizes
from closures.drawing.cover import closures_in_words, pages_table, where_tight
from closures.drawing.cover_map import lap_maps
from closures.drawing.edge_proofs import taken_for_granted
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.guide import PartsOf, size_guide, size_table
from closures.drawing.extras.order import order_of_sizes
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import Group, Item, line
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.marking import bound, paper_of_words, words_size
from closures.drawing.own_work import cord_sections
from closures.drawing.paper.booklet import Booklet, Bookmark, lay_templates
from closures.drawing.paper.columns import numbered_page, word_pages
from closures.drawing.paper.page import PageWords, papers_in_words
from closures.drawing.paper.printed import Printed
from closures.drawing.paper.words import Chapter, ChapterPart, Key, Notice, Picture, SampleRow, Section, Table
from closures.drawing.record import before_read
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.nest_strip import nest_piece
from closures.drawing.sheets.sheet import faces_of_sheets
from closures.drawing.sheets.signs import CORNER, sign_of
from closures.jobs.sizes.sized import levels_in_words
from closures.placing.nothing_set import HELD_BACK

if TYPE_CHECKING:
    from closures.catalogue.values import LapName, Paper
    from closures.drawing.paper.booklet import Templates
    from closures.drawing.paper.piece import Piece
    from closures.drawing.sheets.sheet_text import SheetText
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.jobs.table.printer import Correction

_LAPS: tuple[LapName, LapName] = ("over", "under")
_SAMPLE_MM = 13.0
_TOLD_MM = 0.05
"""Less is not told: lengths are written to a tenth."""


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
    faces = faces_of_sheets(sizes.nest)
    longs = tuple(nest_piece(sizes, lap, faces[lap], f"run {run}" if run else "") for lap in _LAPS)
    templates = lay_templates(longs, (), paper, words, scale, correction, sizes.catalogue.papers.values())

    on = paper_of_words(paper, sizes.catalogue)

    def cover(told: str, first: int, has_squares: bool) -> tuple[Chapter, ...]:
        return (_cover(sizes, templates, told, first, parts_of, run, papers_in_words(paper.name, on.name)),)

    return bound(cover, templates, _words(sizes), paper, on, words, scale)


def _words(sizes: Sizes) -> tuple[Chapter, ...]:
    """The order of work, where the plan asks for it: once for all sizes."""
    base, wish = sizes.base, sizes.plan.sheets
    if wish is None or not wish.order:
        return ()
    drawn = Drawn(base.placement, base.findings, sizes.catalogue, base.sheets)
    # What fails in one size alone is mended before all of them are worked, by one order.
    every = replace(drawn, findings=[finding for one in sizes.placed for finding in one.findings])
    advice = advise_sizes(sizes, faces_of_sheets(sizes.nest))
    return (order_of_sizes(drawn, advice, base.name, every.mended_first),)


def _cover(
    sizes: Sizes, templates: Templates, told: str, first: int, parts_of: PartsOf, run: str, papers: str
) -> Chapter:
    text = sizes.nest[0].text
    parts: list[ChapterPart] = []
    if text.failures:
        before = before_read([one.placement for one in sizes.placed])
        parts.append(Notice(f"A check failed: {text.failures}. {before}", "FAIL", wide=True))
    lines = [*closures_in_words(sizes.nest), *(sheet.text.lap_words for sheet in sizes.nest)]
    lines += [*taken_for_granted(sizes.base.placement), " ".join((*levels_in_words(sizes), told))]
    if run:
        lines.append(f"Run mark {run}: sheets with the same mark have the same holes.")
    is_withheld = all(one.placement.is_withheld for one in sizes.placed)
    heading = HELD_BACK.heading if is_withheld else "Marking templates, all sizes"
    parts.append(Section(heading, tuple(lines), tight=True))
    parts += cord_sections(sizes.base.placement)
    last = "Mark the dots of your size only; cut nothing by these sheets, but by those of your size alone."
    if sizes.plan.gauge is not None:
        last = "What is knitted is made by the list in the file of its size, and the sheets prove it: prick none of it."
    steps = (
        f"Print {papers} at 100 %, with nothing fitted to the page. All sizes show and print; a reader that "
        "lists layers can hide the others. Beside this file lies one for every size alone.",
        "Measure the squares of every sheet. A sheet whose squares are not true is void.",
        "Cut the pieces out along their dashed borders. Trim the later piece on its join line, lay ring on ring, tape.",
        *where_tight(templates),
        "Follow the line of your size. By each mark stand its number, its size in a frame, and how far it lies along; "
        f"its leader runs to the dot. {last}",
    )
    if is_withheld:
        parts.append(Section("These sheets", (HELD_BACK.laid.format(""),), 1))
    else:
        parts.append(Section("Print, measure, tape", steps, 1))
    parts += pages_table(templates, first)
    samples: list[SampleRow] = []
    for pen, name in text.samples:
        stroke: tuple[Item, ...] = (line((0.0, 0.0), (_SAMPLE_MM, 0.0), pen=pen),)
        samples.append(SampleRow(stroke, f"size {name}"))
    parts.append(Key("The line of every size", tuple(samples)))
    parts.append(Key("What the signs mean", tuple(_sign(sign, text) for sign in (CORNER, *text.signs))))
    parts.append(_measured(sizes))
    parts.append(Section("From one size to the next", _steps(sizes)))
    parts += [Section(heading, rows) for heading, rows in text.blocks]
    parts += _pictures(sizes, templates, first)
    parts.append(size_table(sizes, parts_of))
    return Chapter("", tuple(parts))


def _measured(sizes: Sizes) -> Table:
    """What to lay a tape on: the finished edge of every size, and the straight way from its first mark to its last.

    Laps that differ in it by less than is told have one column.
    """
    units = sizes.plan.units
    columns: list[tuple[str, list[str]]] = []
    for what, of in (("finished edge", _edge_mm), ("first mark to last, straight", _straight_mm)):
        both = [(lap, [both_ways(of(size, lap), units)[0] for size in sizes.placed]) for lap in _LAPS]
        if both[0][1] == both[1][1]:
            columns.append((what, both[0][1]))
        else:
            columns += [(f"{what}, {lap}", told) for lap, told in both]
    rows = tuple((size.name, *(told[k] for _, told in columns)) for k, size in enumerate(sizes.placed))
    head = ("size", *(what for what, _ in columns))
    shares = (1.0, *(2.4 for _ in columns))
    return Table("Lay a tape on yours, and check", head, rows, shares, bold_rows=(sizes.placed.index(sizes.base),))


def _edge_mm(size: Sized, lap: LapName) -> float:
    return size.placement.laps[lap].edge.length_mm


def _straight_mm(size: Sized, lap: LapName) -> float:
    row = size.placement.on(lap)
    return math.dist((row[0].x_mm, row[0].y_mm), (row[-1].x_mm, row[-1].y_mm))


def _steps(sizes: Sizes) -> tuple[str, ...]:
    """What a step from one size to the next comes to."""
    if len(sizes.placed) < 2:
        return ()
    units, ends = sizes.plan.units, sizes.base.placement.ends
    edge = "finished edge of the over lap" if _laps_differ(sizes) else "finished edge"
    told = [f"{edge}, {ends[0]} to {ends[1]}, {_by([_edge_mm(size, 'over') for size in sizes.placed], units)}"]
    if all(size.placement.spacing.gaps_mm for size in sizes.placed):
        told.append(f"largest gap {_by([size.placement.spacing.largest_mm for size in sizes.placed], units)}")
    counts = {len(size.placement.marks) for size in sizes.placed}
    more = f"Every size has {counts.pop()} marks." if len(counts) == 1 else "Sizes differ in the number of their marks."
    return (f"Row by row of the table: {'; '.join(told)}. {more}",)


def _laps_differ(sizes: Sizes) -> bool:
    return any(abs(_edge_mm(size, "over") - _edge_mm(size, "under")) >= _TOLD_MM for size in sizes.placed)


def _by(lengths_mm: Sequence[float], units: str) -> str:
    """By how much lengths in a row grow or shrink from one to the next, the least step and the most."""
    steps = [other - one for one, other in pairwise(lengths_mm)]
    told = [("−" if step < 0 else "+") + both_ways(abs(step), units)[0] for step in (min(steps), max(steps))]
    return told[0] if told[0] == told[1] else f"{told[0]} to {told[1]}"


def _pictures(sizes: Sizes, templates: Templates, first: int) -> list[Picture]:
    """The row of the base, small, and which part of the nest lies on which sheet."""
    base, scale = sizes.base, type_scale(sizes.plan.has_large_letters)
    subjects = subjects_of(base.placement, base.findings, sizes.catalogue, faces_of_sheets(sizes.nest))
    ends: dict[str, float] = {subject.name: subject.length_mm for subject in subjects}

    def on_base(piece: Piece) -> Piece:
        # Other sizes begin before the base and reach past its end.
        low, high = (min(max(0.0, along), ends[piece.lap]) for along in piece.along_mm or (0.0, 0.0))
        return replace(piece, strip=piece.lap, along_mm=(low, high))

    pieces = tuple(replace(one, piece=on_base(one.piece)) for one in templates.laying.pieces)
    own = replace(templates, laying=replace(templates.laying, pieces=pieces))
    heading = f"The row of size {base.name}, and which part of all sizes is on which sheet"
    drawn, *others = lap_maps(subjects, own, first, scale)
    return [replace(drawn, heading=heading), *others]


def _sign(kind: str, text: SheetText) -> SampleRow:
    items, words = sign_of(kind)
    return SampleRow(items, dict(text.sign_words).get(kind, words))


def guide_pages(sizes: Sizes, paper: Paper, parts_of: PartsOf, run: str = "") -> tuple[Printed, ...]:
    """Set the guide for the envelope on pages of its own; off a roll, on a piece as long as it is wide."""
    on = paper_of_words(paper, sizes.catalogue)
    size = words_size(on)
    words = PageWords(sizes.plan.title, on.name, run)
    pages = word_pages((size_guide(sizes, parts_of),), size, words, type_scale(sizes.plan.has_large_letters))
    return tuple(
        Printed(str(k), *size, (), numbered_page(page, k, len(pages)), shows=f"guide {k}")
        for k, page in enumerate(pages, 1)
    )


def guide_bookmarks(pages: Sequence[Printed]) -> tuple[Bookmark, ...]:
    """A bookmark for every heading of the guide."""
    return tuple(
        Bookmark(item.title, k)
        for k, page in enumerate(pages)
        for item in page.items
        if isinstance(item, Group) and item.tag in ("H1", "H2") and item.id != "head"
    )
