"""Chapters of words: paragraphs, numbered steps, tables, pictures and notices.

A chapter says what is to be read; how wide a column is, and where a page ends, is settled when it is set.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.said import on_page

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Point


@frozen
class Section:
    """A heading with paragraphs under it.

    Attributes:
        heading: empty where the paragraphs go on from what stands before.
        paragraphs: in order.
        numbered_from: the number of the first, where they are steps; None where they are not.
        tight: whether they are the lines of a list, with nothing between them.
    """

    heading: str
    paragraphs: tuple[str, ...]
    numbered_from: int | None = None
    tight: bool = False

    def __post_init__(self) -> None:
        """Keep of every text what stands on a page, and nothing of what a plan's author is told besides."""
        object.__setattr__(self, "paragraphs", tuple(filter(None, map(on_page, self.paragraphs))))


@frozen
class Picture:
    """Something drawn, from its own top left corner.

    Attributes:
        items: the drawing.
        size_mm: width and height; wider than a column, it takes the page's width.
        text: what it shows, for those who cannot see it.
        heading: over it, or empty.
        may_grow: whether it is drawn larger with larger letters; what is at true size may not.
    """

    items: tuple[Item, ...]
    size_mm: Point
    text: str
    heading: str = ""
    may_grow: bool = True


@frozen
class Table:
    """A table.

    Attributes:
        heading: over it, or empty.
        head: the names of the columns.
        rows: the cells.
        shares: how wide the columns are, against each other.
        wide: whether it takes the page's width.
        bold_rows: the rows that are set in bold.
        lead: whether the first cell of a row names it.
    """

    heading: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    wide: bool = False
    bold_rows: tuple[int, ...] = ()
    lead: bool = True


@frozen
class Notice:
    """A framed sentence that nobody may pass over.

    Attributes:
        text: the words.
        sign: a short word in an eight-sided sign before them, or empty.
        wide: whether it takes the page's width.
    """

    text: str
    sign: str = ""
    wide: bool = False


@frozen
class SampleRow:
    """A sign or a line beside what it means, in a key."""

    items: tuple[Item, ...]
    text: str


@frozen
class Key:
    """Signs and what they mean.

    Attributes:
        heading: over it.
        rows: each sign, drawn about the middle of a room 14 mm wide, and its meaning.
    """

    heading: str
    rows: tuple[SampleRow, ...]


ChapterPart = Section | Picture | Table | Notice | Key


@frozen
class Chapter:
    """What is read together.

    Attributes:
        title: over it, the page's width.
        parts: in order.
        own_sheet: whether it stands on a sheet of its own, to be handed on.
    """

    title: str
    parts: tuple[ChapterPart, ...]
    own_sheet: bool = False
