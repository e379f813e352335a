"""The exact parallel of a cubic.

For a base B(t) with unit tangent T and right hand normal N, the parallel at d is
``O = B + d N``. Frenet's formulas give ``O' = B' (1 - d k)`` with the signed curvature k, so O has
B's tangents, turns back in x and y where B does, and is ``length(B) - d * turning(B)`` long.
All of this holds while ``1 - d k`` stays above zero, which `closures.curve.parallel` sees to.
"""

from __future__ import annotations

import math
from dataclasses import field

from closures.curve.cubic import Cubic, beside, box_by_ends
from closures.curve.line import Box, Point
from closures.frozen import frozen


@frozen
class OffsetPiece:
    """The exact parallel of a cubic.

    Attributes:
        base: the cubic.
        distance: from base to parallel, positive to the right hand, less than every radius there.
        length_mm: the base's length less the distance times its turning.
        start, end: its ends.
    """

    base: Cubic
    distance: float
    length_mm: float = field(init=False, repr=False, compare=False)
    start: Point = field(init=False, repr=False, compare=False)
    end: Point = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "length_mm", self.base.length_to(1.0, self.distance))
        object.__setattr__(self, "start", self.point(0.0))
        object.__setattr__(self, "end", self.point(1.0))

    @property
    def hull(self) -> Box:
        """A box that holds the piece."""
        x0, y0, x1, y1 = self.base.hull
        d = abs(self.distance)
        return (x0 - d, y0 - d, x1 + d, y1 + d)

    @property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        return box_by_ends(self)

    def point(self, t: float) -> Point:
        """The point at a parameter from 0 to 1."""
        return beside(self.base, t, self.distance)

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter, in mm."""
        tx, ty = self.base.tangent(t)
        speed = self.base.speed(t, self.distance)
        return (tx * speed, ty * speed)

    def tangent(self, t: float) -> Point:
        """The unit tangent, which is the base's."""
        return self.base.tangent(t)

    def curvature(self, t: float) -> float:
        """Curvature, 1/mm, positive where it turns to the right hand: k / (1 - d k)."""
        k = self.base.curvature(t)
        return -1 / self.distance if math.isinf(k) else k / (1 - self.distance * k)

    def at_length(self, s: float) -> float:
        """The parameter at a distance from the start."""
        return self.base.at_length(s, self.distance)

    def length_to(self, t: float) -> float:
        """The distance from the start at a parameter."""
        return self.base.length_to(t, self.distance)

    def bends(self) -> tuple[float, ...]:
        """Parameters among which the tightest place is."""
        return self.base.bends()

    def turning_to(self, t: float) -> float:
        """The angle turned to the right hand since the start, in radians."""
        return self.base.turning_to(t)

    def turning_places(self) -> tuple[float, ...]:
        """Parameters inside at which the turning changes its sense."""
        return self.base.turning_places()

    def level_places(self, axis: int) -> tuple[float, ...]:
        """Parameters inside at which x (axis 0) or y (axis 1) turns back."""
        return self.base.level_places(axis)

    def nearest(self, x: float, y: float, best: float) -> tuple[float, float] | None:
        """Distance and parameter of the nearest point, if nearer than ``best``."""
        return self.base.nearest(x, y, best, self.distance, (self.start, self.end))

    def extremes(self, x: float, y: float) -> tuple[float, ...]:
        """Parameters within at which the distance to a point is least or greatest, ascending."""
        return self.base.extremes(x, y)

    def part(self, t0: float, t1: float) -> OffsetPiece:
        """The part between two parameters."""
        return OffsetPiece(self.base.part(t0, t1), self.distance)

    def reversed(self) -> OffsetPiece:
        """The same from the end to the start."""
        return OffsetPiece(self.base.reversed(), -self.distance)

    def mirrored(self) -> OffsetPiece:
        """The same with x turned to -x."""
        return OffsetPiece(self.base.mirrored(), -self.distance)

    def moved(self, dx: float, dy: float) -> OffsetPiece:
        """The same, moved."""
        return OffsetPiece(self.base.moved(dx, dy), self.distance)
