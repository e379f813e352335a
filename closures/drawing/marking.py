"""The pages of a plan: what is laid on them, and in which order they come."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from functools import cache, partial
from typing import TYPE_CHECKING

from closures.drawing.cover import cover_chapter
from closures.drawing.cover_map import lap_maps
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.registry import further_chapters_of_all, further_pieces_of_all
from closures.drawing.garment_cover import Shared, garment_cover, order_chapter
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.type_scale import TypeScale, type_scale
from closures.drawing.paper.booklet import Booklet, Bookmark, Templates, lay_templates, sheets_of, template_page
from closures.drawing.paper.columns import MARGIN_MM, WordPage, columns_of, numbered_page, word_pages
from closures.drawing.paper.page import PageWords, papers_in_words
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.paper.printed import Printed
from closures.drawing.shared_chapters import chapters_of_all, without_sides
from closures.drawing.sheets.drawing import long_pieces, subjects_of
from closures.drawing.sheets.sheet import failures_in_words
from closures.errors import OutputError
from closures.frozen import frozen
from closures.placing.run_mark import joint_mark
from closures.said import on_page

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName, Paper
    from closures.checks.finding import Finding
    from closures.drawing.paper.parts import Part
    from closures.drawing.paper.words import Chapter
    from closures.drawing.sheets.sheet import Sheet
    from closures.drawing.sheets.subject import Subject
    from closures.jobs.swap.swap import Swap
    from closures.jobs.table.printer import Correction
    from closures.placing.placement import Placement
    from closures.plan.band import Face

_WIDEST_WORDS_MM = 420.0
_ROUNDS = 12


@frozen
class Marking:
    """What pages are made of.

    Attributes:
        placement, findings, catalogue: what was placed, what the checks say, where figures are kept.
        sheets: the marking templates as whole sheets, whose words the cover tells.
        faces: which face of the cloth of either lap lies up.
        swap: the closures that were there before, None where there were none.
        parts: what to buy, a line each.
        run: the run mark, empty where there is none.
        opening: of a garment with several openings, the name of this one; else empty.
    """

    placement: Placement
    findings: Sequence[Finding]
    catalogue: Catalogue
    sheets: Sequence[Sheet] = ()
    faces: Mapping[LapName, Face] = field(default_factory=dict)
    swap: Swap | None = None
    parts: tuple[str, ...] = ()
    run: str = ""
    opening: str = ""


_LARGEST_AT_HOME_MM = 483.0
"""The longer side of the largest sheet that is printed at home, our own rule: A3, and 13 by 19 in of photo printers."""
_AT_HOME = "a4"


def make_booklet(
    marking: Marking, paper: Paper, correction: Correction | None = None, is_whole: bool = False, has_more: bool = True
) -> Booklet:
    """Make all pages of a plan.

    Args:
        marking: what they are made of.
        paper: what they are printed on.
        correction: how the templates are stretched for one printer; words are not.
        is_whole: leave nothing out, whatever the plan says.
        has_more: a cover, further pieces and words go with the laps.

    Raises:
        EdgeError: pieces of bands cannot be made.
        OutputError: something does not fit on that paper.
    """
    title = marking.placement.plan.title
    return make_set((marking,), title, paper, correction, is_whole=is_whole, has_more=has_more)


def make_set(
    markings: Sequence[Marking],
    title: str,
    paper: Paper,
    correction: Correction | None = None,
    is_whole: bool = False,
    has_more: bool = True,
    shared: Shared | None = None,
) -> Booklet:
    """Make all pages of several openings as one set; the arguments are those of `make_booklet`.

    Of several, each has the name of its opening, which its pieces bear, and `shared` is told for all of them.
    """
    scale = type_scale(any(marking.placement.plan.has_large_letters for marking in markings))
    failures = "; ".join(
        f"{marking.opening}: {told}" if marking.opening else told
        for marking in markings
        if (told := failures_in_words(marking.findings, marking.placement.side_word))
    )
    if shared is not None and shared.failures:
        failures = "; ".join(filter(None, (failures, *(on_page(one).rstrip(".") for one in shared.failures))))
    run = joint_mark([marking.run for marking in markings]) if all(marking.run for marking in markings) else ""
    words = PageWords(title, paper.name, run, failures)
    if correction is not None:
        words = replace(words, note=f"Stretched on purpose for a printer that prints {correction.measured}.")
    subjects = [_subjects(marking, scale) for marking in markings]
    longs: list[LongPiece] = []
    short: list[Piece] = []
    chapters: list[Chapter] = [] if shared is None else [order_chapter(shared, markings)]
    set_run = "" if shared is None else run
    for marking, pair in zip(markings, subjects, strict=True):
        whole = is_whole or paper.is_roll or _wishes(marking, "whole")
        longs += long_pieces(pair, whole, f"run {run}" if run else "")
    asking = [marking for marking in markings if has_more and marking.placement.plan.asks_for_pages]
    openings = [
        Drawn(one.placement, one.findings, one.catalogue, one.sheets, one.swap, set_run, one.opening) for one in asking
    ]
    for names, piece in further_pieces_of_all(openings):
        (longs if isinstance(piece, LongPiece) else short).append(_of_opening(piece, names))  # type: ignore[arg-type]
    further = further_chapters_of_all(without_sides(openings))
    chapters += [one for _, own in further for one in own] if shared is None else chapters_of_all(further)
    templates = lay_templates(longs, short, paper, words, scale, correction, markings[0].catalogue.papers.values())

    on = paper_of_words(paper, markings[0].catalogue)
    papers = papers_in_words(paper.name, on.name)
    # A cover is written anew until it tells what is so; its maps stay, where the first sheet of templates does.
    _, column = columns_of(words_size(on)[0], scale)
    maps = [cache(partial(lap_maps, pair, templates, scale=scale, column_mm=column)) for pair in subjects]

    def cover(told: str, first: int, has_squares: bool) -> tuple[Chapter, ...]:
        if not has_more:
            return ()
        if shared is not None:
            return (
                garment_cover(
                    markings, subjects, shared, templates, papers, told, first, words, scale, has_squares, column
                ),
            )
        return tuple(
            cover_chapter(marking, pair, templates, papers, told, first, scale, maps_of, has_squares)
            for marking, pair, maps_of in zip(markings, subjects, maps, strict=True)
        )

    return bound(cover, templates, chapters, paper, on, words, scale)


def _wishes(marking: Marking, key: str) -> bool:
    wish = marking.placement.plan.sheets
    return wish is not None and bool(getattr(wish, key))


def _subjects(marking: Marking, scale: TypeScale) -> tuple[Subject, Subject]:
    over, under = subjects_of(
        marking.placement, marking.findings, marking.catalogue, marking.faces, marking.swap, marking.opening
    )
    return (replace(over, type=scale), replace(under, type=scale))


def _of_opening(one: Piece | LongPiece, opening: str) -> Piece | LongPiece:
    """Name a further piece by the opening that it is for."""
    if not opening:
        return one
    if isinstance(one, Piece):
        return _piece_of_opening(one, opening)
    draw = one.draw

    def drawn(part: Part) -> Piece:
        piece = draw(part)
        return replace(piece, name=f"{opening}, {piece.name}", strip=f"{opening}, {piece.strip}")

    shorter = None if one.shorter is None else _piece_of_opening(one.shorter, opening)
    return replace(one, name=f"{opening}, {one.name}", draw=drawn, shorter=shorter)


def _piece_of_opening(piece: Piece, opening: str) -> Piece:
    """Name a piece, and all that may be drawn in its place, by the opening that it is for."""
    shorter = None if piece.shorter is None else _piece_of_opening(piece.shorter, opening)
    return replace(piece, name=f"{opening}, {piece.name}", shorter=shorter)


def bound(
    cover: Callable[[str, int, bool], tuple[Chapter, ...]],
    templates: Templates,
    chapters: Sequence[Chapter],
    paper: Paper,
    on: Paper,
    words: PageWords,
    scale: TypeScale,
) -> Booklet:
    """Bind a cover, templates and chapters into one booklet, every sheet numbered, words on a paper of their own."""
    size, spoken = words_size(on), replace(words, paper=on.name)
    written = word_pages(chapters, size, spoken, scale)
    booklet = Booklet(words.title, (), (), paper.name, on.name, 0, templates.laying.pages, len(written))
    covers: tuple[WordPage, ...] = ()
    told, first = "", 1
    # What the cover tells of the number of sheets may need a line more: it is written anew until it tells what is so.
    expected = 1
    for _ in range(_ROUNDS):
        told, first = _told(booklet, expected, templates, written), expected + 1
        covers = word_pages(cover(told, first, False), size, spoken, scale)
        if max(1, len(covers)) == expected:
            break
        expected = max(1, len(covers))
    else:
        raise OutputError("the cover finds no length that it tells truly", mend="Please report this plan as a fault.")
    if covers:
        # Every sheet of templates has squares to measure: for those of the cover no sheet more is printed.
        measured = word_pages(cover(told, first, True), size, spoken, scale)
        covers = measured if len(measured) == len(covers) else covers
    count = len(covers) + templates.laying.pages + len(written)
    sizes = {id(page): _cut_off(page, size) if on.is_roll else size for page in (*covers, *written)}
    pages: list[Printed] = [_word_page(page, k + 1, count, sizes[id(page)], "cover") for k, page in enumerate(covers)]
    for k in range(templates.laying.pages):
        pages.append(template_page(templates, k, len(pages) + 1, count, words, scale))
    for written_page in written:
        shows = ", ".join(written_page.titles) or "more words"
        pages.append(_word_page(written_page, len(pages) + 1, count, sizes[id(written_page)], shows))
    return Booklet(
        words.title,
        tuple(pages),
        tuple(_bookmarks(pages, covers, templates, written)),
        paper.name,
        on.name,
        len(covers),
        templates.laying.pages,
        len(written),
        words.run,
    )


def _told(booklet: Booklet, covers: int, templates: Templates, written: Sequence[WordPage]) -> str:
    count = max(1, covers) + templates.laying.pages + len(written)
    kinds = [f"{max(1, covers)} of this cover", f"{templates.laying.pages} of templates"]
    kinds += [f"{len(written)} of words"] if written else []
    return f"{sheets_of(count, templates.laying.pages, booklet)}: {', '.join(kinds)}."


def paper_of_words(paper: Paper, catalogue: Catalogue) -> Paper:
    """The paper for pages of words: a sheet that no printer at home takes is left to the templates alone."""
    return paper if paper.is_roll or (paper.height_mm or 0.0) <= _LARGEST_AT_HOME_MM else catalogue.paper(_AT_HOME)


def words_size(paper: Paper) -> tuple[float, float]:
    """The size of a page of words: the paper upright, or off a roll a piece as long as it is wide."""
    short, long = sorted((paper.width_mm, paper.height_mm or paper.width_mm))
    return (short, long)


def _cut_off(page: WordPage, size: tuple[float, float]) -> tuple[float, float]:
    """The size of a page of words off a roll, which is cut below the last of them."""
    low = max((box_of(item)[3] for item in page.items), default=0.0)
    return (size[0], min(size[1], low + MARGIN_MM))


def _word_page(page: WordPage, sheet: int, count: int, size: tuple[float, float], shows: str) -> Printed:
    return Printed(str(sheet), *size, (), numbered_page(page, sheet, count), shows=f"sheet {sheet}: {shows}")


def _bookmarks(
    pages: Sequence[Printed], covers: Sequence[WordPage], templates: Templates, written: Sequence[WordPage]
) -> list[Bookmark]:
    """A bookmark for the cover, for each strip with its parts, for each short piece, for each chapter."""
    found = [Bookmark("Cover", 0)] if covers else []
    strips: dict[str, list[Bookmark]] = {name: [] for name in templates.strips}
    for laid in sorted(templates.laying.pieces, key=lambda one: one.piece.number):
        page = len(covers) + laid.page
        name = laid.piece.strip or laid.piece.name
        strips.setdefault(name, []).append(Bookmark(f"{laid.piece.name}, sheet {pages[page].name}", page))
    for name, marks in strips.items():
        title = f"{name} lap" if name in ("over", "under") else name
        found.append(Bookmark(title.capitalize(), marks[0].page, tuple(marks) if len(marks) > 1 else ()))
    for k, words in enumerate(written):
        at = len(covers) + templates.laying.pages + k
        found += [Bookmark(title, at) for title in words.titles if title]
    return found
