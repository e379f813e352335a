"""From long pieces and short ones to pages: cutting and packing, tried together, for as few pages as can be found."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.rigid import QUARTER, UNTURNED, Rigid
from closures.drawing.ink.upright import upright
from closures.drawing.paper.cutting import Cut, beside_of, cut_for, fits_frame, packed, pages_of
from closures.drawing.paper.following import following
from closures.drawing.paper.packing import Laid
from closures.drawing.paper.parts import Part
from closures.drawing.paper.piece import LongPiece, Piece
from closures.drawing.paper.refusing import too_small
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box, Item
    from closures.drawing.paper.page import PageFrame

_MORE_MM = 4.0
_MOST_TRIES = 4
_MOST_DRAWN = 3
_FEW_PAGES = 8


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
        long_pieces: what may be cut, in the order of reading; one that has a shorter one is drawn whole where it fits
            and takes no sheet more than that.
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
    whole = [_fitting(_uncut(one), frames, bare) for one in long_pieces if one.shorter is not None]
    small = [one.shorter for one in long_pieces if one.shorter is not None]
    long_pieces = [one for one in long_pieces if one.shorter is None]
    pieces = [_fitting(piece, frames, bare) for piece in pieces]
    own = [long for long in long_pieces if not long.is_further]
    cut = _best(own, (), frames, bare, 0) if own and len(own) < len(long_pieces) + len(whole) + len(pieces) else None

    def laid_with(uncut: Sequence[Piece]) -> Laying | None:
        if cut is None:
            return _best(long_pieces, [*uncut, *pieces], frames, bare, 0)
        # What is printed beside a lap would else decide how that is cut: a sheet less may cost the surety of a join.
        further = [long for long in long_pieces if long.is_further]
        return _best(further, [*cut.parts, *uncut, *pieces], frames, bare, len(_letters(cut)))

    best = laid_with(whole)
    if best is not None and best.pages > 1 and whole != small:
        # What can be told in small takes no sheet of its own.
        best = min((best, laid_with(small) or best), key=lambda one: one.pages)
    pieces = [*whole, *pieces]
    if best is None:
        lost = [piece for piece in pieces if not any(fits_frame(piece, one) for one in frames)]
        lost = [piece for piece in lost if beside_of([piece], frames, bare) is None]
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

        def cuts(unlike: bool, more: Sequence[float] = more) -> list[Cut]:
            tried = (cut_for(long_pieces, pieces, one, frames, bare, more, first_letter, unlike) for one in frames)
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
    ordered: Sequence[Cut], draws: Sequence[Callable[[Part], Piece]], pieces: Sequence[Piece], best: Laying | None
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


def _wider(cut: Cut, draws: Sequence[Callable[[Part], Piece]]) -> list[float]:
    """How much wider than reckoned the widest part of each strip came out, in mm."""
    return [
        max(0.0, *(draw(part).size_mm[1] - size[1] for part, size in zip(parts, sizes, strict=True)))
        for draw, parts, sizes in zip(draws, cut.parts, cut.sizes, strict=True)
    ]


def _uncut(long: LongPiece) -> Piece:
    """A long piece that is never cut, with what is drawn in its place where it fits no page."""
    length_mm = long.strip_for(lambda size: True, 0.0).length_mm
    whole = long.draw(Part(0.0, length_mm, "end", "end"))
    return replace(whole, strip="", shorter=long.shorter, without_squares=long.without_squares)


def _fitting(piece: Piece, frames: Sequence[PageFrame], bare: Sequence[PageFrame]) -> Piece:
    """The piece itself, or what is drawn in its place where it fits no page, with or without squares."""
    while piece.shorter is not None and beside_of([piece], frames, bare) is None:
        piece = piece.shorter
    return piece


def _drawn(cut: Cut, draws: Sequence[Callable[[Part], Piece]], pieces: Sequence[Piece]) -> Laying | None:
    """Draw the parts and lay them as they come out; None where one came out larger than a page."""
    drawn = [draw(part) for draw, parts in zip(draws, cut.parts, strict=True) for part in parts]
    parts = sorted(drawn, key=lambda piece: piece.number)
    # Strips that were cut before come first.
    own = sorted((piece for piece in pieces if fits_frame(piece, cut.frame)), key=lambda piece: not piece.strip)
    cut_before = sum(bool(piece.strip) for piece in own)
    strips = [*own[:cut_before], *parts]
    if not all(fits_frame(piece, cut.frame) for piece in strips):
        return None
    ordered = [*strips, *own[cut_before:]]
    laid = following(ordered, cut.frame)
    placed = _placed(ordered, laid)
    frames = [cut.frame] * pages_of(laid)
    if cut.beside is not None:
        others = [piece for piece in pieces if not fits_frame(piece, cut.frame)]
        beside = packed(others, cut.beside)
        placed += _placed(others, beside, len(frames))
        frames += [cut.beside] * pages_of(beside)
    last = [one for one in placed if one.page == len(frames) - 1]
    end = max((one.box[3] for one in last), default=cut.frame.body[1])
    return Laying(tuple(frames), tuple(sorted(placed, key=lambda one: one.page)), end, tuple(parts))


def _placed(pieces: Sequence[Piece], laid: Sequence[Laid], first_page: int = 0) -> list[LaidPiece]:
    placed = []
    for piece, one in zip(pieces, laid, strict=True):
        turn = UNTURNED.then_moved(*one.at)
        if one.turned:
            turn = QUARTER.then_moved(one.at[0] + piece.size_mm[1], one.at[1])
        placed.append(LaidPiece(piece, first_page + one.page, turn))
    return placed
