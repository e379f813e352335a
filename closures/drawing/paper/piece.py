"""What is laid on pages: pieces that are never cut, long ones that are, and chapters of words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, grown, union
from closures.drawing.ink.shapes import Group, Item, Words, moved
from closures.drawing.ink.upright import blocks_turned
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.paper.parts import Part, Strip

SHEET_SIGN = "\ue000"
"""Stands for the number of the sheet until the pieces are laid; it is measured as two figures."""

COUNT_SIGN = "\ue001"
"""Stands likewise for how many sheets there are."""

SHEET_WORDS = f"sheet {SHEET_SIGN} of {COUNT_SIGN}"
_BORDER_GAP_MM = 1.0


@frozen
class Piece:
    """A rectangle of a set, drawn from its own top left corner.

    Attributes:
        name: what it is, as lists and the head of a page name it.
        items: the drawing.
        size_mm: width and height.
        text: what it shows, for those who hear the page read aloud.
        lap: the lap that it belongs to; empty for neither.
        number, count: which of how many parts of its strip; 1 of 1 for a piece that is not cut.
        letters: of the joins that it has, in order.
        along_mm: from where to where along the closing line it reaches; None where it shows no line.
        breaks: whether it is broken off, so much left out as is written there.
        breaks_off: whether it is broken off for good: the rest up to the last end is not printed.
        ends_apart: whether it is one end of a strap, broken off up to the break of the other.
        strip: the name of the strip that it is a part of; empty for a piece that is not cut.
        tight: the letters of those joins that lie close to a mark.
        shorter: the same with a stretch left out, its length written, for paper that this does not fit; it may have one
            in its place in turn.
        without_squares: whether it may lie on a page that has rules to measure and no squares, where it fits no other.
        cut_off: what stands outside its finished edge though it must outlast the cutting.
        by_measures: whether it is drawn small, and cut by the lengths that are written on it.
    """

    name: str
    items: tuple[Item, ...]
    size_mm: Point
    text: str
    lap: str = ""
    number: int = 1
    count: int = 1
    letters: tuple[str, ...] = ()
    along_mm: tuple[float, float] | None = None
    breaks: bool = False
    breaks_off: bool = False
    ends_apart: bool = False
    strip: str = ""
    tight: tuple[str, ...] = ()
    shorter: Piece | None = None
    without_squares: bool = False
    cut_off: tuple[str, ...] = ()
    by_measures: bool = False

    @property
    def part_name(self) -> str:
        """Which part of its strip it is, such as "2 of 3"."""
        return f"{self.number} of {self.count}" if self.count > 1 else "whole"


Draw = Callable[["Part"], Piece]


@frozen
class LongPiece:
    """What is cut into parts where it is longer than a page.

    Attributes:
        name: what it is.
        strip_for: gives the strip to cut, for a page: told which sizes fit an empty page, and how much wider than
            reckoned a part has come out.
        draw: draws a part.
        without_squares: whether its parts may lie on pages that have rules to measure and no squares, where that saves
            pages.
        is_further: whether it goes with others, which are then cut as they are without it.
        shorter: what is drawn in its place on paper that it does not fit in one part, or fits on a sheet more; None of
            what is cut into parts.
    """

    name: str
    strip_for: Callable[[Callable[[Point], bool], float], Strip]
    draw: Draw
    without_squares: bool = False
    is_further: bool = False
    shorter: Piece | None = None


def piece_of(name: str, items: Sequence[Item], text: str, **more: object) -> Piece:
    """Make a piece of shapes that may lie anywhere, with a little white round them, either way up their words stand."""
    box = grown(union(box_of(item) for item in (*items, *blocks_turned(items))), _BORDER_GAP_MM)
    placed = tuple(moved(item, -box[0], -box[1]) for item in items)
    return Piece(name, placed, (box[2] - box[0], box[3] - box[1]), text, **more)  # type: ignore[arg-type]


def numbered_items(items: Sequence[Item], sheet: int, count: int) -> tuple[Item, ...]:
    """Put the number of the sheet where its sign stands."""
    return tuple(_numbered(item, str(sheet), str(count)) for item in items)


def _numbered(item: Item, sheet: str, count: str) -> Item:
    if isinstance(item, Words):
        if SHEET_SIGN in item.text or COUNT_SIGN in item.text:
            return replace(item, text=item.text.replace(SHEET_SIGN, sheet).replace(COUNT_SIGN, count))
        return item
    if isinstance(item, Group):
        return replace(item, items=tuple(_numbered(part, sheet, count) for part in item.items))
    return item
