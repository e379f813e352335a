"""From long pieces and short ones to pages: cutting and packing, tried together, for as few pages as can be found."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import product
from math import prod
from typing import TYPE_CHECKING

from closures.drawing.ink.rigid import QUARTER, UNTURNED, Rigid
from closures.drawing.ink.upright import upright
from closures.drawing.paper.packing import GAP_MM, Laid, empty_page, fewest, fits, free_sides, pack, pages_taken
from closures.drawing.paper.parts import Part, numbered, ways_to_cut
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.paper.refusing import too_small
from closures.drawing.paper.stubs import without_stubs
from closures.drawing.paper.together import apart_by, orders_of
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box, Item, Point
    from closures.drawing.paper.page import PageFrame
    from closures.drawing.paper.parts import Strip

_MORE_MM, _LONGER = 4.0, 0.25
_MOST_TRIES = 4
_MOST_DRAWN = 3
_MOST_WAYS = 200
# So much is laid for trial, as the square of the parts: so each costs, and on many pages one way less is little.
_MOST_LAID = 100_000
_FEW_PAGES = 8
# How much less room the parts may take where a strip is cut another way: fewer of them have fewer overlaps.
_ROOM = 0.9


@frozen
class LaidPiece:
    """A piece on its page.

    Attributes:
        piece: the piece.
        page: from 0.
        turn: how it is turned and moved from its own corner to the page.
    """

    piece: Piece
    page: int
    turn: Rigid

    @property
    def box(self) -> Box:
        """The room that it takes on the page."""
        (x0, y0), (x1, y1) = self.turn.point((0.0, 0.0)), self.turn.point(self.piece.size_mm)
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def items(self) -> tuple[Item, ...]:
        """The drawing as it lies on the page, its words the readable way up there."""
        return upright([self.turn.item(item) for item in self.piece.items])


@frozen
class Laying:
    """All pieces laid.

    Attributes:
        frames: how each page is held and divided: all alike, but for those of pieces that fit only another.
        pieces: in the order of their pages.
        end_mm: how far down the last page is used.
        parts: those that strips were cut into, in the order of reading.
    """

    frames: tuple[PageFrame, ...]
    pieces: tuple[LaidPiece, ...]
    end_mm: float
    parts: tuple[Piece, ...] = ()

    @property
    def pages(self) -> int:
        """How many pages there are."""
        return len(self.frames)

    @property
    def worth(self) -> tuple[float, ...]:
        """The less, the better: pages, then pieces, each of which is cut out and most of them taped."""
        return (self.pages, len(self.pieces))


def lay(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frames: Sequence[PageFrame],
    name: str,
    bare: Sequence[PageFrame] = (),
) -> Laying:
    """Cut long pieces and lay everything on pages.

    Args:
        long_pieces: what may be cut, in the order of reading.
        pieces: what may not.
        frames: the ways in which a page may be held and divided.
        name: of the paper, for messages.
        bare: the same without squares, for what may do without and fits no other.

    Returns:
        The laying with the fewest pages of all that were tried; of two alike the one with fewer parts. Strips are cut
        as they are without further ones and without short pieces, which are laid beside their parts.

    Raises:
        PaperTooSmallError: something fits no page of this paper.
    """
    pieces = [_fitting(piece, frames) for piece in pieces]
    own = [long for long in long_pieces if not long.is_further]
    cut = _best(own, (), frames, bare, 0) if own and len(own) < len(long_pieces) + len(pieces) else None
    if cut is None:
        best = _best(long_pieces, pieces, frames, bare, 0)
    else:
        # What is printed beside a lap would else decide how that is cut: a sheet less may cost the surety of a join.
        further = [long for long in long_pieces if long.is_further]
        best = _best(further, [*cut.parts, *pieces], frames, bare, len(_letters(cut)))
    if best is None:
        lost = [piece for piece in pieces if not any(_fits(piece, one) for one in frames)]
        lost = [piece for piece in lost if _beside([piece], frames, bare) is None]
        raise too_small(long_pieces, lost, frames, name)
    return best


def _best(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frames: Sequence[PageFrame],
    bare: Sequence[PageFrame],
    first_letter: int,
) -> Laying | None:
    """Cut and lay everything on the fewest pages, what may do without squares apart where that saves some."""
    best = _together(long_pieces, pieces, frames, bare, first_letter)
    if bare and (best is None or best.pages > 1):
        apart = _apart(long_pieces, pieces, frames, bare, first_letter)
        best = min((one for one in (best, apart) if one is not None), key=lambda one: one.pages, default=None)
    return best


def _letters(laying: Laying) -> set[str]:
    """The letters of all its joins."""
    return {letter for one in laying.pieces for letter in one.piece.letters}


def _apart(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frames: Sequence[PageFrame],
    bare: Sequence[PageFrame],
    first_letter: int,
) -> Laying | None:
    """Lay strips that may do without squares after all the rest, on pages of their own, held as suits them."""
    without = [long for long in long_pieces if long.without_squares]
    rest = [long for long in long_pieces if not long.without_squares]
    if not without or not (rest or pieces):
        return None
    first = _together(rest, pieces, frames, bare, first_letter)
    if first is None:
        return None
    then = _together(without, (), (*frames, *bare), (), len(_letters(first)))
    if then is None:
        return None
    later = tuple(replace(one, page=first.pages + one.page) for one in then.pieces)
    return Laying((*first.frames, *then.frames), (*first.pieces, *later), then.end_mm, (*first.parts, *then.parts))


def _together(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frames: Sequence[PageFrame],
    bare: Sequence[PageFrame],
    first_letter: int,
) -> Laying | None:
    """Cut and lay everything on pages that are held one way, but for what fits only another."""
    best: Laying | None = None
    # Ways to hold a page often come to the same parts: each is drawn once.
    draws = [cache(long.draw) for long in long_pieces]
    more = [0.0] * len(long_pieces)
    for _ in range(_MOST_TRIES):

        def cuts(unlike: bool, more: Sequence[float] = more) -> list[_Cut]:
            tried = (_cut(long_pieces, pieces, one, frames, bare, more, first_letter, unlike) for one in frames)
            return sorted((cut for cut in tried if cut is not None), key=lambda one: one.worth)

        ordered = cuts(unlike=False)
        if not ordered:
            break
        # On few pages one page less is much, and there are few ways to try.
        is_few = 1 < ordered[0].worth[0] <= _FEW_PAGES
        has_unlike = is_few and any(cut.bound < ordered[0].worth[:2] for cut in ordered)
        if has_unlike:
            ordered = sorted([*ordered, *cuts(unlike=True)], key=lambda one: one.worth)
        best = _best_drawn(ordered, draws, pieces, best)
        least = ordered[0].worth[0]
        if is_few and not has_unlike and (best is None or best.pages > least):
            best = _best_drawn(cuts(unlike=True), draws, pieces, best)
        if best is not None and best.pages <= least:
            break
        # Words came to stand further out than was reckoned: each strip is cut narrower, by no more than it came wider.
        wider = _wider(ordered[0], draws)
        more = [one + (min(by, _MORE_MM) if any(wider) else _MORE_MM) for one, by in zip(more, wider, strict=True)]
    return best


def _best_drawn(
    ordered: Sequence[_Cut], draws: Sequence[Callable[[Part], Piece]], pieces: Sequence[Piece], best: Laying | None
) -> Laying | None:
    """Draw the first few cuts, and give the best of them and of what was had before."""
    had: list[tuple[PageFrame, tuple[tuple[Part, ...], ...]]] = []
    for cut in ordered:
        if len(had) == _MOST_DRAWN or (best is not None and best.worth <= cut.worth[:2]):
            break
        if (cut.frame, cut.parts) in had:
            continue
        had.append((cut.frame, cut.parts))
        laying = _drawn(cut, draws, pieces)
        if laying is not None and (best is None or laying.worth < best.worth):
            best = laying
    return best


def _wider(cut: _Cut, draws: Sequence[Callable[[Part], Piece]]) -> list[float]:
    """How much wider than reckoned the widest part of each strip came out, in mm."""
    return [
        max(0.0, *(draw(part).size_mm[1] - size[1] for part, size in zip(parts, sizes, strict=True)))
        for draw, parts, sizes in zip(draws, cut.parts, cut.sizes, strict=True)
    ]


def _fitting(piece: Piece, frames: Sequence[PageFrame]) -> Piece:
    """The piece itself, or what is drawn in its place where it fits no page."""
    if piece.shorter is None or any(_fits(piece, frame) for frame in frames):
        return piece
    return piece.shorter


def _drawn(cut: _Cut, draws: Sequence[Callable[[Part], Piece]], pieces: Sequence[Piece]) -> Laying | None:
    """Draw the parts and lay them as they come out; None where one came out larger than a page."""
    drawn = [draw(part) for draw, parts in zip(draws, cut.parts, strict=True) for part in parts]
    parts = sorted(drawn, key=lambda piece: piece.number)
    # Strips that were cut before come first.
    own = sorted((piece for piece in pieces if _fits(piece, cut.frame)), key=lambda piece: not piece.strip)
    cut_before = sum(bool(piece.strip) for piece in own)
    strips = [*own[:cut_before], *parts]
    if not all(_fits(piece, cut.frame) for piece in strips):
        return None
    tried = [(way, _packed(way, cut.frame)) for way in ([*one, *own[cut_before:]] for one in orders_of(strips))]
    ordered, laid = min(tried, key=lambda one: (_pages_of(one[1]), apart_by(*one)))
    placed = _placed(ordered, laid)
    frames = [cut.frame] * _pages_of(laid)
    if cut.beside is not None:
        others = [piece for piece in pieces if not _fits(piece, cut.frame)]
        beside = _packed(others, cut.beside)
        placed += _placed(others, beside, len(frames))
        frames += [cut.beside] * _pages_of(beside)
    last = [one for one in placed if one.page == len(frames) - 1]
    end = max((one.box[3] for one in last), default=cut.frame.body[1])
    return Laying(tuple(frames), tuple(sorted(placed, key=lambda one: one.page)), end, tuple(parts))


def _fits(piece: Piece, frame: PageFrame) -> bool:
    return fits(piece.size_mm, frame.body, frame.squares, GAP_MM)


def _packed(pieces: Sequence[Piece], frame: PageFrame) -> tuple[Laid, ...]:
    """Lay pieces of which each fits a page of its own."""
    laid = pack([piece.size_mm for piece in pieces], frame.body, frame.squares, GAP_MM)
    return () if laid is None else laid


def _pages_of(laid: Sequence[Laid]) -> int:
    return max((one.page for one in laid), default=-1) + 1


def _beside(pieces: Sequence[Piece], frames: Sequence[PageFrame], bare: Sequence[PageFrame]) -> PageFrame | None:
    """The way to hold a page on which pieces that fit no other way need the fewest pages; None where there is none."""
    ways = [frame for frame in frames if all(_fits(piece, frame) for piece in pieces)]
    if not ways and all(piece.without_squares for piece in pieces):
        ways = [frame for frame in bare if all(_fits(piece, frame) for piece in pieces)]
    return min(ways, key=lambda frame: _pages_of(_packed(pieces, frame)), default=None)


@frozen
class _Cut:
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


def _cut(
    long_pieces: Sequence[LongPiece],
    pieces: Sequence[Piece],
    frame: PageFrame,
    frames: Sequence[PageFrame],
    bare: Sequence[PageFrame],
    more_mm: Sequence[float],
    first_letter: int,
    unlike: bool,
) -> _Cut | None:
    """Choose the way to cut every strip that needs the fewest pages together; None where something fits no page."""
    own = [piece for piece in pieces if _fits(piece, frame)]
    others = [piece for piece in pieces if not _fits(piece, frame)]
    beside = _beside(others, frames, bare) if others else None
    if others and (beside is None or not (own or long_pieces)):
        return None
    if any(piece.strip for piece in others):
        # Parts that were cut before lie on pages that are held one way, whatever lies beside them.
        return None
    more_pages = 0 if beside is None else _pages_of(_packed(others, beside))

    # What came out wider than reckoned may have come out a little longer as well.
    longer_mm = _LONGER * max(more_mm, default=0.0)

    @cache
    def fits_page(size: Point) -> bool:
        return fits((size[0] + longer_mm, size[1]), frame.body, frame.squares, GAP_MM)

    strips = [long.strip_for(fits_page, more) for long, more in zip(long_pieces, more_mm, strict=True)]
    caps = tuple(side - longer_mm for side in free_sides(frame.body, frame.squares, GAP_MM)) if unlike else ()
    best: tuple[tuple[float, ...], tuple[tuple[Part, ...], ...]] | None = None
    try:
        ways = [without_stubs(strip, ways_to_cut(strip, caps)) for strip in strips]
    except ValueError:
        return None
    bound, empty = (math.inf, math.inf), empty_page(frame.body, frame.squares, GAP_MM)
    for choice in _choices(ways):
        sizes = [size for sized in _sizes(strips, choice) for size in sized]
        sizes += [piece.size_mm for piece in own]
        left_out = sum(part.left_out_mm for parts in choice for part in parts)
        cut_through = sum(strip.cut_through(parts) for strip, parts in zip(strips, choice, strict=True))
        rest = (len(sizes), left_out, cut_through, _unevenness(choice))
        least = fewest(sizes, frame.body, frame.squares, GAP_MM) + more_pages
        other = fewest([(_ROOM * w, h) for w, h in sizes], frame.body, frame.squares, GAP_MM) + more_pages
        bound = (min(bound[0], other), min(bound[1], len(sizes)))
        if best is not None and (least, *rest) >= best[0]:
            continue
        # As many pages as the best are of use only where all else is better.
        most = math.inf if best is None else best[0][0] - more_pages - (rest >= best[0][1:])
        taken = pages_taken(sizes, frame.body, frame.squares, GAP_MM, most, empty)
        if taken is None:
            continue
        worth = (taken + more_pages, *rest)
        if best is None or worth < best[0]:
            best = (worth, choice)
    if best is None:
        return None
    letters, cut = first_letter, []
    for parts in best[1]:
        cut.append(numbered(parts, letters))
        letters += sum(part.after == "join" for part in parts)
    return _Cut(frame, beside, tuple(cut), _sizes(strips, cut), best[0], bound)


def _sizes(strips: Sequence[Strip], choice: Sequence[Sequence[Part]]) -> tuple[tuple[Point, ...], ...]:
    """The room that is reckoned for every part."""
    return tuple(
        tuple(strip.size(part.drawn_from_mm, part.drawn_to_mm) for part in parts)
        for strip, parts in zip(strips, choice, strict=True)
    )


def _choices(ways: Sequence[Sequence[tuple[Part, ...]]]) -> Iterator[tuple[tuple[Part, ...], ...]]:
    """Every choice of one way for each strip; where that is too many, the same place in every list."""
    count, parts = prod(len(one) for one in ways), sum(max(map(len, one)) for one in ways)
    if count <= _MOST_WAYS and count * parts**2 <= _MOST_LAID:
        yield from product(*ways)
    else:
        for k in range(max(len(one) for one in ways)):
            yield tuple(one[min(k, len(one) - 1)] for one in ways)


def _unevenness(choice: Sequence[Sequence[Part]]) -> float:
    """How unlike the parts of the strips are in length."""
    spans = [[part.high_mm - part.low_mm for part in parts] for parts in choice]
    return round(sum(max(one) - min(one) for one in spans), 1)


def _placed(pieces: Sequence[Piece], laid: Sequence[Laid], first_page: int = 0) -> list[LaidPiece]:
    placed = []
    for piece, one in zip(pieces, laid, strict=True):
        turn = UNTURNED.then_moved(*one.at)
        if one.turned:
            turn = QUARTER.then_moved(one.at[0] + piece.size_mm[1], one.at[1])
        placed.append(LaidPiece(piece, first_page + one.page, turn))
    return placed
