"""A cubic segment.

Some methods take a distance d and answer for the exact parallel there; `closures.curve.offset_piece`
says why the two have so much in common.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import field
from typing import Protocol

from closures.curve.algebra import (
    Powers,
    approach_of,
    bernstein_of,
    halves_of,
    length_by_rule,
    point_of,
    quadratic_roots,
    roots_between,
    sign_changes,
    turn_between,
)
from closures.curve.line import Box, Point
from closures.frozen import frozen

# Two estimates of a length that agree to this share of a mm are taken as it.
_LENGTH_NOISE_MM = 1e-12

# A turn that is over within this length of an end is a corner, not a curve: a handle drawn onto its
# own point makes the curvature endless over less than any pen can show.
CORNER_MM = 0.01

# A share of a cubic's size below which a vector has no direction of its own.
_NO_DIRECTION = 1e-9

_Cells = tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]


@frozen
class Cubic:
    """A cubic Bézier segment, in mm.

    Attributes:
        p0, p1, p2, p3: its control points; the first and the last are its ends.
        length_mm: the length, to about 1e-12 of a mm.
    """

    p0: Point
    p1: Point
    p2: Point
    p3: Point
    length_mm: float = field(init=False, repr=False, compare=False)
    # Coefficients of B' by powers of t: x constant, linear, square, then y.
    _powers: Powers = field(init=False, repr=False, compare=False)
    # Parameter, length so far and angle so far at the borders of cells in which one rule of
    # Gauss and Legendre is exact and the turning is less than a right angle.
    _cells: _Cells = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        powers = (
            3 * (x1 - x0), 6 * (x2 - 2 * x1 + x0), 3 * (x3 - 3 * x2 + 3 * x1 - x0),
            3 * (y1 - y0), 6 * (y2 - 2 * y1 + y0), 3 * (y3 - 3 * y2 + 3 * y1 - y0),
        )  # fmt: skip
        object.__setattr__(self, "_powers", powers)
        object.__setattr__(self, "_cells", self._measure())
        object.__setattr__(self, "length_mm", self._cells[1][-1])

    @property
    def start(self) -> Point:
        """The first end."""
        return self.p0

    @property
    def end(self) -> Point:
        """The last end."""
        return self.p3

    @property
    def hull(self) -> Box:
        """The box of the control points, which holds the segment."""
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        return (min(x0, x1, x2, x3), min(y0, y1, y2, y3), max(x0, x1, x2, x3), max(y0, y1, y2, y3))

    @property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        return box_by_ends(self)

    def point(self, t: float) -> Point:
        """The point at a parameter from 0 to 1."""
        return point_of((self.p0, self.p1, self.p2, self.p3), t)

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter, in mm."""
        a, b, c, d, e, f = self._powers
        return (a + (b + c * t) * t, d + (e + f * t) * t)

    def tangent(self, t: float) -> Point:
        """The unit tangent; at an end with no handle, the direction in which the curve leaves."""
        dx, dy = self.derivative(t)
        speed = math.hypot(dx, dy)
        if speed <= _NO_DIRECTION * self.length_mm:
            dx, dy = self._limit_direction(t)
            speed = math.hypot(dx, dy)
        return (dx / speed, dy / speed)

    def curvature(self, t: float) -> float:
        """Curvature, 1/mm, positive where it turns to the right hand; endless at a cusp."""
        a, b, c, d, e, f = self._powers
        dx, dy = a + (b + c * t) * t, d + (e + f * t) * t
        speed = math.hypot(dx, dy)
        if speed <= _NO_DIRECTION * self.length_mm:
            nudge = 1e-6 if t < 0.5 else -1e-6
            bend = self._cross(t + nudge)
            return math.copysign(math.inf, bend) if abs(bend) > 1e-18 * self.length_mm**2 else 0.0
        return (dx * (e + 2 * f * t) - dy * (b + 2 * c * t)) / (speed * speed * speed)

    def at_length(self, s: float, d: float = 0.0) -> float:
        """The parameter at a distance from the start, on the parallel at d."""
        ts, lengths, angles = self._cells
        if d == 0.0:
            i = bisect_right(lengths, s) - 1
        else:
            i = bisect_right(range(len(ts)), s, key=lambda j: lengths[j] - d * angles[j]) - 1
        i = min(max(i, 0), len(ts) - 2)
        low, high = ts[i], ts[i + 1]
        base = lengths[i] - d * angles[i]
        whole = lengths[i + 1] - d * angles[i + 1] - base
        t = low + (high - low) * min(1.0, max(0.0, (s - base) / whole))
        left, right = low, high
        begin = self.tangent(low) if d else (0.0, 0.0)
        for _ in range(60):
            excess = base + self._stretch(low, t) - (d * turn_between(begin, self.tangent(t)) if d else 0.0) - s
            if excess > 0:
                right = t
            else:
                left = t
            speed = self.speed(t, d)
            step = excess / speed if speed > 0 else 0.0
            if abs(excess) < 1e-13 or abs(step) < 1e-16:
                break
            t -= step
            if not left <= t <= right:
                t = (left + right) / 2
        return t

    def length_to(self, t: float, d: float = 0.0) -> float:
        """The distance from the start at a parameter, on the parallel at d."""
        ts, lengths, angles = self._cells
        i = min(max(bisect_right(ts, t) - 1, 0), len(ts) - 2)
        length = lengths[i] + self._stretch(ts[i], t)
        return length if d == 0.0 else length - d * (angles[i] + self._turn(ts[i], t))

    def turning_to(self, t: float) -> float:
        """The angle turned to the right hand since the start, in radians."""
        ts, _, angles = self._cells
        i = min(max(bisect_right(ts, t) - 1, 0), len(ts) - 2)
        return angles[i] + self._turn(ts[i], t)

    def bends(self) -> tuple[float, ...]:
        """Parameters among which the tightest place is, both ends within `CORNER_MM` left out.

        Where the curvature k = X / W^1.5 (X = B' × B'', W = |B'|²) has its extremes,
        ``2 X' W - 3 X W'`` is zero: a polynomial of the fifth degree.
        """
        a, b, c, d, e, f = self._powers
        bend = (a * e - b * d, 2 * (a * f - c * d), b * f - c * e)
        square = (
            a * a + d * d, 2 * (a * b + d * e), b * b + e * e + 2 * (a * c + d * f),
            2 * (b * c + e * f), c * c + f * f,
        )  # fmt: skip
        powers = [0.0] * 6
        for i, value in enumerate((bend[1], 2 * bend[2])):
            for j, other in enumerate(square):
                powers[i + j] += 2 * value * other
        for i, value in enumerate(bend):
            for j in range(1, 5):
                powers[i + j - 1] -= 3 * value * j * square[j]
        low, high = 0.0, 1.0
        if self.length_mm > 4 * CORNER_MM:
            low, high = self.at_length(CORNER_MM), self.at_length(self.length_mm - CORNER_MM)
        inside = [t for t in roots_between(bernstein_of(powers)) if low < t < high]
        return (low, *inside, high)

    def turning_places(self) -> tuple[float, ...]:
        """Parameters inside at which the turning changes its sense."""
        a, b, c, d, e, f = self._powers
        return quadratic_roots(a * e - b * d, 2 * (a * f - c * d), b * f - c * e)

    def level_places(self, axis: int) -> tuple[float, ...]:
        """Parameters inside at which x (axis 0) or y (axis 1) turns back."""
        return quadratic_roots(*self._powers[3 * axis : 3 * axis + 3])

    def nearest(
        self, x: float, y: float, best: float, d: float = 0.0, ends: tuple[Point, Point] | None = None
    ) -> tuple[float, float] | None:
        """Distance and parameter of the nearest point of the parallel at d, if nearer than ``best``.

        The distance has its extremes where ``(B - p) · B'`` is zero, for every d alike. Its
        Bernstein coefficients tell how many roots a stretch can hold. Who knows the ends of that
        parallel gives them.
        """
        answer: tuple[float, float] | None = None
        if ends is None:
            ends = (beside(self, 0.0, d), beside(self, 1.0, d)) if d else (self.p0, self.p3)
        for t, (px, py) in zip((0.0, 1.0), ends, strict=True):
            distance = math.hypot(px - x, py - y)
            if distance < best:
                best, answer = distance, (distance, t)
        corners = [(px - x, py - y) for px, py in (self.p0, self.p1, self.p2, self.p3)]
        waiting = [(0.0, 1.0, [p[0] for p in corners], [p[1] for p in corners])]
        while waiting:
            low, high, xs, ys = waiting.pop()
            far_x = max(min(xs), -max(xs), 0.0)
            far_y = max(min(ys), -max(ys), 0.0)
            if math.hypot(far_x, far_y) - abs(d) >= best:
                continue
            coefs = approach_of(xs, ys)
            noise = 1e-15 * max(map(abs, coefs))
            changes = sign_changes(coefs, noise)
            if changes == 0 or (changes == 1 and coefs[0] > noise):
                places = [t for t in (low, high) if 0 < t < 1]
            elif changes == 1 and coefs[0] < -noise and coefs[5] > noise:
                first = low + (high - low) * coefs[0] / (coefs[0] - coefs[5])
                places = [self._foot(x, y, low, high, first)]
            elif high - low < 1e-7:
                places = [(low + high) / 2]
            else:
                middle = (low + high) / 2
                (left_x, right_x), (left_y, right_y) = halves_of(xs), halves_of(ys)
                waiting += [(low, middle, left_x, left_y), (middle, high, right_x, right_y)]
                continue
            for t in places:
                distance = self._distance(x, y, t, d)
                if distance < best:
                    best, answer = distance, (distance, t)
        return answer

    def extremes(self, x: float, y: float) -> tuple[float, ...]:
        """Parameters within at which the distance to a point is least or greatest, ascending; alike for a parallel."""
        corners = (self.p0, self.p1, self.p2, self.p3)
        return roots_between(approach_of([px - x for px, _ in corners], [py - y for _, py in corners]))

    def part(self, t0: float, t1: float) -> Cubic:
        """The part between two parameters (de Casteljau; the ends stay as they are)."""
        if t0 == 0 and t1 == 1:
            return self
        first, last = self.point(t0), self.point(t1)
        if t0 == 0:
            first = self.p0
        if t1 == 1:
            last = self.p3
        third = (t1 - t0) / 3
        (dx0, dy0), (dx1, dy1) = self.derivative(t0), self.derivative(t1)
        return Cubic(
            first,
            (first[0] + dx0 * third, first[1] + dy0 * third),
            (last[0] - dx1 * third, last[1] - dy1 * third),
            last,
        )

    def reversed(self) -> Cubic:
        """The same from the end to the start."""
        return Cubic(self.p3, self.p2, self.p1, self.p0)

    def mirrored(self) -> Cubic:
        """The same with x turned to -x."""
        p0, p1, p2, p3 = ((-p[0], p[1]) for p in (self.p0, self.p1, self.p2, self.p3))
        return Cubic(p0, p1, p2, p3)

    def moved(self, dx: float, dy: float) -> Cubic:
        """The same, moved."""
        p0, p1, p2, p3 = ((p[0] + dx, p[1] + dy) for p in (self.p0, self.p1, self.p2, self.p3))
        return Cubic(p0, p1, p2, p3)

    def _cross(self, t: float) -> float:
        a, b, c, d, e, f = self._powers
        dx, dy = a + (b + c * t) * t, d + (e + f * t) * t
        return dx * (e + 2 * f * t) - dy * (b + 2 * c * t)

    def _limit_direction(self, t: float) -> Point:
        """The direction where B' is zero: along B'' just inside, or between the ends."""
        if t < 0.5:
            for p in (self.p2, self.p3):
                dx, dy = p[0] - self.p0[0], p[1] - self.p0[1]
                if t < 1e-6 and math.hypot(dx, dy) > _NO_DIRECTION * self.length_mm:
                    return (dx, dy)
        else:
            for p in (self.p1, self.p0):
                dx, dy = self.p3[0] - p[0], self.p3[1] - p[1]
                if t > 1 - 1e-6 and math.hypot(dx, dy) > _NO_DIRECTION * self.length_mm:
                    return (dx, dy)
        dx, dy = self.derivative(t + 1e-6 if t < 0.5 else t - 1e-6)
        return (dx, dy) if dx or dy else (1.0, 0.0)

    def speed(self, t: float, d: float) -> float:
        """Speed by the parameter on the parallel at d; the angle's own speed is (B' × B'') / |B'|²."""
        dx, dy = self.derivative(t)
        speed = math.hypot(dx, dy)
        if d == 0.0:
            return speed
        if speed <= _NO_DIRECTION * self.length_mm:
            t = t + 1e-6 if t < 0.5 else t - 1e-6
            dx, dy = self.derivative(t)
        return speed - d * self._cross(t) / (dx * dx + dy * dy or 1.0)

    def _distance(self, x: float, y: float, t: float, d: float) -> float:
        px, py = self.point(t) if d == 0.0 else beside(self, t, d)
        return math.hypot(px - x, py - y)

    def _foot(self, x: float, y: float, low: float, high: float, t: float) -> float:
        """The one root of (B - p) · B' between two parameters, where it rises; guarded Newton."""
        a, b, c, d, e, f = self._powers
        for _ in range(60):
            px, py = self.point(t)
            px, py = px - x, py - y
            dx, dy = a + (b + c * t) * t, d + (e + f * t) * t
            value = px * dx + py * dy
            if value > 0:
                high = t
            else:
                low = t
            slope = dx * dx + dy * dy + px * (b + 2 * c * t) + py * (e + 2 * f * t)
            after = t - value / slope if slope > 0 else (low + high) / 2
            if not low <= after <= high:
                after = (low + high) / 2
            if abs(after - t) < 1e-15:
                return after
            t = after
        return t

    def _stretch(self, t0: float, t1: float) -> float:
        return length_by_rule(self._powers, t0, t1)

    def _turn(self, t0: float, t1: float) -> float:
        """Angle between two tangents less than a right angle apart."""
        return turn_between(self.tangent(t0), self.tangent(t1))

    def _turns_little(self, t0: float, t1: float) -> bool:
        """Tell whether all tangents of a stretch lie within a right angle of each other.

        The control vectors of B' hold its directions between them.
        """
        (ax, ay), (cx, cy) = self.derivative(t0), self.derivative(t1)
        mx, my = self.derivative((t0 + t1) / 2)
        bx, by = 2 * mx - (ax + cx) / 2, 2 * my - (ay + cy) / 2
        return ax * bx + ay * by >= 0 and bx * cx + by * cy >= 0 and ax * cx + ay * cy >= 0

    def _measure(self) -> _Cells:
        ts, lengths, angles = [0.0], [0.0], [0.0]
        waiting = [(0.5, 1.0, self._stretch(0.5, 1.0)), (0.0, 0.5, self._stretch(0.0, 0.5))]
        scale = math.dist(self.p0, self.p1) + math.dist(self.p1, self.p2) + math.dist(self.p2, self.p3)
        object.__setattr__(self, "length_mm", scale)
        while waiting:
            low, high, whole = waiting.pop()
            middle = (low + high) / 2
            left, right = self._stretch(low, middle), self._stretch(middle, high)
            noise = _LENGTH_NOISE_MM * (1 + scale * 1e-3)
            fine = abs(left + right - whole) <= noise and self._turns_little(low, high)
            if fine or high - low < 1e-9:
                ts.append(high)
                lengths.append(lengths[-1] + left + right)
                angles.append(angles[-1] + self._turn(low, high))
            else:
                waiting += [(middle, high, right), (low, middle, left)]
        ts[-1] = 1.0
        return tuple(ts), tuple(lengths), tuple(angles)


def beside(base: Cubic, t: float, d: float) -> Point:
    """The point at d to the right hand of a cubic."""
    x, y = base.point(t)
    tx, ty = base.tangent(t)
    return (x - ty * d, y + tx * d)


class Turning(Protocol):
    """What has a point at every parameter from 0 to 1 and knows where it turns back."""

    def point(self, t: float) -> Point:
        """The point at a parameter from 0 to 1."""

    def level_places(self, axis: int) -> tuple[float, ...]:
        """Parameters inside at which x (axis 0) or y (axis 1) turns back."""


def box_by_ends(piece: Turning) -> Box:
    """The exact extremes of a piece, from its ends and the places where it turns back."""
    xs = [piece.point(t)[0] for t in (0.0, *piece.level_places(0), 1.0)]
    ys = [piece.point(t)[1] for t in (0.0, *piece.level_places(1), 1.0)]
    return (min(xs), min(ys), max(xs), max(ys))
