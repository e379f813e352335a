"""Choosing how every strip is cut for pages that are held one way: the choice that needs the fewest pages together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import product
from math import prod
from typing import TYPE_CHECKING

from closures.drawing.paper.packing import GAP_MM, Laid, empty_page, fewest, fits, free_sides, pack, pages_taken
from closures.drawing.paper.parts import Part, numbered, ways_to_cut
from closures.drawing.paper.stubs import without_stubs
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.paper.page import PageFrame
    from closures.drawing.paper.parts import Strip
    from closures.drawing.paper.piece import LongPiece, Piece

_LONGER = 0.25
_MOST_WAYS = 200
# So much is laid for trial, as the square of the parts: so each costs, and on many pages one way less is little.
_MOST_LAID = 100_000
# How much less room the parts may take where a strip is cut another way: fewer of them have fewer overlaps.
_ROOM = 0.9


def fits_frame(piece: Piece, frame: PageFrame) -> bool:
    return fits(piece.size_mm, frame.body, frame.squares, GAP_MM)


def packed(pieces: Sequence[Piece], frame: PageFrame) -> tuple[Laid, ...]:
    """Lay pieces of which each fits a page of its own."""
    laid = pack([piece.size_mm for piece in pieces], frame.body, frame.squares, GAP_MM)
    return () if laid is None else laid


def pages_of(laid: Sequence[Laid]) -> int:
    return max((one.page for one in laid), default=-1) + 1


def beside_of(pieces: Sequence[Piece], frames: Sequence[PageFrame], bare: Sequence[PageFrame]) -> PageFrame | None:
    """The way to hold a page on which pieces that fit no other way need the fewest pages; None where there is none."""
    ways = [frame for frame in frames if all(fits_frame(piece, frame) for piece in pieces)]
    if not ways and all(piece.without_squares for piece in pieces):
        ways = [frame for frame in bare if all(fits_frame(piece, frame) for piece in pieces)]
    return min(ways, key=lambda frame: pages_of(packed(pieces, frame)), default=None)


@frozen
class Cut:
    """The parts of every strip, for one way of holding a page; the less its worth, the better.

    `sizes` is the room that was reckoned for every part; `beside` is how those pages are held that bear short pieces
    which do not fit that way; `bound` is how many pages and parts it takes at the very least, however strips are cut.
    """

    frame: PageFrame
    beside: PageFrame | None
    parts: tuple[tuple[Part, ...], ...]
    sizes: tuple[tuple[Point, ...], ...]
    worth: tuple[float, ...]
    bound: tuple[float, ...]


def cut_for(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frame: PageFrame,
    frames: Sequence[PageFrame],
    bare: Sequence[PageFrame],
    more_mm: Sequence[float],
    first_letter: int,
    unlike: bool,
) -> Cut | None:
    """Choose the way to cut every strip that needs the fewest pages together; None where something fits no page."""
    own = [piece for piece in pieces if fits_frame(piece, frame)]
    others = [piece for piece in pieces if not fits_frame(piece, frame)]
    beside = beside_of(others, frames, bare) if others else None
    if others and (beside is None or not (own or long_pieces)):
        return None
    if any(piece.strip for piece in others):
        # Parts that were cut before lie on pages that are held one way, whatever lies beside them.
        return None
    more_pages = 0 if beside is None else pages_of(packed(others, beside))

    # What came out wider than reckoned may have come out a little longer as well.
    longer_mm = _LONGER * max(more_mm, default=0.0)

    @cache
    def fits_page(size: Point) -> bool:
        return fits((size[0] + longer_mm, size[1]), frame.body, frame.squares, GAP_MM)

    strips = [long.strip_for(fits_page, more) for long, more in zip(long_pieces, more_mm, strict=True)]
    caps = tuple(side - longer_mm for side in free_sides(frame.body, frame.squares, GAP_MM)) if unlike else ()
    try:
        ways = [without_stubs(strip, ways_to_cut(strip, caps)) for strip in strips]
    except ValueError:
        return None
    trial = _Trial(strips, [piece.size_mm for piece in own], frame, more_pages)
    for choice in choices(ways):
        trial.weigh(choice)
    if not _are_few(ways):
        trial.change_one_by_one(ways)
    best = trial.best
    if best is None:
        return None
    letters, cut = first_letter, []
    for parts in best[1]:
        cut.append(numbered(parts, letters))
        letters += sum(part.after == "join" for part in parts)
    return Cut(frame, beside, tuple(cut), sizes_of(strips, cut), best[0], trial.bound)


_Choice = tuple[tuple["Part", ...], ...]


class _Trial:
    """Choices that are tried one after the other, of which the best is kept."""

    def __init__(self, strips: Sequence[Strip], own: Sequence[Point], frame: PageFrame, more_pages: int) -> None:
        self._strips, self._own, self._more_pages = strips, own, more_pages
        self._room = (frame.body, frame.squares, GAP_MM)
        self._empty = empty_page(*self._room)
        self.best: tuple[tuple[float, ...], _Choice] | None = None
        self.bound: tuple[float, float] = (math.inf, math.inf)

    def weigh(self, choice: _Choice) -> None:
        """Lay a choice as far as it may be the best, and keep it where it is."""
        best, more_pages = self.best, self._more_pages
        sizes = [*(size for sized in sizes_of(self._strips, choice) for size in sized), *self._own]
        left_out = sum(part.left_out_mm for parts in choice for part in parts)
        cut_through = sum(strip.cut_through(parts) for strip, parts in zip(self._strips, choice, strict=True))
        rest = (len(sizes), left_out, cut_through, _unevenness(choice))
        least = fewest(sizes, *self._room) + more_pages
        other = fewest([(_ROOM * w, h) for w, h in sizes], *self._room) + more_pages
        self.bound = (min(self.bound[0], other), min(self.bound[1], len(sizes)))
        if best is not None and (least, *rest) >= best[0]:
            return
        # As many pages as the best are of use only where all else is better.
        most = math.inf if best is None else best[0][0] - more_pages - (rest >= best[0][1:])
        taken = pages_taken(sizes, *self._room, most, self._empty)
        if taken is None:
            return
        worth = (taken + more_pages, *rest)
        if best is None or worth < best[0]:
            self.best = (worth, choice)

    def change_one_by_one(self, ways: Sequence[Sequence[tuple[Part, ...]]]) -> None:
        """Cut one strip after the other in each of its ways, the rest as is best so far, where that is not too much.

        Strips that were cut alike stay so where that saves no page.
        """
        parts, alike = sum(max(map(len, one)) for one in ways), self.best
        if alike is None or sum(map(len, ways)) * parts**2 > _MOST_LAID:
            return
        for k, own in enumerate(ways):
            for way in own:
                choice = (self.best or alike)[1]
                self.weigh((*choice[:k], way, *choice[k + 1 :]))
        if self.best is not None and self.best[0][0] == alike[0][0]:
            self.best = alike


def sizes_of(strips: Sequence[Strip], choice: Sequence[Sequence[Part]]) -> tuple[tuple[Point, ...], ...]:
    """The room that is reckoned for every part."""
    return tuple(tuple(strip.room(part) for part in parts) for strip, parts in zip(strips, choice, strict=True))


def choices(ways: Sequence[Sequence[tuple[Part, ...]]]) -> Iterator[_Choice]:
    """Every choice of one way for each strip; where that is too many, the same place in every list."""
    if _are_few(ways):
        yield from product(*ways)
    else:
        for k in range(max(len(one) for one in ways)):
            yield tuple(one[min(k, len(one) - 1)] for one in ways)


def _are_few(ways: Sequence[Sequence[tuple[Part, ...]]]) -> bool:
    count, parts = prod(len(one) for one in ways), sum(max(map(len, one)) for one in ways)
    return count <= _MOST_WAYS and count * parts**2 <= _MOST_LAID


def _unevenness(choice: Sequence[Sequence[Part]]) -> float:
    """How unlike the parts of the strips are in length."""
    spans = [[part.high_mm - part.low_mm for part in parts] for parts in choice]
    return round(sum(max(one) - min(one) for one in spans), 1)
