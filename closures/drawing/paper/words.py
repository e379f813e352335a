"""Chapters of words: paragraphs, numbered steps, tables, pictures and notices, set in columns.

A chapter says what is to be read; how wide a column is, and where a page ends, is settled when it is set.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import fitted_size, width_of, wrapped
from closures.drawing.ink.rigid import enlarged
from closures.drawing.ink.shapes import FINE, Group, Item, Pen, Words, line, moved, polygon, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Align, Point, Weight
    from closures.drawing.ink.type_scale import TypeScale


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


@frozen
class SetBlock:
    """A part that was set, from its own top left corner, never broken between columns.

    Attributes:
        height_mm: how tall it is.
        items: the drawing.
        wide: whether it takes the page's width.
        joined: whether it stays with what comes after it.
        gap_mm: what is left free below it.
        again: the head of the table that it is a row of, which stands above it again where a column begins with it.
        continued: the heading that it stands under, said to be continued, above it where a column begins with it.
        whole: whether it is of a short table or key, which is kept in one column unless that costs a sheet.
    """

    height_mm: float
    items: tuple[Item, ...]
    wide: bool = False
    joined: bool = False
    gap_mm: float = 2.0
    again: SetBlock | None = None
    continued: SetBlock | None = None
    whole: bool = False


_SIGN_ROOM_MM = 14.5
_MOST_IN_ONE = 5
_LEAST_MEANING_EM = 7.5
_TALLEST_WHOLE_MM = 120.0
_CELL_PAD_MM = 2.0


def set_part(part: ChapterPart, column_mm: float, page_mm: float, scale: TypeScale, title: str = "") -> list[SetBlock]:
    """Set a part of a chapter with this title in a column, or over the page's width where it is wider."""
    width = page_mm if isinstance(part, Table | Notice) and part.wide else column_mm
    if isinstance(part, Notice):
        return [_set_notice(part, width, scale)]
    if isinstance(part, Section):
        blocks = _set_section(part, width, scale)
    elif isinstance(part, Table):
        blocks = _set_table(part, width, scale)
    elif isinstance(part, Key):
        blocks = _set_key(part, width, scale)
    else:
        blocks = _set_picture(part, column_mm, page_mm, scale)
        width = page_mm if blocks[0].wide else column_mm
    # A heading that begins as its chapter does would say the same twice: the chapter's own stands over the columns.
    if not part.heading or (title and part.heading.startswith(title)):
        return blocks
    told = set_heading(f"{part.heading} (continued)", width, scale.heading, blocks[0].wide)
    return [blocks[0], *(replace(block, continued=told) for block in blocks[1:])]


def set_heading(text: str, width_mm: float, size_mm: float, wide: bool, tag: str = "H2") -> SetBlock:
    """Set a heading on as many lines as it takes."""
    rows = wrapped(text, size_mm, width_mm, "bold")
    items = tuple(
        Words(0.0, 0.78 * size_mm + 1.16 * size_mm * k, row, size_mm, "start", 0.0, "bold")
        for k, row in enumerate(rows)
    )
    height = 1.16 * size_mm * len(rows)
    return SetBlock(height, (Group("", text, items, tag=tag),), wide, joined=True, gap_mm=0.7)


def _set_section(part: Section, width: float, scale: TypeScale) -> list[SetBlock]:
    blocks = [set_heading(part.heading, width, scale.heading, False)] if part.heading else []
    for k, paragraph in enumerate(part.paragraphs):
        number = "" if part.numbered_from is None else str(part.numbered_from + k)
        indent = 2.0 * scale.text if number else 0.0
        rows = wrapped(paragraph, scale.text, width - indent)
        items: list[Item] = [Words(0.0, 0.8 * scale.text, number, scale.text, "start", 0.0, "bold")] if number else []
        items += [Words(indent, 0.8 * scale.text + scale.leading * i, row, scale.text) for i, row in enumerate(rows)]
        is_last = k == len(part.paragraphs) - 1
        gap = 1.2 * scale.text if is_last else 0.12 * scale.text if part.tight else 0.5 * scale.text
        blocks.append(SetBlock(scale.leading * len(rows), (Group("", paragraph, tuple(items), tag="P"),), gap_mm=gap))
    return _together(blocks, part.tight) if part.tight or part.numbered_from is not None else blocks


def _set_picture(part: Picture, column: float, page: float, scale: TypeScale) -> list[SetBlock]:
    grow = scale.figure / USUAL_TYPE.figure if part.may_grow else 1.0
    grow = min(grow, max(1.0, page / part.size_mm[0]))
    if grow != 1.0:
        items = tuple(enlarged(item, grow) for item in part.items)
        part = replace(part, items=items, size_mm=(grow * part.size_mm[0], grow * part.size_mm[1]))
    wide = part.size_mm[0] > column + 0.1
    blocks = [set_heading(part.heading, page if wide else column, scale.heading, wide)] if part.heading else []
    figure = Group("", part.text, part.items, tag="Figure")
    blocks.append(SetBlock(part.size_mm[1], (figure,), wide, gap_mm=4.0))
    return blocks


def _set_notice(part: Notice, width: float, scale: TypeScale) -> SetBlock:
    sign = 6.6 * scale.grown if part.sign else 0.0
    left = 2 * sign + 7.0 if sign else 3.0
    size = 1.05 * scale.text
    rows = wrapped(part.text, size, width - left - 3.0, "semibold")
    leading = 1.3 * size
    height = max(2 * sign + 4.0, leading * len(rows) + 4.4)
    items: list[Item] = [rectangle((0.3, 0.3, width - 0.3, height - 0.3), Pen(0.8))]
    if sign:
        x, y, cut = sign + 3.0, height / 2, 0.414 * sign
        corners = (
            (-sign, -cut), (-cut, -sign), (cut, -sign), (sign, -cut),
            (sign, cut), (cut, sign), (-cut, sign), (-sign, cut),
        )  # fmt: skip
        items.append(polygon(((x + a, y + b) for a, b in corners), Pen(0.7, fill=0.0)))
        word = fitted_size(part.sign, 4.4 * scale.grown, 2 * sign - 2.4, "bold")
        items.append(Words(x, y + 0.33 * word, part.sign, word, "middle", 0.0, "bold", 1.0))
    base = (height - leading * (len(rows) - 1)) / 2 + 0.3 * size
    items += [Words(left, base + leading * k, row, size, weight="semibold") for k, row in enumerate(rows)]
    return SetBlock(height, (Group("", part.text, tuple(items), tag="P"),), part.wide, gap_mm=3.0)


def _set_key(part: Key, width: float, scale: TypeScale) -> list[SetBlock]:
    """Set signs beside their meanings, two beside each other where there are many."""
    blocks = [set_heading(part.heading, width, scale.heading, False)] if part.heading else []
    half = width / 2
    size = 1.08 * scale.figure
    is_roomy = half - _SIGN_ROOM_MM - 1.0 >= _LEAST_MEANING_EM * size
    beside = 2 if len(part.rows) > _MOST_IN_ONE and is_roomy else 1
    count = -(-len(part.rows) // beside)
    for k in range(count):
        items: list[Item] = []
        height = 0.0
        for column, row in enumerate(part.rows[k::count]):
            x = half * column
            texts = wrapped(row.text, size, width / beside - _SIGN_ROOM_MM - 1.0)
            height = max(height, 4.4, 1.26 * size * len(texts))
            words = tuple(
                Words(x + _SIGN_ROOM_MM, 0.9 * size + 1.26 * size * i, text, size) for i, text in enumerate(texts)
            )
            sign = tuple(moved(item, x, 0.55 * size) for item in row.items)
            items += [Group("", "", sign, tag="Artifact"), Group("", row.text, words, tag="P")]
        blocks.append(SetBlock(height, tuple(items), gap_mm=3.0 if k == count - 1 else 0.4))
    return _together(blocks)


def _set_table(part: Table, width: float, scale: TypeScale) -> list[SetBlock]:
    """Set a table row by row, so that a long one goes on in the next column under its head again."""
    blocks = [set_heading(part.heading, width, scale.heading, part.wide)] if part.heading else []
    widths = _column_widths(part, width, 1.08 * scale.figure)
    columns = [[row[k] for row in part.rows if row[k]] for k in range(len(widths))]
    # A column of figures stands on the right, its head above it; the first column names the rows.
    figures = frozenset(k for k, cells in enumerate(columns) if k and cells and all(_is_figure(c) for c in cells))
    head = _table_row(part.head, widths, scale, part, "semibold", "TH", True, figures)
    blocks.append(head)
    for k, row in enumerate(part.rows):
        weight: Weight = "bold" if k in part.bold_rows else "regular"
        blocks.append(replace(_table_row(row, widths, scale, part, weight, "TD", False, figures), again=head))
    blocks[-1] = replace(blocks[-1], joined=False, gap_mm=3.4)
    return _together(blocks)


def _together(blocks: list[SetBlock], may_be_whole: bool = True) -> list[SetBlock]:
    """Keep what is short in one column if it can be; of what is parted, no single row stands alone at either end."""
    is_short = may_be_whole and sum(block.height_mm + block.gap_mm for block in blocks) <= _TALLEST_WHOLE_MM
    lone = {len(blocks) - 2} | {k for k in range(len(blocks) - 1) if blocks[k].joined or (k and blocks[k - 1].joined)}
    last = len(blocks) - 1
    return [
        replace(block, joined=k < last and k in lone, whole=k < last and is_short) for k, block in enumerate(blocks)
    ]


def _column_widths(part: Table, width: float, size: float) -> list[float]:
    """How wide the columns of a table are: as its shares say, but wide enough for whole figures and whole words.

    Where that is more than there is, all of them give way alike.
    """
    total = sum(part.shares)
    widths = [width * share / total for share in part.shares]
    least = []
    for k, name in enumerate(part.head):
        cells = [row[k] for row in part.rows]
        # A figure with its fraction is one thing; a name breaks between words.
        things = [thing for cell in cells for thing in ([cell] if _is_figure(cell) else cell.split())]
        least.append(max((width_of(thing, size, "bold") for thing in (*things, *name.split())), default=0.0))
    least = [needed + _CELL_PAD_MM for needed in least]
    if sum(least) >= width:
        return [width * needed / sum(least) for needed in least]
    short = sum(max(0.0, needed - wide) for needed, wide in zip(least, widths, strict=True))
    spare = sum(max(0.0, wide - needed) for needed, wide in zip(least, widths, strict=True))
    return [
        needed if wide <= needed else wide - short * (wide - needed) / spare
        for needed, wide in zip(least, widths, strict=True)
    ]


def _table_row(
    cells: Sequence[str],
    widths: Sequence[float],
    scale: TypeScale,
    part: Table,
    weight: Weight,
    tag: str,
    joined: bool,
    figures: frozenset[int],
) -> SetBlock:
    # Figures stand in rows of their own, and may be a little smaller than what is read in sentences.
    size, leading, x = 1.08 * scale.figure, 1.3 * scale.figure, 0.0
    items: list[Item] = []
    heights = []
    for k, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        own: Weight = "bold" if part.lead and k == 0 and tag == "TD" else weight
        rows = wrapped(cell, size, width - _CELL_PAD_MM, own) or ("",)
        align: Align = "end" if k in figures else "start"
        at = x if align == "start" else x + width - _CELL_PAD_MM
        words = tuple(Words(at, 0.9 * size + leading * i, row, size, align, 0.0, own) for i, row in enumerate(rows))
        heights.append(leading * len(rows))
        items.append(Group("", cell, words, tag="TH" if tag == "TD" and k == 0 and part.lead else tag))
        x += width
    height = max(heights) + 0.9
    items.append(Group("", "", (line((0.0, height - 0.4), (x, height - 0.4), pen=FINE),), tag="Artifact"))
    return SetBlock(height, (Group("", "", tuple(items), tag="TR"),), part.wide, joined, 0.5)


def _is_figure(cell: str) -> bool:
    """Whether a cell holds a figure, which is set to the right."""
    return (
        bool(cell)
        and cell.removeprefix("−")[:1].isdigit()
        and all(char.isdigit() or char in " ./+-–−*" for char in cell.removesuffix(" mm").removesuffix(" in"))
    )


def figure_width(text: str, scale: TypeScale) -> float:
    """How wide a cell must be for a text, in mm."""
    return width_of(text, scale.text) + _CELL_PAD_MM
