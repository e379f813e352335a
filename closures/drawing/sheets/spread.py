"""How large a stretch of a strip is once it lies along x, before it is drawn."""

from __future__ import annotations

import math
from functools import cache, cached_property
from typing import TYPE_CHECKING

from closures.drawing.ink.rigid import along_x
from closures.drawing.paper.joins import ring_depths
from closures.drawing.sheets.lanes import STRIDE_MM

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.curve import Point
    from closures.drawing.sheets.view import Spot


_SURELY_MM = 50.0
"""A stretch is at least as wide as its ends lie apart; sides that lean off a bent end take less than this from it."""


class Spread:
    """A strip, of which some thousand stretches are measured: on a grid of the whole line, found once for all of them.

    Attributes:
        spot: a place of the closing line, by its distance along it in mm.
        sides: both sides of the strip at such a place.
        length_mm: of the whole line.
        arm_mm: how far the ring of a join reaches across, from its middle outwards.
    """

    def __init__(
        self,
        spot: Callable[[float], Spot],
        sides: Callable[[float], tuple[Point, Point]],
        length_mm: float,
        arm_mm: float,
    ) -> None:
        self.spot, self.sides, self.length_mm, self.arm_mm = spot, sides, length_mm, arm_mm
        self._end, self._spans = cache(self._end_at), cache(self._spans_of)

    @cached_property
    def _grid(self) -> list[Point]:
        """Both sides of every place of the grid, one after the other."""
        places = [self._place(k) for k in range(math.ceil(self.length_mm / STRIDE_MM) + 1)]
        return [point for place in places for point in self.sides(place)]

    def _place(self, k: int) -> float:
        return min(self.length_mm, STRIDE_MM * k)

    def _end_at(self, k: int) -> tuple[Point, list[Point]]:
        """A place of the grid, and how far both rings of a join reach there."""
        one = self.spot(self._place(k))
        depths = zip(ring_depths(one), (-1, 1), strict=True)
        return one.at, [one.moved(0.0, depth + way * self.arm_mm) for depth, way in depths]

    def size(self, low: float, high: float) -> Point:
        """Measure a stretch, laid along x, with the rings of the joins at those of its ends that are none of the line.

        Args:
            low, high: from and to, in mm along the line, both on it.

        Returns:
            Width and height in mm.
        """
        # What lies beyond the grid is added.
        first, last = _on_grid(low, high)
        across, down = self._spans(first, last, low > 0.0, high < self.length_mm)
        return (across + high - low - STRIDE_MM * (last - first), down)

    def is_too_long(self, fits_page: Callable[[Point], bool], low: float, high: float) -> bool:
        """Tell of a stretch by both its ends alone that it fits no page, so that no long rest is measured part by part.

        Args:
            fits_page: whether a size fits.
            low, high: as for `size`; what lies beyond the line is not counted.

        Returns:
            Whether it surely fits none; what is not surely too long must be measured.
        """
        first, last = _on_grid(max(0.0, low), min(high, self.length_mm))
        apart = math.dist(self._end(first)[0], self._end(last)[0]) - _SURELY_MM
        return apart > 0.0 and not fits_page((apart, 0.0))

    def _spans_of(self, first: int, last: int, is_joined: bool, goes_on: bool) -> Point:
        """Width and height from one place of the grid to another, with the rings of the joins that are there."""
        (start, before), (end, after) = self._end(first), self._end(last)
        points = self._grid[2 * first : 2 * last + 2]
        if is_joined:
            points += before
        if goes_on:
            points += after
        return along_x(start, end).spans(points)


def _on_grid(low: float, high: float) -> tuple[int, int]:
    """The first and the last place of the grid on a stretch."""
    first = math.ceil(low / STRIDE_MM)
    return first, max(first, math.floor(high / STRIDE_MM))
