"""The frame of a whole sheet: one lap on paper of its own size, with its title, squares and words beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import fitted_size, width_of, wrapped
from closures.drawing.ink.shapes import FINE, INK, Box, Item, Pen, Point, Words, line, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.column import (
    Block,
    corner_block,
    flow,
    key_blocks,
    samples_block,
    squares,
    stacked_mm,
    words_block,
)
from closures.drawing.paper.frame import Frame, frame_around, frame_of
from closures.drawing.paper.gauges import rule_across, rule_down

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet_text import Orientation, SheetText

_LONGEST_TITLE_MM = 70.0


def drawing_origin(has_failures: bool) -> Point:
    """Where the drawing begins on a whole sheet."""
    tile = frame_of(1000.0, 1000.0, has_failures).tile
    return (tile[0], tile[1])


def whole_frame(box: Box, text: SheetText, orientations: Sequence[Orientation]) -> Frame:
    """Find the paper that holds a drawing whole.

    Args:
        box: the room that the drawing takes.
        text: what the sheet says.
        orientations: which way the ends and the edge lie.
    """
    words = stacked_mm([*_corner_blocks(text, orientations, box), *_blocks(text)])
    size = (box[2] - box[0] + 1.0, box[3] - box[1] + 1.0)
    return frame_around(size, words, bool(text.failures))


def whole_furniture(
    box: Box, text: SheetText, orientations: Sequence[Orientation], is_solid: bool
) -> tuple[Frame, tuple[Item, ...], tuple[Item, ...]]:
    """Draw everything round a whole sheet's drawing.

    Args:
        box: the room that the drawing takes.
        text: what the sheet says.
        orientations: which way the ends and the edge lie.
        is_solid: whether its sign is filled, as it is on the over lap.

    Returns:
        The frame, its rules, and the rest.
    """
    frame = whole_frame(box, text, orientations)
    items = squares(frame, _nearest(orientations, box), is_solid, text.ways)
    set_blocks, _ = flow([*_corner_blocks(text, orientations, box), *_blocks(text)], frame.regions)
    rules = (rule_across(frame.zero, frame.across_mm), rule_down(frame.zero, frame.down_mm))
    return frame, rules, (*_corner(is_solid, frame), *_head(text, frame), *items, *set_blocks)


def _nearest(orientations: Sequence[Orientation], box: Box) -> Orientation | None:
    if not orientations:
        return None
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    return min(orientations, key=lambda one: math.dist(one.at, (x, y)))


def _corner_blocks(text: SheetText, orientations: Sequence[Orientation], box: Box) -> tuple[Block, ...]:
    nearest = _nearest(orientations, box)
    return () if nearest is None else (corner_block(nearest, text.ways),)


def _blocks(text: SheetText) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if _is_long(text.title):
        blocks.append(words_block("Title", (text.title,)))
    if text.check:
        blocks.append(words_block("Check", text.check))
    if text.samples:
        blocks.insert(0, samples_block("Sizes", text.samples))
    blocks += [words_block(heading, lines) for heading, lines in text.blocks]
    if text.signs:
        blocks += key_blocks(text.signs, math.inf, text.sign_words)
    return tuple(blocks)


def _corner(is_solid: bool, frame: Frame) -> tuple[Item, ...]:
    x0, y0, x1, y1 = frame.corner
    box = rectangle((x0, y0, x1 - 0.6, y1 - 0.6), INK if is_solid else Pen(0.6, fill=1.0))
    size = fitted_size("1:1", 5.6, x1 - x0 - 1.8, "bold")
    x, y = (x0 + x1 - 0.6) / 2, (y0 + y1 - 0.6) / 2 + 0.33 * size
    return (box, Words(x, y, "1:1", size, "middle", 0.0, "bold", 1.0 if is_solid else 0.0))


def _head(text: SheetText, frame: Frame) -> tuple[Item, ...]:
    x0, y0, x1, y1 = frame.head
    right = min(x1, x0 + 260.0)
    small = USUAL_TYPE.text
    closure_size = fitted_size(text.closure, small, 0.5 * (right - x0))
    room = right - x0 - width_of(text.closure, closure_size) - 5.0
    size = fitted_size(text.title, USUAL_TYPE.title, room, "bold")
    whole = f"whole sheet, 1:1 · run {text.run}" if text.run else "whole sheet, 1:1"
    lap_room = right - x0 - width_of(whole, small) - 5.0
    lap_size = fitted_size(text.lap_words, 4.4, lap_room, "bold")
    title = () if _is_long(text.title) else (Words(x0, y0 + 5.4, text.title, size, "start", 0.0, "bold"),)
    items: list[Item] = [
        *title,
        Words(right, y0 + 5.4, text.closure, closure_size, "end"),
        Words(x0, y0 + 11.6, text.lap_words, lap_size, "start", 0.0, "bold"),
        Words(right, y0 + 11.6, whole, small, "end"),
        line((x0, y1 - 0.9), (x1, y1 - 0.9), pen=FINE),
    ]
    if frame.failure is not None:
        items += _failure(text.failures, frame.failure)
    return tuple(items)


def _is_long(title: str) -> bool:
    """Whether a title finds no room in the head in letters that can be read; it is told beside the drawing then."""
    return width_of(title, USUAL_TYPE.figure, "bold") > _LONGEST_TITLE_MM


def _failure(failures: str, box: Box) -> tuple[Item, ...]:
    text = f"CHECK FAILED: {failures}. See the report."
    room = box[2] - box[0] - 4.0
    size = fitted_size(text, 3.8, room, "bold")
    frame = rectangle((box[0] + 0.4, box[1] + 0.6, box[2] - 0.4, box[3] - 0.8), Pen(0.8))
    rows = (text,) if size >= USUAL_TYPE.figure else wrapped(text, USUAL_TYPE.figure, room, "bold")
    size = max(size, USUAL_TYPE.figure)
    middle = (box[1] + box[3]) / 2
    words = [
        Words(
            box[0] + 2.4, middle + 0.3 * size + 1.12 * size * (k - (len(rows) - 1) / 2), row, size, "start", 0.0, "bold"
        )
        for k, row in enumerate(rows)
    ]
    return (frame, *words)
