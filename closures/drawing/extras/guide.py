"""The page that goes into a pattern's envelope: every size, its marks and its parts, as figures and a small picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.drawing.extras.page_sheet import closure_words, text_block
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.lettering import fitted_size, width_of
from closures.drawing.ink.shapes import (
    FRAME,
    INK,
    LINE,
    Align,
    Circle,
    Item,
    Path,
    Pen,
    Weight,
    Words,
    line,
    mapped,
    moved,
    polygon,
    rectangle,
)
from closures.drawing.paper.column import Block
from closures.drawing.paper.frame import EDGE_MM
from closures.drawing.paper.printed import Printed
from closures.drawing.sheets.size_lines import size_pens
from closures.lengths import format_inches, format_mm

if TYPE_CHECKING:
    from closures.catalogue.values import Paper
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.placing.marking import Mark

PartsOf = Callable[["Sized"], tuple[tuple[str, int], ...]]
"""The parts of one garment of a size, and how many to have of each."""

_MARGIN_MM = EDGE_MM + 3.0
_CELL_MM = 3.1
_ROW_MM = 4.6
_LEAST_CELL_MM = 15.0
_SIZE_MM = 17.0
_GAP_MM = 4.6
_PICTURE_MM = (40.0, 84.0)
# A roll has no pages, and this page is for an envelope: plain A4 (ISO 216).
_OFF_A_ROLL_MM = (210.0, 297.0)
_AT_ANCHOR_MM = 0.05


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of a table: its heading, its width, which side its cells stand on."""

    heading: str
    width_mm: float
    align: Align = "end"


def size_guide(sizes: Sizes, paper: Paper, parts_of: PartsOf) -> tuple[Printed, ...]:
    """Set the guide.

    Args:
        sizes: placed.
        paper: what it is printed on, upright.
        parts_of: counts the parts of a size.

    Returns:
        As many pages as it takes.
    """
    width, height = sorted((paper.width_mm, paper.height_mm)) if paper.height_mm else _OFF_A_ROLL_MM
    room = width - 2 * _MARGIN_MM
    blocks = [
        *_distances(sizes, room, "mm"),
        *_distances(sizes, room, "in"),
        _rows_and_parts(sizes, room, parts_of),
        _foot(sizes, room),
    ]
    pages = _paged(_head(sizes, room), blocks, height - 2 * _MARGIN_MM)
    window = (0.0, 0.0, width, height)
    return tuple(
        Printed(
            f"guide {n}" if len(pages) > 1 else "guide",
            width,
            height,
            (),
            tuple(moved(item, _MARGIN_MM, _MARGIN_MM) for item in items),
            window,
            (0.0, 0.0),
            None,
        )
        for n, items in enumerate(pages, start=1)
    )


def _paged(head: Block, blocks: Sequence[Block], height_mm: float) -> list[tuple[Item, ...]]:
    pages: list[list[Item]] = [list(head.items)]
    y = head.height_mm + _GAP_MM
    for block in blocks:
        if y + block.height_mm > height_mm and pages[-1]:
            pages.append([])
            y = 4.0
        pages[-1] += [moved(item, 0.0, y) for item in block.items]
        y += block.height_mm + _GAP_MM
    return [tuple(items) for items in pages]


def _head(sizes: Sizes, room: float) -> Block:
    """Title, what closes, how to use the guide, and a small picture of the nest."""
    picture = _picture(sizes)
    left = room - _PICTURE_MM[0] - 6.0
    title = sizes.plan.title
    names = [size.name for size in sizes.placed]
    base = sizes.base.placement
    items: list[Item] = [
        Words(0.0, 6.0, title, fitted_size(title, 8.0, left, "bold"), "start", 0.0, "bold"),
        Words(0.0, 12.4, f"Where the closures sit, sizes {names[0]} to {names[-1]}", 4.6, "start", 0.0, "semibold"),
    ]
    closure = closure_words(base)
    over, under = (lap.whose for lap in base.laps.both)
    told = [
        f"{closure[0].upper()}{closure[1:]}. The {over} lies on top (over lap), the {under} beneath (under lap).",
        f"What is kept in every size: {_held_words(sizes)}.",
        f"Every figure is the distance of a mark from the {base.ends[0]}, on the closing line, measured along that "
        "line with the tape left in place. Mark both laps from the same figures.",
        "On the nested sheets each size has a line of its own; by each mark stand its number, its size in a frame, "
        "and this figure. The base is drawn in a whole line. In a reader of PDF files, choose your size among the "
        "layers before you print.",
        "Measure the bust level on the wearer before you cut: a printed one fits nobody but by chance.",
    ]
    y = 18.0
    for text in told:
        block = text_block("", (text,), left)
        items += [moved(item, 0.0, y) for item in block.items]
        y += block.height_mm + 3.4
    items += [moved(item, room - _PICTURE_MM[0], 0.0) for item in picture]
    return Block(max(y, _PICTURE_MM[1]), tuple(items))


def _held_words(sizes: Sizes) -> str:
    wish = sizes.plan.sizes
    hold = "count" if wish is None else wish.hold
    mm = sizes.held.pitch_mm
    pitch = "" if mm is None else f"{format_mm(mm)} ({format_inches(mm)})"
    if hold == "count":
        return f"the count, {sizes.held.count} closures"
    if hold == "pitch":
        return f"the gap, {pitch} or as near as can be"
    return f"{sizes.held.count} closures, or another count where that comes nearer to a gap of {pitch}"


def _picture(sizes: Sizes) -> tuple[Item, ...]:
    """Draw all edges and marks small, in a frame, with the first and the last size named."""
    pens = size_pens(len(sizes.placed), sizes.placed.index(sizes.base))
    paths = [Path(size.placement.laps.over.edge.path(), Pen(0.2)) for size in sizes.placed]
    lines = [Path(size.placement.laps.line.path(), Pen(0.2)) for size in sizes.placed]
    x0, y0, x1, y1 = union(box_of(path) for path in (*paths, *lines))
    width, height = _PICTURE_MM
    scale = min((width - 8.0) / max(x1 - x0, 1.0), (height - 12.0) / max(y1 - y0, 1.0))
    dx, dy = width / 2 - scale * (x0 + x1) / 2, (height - 4.0) / 2 - scale * (y0 + y1) / 2
    items: list[Item] = [rectangle((0.0, 0.0, width, height), FRAME)]
    for pen, path, size in zip(pens, paths, sizes.placed, strict=True):
        fine = Pen(0.3 if size is sizes.base else 0.12, tuple(part * 0.4 for part in pen.dash_mm))
        items.append(Path(mapped(path.commands, scale, scale, dx, dy), fine))
        items += [Circle(scale * m.x_mm + dx, scale * m.y_mm + dy, 0.25, INK) for m in size.placement.marks]
    items.append(Words(width / 2, height - 2.4, "all sizes, not at true size", 2.5, "middle"))
    return tuple(items)


def _distances(sizes: Sizes, room: float, units: str) -> list[Block]:
    """Every mark of every size, as many marks beside each other as there is room for."""
    most = max(len(size.placement.marks) for size in sizes.placed)
    beside = max(1, int((room - _SIZE_MM) / _LEAST_CELL_MM))
    blocks = []
    for start in range(0, most, beside):
        stop = min(most, start + beside)
        width = min(22.0, (room - _SIZE_MM) / (stop - start))
        columns = [_Column("size", _SIZE_MM, "start"), *(_Column(str(n + 1), width) for n in range(start, stop))]
        rows, diamonds = [], []
        for size in sizes.placed:
            marks = size.placement.marks[start:stop]
            texts = [_figure(mark, units) for mark in marks]
            rows.append([size.name, *texts, *([""] * (stop - start - len(texts)))])
            diamonds.append([False, *(_is_at_anchor(mark) for mark in marks)])
        part = f", marks {start + 1} to {stop}" if most > beside else ""
        title = f"From the {sizes.base.placement.ends[0]} to each mark, {'mm' if units == 'mm' else 'inches'}{part}"
        blocks.append(_table(title, columns, rows, diamonds, sizes.placed.index(sizes.base)))
    return blocks


def _figure(mark: Mark, units: str) -> str:
    written = format_mm(mark.along_mm) if units == "mm" else format_inches(mark.along_mm)
    return written.removesuffix(f" {units}")


def _is_at_anchor(mark: Mark) -> bool:
    return mark.anchor is not None and abs(mark.shift_mm or 0.0) <= _AT_ANCHOR_MM


def _rows_and_parts(sizes: Sizes, room: float, parts_of: PartsOf) -> Block:
    parts = {size.name: dict(parts_of(size)) for size in sizes.placed}
    names = list(dict.fromkeys(name for own in parts.values() for name in own))
    fixed = [
        _Column("size", _SIZE_MM, "start"),
        _Column("closures", 17.0),
        _Column("largest gap", 21.0),
        _Column("checks", 21.0),
    ]
    left = room - sum(column.width_mm for column in fixed)
    columns = [*fixed, *(_Column(name, min(32.0, left / max(1, len(names)))) for name in names)]
    words = {"pass": "good", "warn": "look", "fail": "FAIL"}
    rows = []
    for size in sizes.placed:
        spacing = size.placement.spacing
        rows.append(
            [
                size.name,
                str(len(size.placement.marks)),
                format_mm(spacing.largest_mm) if spacing.gaps_mm else "",
                words[size.result],
                *(str(parts[size.name].get(name, 0)) for name in names),
            ]
        )
    title = "What each size takes, spare and trial pieces counted in"
    return _table(title, columns, rows, [], sizes.placed.index(sizes.base))


def _foot(sizes: Sizes, room: float) -> Block:
    anchors = ", ".join(dict.fromkeys(anchor.name for anchor in sizes.base.placement.anchors))
    told = []
    if anchors:
        told.append(f"A diamond stands by a mark that sits at: {anchors}. The base is set in bold.")
    if sizes.refused:
        told.append(f"Not placed: size {', '.join(size.name for size in sizes.refused)}. The report says why.")
    told.append("This page is a guide and not a template: nothing on it is at true size.")
    return text_block("", told, room)


def _table(
    title: str, columns: Sequence[_Column], rows: Sequence[Sequence[str]], diamonds: Sequence[Sequence[bool]], bold: int
) -> Block:
    """Set a table; `bold` is the row of the base, `diamonds` the cells that sit at an anchor."""
    items: list[Item] = [Words(0.0, 3.2, title, 3.8, "start", 0.0, "bold")]
    total = sum(column.width_mm for column in columns)
    base = 9.6
    x = 0.0
    for column in columns:
        size = fitted_size(column.heading, _CELL_MM, column.width_mm - 2.0, "semibold")
        items.append(Words(_edge(column, x), base, column.heading, size, column.align, 0.0, "semibold"))
        x += column.width_mm
    items.append(line((0.0, base + 1.8), (total, base + 1.8), pen=LINE))
    for i, row in enumerate(rows):
        y = base + _ROW_MM * (i + 1) + 0.6
        x = 0.0
        for k, (column, text) in enumerate(zip(columns, row, strict=True)):
            weight: Weight = "bold" if i == bold or k == 0 else "regular"
            size = fitted_size(text, _CELL_MM, column.width_mm - 3.4, "bold")
            items.append(Words(_edge(column, x), y, text, size, column.align, 0.0, weight))
            if i < len(diamonds) and k < len(diamonds[i]) and diamonds[i][k]:
                items.append(_diamond(_edge(column, x) - width_of(text, size, weight) - 1.4, y - 0.33 * size))
            x += column.width_mm
        items.append(line((0.0, y + 1.5), (total, y + 1.5), pen=FRAME))
    return Block(base + _ROW_MM * len(rows) + 2.4, tuple(items))


def _edge(column: _Column, x: float) -> float:
    return x if column.align == "start" else x + column.width_mm - 1.2


def _diamond(x: float, y: float) -> Path:
    return polygon(((x - 0.9, y), (x, y - 0.9), (x + 0.9, y), (x, y + 0.9)), Pen(0.0, fill=0.0))
