"""A straight segment."""

from __future__ import annotations

import math
from dataclasses import field

from closures.frozen import frozen

Point = tuple[float, float]
Box = tuple[float, float, float, float]


@frozen
class Line:
    """A straight segment, in mm.

    Attributes:
        start, end: its ends.
        length_mm: the distance between them.
    """

    start: Point
    end: Point
    length_mm: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        length = math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])
        object.__setattr__(self, "length_mm", length)

    @property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        (x0, y0), (x1, y1) = self.start, self.end
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    hull = box

    def point(self, t: float) -> Point:
        """The point at a parameter from 0 to 1."""
        (x0, y0), (x1, y1) = self.start, self.end
        return (x0 + (x1 - x0) * t, y0 + (y1 - y0) * t)

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter, in mm."""
        return (self.end[0] - self.start[0], self.end[1] - self.start[1])

    def tangent(self, t: float) -> Point:
        """The unit tangent."""
        dx, dy = self.derivative(t)
        return (dx / self.length_mm, dy / self.length_mm)

    def curvature(self, t: float) -> float:
        """Zero."""
        return 0.0

    def at_length(self, s: float) -> float:
        """The parameter at a distance from the start."""
        return s / self.length_mm

    def length_to(self, t: float) -> float:
        """The distance from the start at a parameter."""
        return t * self.length_mm

    def bends(self) -> tuple[float, ...]:
        """Parameters among which the tightest place is: none."""
        return ()

    def turning_to(self, t: float) -> float:
        """The angle turned to the right hand since the start, in radians."""
        return 0.0

    def turning_places(self) -> tuple[float, ...]:
        """Parameters inside at which the turning changes its sense: none."""
        return ()

    def level_places(self, axis: int) -> tuple[float, ...]:
        """Parameters inside at which x (axis 0) or y (axis 1) turns back: none."""
        return ()

    def nearest(self, x: float, y: float, best: float) -> tuple[float, float] | None:
        """Distance and parameter of the nearest point, if nearer than ``best``."""
        (x0, y0), (x1, y1) = self.start, self.end
        dx, dy = x1 - x0, y1 - y0
        t = ((x - x0) * dx + (y - y0) * dy) / (self.length_mm * self.length_mm)
        t = 0.0 if t < 0 else (1.0 if t > 1 else t)
        distance = math.hypot(x0 + dx * t - x, y0 + dy * t - y)
        return (distance, t) if distance < best else None

    def extremes(self, x: float, y: float) -> tuple[float, ...]:
        """Parameters within at which the distance to a point is least or greatest, ascending."""
        _, t = self.nearest(x, y, math.inf) or (0.0, 0.0)
        return (t,)

    def part(self, t0: float, t1: float) -> Line:
        """The part between two parameters."""
        return Line(
            self.start if t0 == 0 else self.point(t0),
            self.end if t1 == 1 else self.point(t1),
        )

    def reversed(self) -> Line:
        """The same from the end to the start."""
        return Line(self.end, self.start)

    def mirrored(self) -> Line:
        """The same with x turned to -x."""
        return Line((-self.start[0], self.start[1]), (-self.end[0], self.end[1]))

    def moved(self, dx: float, dy: float) -> Line:
        """The same, moved."""
        return Line((self.start[0] + dx, self.start[1] + dy), (self.end[0] + dx, self.end[1] + dy))
