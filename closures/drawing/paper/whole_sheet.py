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
    larger,
    samples_block,
    squares,
    stacked_mm,
    words_block,
)
from closures.drawing.paper.frame import Frame, frame_around, frame_of
from closures.drawing.paper.gauges import RULE_FIGURE_MM, rule_across, rule_down

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Weight
    from closures.drawing.sheets.sheet_text import Orientation, SheetText

_LONGEST_TITLE_MM = 70.0
_LONGEST_CLOSURE_MM = 84.0
"""Half of the narrowest head, which is as wide as both squares side by side and the words beside them."""


def drawing_origin(text: SheetText) -> Point:
    """Where the drawing begins on a whole sheet that says this."""
    tile = frame_of(1000.0, 1000.0, bool(text.failures), grown=text.grown).tile
    return (tile[0], tile[1])


def whole_frame(box: Box, text: SheetText, orientations: Sequence[Orientation]) -> Frame:
    """Find the paper that holds a drawing whole.

    Args:
        box: the room that the drawing takes.
        text: what the sheet says.
        orientations: which way the ends and the edge lie.
    """
    words = stacked_mm(_column(text, orientations, box))
    size = (box[2] - box[0] + 1.0, box[3] - box[1] + 1.0)
    return frame_around(size, words, bool(text.failures), text.grown)


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
    items = squares(frame, _nearest(orientations, box), is_solid, text.ways, text.grown)
    set_blocks, _ = flow(_column(text, orientations, box), frame.regions)
    figure = text.grown * RULE_FIGURE_MM
    rules = (
        rule_across(frame.zero, frame.across_mm, figure),
        rule_down(frame.zero, frame.down_mm, figure_mm=figure),
    )
    return frame, rules, (*_corner(is_solid, frame), *_head(text, frame), *items, *set_blocks)


def _nearest(orientations: Sequence[Orientation], box: Box) -> Orientation | None:
    if not orientations:
        return None
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    return min(orientations, key=lambda one: math.dist(one.at, (x, y)))


def _column(text: SheetText, orientations: Sequence[Orientation], box: Box) -> tuple[Block, ...]:
    blocks = (*_corner_blocks(text, orientations, box), *_blocks(text))
    return larger(blocks, text.grown) if text.grown > 1.0 else blocks


def _corner_blocks(text: SheetText, orientations: Sequence[Orientation], box: Box) -> tuple[Block, ...]:
    nearest = _nearest(orientations, box)
    return () if nearest is None else (corner_block(nearest, text.ways),)


def _blocks(text: SheetText) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if _is_long(text):
        blocks.append(words_block("Title", (text.title,)))
    if _has_long_closure(text):
        blocks.append(words_block("Closure", (text.closure,)))
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
    if text.grown > 1.0:
        return _large_head(text, frame)
    x0, y0, x1, y1 = frame.head
    right = min(x1, x0 + 260.0)
    small = USUAL_TYPE.text
    closure = "" if _has_long_closure(text) else text.closure
    closure_size = fitted_size(closure, small, 0.5 * (right - x0))
    room = right - x0 - width_of(closure, closure_size) - 5.0
    size = fitted_size(text.title, USUAL_TYPE.title, room, "bold")
    whole = _whole(text)
    lap_room = right - x0 - width_of(whole, small) - 5.0
    lap_size = fitted_size(text.lap_words, 4.4, lap_room, "bold")
    title = () if _is_long(text) else (Words(x0, y0 + 5.4, text.title, size, "start", 0.0, "bold"),)
    items: list[Item] = [
        *title,
        *([Words(right, y0 + 5.4, closure, closure_size, "end")] if closure else []),
        Words(x0, y0 + 11.6, text.lap_words, lap_size, "start", 0.0, "bold"),
        Words(right, y0 + 11.6, whole, small, "end"),
        line((x0, y1 - 0.9), (x1, y1 - 0.9), pen=FINE),
    ]
    if frame.failure is not None:
        items += _failure(text, frame.failure)
    return tuple(items)


def _whole(text: SheetText) -> str:
    return f"whole sheet, 1:1 · run {text.run}" if text.run else "whole sheet, 1:1"


def _large_head(text: SheetText, frame: Frame) -> tuple[Item, ...]:
    """The head in larger letters: its rows stand one under the other, each as wide as the sheet."""
    x0, y0, x1, y1 = frame.head
    rows: list[tuple[str, float, Weight]] = [
        ("" if _is_long(text) else text.title, USUAL_TYPE.title, "bold"),
        (text.lap_words, USUAL_TYPE.text, "bold"),
        ("" if _has_long_closure(text) else text.closure, USUAL_TYPE.text, "regular"),
        (_whole(text), USUAL_TYPE.text, "regular"),
    ]
    items: list[Item] = [line((x0, y1 - 0.9), (x1, y1 - 0.9), pen=FINE)]
    base = y0
    for row, usual_mm, weight in (one for one in rows if one[0]):
        base += 1.2 * text.grown * usual_mm
        items.append(
            Words(x0, base - 1.6, row, fitted_size(row, text.grown * usual_mm, x1 - x0, weight), weight=weight)
        )
    if frame.failure is not None:
        items += _failure(text, frame.failure)
    return tuple(items)


def _is_long(text: SheetText) -> bool:
    """Whether a title finds no room in the head in letters that can be read; it is told beside the drawing then."""
    return width_of(text.title, USUAL_TYPE.figure, "bold") > _LONGEST_TITLE_MM


def _has_long_closure(text: SheetText) -> bool:
    """Whether what is told of the closures finds no room in the head in letters that can be read, as a long title."""
    return width_of(text.closure, USUAL_TYPE.figure) > _LONGEST_CLOSURE_MM


_OFF_FRAME_MM = 0.3
"""Between the frame of failed checks and their rows: our own rule."""


def _failure(told: SheetText, box: Box) -> tuple[Item, ...]:
    room, least = box[2] - box[0] - 4.0, told.grown * USUAL_TYPE.figure
    frame = rectangle((box[0] + 0.4, box[1] + 0.6, box[2] - 0.4, box[3] - 0.8), Pen(0.8))
    high = box[3] - box[1] - 1.4 - 2 * _OFF_FRAME_MM
    for named in dict.fromkeys((told.reasons or told.failures, told.failures)):
        text = f"CHECK FAILED: {named}. See the report."
        size = fitted_size(text, told.grown * 3.8, room, "bold")
        rows = (text,) if size >= least else wrapped(text, least, room, "bold")
        size = max(size, least)
        if 1.12 * size * len(rows) <= high:
            break
    middle = (box[1] + box[3]) / 2
    words = [
        Words(
            box[0] + 2.4, middle + 0.3 * size + 1.12 * size * (k - (len(rows) - 1) / 2), row, size, "start", 0.0, "bold"
        )
        for k, row in enumerate(rows)
    ]
    return (frame, *words)
