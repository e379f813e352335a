"""What is told where something fits no page of a paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from typing import TYPE_CHECKING

from closures.drawing.paper.packing import GAP_MM, fits
from closures.drawing.paper.parts import NoPlaceForJoinError, numbered, ways_to_cut
from closures.errors import PaperTooSmallError

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.paper.page import PageFrame
    from closures.drawing.paper.piece import LongPiece, Piece

_MORE_MM, _MOST_TRIES = 4.0, 4


def too_small(
    long_pieces: Sequence[LongPiece], lost: Sequence[Piece], frames: Sequence[PageFrame], name: str
) -> PaperTooSmallError:
    """Say what fits no page of a paper.

    Args:
        long_pieces: all strips.
        lost: the pieces that fit no page.
        frames: the ways in which a page may be held and divided.
        name: of the paper.
    """
    close, too_large = _too_close(long_pieces, frames), _too_large(long_pieces, lost, frames)
    if close and set(too_large) <= set(close):
        what = between_names(close).join(close)
        return PaperTooSmallError(
            f"{name} is too short for {what}: marks stand so close that a join between two sheets would cut one",
            mend="Choose a larger paper.",
        )
    what = between_names(too_large).join(dict.fromkeys(too_large)) or "what comes on one sheet"
    return PaperTooSmallError(f"{name} is too small for these pieces: {what}", mend="Choose a larger paper.")


def between_names(names: Iterable[str]) -> str:
    """What parts the names of pieces: where they hold commas, "band, over lap, facing" does not tell where one ends."""
    return "; " if any("," in name for name in names) else ", "


def _too_close(long_pieces: Sequence[LongPiece], frames: Sequence[PageFrame]) -> list[str]:
    """The names of strips that are longer than a page and whose marks leave no place for a join."""
    found: dict[str, None] = {}
    for long, frame in product(long_pieces, frames):

        def fits_page(size: Point, frame: PageFrame = frame) -> bool:
            return fits(size, frame.body, frame.squares, GAP_MM)

        try:
            ways_to_cut(long.strip_for(fits_page, 0.0))
        except NoPlaceForJoinError:
            found[long.name] = None
        except ValueError:
            continue
    return list(found)


def _too_large(long_pieces: Sequence[LongPiece], lost: Sequence[Piece], frames: Sequence[PageFrame]) -> list[str]:
    """The names of what fits no page, however it is held; of a strip, what is too wide where it is shortest."""
    found = [long.name for long in long_pieces if not any(_is_drawn_within(long, frame) for frame in frames)]
    return [*found, *(piece.name for piece in lost)]


def _is_drawn_within(long: LongPiece, frame: PageFrame) -> bool:
    """Whether the parts of a strip, as they come out, fit pages that are held one way."""

    def fits_page(size: Point) -> bool:
        return fits(size, frame.body, frame.squares, GAP_MM)

    for more in range(_MOST_TRIES):
        try:
            ways = ways_to_cut(long.strip_for(fits_page, more * _MORE_MM))
        except ValueError:
            return False
        if all(fits_page(long.draw(part).size_mm) for part in numbered(ways[0], 0)):
            return True
    return False
