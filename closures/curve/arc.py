"""A circular segment."""

from __future__ import annotations

import math

from closures.curve.line import Box, Point
from closures.frozen import frozen

# Two angles nearer than this are the same place on an arc (1e-12 rad of 3 m is 3e-9 mm).
_SAME_ANGLE = 1e-12


@frozen
class Arc:
    """A circular arc, in mm and radians.

    The point at an angle a is ``centre + radius (cos a, sin a)``. With y down, a positive sweep
    turns to the right hand.

    Attributes:
        centre: the circle's centre.
        radius: above zero.
        start_angle: angle of the start.
        sweep: signed angle from start to end.
    """

    centre: Point
    radius: float
    start_angle: float
    sweep: float

    @property
    def length_mm(self) -> float:
        """The length."""
        return self.radius * abs(self.sweep)

    @property
    def start(self) -> Point:
        """The first end."""
        return self.point(0.0)

    @property
    def end(self) -> Point:
        """The last end."""
        return self.point(1.0)

    @property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        ends = [self.point(t) for t in (0.0, *self.level_places(0), *self.level_places(1), 1.0)]
        xs, ys = [p[0] for p in ends], [p[1] for p in ends]
        return (min(xs), min(ys), max(xs), max(ys))

    @property
    def hull(self) -> Box:
        """A box that holds the arc."""
        return self.box

    def point(self, t: float) -> Point:
        """The point at a parameter from 0 to 1."""
        angle = self.start_angle + self.sweep * t
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter, in mm."""
        angle = self.start_angle + self.sweep * t
        speed = self.radius * self.sweep
        return (-speed * math.sin(angle), speed * math.cos(angle))

    def tangent(self, t: float) -> Point:
        """The unit tangent."""
        angle = self.start_angle + self.sweep * t
        sense = math.copysign(1.0, self.sweep)
        return (-sense * math.sin(angle), sense * math.cos(angle))

    def curvature(self, t: float) -> float:
        """Curvature, 1/mm, positive where it turns to the right hand."""
        return math.copysign(1 / self.radius, self.sweep)

    def at_length(self, s: float) -> float:
        """The parameter at a distance from the start."""
        return s / self.length_mm

    def length_to(self, t: float) -> float:
        """The distance from the start at a parameter."""
        return t * self.length_mm

    def bends(self) -> tuple[float, ...]:
        """Parameters among which the tightest place is: the middle stands for all."""
        return (0.5,)

    def turning_to(self, t: float) -> float:
        """The angle turned to the right hand since the start, in radians."""
        return self.sweep * t

    def turning_places(self) -> tuple[float, ...]:
        """Parameters inside at which the turning changes its sense: none."""
        return ()

    def level_places(self, axis: int) -> tuple[float, ...]:
        """Parameters inside at which x (axis 0) or y (axis 1) turns back."""
        first = 0.0 if axis == 0 else math.pi / 2
        low, high = sorted((self.start_angle, self.start_angle + self.sweep))
        k = math.ceil((low - first) / math.pi)
        places = []
        while first + k * math.pi < high:
            t = (first + k * math.pi - self.start_angle) / self.sweep
            if 0 < t < 1:
                places.append(t)
            k += 1
        return tuple(sorted(places))

    def nearest(self, x: float, y: float, best: float) -> tuple[float, float] | None:
        """Distance and parameter of the nearest point, if nearer than ``best``."""
        dx, dy = x - self.centre[0], y - self.centre[1]
        away = math.hypot(dx, dy)
        if abs(away - self.radius) >= best:
            return None
        sense = math.copysign(1.0, self.sweep)
        angle = (sense * (math.atan2(dy, dx) - self.start_angle)) % math.tau
        if angle > math.tau - _SAME_ANGLE:
            angle = 0.0
        if angle <= abs(self.sweep) or away == 0:
            distance = abs(away - self.radius)
            return (distance, min(1.0, angle / abs(self.sweep))) if distance < best else None
        ends = []
        for t in (0.0, 1.0):
            px, py = self.point(t)
            ends.append((math.hypot(px - x, py - y), t))
        nearer = min(ends)
        return nearer if nearer[0] < best else None

    def extremes(self, x: float, y: float) -> tuple[float, ...]:
        """Parameters within at which the distance to a point is least or greatest, ascending."""
        toward = math.atan2(y - self.centre[1], x - self.centre[0])
        sense = math.copysign(1.0, self.sweep)
        places = (sense * (toward + k * math.pi - self.start_angle) % math.tau / abs(self.sweep) for k in (0, 1))
        return tuple(sorted(t for t in places if t <= 1.0))

    def part(self, t0: float, t1: float) -> Arc:
        """The part between two parameters."""
        return Arc(self.centre, self.radius, self.start_angle + self.sweep * t0, self.sweep * (t1 - t0))

    def reversed(self) -> Arc:
        """The same from the end to the start."""
        return Arc(self.centre, self.radius, self.start_angle + self.sweep, -self.sweep)

    def mirrored(self) -> Arc:
        """The same with x turned to -x."""
        return Arc((-self.centre[0], self.centre[1]), self.radius, math.pi - self.start_angle, -self.sweep)

    def moved(self, dx: float, dy: float) -> Arc:
        """The same, moved."""
        return Arc((self.centre[0] + dx, self.centre[1] + dy), self.radius, self.start_angle, self.sweep)
