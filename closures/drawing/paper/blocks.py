"""Parts of a chapter set into blocks, none of which is broken between columns: lines, rows of a table, pictures."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import counts_kept_whole, fitted_size, width_of, wrapped
from closures.drawing.ink.rigid import enlarged
from closures.drawing.ink.shapes import FINE, Group, Item, Pen, Words, line, moved, polygon, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Chapter, ChapterPart, Key, Notice, Picture, SampleRow, Section, Table
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Align, Weight
    from closures.drawing.ink.type_scale import TypeScale


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
        whole_mm: how tall the short part is that it is of, which is kept in one column unless that costs a sheet; None
            of what may be parted here.
        title: the chapter that begins with it, where its title stands in a column.
    """

    height_mm: float
    items: tuple[Item, ...]
    wide: bool = False
    joined: bool = False
    gap_mm: float = 2.0
    again: SetBlock | None = None
    continued: SetBlock | None = None
    whole_mm: float | None = None
    title: str = ""


_SIGN_ROOM_MM = 14.5
_MOST_IN_ONE = 5
_KEY_GAP_MM, _KEY_ROW_GAP_MM = 3.0, 0.4
_LEAST_MEANING_EM = 7.5
_MOST_LINES = 5
"""What a sign means that takes more lines in half of a column runs on past its neighbour, and is set over all of it."""

TALLEST_WHOLE_MM = 120.0
_TALLEST_SECTION_MM = 60.0
"""Paragraphs of some fifteen lines are read at one glance, our own rule: longer ones may go on in the next column."""
_LONE_ROWS = 2
_CELL_PAD_MM, _AFTER_FIGURE_MM = 2.0, 3.0
# So wide a column of words stays where figures take their room.
_LEAST_WORDS_MM = 10.0


def height_of(blocks: Sequence[SetBlock]) -> float:
    """How much room blocks take one under the other, with what is left free below each, in mm."""
    return sum(block.height_mm + block.gap_mm for block in blocks)


def set_chapter(
    chapter: Chapter, column_mm: float, page_mm: float, scale: TypeScale, may_part: bool = False
) -> list[SetBlock]:
    """Set the parts of a chapter one after the other.

    A picture without a heading of its own stays with its words, and words without one with the table that they explain.

    Args:
        chapter: what is set.
        column_mm, page_mm: how wide a column is, and how wide all of them are.
        scale: the sizes of lettering.
        may_part: set a key row by row, and a picture apart from its words, so that they may go on elsewhere.
    """
    blocks: list[SetBlock] = []
    is_table = False
    for part, after in zip(chapter.parts, (*chapter.parts[1:], None), strict=True):
        pictured = after if isinstance(part, Section) and isinstance(after, Picture) and not after.heading else None
        own = set_part(part, column_mm, page_mm, scale, chapter.title, pictured, may_part)
        if isinstance(part, Picture) and not part.heading and blocks:
            own = [replace(block, continued=blocks[-1].continued) for block in own]
        if isinstance(part, Section) and not part.heading and is_table and blocks[-1].wide == own[0].wide:
            blocks[-1] = replace(blocks[-1], joined=True)
        is_table = isinstance(part, Table)
        blocks += own
    return blocks


def set_part(
    part: ChapterPart,
    column_mm: float,
    page_mm: float,
    scale: TypeScale,
    title: str = "",
    pictured: Picture | None = None,
    may_part: bool = False,
) -> list[SetBlock]:
    """Set a part of a chapter with this title in a column, or over the page's width where it is wider.

    Words above a picture that is wider than a column are set as wide as the picture, and so stand over it alone.
    """
    width = page_mm if isinstance(part, Table | Notice) and part.wide else column_mm
    if isinstance(part, Notice):
        return [_set_notice(part, width, scale)]
    if isinstance(part, Section):
        below = [] if pictured is None else _set_picture(pictured, column_mm, page_mm, scale)
        if pictured is not None and below[0].wide:
            width = max(column_mm, min(page_mm, _grown(pictured, page_mm, scale).size_mm[0]))
        blocks = _set_section(part, width, scale, below, may_part)
    elif isinstance(part, Table):
        blocks = _set_table(part, width, scale)
    elif isinstance(part, Key):
        blocks = _set_key(part, width, scale, may_part)
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


def _set_section(
    part: Section, width: float, scale: TypeScale, below: Sequence[SetBlock], may_part: bool
) -> list[SetBlock]:
    """Set paragraphs, together with the picture below them where there is one."""
    blocks = [set_heading(part.heading, width, scale.heading, False)] if part.heading else []
    for k, paragraph in enumerate(part.paragraphs):
        number = "" if part.numbered_from is None else str(part.numbered_from + k)
        indent = 2.0 * scale.text if number else 0.0
        rows = wrapped(paragraph, scale.text, width - indent)
        items: list[Item] = [Words(0.0, 0.8 * scale.text, number, scale.text, "start", 0.0, "bold")] if number else []
        items += [Words(indent, 0.8 * scale.text + scale.leading * i, row, scale.text) for i, row in enumerate(rows)]
        is_last = k == len(part.paragraphs) - 1 and not below
        gap = 1.2 * scale.text if is_last else 0.12 * scale.text if part.tight else 0.5 * scale.text
        blocks.append(SetBlock(scale.leading * len(rows), (Group("", paragraph, tuple(items), tag="P"),), gap_mm=gap))
    if part.tight or part.numbered_from is not None:
        joints = _joints(blocks)
    else:
        joints = _joints(blocks, _LONE_ROWS * scale.leading + 0.1)
    tallest = TALLEST_WHOLE_MM if part.tight else _TALLEST_SECTION_MM
    if below:
        joints |= set() if may_part else {len(blocks) - 1}
        blocks = [replace(block, wide=below[0].wide) for block in blocks]
    return _together([*blocks, *below], joints, tallest)[: len(blocks)]


def _grown(part: Picture, page: float, scale: TypeScale) -> Picture:
    """A picture as it is drawn with these letters."""
    grow = scale.figure / USUAL_TYPE.figure if part.may_grow else 1.0
    grow = min(grow, max(1.0, page / part.size_mm[0]))
    if grow == 1.0:
        return part
    items = tuple(enlarged(item, grow) for item in part.items)
    return replace(part, items=items, size_mm=(grow * part.size_mm[0], grow * part.size_mm[1]))


def _set_picture(part: Picture, column: float, page: float, scale: TypeScale) -> list[SetBlock]:
    part = _grown(part, page, scale)
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


def _set_key(part: Key, width: float, scale: TypeScale, may_part: bool) -> list[SetBlock]:
    """Set signs beside their meanings, where there are many in two columns beside each other, with long ones below."""
    blocks = [set_heading(part.heading, width, scale.heading, False)] if part.heading else []
    half = width / 2
    size = 1.08 * scale.figure
    is_roomy = half - _SIGN_ROOM_MM - 1.0 >= _LEAST_MEANING_EM * size
    short = [row for row in part.rows if len(_meaning(row, half, size)) <= _MOST_LINES]
    if len(part.rows) > _MOST_IN_ONE and len(short) > 1 and is_roomy:
        rows = [_key_row(row, half, size, scale.line) for row in short]
        below = [_key_row(row, width, size, scale.line) for row in part.rows if row not in short]
        whole = _in_two(rows, half, _KEY_ROW_GAP_MM if below else _KEY_GAP_MM)
        is_low = not may_part and whole.height_mm + height_of(blocks) <= TALLEST_WHOLE_MM
        if is_low and not below:
            return [*blocks, whole]
        count = -(-len(rows) // 2)
        blocks += [whole] if is_low else [_in_two(rows[k::count], half, _KEY_ROW_GAP_MM) for k in range(count)]
        blocks += below
    else:
        blocks += [_key_row(row, width, size, scale.line) for row in part.rows]
    blocks[-1] = replace(blocks[-1], gap_mm=_KEY_GAP_MM)
    return _together(blocks, _joints(blocks), TALLEST_WHOLE_MM)


def _meaning(row: SampleRow, width: float, size: float) -> tuple[str, ...]:
    """The lines of what a sign means."""
    return wrapped(row.text, size, width - _SIGN_ROOM_MM - 1.0)


def _key_row(row: SampleRow, width: float, size: float, line_em: float) -> SetBlock:
    """Set a sign, level with the first line of what it means."""
    texts = _meaning(row, width, size)
    words = tuple(Words(_SIGN_ROOM_MM, 0.9 * size + line_em * size * i, text, size) for i, text in enumerate(texts))
    sign = tuple(moved(item, 0.0, 0.55 * size) for item in row.items)
    items = (Group("", "", sign, tag="Artifact"), Group("", row.text, words, tag="P"))
    return SetBlock(max(4.4, line_em * size * len(texts)), items, gap_mm=_KEY_ROW_GAP_MM)


def _in_two(rows: Sequence[SetBlock], half: float, gap: float) -> SetBlock:
    """Set rows in two columns of like height, as one block with so much below it."""
    first = min(range(1, len(rows) + 1), key=lambda k: max(height_of(rows[:k]), height_of(rows[k:])))
    items: list[Item] = []
    for k, column in enumerate((rows[:first], rows[first:])):
        y = 0.0
        for row in column:
            items += [moved(item, k * half, y) for item in row.items]
            y += row.height_mm + row.gap_mm
    height = max(height_of(rows[:first]), height_of(rows[first:]))
    return SetBlock(height, tuple(items), gap_mm=gap)


def _set_table(part: Table, width: float, scale: TypeScale) -> list[SetBlock]:
    """Set a table row by row, so that a long one goes on in the next column under its head again."""
    blocks = [set_heading(part.heading, width, scale.heading, part.wide)] if part.heading else []
    figures = _figures(part)
    widths = _column_widths(part, width, 1.08 * scale.figure, figures)
    head = _table_row(part.head, widths, scale, part, "semibold", "TH", True, figures)
    blocks.append(head)
    for k, row in enumerate(part.rows):
        weight: Weight = "bold" if k in part.bold_rows else "regular"
        blocks.append(replace(_table_row(row, widths, scale, part, weight, "TD", False, figures), again=head))
    blocks[-1] = replace(blocks[-1], joined=False, gap_mm=3.4)
    return _together(blocks, _joints(blocks), TALLEST_WHOLE_MM)


def _joints(blocks: Sequence[SetBlock], lone_mm: float = math.inf) -> set[int]:
    """The blocks that stay with the one after them: headings, and what is so short that it stands alone at no end."""
    last = len(blocks) - 1
    joints = {k for k in range(last) if blocks[k].joined}
    # What begins under a heading, and what a part ends with, has a neighbour beside it.
    begun = max(joints, default=last) + 1
    ends = ((begun, begun), (last - 1, last))
    return joints | {k for k, lone in ends if 0 <= k < last and blocks[lone].height_mm <= lone_mm}


def _together(blocks: Sequence[SetBlock], joints: set[int], tallest_mm: float) -> list[SetBlock]:
    """Join blocks at these, and mark all as one whole where they are no taller than so much."""
    height, last = height_of(blocks), len(blocks) - 1
    whole = height if height <= tallest_mm else None
    return [replace(block, joined=k in joints, whole_mm=whole if k < last else None) for k, block in enumerate(blocks)]


def _figures(part: Table) -> frozenset[int]:
    """The columns of figures, which stand on the right, their heads above them; the first column names the rows."""
    columns = [[row[k] for row in part.rows if row[k]] for k in range(len(part.head))]
    return frozenset(k for k, cells in enumerate(columns) if k and cells and all(_is_figure(c) for c in cells))


def _left_free(k: int, figures: frozenset[int]) -> float:
    """What is left free before a column: words right behind a figure would be read as its unit."""
    return _AFTER_FIGURE_MM if k - 1 in figures and k not in figures else 0.0


def _column_widths(part: Table, width: float, size: float, figures: frozenset[int]) -> list[float]:
    """How wide the columns of a table are: as its shares say, but wide enough for whole figures and whole words.

    Where that is more than there is, words give way first: a figure without its fraction reads as another. Where even
    figures need more, all give way alike.
    """
    total = sum(part.shares)
    widths = [width * share / total for share in part.shares]
    least = []
    for k, name in enumerate(part.head):
        cells = [row[k] for row in part.rows]
        # A figure with its fraction is one thing; a name breaks between words.
        things = [thing for cell in cells for thing in ([cell] if _is_figure(cell) else cell.split())]
        least.append(max((width_of(thing, size, "bold") for thing in (*things, *name.split())), default=0.0))
    least = [needed + _CELL_PAD_MM + _left_free(k, figures) for k, needed in enumerate(least)]
    if sum(least) >= width:
        kept = {k for k in range(len(least)) if k in figures or all(_is_figure(row[k]) for row in part.rows)}
        words = sum(needed for k, needed in enumerate(least) if k not in kept)
        left = width - sum(least) + words
        if words and left >= _LEAST_WORDS_MM * (len(least) - len(kept)):
            return [needed if k in kept else needed * left / words for k, needed in enumerate(least)]
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
    size, leading, x = 1.08 * scale.figure, min(1.3, 1.08 * scale.line) * scale.figure, 0.0
    items: list[Item] = []
    heights = []
    for k, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        own: Weight = "bold" if part.lead and k == 0 and tag == "TD" else weight
        left = _left_free(k, figures)
        rows = wrapped(counts_kept_whole(cell), size, width - left - _CELL_PAD_MM, own) or ("",)
        align: Align = "end" if k in figures else "start"
        at = x + left if align == "start" else x + width - _CELL_PAD_MM
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
