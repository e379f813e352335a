"""How large a stretch of a strip is once it lies along x, before it is drawn."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.ink.rigid import along_x
from closures.drawing.paper.joins import ring_depths
from closures.drawing.sheets.lanes import STRIDE_MM

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.curve import Point
    from closures.drawing.sheets.view import Spot


def spread_of(
    spot: Callable[[float], Spot],
    sides: Callable[[float], tuple[Point, Point]],
    stretch: tuple[float, float],
    length_mm: float,
    arm_mm: float,
) -> Point:
    """Measure a stretch, laid along x, with the rings of the joins at those of its ends that are none of the line.

    Args:
        spot: a place of the closing line, by its distance along it in mm.
        sides: both sides of the strip at such a place.
        stretch: from and to, in mm along the line, both on it.
        length_mm: of the whole line.
        arm_mm: how far a ring reaches across, from its middle outwards.

    Returns:
        Width and height in mm.
    """
    low, high = stretch
    # On a grid of the whole line, so that a place is found once for all that is tried; what lies beyond it is added.
    first = math.ceil(low / STRIDE_MM)
    last = max(first, math.floor(high / STRIDE_MM))
    places = [min(length_mm, STRIDE_MM * k) for k in range(first, last + 1)]
    ends = (spot(places[0]), spot(places[-1]))
    points = [point for place in places for point in sides(place)]
    for one, is_end in ((ends[0], low <= 0.0), (ends[1], high >= length_mm)):
        if not is_end:
            points += [one.moved(0.0, d + w * arm_mm) for d, w in zip(ring_depths(one), (-1, 1), strict=True)]
    across, down = along_x(ends[0].at, ends[1].at).spans(points)
    return (across + high - low - STRIDE_MM * (last - first), down)


_SURELY_MM = 50.0
"""A stretch is at least as wide as its ends lie apart; sides that lean off a bent end take less than this from it."""


def is_too_long(
    fits_page: Callable[[Point], bool],
    spot: Callable[[float], Spot],
    stretch: tuple[float, float],
    length_mm: float,
) -> bool:
    """Tell of a stretch by both its ends alone that it fits no page, so that no long rest is measured part by part.

    Args:
        fits_page: whether a size fits.
        spot, length_mm: as for `spread_of`.
        stretch: from and to, in mm along the line; what lies beyond the line is not counted.

    Returns:
        Whether it surely fits none; what is not surely too long must be measured.
    """
    low, high = (min(max(0.0, end), length_mm) for end in stretch)
    apart = math.dist(spot(low).at, spot(high).at) - _SURELY_MM
    return apart > 0.0 and not fits_page((apart, 0.0))
