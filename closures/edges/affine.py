"""Plane maps that keep straight lines straight, and what they make of a segment."""

from __future__ import annotations

import math

from closures.curve import Arc, Cubic, Line, Point, Segment
from closures.frozen import frozen

# A map that keeps circles round to this share keeps arcs as arcs.
_ROUND = 1e-9

# An arc that becomes part of an ellipse is cut into cubics of a 32nd of a circle, which leave a circle
# of radius r by 1e-9 r.
_ARC_SHARE = math.tau / 32


@frozen
class Affine:
    """The map (x, y) -> (a x + c y + e, b x + d y + f), as SVG and PDF write it."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, point: Point) -> Point:
        x, y = point
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def after(self, first: Affine) -> Affine:
        """The map that does ``first`` and then this one."""
        a, b = self.a * first.a + self.c * first.b, self.b * first.a + self.d * first.b
        c, d = self.a * first.c + self.c * first.d, self.b * first.c + self.d * first.d
        e, f = self((first.e, first.f))
        return Affine(a, b, c, d, e, f)

    @property
    def area(self) -> float:
        """How a unit of area grows; negative where the map turns things over."""
        return self.a * self.d - self.b * self.c

    @property
    def is_usable(self) -> bool:
        """Whether it is finite and leaves something of what it maps."""
        figures = (self.a, self.b, self.c, self.d, self.e, self.f)
        return all(map(math.isfinite, figures)) and abs(self.area) > 1e-18

    @property
    def is_round(self) -> bool:
        """Whether circles stay circles."""
        size = math.sqrt(abs(self.area))
        turned = math.hypot(self.a - self.d, self.b + self.c)
        flipped = math.hypot(self.a + self.d, self.b - self.c)
        return min(turned, flipped) < _ROUND * size

    def segments(self, segment: Segment) -> list[Segment]:
        """Map a segment; an arc that does not stay round becomes several cubics."""
        if isinstance(segment, Line):
            return [Line(self(segment.start), self(segment.end))]
        if isinstance(segment, Cubic):
            return [Cubic(self(segment.p0), self(segment.p1), self(segment.p2), self(segment.p3))]
        if isinstance(segment, Arc):
            return self._arc(segment)
        raise ValueError(f"a {type(segment).__name__} is not drawn in files")

    def _arc(self, arc: Arc) -> list[Segment]:
        if self.is_round:
            centre, start = self(arc.centre), self(arc.start)
            sweep = arc.sweep if self.area > 0 else -arc.sweep
            angle = math.atan2(start[1] - centre[1], start[0] - centre[0])
            return [Arc(centre, math.dist(centre, start), angle, sweep)]
        count = max(1, math.ceil(abs(arc.sweep) / _ARC_SHARE - 1e-9))
        step = arc.sweep / count
        # The handle that keeps a cubic on its circle at both ends and in the middle (Goldapp 1991).
        handle = 4 / 3 * math.tan(step / 4) * arc.radius
        made: list[Segment] = []
        for n in range(count):
            t0, t1 = arc.start_angle + n * step, arc.start_angle + (n + 1) * step
            (x0, y0), (x1, y1) = arc.point(n / count), arc.point((n + 1) / count)
            p1 = (x0 - handle * math.sin(t0), y0 + handle * math.cos(t0))
            p2 = (x1 + handle * math.sin(t1), y1 - handle * math.cos(t1))
            made.append(Cubic(self((x0, y0)), self(p1), self(p2), self((x1, y1))))
        return made
