"""Parts of a strip on sheets that follow each other: who tapes a lap takes it from there, not from all of them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.drawing.paper.packing import Laid
    from closures.drawing.paper.piece import Piece


def orders_of(parts: Sequence[Piece]) -> list[list[Piece]]:
    """The orders in which parts of strips may be laid: as they come, and one strip after the other."""
    strips = list(dict.fromkeys(piece.strip for piece in parts))
    return [list(parts), sorted(parts, key=lambda piece: strips.index(piece.strip))]


def apart_by(pieces: Sequence[Piece], laid: Sequence[Laid]) -> int:
    """How far strips are scattered over pages, all together.

    Args:
        pieces: strips and what is none.
        laid: where each of them lies.

    Returns:
        Of every strip how many pages it goes on after its first, and by how many its parts turn back.
    """
    pages: dict[str, list[tuple[int, int]]] = {}
    for piece, one in zip(pieces, laid, strict=True):
        if piece.strip:
            pages.setdefault(piece.strip, []).append((piece.number, one.page))
    return sum(apart_of(one) for one in pages.values())


def apart_of(parts: Sequence[tuple[int, int]]) -> int:
    """How far one strip is scattered over pages.

    Args:
        parts: of each part its number and its page.
    """
    on = [page for _, page in sorted(parts)]
    return max(on) - min(on) + sum(max(0, page - after) for page, after in pairwise(on))
