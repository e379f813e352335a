"""The ends of a strap as long pieces, which are cut only where they are longer than a page."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.paper.join_places import Thing
from closures.drawing.paper.joins import JOIN_MARGIN_MM, RING_ARM_MM, ring_depths
from closures.drawing.paper.parts import Part, Strip
from closures.drawing.paper.piece import SHEET_WORDS, LongPiece, Piece, piece_of
from closures.drawing.sheets.strap_drawing import draw_end, whole_end
from closures.drawing.sheets.strap_view import End
from closures.drawing.sheets.strap_words import strap_rows

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point

_LABEL_MM = 8.0


def strap_piece(end: End, run: str = "") -> LongPiece:
    """Make an end ready to be cut into parts.

    Args:
        end: the end.
        run: the run mark, to be lettered on every part.
    """
    tail = " · ".join(words for words in (SHEET_WORDS, run) if words)

    @cache
    def draw(part: Part) -> Piece:
        return _draw(end, part, tail)

    def strip_for(fits_page: Callable[[Point], bool], more_mm: float) -> Strip:
        @cache
        def size(low: float, high: float) -> Point:
            return _room_of(end, draw, low, high, more_mm)

        @cache
        def fits(low: float, high: float) -> bool:
            return fits_page(size(low, high))

        return Strip(end.depth_mm, tuple(_things(end)), size, fits, may_break=False)

    return LongPiece(end.name, strip_for, draw)


def _things(end: End) -> list[Thing]:
    reach = max(max(end.subject.reaches_mm), 1.2 * end.subject.type.figure + 0.6)
    return [Thing((m.from_tip_mm or 0.0) - reach, (m.from_tip_mm or 0.0) + reach) for m in end.carried()]


def _room_of(end: End, draw: Callable[[Part], Piece], low: float, high: float, more: float) -> Point:
    """How much room a part takes: of a whole end measured, of others reckoned."""
    if low <= 0.0 and high >= end.depth_mm:
        return draw(whole_end(end)).size_mm
    depths = ring_depths(end.outer_spot(low))
    height = depths[1] - depths[0] + 2 * RING_ARM_MM + 2.0 + _LABEL_MM + more
    before = end.allowance_mm + 11.0 if low <= 0.0 else JOIN_MARGIN_MM
    after = end.far_allowance_mm + 24.0 if high >= end.depth_mm else 3.0
    return (high - low + before + after, height)


def _draw(end: End, part: Part, tail: str) -> Piece:
    drawn = draw_end(end, part, strap_rows(end, part, tail))
    low, high = (both_ways(mm, end.subject.units)[0] for mm in (part.low_mm, part.high_mm))
    of = f" {part.number} of {part.count}" if part.count > 1 else ""
    return piece_of(
        f"{end.name}{of}",
        drawn.items,
        f"{end.name.capitalize()}{of}, {low} to {high} from its tip.",
        lap=end.lap.name,
        strip=end.name,
        number=part.number,
        count=part.count,
        letters=tuple(letter for letter in (part.letter_before, part.letter_after) if letter),
        along_mm=(part.low_mm, part.high_mm),
        cut_off=drawn.cut_off,
        ends_apart=part.after == "end" and end.left_out_mm > 0.0,
    )
