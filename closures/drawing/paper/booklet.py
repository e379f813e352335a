"""Everything that is printed of a plan, as numbered pages: templates and other pieces laid on as few as can be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import Group, Item, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.joins import BORDER
from closures.drawing.paper.laying import Laying, lay
from closures.drawing.paper.page import (
    EDGE_MM,
    PageFrame,
    PageWords,
    furniture,
    head_on,
    page_frames,
    page_without_squares,
    rules_of,
    squares_on_top,
)
from closures.drawing.paper.piece import numbered_items
from closures.drawing.paper.printed import LONGEST_PAGE_MM, Printed
from closures.drawing.paper.refusing import between_names
from closures.errors import PaperTooSmallError
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.catalogue.values import Paper
    from closures.drawing.ink.shapes import Point
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.paper.laying import LaidPiece
    from closures.drawing.paper.piece import LongPiece, Piece
    from closures.jobs.table.printer import Correction

_LEAST_ROLL_MM = 250.0
# Its edge, and so much white above squares at the foot.
_ABOVE_SQUARES_MM = EDGE_MM + 4.0


@frozen
class Templates:
    """Long and short pieces laid on pages.

    Attributes:
        laying: what lies where.
        stretches: what each page is multiplied by, across and down, to make up for a printer.
        strips: the names of the long pieces, in the order of reading.
    """

    laying: Laying
    stretches: tuple[Point, ...]
    strips: tuple[str, ...] = ()

    def on(self, page: int) -> tuple[LaidPiece, ...]:
        """The pieces of one page, in reading order."""
        return tuple(one for one in self.laying.pieces if one.page == page)

    @property
    def names(self) -> tuple[str, ...]:
        """What lies on each page, in words."""
        between = between_names(one.piece.name for one in self.laying.pieces)
        return tuple(between.join(one.piece.name for one in self.on(page)) for page in range(self.laying.pages))


def lay_templates(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    paper: Paper,
    words: PageWords,
    scale: TypeScale,
    correction: Correction | None = None,
    others: Iterable[Paper] = (),
) -> Templates:
    """Lay pieces on the pages of a paper, held and divided the way that needs the fewest.

    Args:
        long_pieces: what may be cut, in the order of reading.
        pieces: what may not.
        paper: what it is printed on.
        words: what stands on every page.
        scale: the sizes of lettering.
        correction: how pages are stretched for one printer; they are laid out smaller by as much.
        others: papers to be named where this one is too small.

    Raises:
        PaperTooSmallError: something fits no page of this paper; it names what, and which of the others would do.
    """
    try:
        return _laid(long_pieces, pieces, paper, words, scale, correction)
    except PaperTooSmallError as error:
        would_do = []
        for other in others:
            with suppress(PaperTooSmallError):
                _laid(long_pieces, pieces, other, replace(words, paper=other.name), scale, correction)
                would_do.append(other.key)
        # Letters half as large again are often all that is too wide.
        smaller = ", or leave out large" if scale.text > USUAL_TYPE.text else ""
        papers = " or ".join((", ".join(would_do[:-1]), would_do[-1]) if would_do[1:] else would_do)
        mend = f"It fits with --paper {papers}{smaller}." if would_do else f"No paper here is large enough{smaller}."
        raise PaperTooSmallError(error.faults[0].what, mend=mend) from error


def _laid(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    paper: Paper,
    words: PageWords,
    scale: TypeScale,
    correction: Correction | None,
) -> Templates:
    upright = (1.0, 1.0) if correction is None else (correction.across, correction.down)
    lying = (upright[1], upright[0])
    strips = tuple(long.name for long in long_pieces)
    if paper.is_roll:
        (width, height, stretch), *_ = _ways_to_hold(paper, upright, lying)
        frames = _frames_of_roll(width, height, words, scale)
        layings = [lay(long_pieces, pieces, (frame,), paper.name) for frame in frames]
        layings = [_cut_off(laying, k, words, scale) for k, laying in enumerate(layings)]
        shortest = min(layings, key=lambda one: (one.pages, one.frames[0].height_mm))
        return Templates(shortest, (stretch,) * shortest.pages, strips)
    stretches: dict[PageFrame, Point] = {}
    bare: dict[PageFrame, Point] = {}
    for width, height, stretch in _ways_to_hold(paper, upright, lying):
        head = head_on(words, width, scale).deep_mm
        stretches |= {frame: stretch for frame in page_frames(width, height, head, scale)}
        if (frame := page_without_squares(width, height, words, scale)) is not None:
            bare[frame] = stretch
    laying = lay(long_pieces, pieces, tuple(stretches), paper.name, tuple(bare))
    of_pages = tuple((stretches | bare)[frame] for frame in laying.frames)
    return Templates(laying, of_pages, strips)


def _ways_to_hold(paper: Paper, upright: Point, lying: Point) -> tuple[tuple[float, float, Point], ...]:
    """Width, height and stretch of a page, however it is held.

    A printer feeds paper by its short side, or a roll by its width, and is corrected across and down that way.
    """
    if paper.height_mm is None:
        return ((paper.width_mm / upright[0], LONGEST_PAGE_MM / upright[1], upright),)
    short, long = sorted((paper.width_mm, paper.height_mm))
    return (
        (long / lying[0], short / lying[1], lying),
        (short / upright[0], long / upright[1], upright),
    )


def _frames_of_roll(width_mm: float, height_mm: float, words: PageWords, scale: TypeScale) -> tuple[PageFrame, ...]:
    """The ways to divide paper off a roll: its squares at the foot, or on top beside what lies there."""
    feet = page_frames(width_mm, height_mm, head_on(words, width_mm, scale).deep_mm, scale)
    return (*feet, *squares_on_top(feet[0]))


def _cut_off(laying: Laying, way: int, words: PageWords, scale: TypeScale) -> Laying:
    """The same on paper no longer than what lies on it, divided in one of the ways of `_frames_of_roll`."""
    frame = laying.frames[0]
    if laying.pages > 1:
        return laying
    top, low = min(box[1] for box in frame.squares), max(box[3] for box in frame.squares)
    is_on_top = top <= frame.body[1]
    end = max(laying.end_mm, low) + EDGE_MM if is_on_top else laying.end_mm + frame.body[3] - top + _ABOVE_SQUARES_MM
    height = min(max(_LEAST_ROLL_MM, end), frame.height_mm)
    return replace(laying, frames=(_frames_of_roll(frame.width_mm, height, words, scale)[way],))


def template_page(
    templates: Templates, page: int, sheet: int, count: int, words: PageWords, scale: TypeScale
) -> Printed:
    """Draw one page of templates.

    Args:
        templates: all that were laid.
        page: which of them, from 0.
        sheet, count: its number among all sheets of the set.
        words: what stands on every page.
        scale: the sizes of lettering.
    """
    frame = templates.laying.frames[page]
    shows = templates.names[page]
    items: list[Item] = [*furniture(frame, words, sheet, count, shows, len(templates.on(page)), scale)]
    for laid in templates.on(page):
        inside = numbered_items(laid.items(), sheet, count)
        border = Group("", "", (rectangle(laid.box, BORDER),), tag="Artifact")
        tag = "Sect" if any(is_tagged(item) for item in inside) else "Figure"
        items.append(Group("piece", laid.piece.text, (border, *inside), tag=tag))
    name = f"sheet {sheet}: {shows}"
    return Printed(
        str(sheet),
        frame.width_mm,
        frame.height_mm,
        rules_of(frame, scale),
        tuple(items),
        templates.stretches[page],
        name,
    )


def is_tagged(item: Item) -> bool:
    """Whether a shape, or one that it holds, is an element for those who listen."""
    if not isinstance(item, Group):
        return False
    return (item.tag not in ("", "Artifact")) or any(is_tagged(part) for part in item.items)


@frozen
class Bookmark:
    """What a reader lists beside the pages.

    Attributes:
        title: what it leads to.
        page: from 0.
        children: what lies under it.
    """

    title: str
    page: int
    children: tuple[Bookmark, ...] = ()


@frozen
class Booklet:
    """All pages of a set.

    Attributes:
        title: of the file.
        pages: in order.
        bookmarks: what a reader lists beside them.
        paper: the name of the paper of the templates.
        of_words: the name of that for words, which is the same but for sheets that are printed in a shop.
        covers, templates, words: how many pages of each kind.
        run: the run mark, empty where there is none.
    """

    title: str
    pages: tuple[Printed, ...]
    bookmarks: tuple[Bookmark, ...]
    paper: str
    of_words: str
    covers: int
    templates: int
    words: int
    run: str = ""

    @property
    def told(self) -> str:
        """How many sheets there are, of what."""
        kinds = [(self.covers, "cover"), (self.templates, "template")]
        named = ", ".join(
            [f"{number} {name}{'' if number == 1 else 's'}" for number, name in kinds if number]
            + ([f"{self.words} of words"] if self.words else [])
        )
        return f"{sheets_of(len(self.pages), self.templates, self)} to print: {named}"

    @property
    def listing(self) -> tuple[tuple[str, str], ...]:
        """The number of every sheet, and what lies on it."""
        return tuple((page.name, page.shows.partition(": ")[2] or page.shows) for page in self.pages)


def sheets_of(count: int, templates: int, booklet: Booklet) -> str:
    """Say how many sheets there are of each paper, of so many in all: "4 sheets of A4", "1 sheet of A0 and 2 of A4"."""
    if booklet.of_words == booklet.paper or count == templates:
        return f"{count} {'sheet' if count == 1 else 'sheets'} of {booklet.paper}"
    sheets = "sheet" if templates == 1 else "sheets"
    return f"{templates} {sheets} of {booklet.paper} and {count - templates} of {booklet.of_words}"
