"""Bare paper beside the drawing: where words stand that no column had room for.

Terms: a page's *room* is what its frame leaves for the drawing. A block stands beside everything that is
drawn at its height, and never with parts of the drawing both above and below it, so that no words come to
lie on a pattern piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import is_apart
from closures.drawing.ink.shapes import Box, Item, moved
from closures.drawing.paper.frame import COLUMN_MM

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.paper.column import Block
    from closures.drawing.paper.pages import Tile

_APART_MM = 6.0
_JOIN_MM = 8.0
_STEP_MM = 2.0


def words_beside(
    tiles: Sequence[tuple[Tile, Point]], waiting: Sequence[Block], room: Box, pieces: Sequence[Box]
) -> tuple[tuple[tuple[Item, ...], ...], tuple[Block, ...]]:
    """Set blocks on the bare paper of pages, each on the first that has room for it.

    Args:
        tiles: what each page shows, and its shift from sheet to paper.
        waiting: the blocks.
        room: of every page alike, in mm from the paper's top left corner.
        pieces: the boxes of what is drawn, on the sheet.

    Returns:
        The items for each page, in its paper's frame; and the blocks for which no page had room.
    """
    left = list(waiting)
    set_on = []
    for tile, shift in tiles:
        items: list[Item] = []
        drawn = _drawn_on(tile, shift, pieces)
        taken = list(drawn)
        usable = _between_joins(tile, shift, room)
        for block in tuple(left):
            spot = next(_spots(block.height_mm, usable, drawn, taken), None)
            if spot is not None:
                items += [moved(item, *spot) for item in block.items]
                taken.append((*spot, spot[0] + COLUMN_MM, spot[1] + block.height_mm))
                left.remove(block)
        set_on.append(tuple(items))
    return tuple(set_on), tuple(left)


def _drawn_on(tile: Tile, shift: Point, pieces: Sequence[Box]) -> list[Box]:
    x0, y0, x1, y1 = tile.window
    dx, dy = shift
    shown = (piece for piece in pieces if not is_apart(piece, tile.window))
    return [(max(a, x0) + dx, max(b, y0) + dy, min(c, x1) + dx, min(d, y1) + dy) for a, b, c, d in shown]


def _between_joins(tile: Tile, shift: Point, room: Box) -> Box:
    left, top, right, bottom = room
    for join in tile.joins:
        if join.side == "left":
            left = max(left, join.at_mm + shift[0] + _JOIN_MM)
        elif join.side == "right":
            right = min(right, join.at_mm + shift[0] - _JOIN_MM)
        elif join.side == "top":
            top = max(top, join.at_mm + shift[1] + _JOIN_MM)
        else:
            bottom = min(bottom, join.at_mm + shift[1] - _JOIN_MM)
    return (left, top, right, bottom)


def _spots(height_mm: float, usable: Box, drawn: Sequence[Box], taken: Sequence[Box]) -> Iterator[Point]:
    left, top, right, bottom = usable
    steps = int((bottom - height_mm - top) / _STEP_MM) + 1 if top + height_mm <= bottom else 0
    for y in (top + _STEP_MM * k for k in range(steps)):
        level = [box for box in taken if box[1] < y + height_mm + _APART_MM and box[3] > y - _APART_MM]
        first = min((box[0] for box in level), default=right + _APART_MM)
        last = max((box[2] for box in level), default=left - _APART_MM)
        if last + _APART_MM + COLUMN_MM <= right and not _is_enclosed(last + _APART_MM, y, drawn):
            yield (last + _APART_MM, y)
        elif level and left + COLUMN_MM + _APART_MM <= first and not _is_enclosed(left, y, drawn):
            yield (left, y)


def _is_enclosed(x: float, y: float, drawn: Sequence[Box]) -> bool:
    """Tell whether parts of the drawing lie both above and below a place for words."""
    over = [box for box in drawn if box[0] < x + COLUMN_MM and box[2] > x]
    return any(box[3] <= y for box in over) and any(box[1] >= y for box in over)
