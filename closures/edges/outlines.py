"""Closed outlines of pattern pieces, and how wide a piece is at a level."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.errors import DrawingError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.edges.drawing import Drawn


def closed_outline(lines: Sequence[Drawn], where: str) -> Curve:
    """Make one curve of a closed outline.

    Args:
        lines: what the drawing holds under its name.
        where: for messages.

    Raises:
        DrawingError: it is not one closed line.
    """
    closed = [line for line in lines if line.is_closed]
    if len(closed) != 1 or len(lines) != 1:
        raise DrawingError(
            "this is not one closed outline", where=where, mend="Name the outline of a piece, all the way round."
        )
    return Curve(tuple(closed[0].segments))


def width_at_mm(outline: Curve, y_mm: float) -> float | None:
    """How wide a piece is at a height, in mm: the cloth alone, without what lies open between; None outside it.

    Args:
        outline: closed.
        y_mm: the height in its own frame.
    """
    places = sorted(outline.point_at(along)[0] for along in outline.crossings_of_level(y_mm))
    if len(places) < 2:
        return None
    # At a corner or a flat stretch a touch may count once: then only the whole width is sure.
    if len(places) % 2:
        return places[-1] - places[0]
    return sum(right - left for left, right in _pairs(places))


def _pairs(places: Sequence[float]) -> Sequence[tuple[float, float]]:
    return list(zip(places[::2], places[1::2], strict=True))
