"""How the lines of sizes are told apart without colour: by dashes, and by a heavier pen when dashes run out."""

from __future__ import annotations

from dataclasses import replace

from closures.drawing.ink.shapes import Pen

_GAP = 1.2
_LONG, _SHORT, _DOT = 5.5, 2.2, 0.6


def _dashes(*parts: float) -> tuple[float, ...]:
    return tuple(value for part in parts for value in (part, _GAP))


# Neighbours stand far apart in this order, so that two sizes beside each other are never alike.
DASHES = (
    _dashes(_LONG),
    _dashes(_DOT),
    _dashes(_LONG, _DOT),
    _dashes(_SHORT),
    _dashes(_LONG, _SHORT),
    _dashes(_LONG, _DOT, _DOT),
    _dashes(_SHORT, _DOT),
    _dashes(_LONG, _SHORT, _SHORT),
    _dashes(_SHORT, _DOT, _DOT),
    _dashes(_LONG, _DOT, _DOT, _DOT),
    _dashes(_LONG, _SHORT, _DOT),
    _dashes(_SHORT, _SHORT, _DOT),
    _dashes(_LONG, _LONG, _DOT),
)
EDGE_MM, HEAVY_MM = 0.35, 0.6
_CLOSING_SHARE = 0.4


def size_pens(count: int, base: int) -> tuple[Pen, ...]:
    """Choose a pen for the edge of every size.

    Args:
        count: how many sizes.
        base: index of the base, which is drawn in a whole line.

    Returns:
        A pen for each, no two alike for up to 27 sizes.
    """
    others = [Pen(width, dash) for width in (EDGE_MM, HEAVY_MM) for dash in DASHES]
    pens = iter(others * (count // len(others) + 1))
    return tuple(Pen(HEAVY_MM if i == base else EDGE_MM) if i == base else next(pens) for i in range(count))


def closing_pen(edge: Pen) -> Pen:
    """The same dashes for a size's closing line, drawn finer."""
    return replace(edge, width_mm=edge.width_mm * _CLOSING_SHARE)
