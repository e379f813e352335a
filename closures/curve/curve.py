"""A curve: exact segments, end to end, with distances measured along them."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from typing import Literal

from closures.curve.algebra import Node, distance_to_box, grow_tree, turn_between
from closures.curve.drawn import Command, approximate_chords, approximate_commands
from closures.curve.kept import Known
from closures.curve.levels import meetings, stretches_between
from closures.curve.line import Box, Point
from closures.curve.segment import Segment
from closures.curve.self_crossing import crossings
from closures.frozen import frozen

Hand = Literal["right", "left"]
"""A side of a curve, for somebody who walks it from its first end to its last."""

# How far past its ends a curve may be asked, for sums that round.
END_SLACK_MM = 1e-9

# Segments join when their ends are no further apart: wide of rounding, far under any pen.
JOIN_MM = 1e-6

# A line that strays no further from its chord is straight: what rounding makes of a stroke in several pieces.
_STRAIGHT_MM = 1e-6


@frozen
class Nearest:
    """The nearest point of a curve.

    Attributes:
        distance_mm: how far it is.
        along_mm: where it lies, from the first end.
        point: the point itself.
    """

    distance_mm: float
    along_mm: float
    point: Point


@frozen
class Tightest:
    """The place where a curve turns most tightly.

    Attributes:
        radius_mm: radius of curvature there, infinite on a straight.
        along_mm: where it is, from the first end.
        point: the point itself.
    """

    radius_mm: float
    along_mm: float
    point: Point


# The same places are asked for by every sheet and every part of a page.
_PLACES: Known[float, tuple[Segment, float]] = Known()
_NEAREST: Known[Point, Nearest] = Known()
_FEET: Known[Point, tuple[float, int, float]] = Known()


# Without slots: `cached_property` keeps what is worked out once in the instance's own dict.
@dataclass(frozen=True)
class Curve:
    """Segments end to end, in mm, x to the right and y down; it never changes.

    A positive offset or curvature is to the right hand of somebody who walks from the first end
    to the last.

    Attributes:
        segments: at least one, none of no length, each beginning where the one before ends.

    Raises:
        ValueError: there is no segment, one has no length, or two do not join.
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "segments", tuple(self.segments))
        if not self.segments:
            raise ValueError("a curve needs a segment")
        for segment in self.segments:
            if not (math.isfinite(segment.length_mm) and segment.length_mm > 0):
                raise ValueError(f"a segment has no length: {segment!r}")
        for one, other in pairwise(self.segments):
            if math.dist(one.end, other.start) > JOIN_MM:
                raise ValueError(f"segments do not join: {one.end} and {other.start}")

    def __hash__(self) -> int:
        # Laps are looked up by what they are, a hundred times for one picture of the page.
        return self._hash

    @cached_property
    def _hash(self) -> int:
        return hash(self.segments)

    @cached_property
    def starts(self) -> tuple[float, ...]:
        """The distance along at which each segment begins, and the whole length at last."""
        return (0.0, *accumulate(segment.length_mm for segment in self.segments))

    @property
    def length_mm(self) -> float:
        """The length."""
        return self.starts[-1]

    @property
    def start(self) -> Point:
        """The first end."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """The last end."""
        return self.segments[-1].end

    @cached_property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        boxes = [segment.box for segment in self.segments]
        return (
            min(b[0] for b in boxes), min(b[1] for b in boxes),
            max(b[2] for b in boxes), max(b[3] for b in boxes),
        )  # fmt: skip

    def place(self, s: float) -> tuple[Segment, float]:
        """Find the segment and its parameter at a distance along.

        Raises:
            ValueError: the distance is not on the curve.
        """
        if (found := _PLACES.get(self._mark, s)) is not None:
            return found
        if not -END_SLACK_MM <= s <= self.length_mm + END_SLACK_MM:
            raise ValueError(f"{s} mm along is not on a curve of {self.length_mm} mm")
        i = min(max(bisect_right(self.starts, s) - 1, 0), len(self.segments) - 1)
        segment = self.segments[i]
        local = s - self.starts[i]
        if local <= 0:
            return segment, 0.0
        t = 1.0 if local >= segment.length_mm else segment.at_length(local)
        return _PLACES.keep(self._mark, s, (segment, t))

    def point_at(self, s: float) -> Point:
        """The point at a distance along, in mm from the first end.

        Raises:
            ValueError: the distance is not on the curve.
        """
        segment, t = self.place(s)
        return segment.point(t)

    def tangent_at(self, s: float) -> Point:
        """The unit tangent at a distance along; at a corner, the one after it.

        Raises:
            ValueError: the distance is not on the curve.
        """
        segment, t = self.place(s)
        return segment.tangent(t)

    def mean_tangent_at(self, s: float) -> Point:
        """The unit tangent at a distance along; at a corner the mean of both, square to the line that halves it.

        Which side of a curve a point lies on, that is nearest to a corner, is told by this one alone.

        Raises:
            ValueError: the distance is not on the curve.
        """
        after = self.tangent_at(s)
        i = bisect_right(self.starts, s + JOIN_MM) - 1
        if not 0 < i < len(self.segments) or abs(self.starts[i] - s) > JOIN_MM:
            return after
        before, after = self.segments[i - 1].tangent(1.0), self.segments[i].tangent(0.0)
        x, y = before[0] + after[0], before[1] + after[1]
        size = math.hypot(x, y)
        return (x / size, y / size) if size > JOIN_MM else after

    def curvature_at(self, s: float) -> float:
        """The signed curvature at a distance along, 1/mm, positive to the right hand.

        Raises:
            ValueError: the distance is not on the curve.
        """
        segment, t = self.place(s)
        return segment.curvature(t)

    def reversed(self) -> Curve:
        """The same from the last end to the first."""
        return Curve(tuple(segment.reversed() for segment in reversed(self.segments)))

    def mirrored(self) -> Curve:
        """The same with x turned to -x."""
        return Curve(tuple(segment.mirrored() for segment in self.segments))

    def moved(self, dx: float, dy: float) -> Curve:
        """The same, moved by mm across and down."""
        return Curve(tuple(segment.moved(dx, dy) for segment in self.segments))

    def stretch(self, s0: float, s1: float) -> Curve:
        """The part between two distances along.

        Raises:
            ValueError: a distance is not on the curve, or they are not in order.
        """
        if not s1 - s0 > END_SLACK_MM:
            raise ValueError(f"a stretch from {s0} to {s1} mm has no length")
        self.place(s0), self.place(s1)
        parts: list[Segment] = []
        for segment, begin in zip(self.segments, self.starts, strict=False):
            low, high = max(s0 - begin, 0.0), min(s1 - begin, segment.length_mm)
            if high - low <= 1e-12:
                continue
            t0 = 0.0 if low == 0.0 else segment.at_length(low)
            t1 = 1.0 if high == segment.length_mm else segment.at_length(high)
            parts.append(segment if t0 == 0.0 and t1 == 1.0 else segment.part(t0, t1))
        return Curve(tuple(parts))

    @cached_property
    def _mark(self) -> object:
        """What tells this curve from every other, copies that went through another process among them."""
        return object()

    @cached_property
    def tree(self) -> Node:
        """Boxes over the segments."""
        return grow_tree([segment.hull for segment in self.segments])

    def nearest(self, point: Point) -> Nearest:
        """Find the nearest of all points of the curve.

        Args:
            point: in mm.

        Returns:
            The true shortest distance and where it is, good to 1e-9 mm.
        """
        key = (point[0], point[1])
        if (found := _NEAREST.get(self._mark, key)) is not None:
            return found
        distance, i, t = self._foot(point)
        segment = self.segments[i]
        nearest = Nearest(distance, self.starts[i] + segment.length_to(t), segment.point(t))
        return _NEAREST.keep(self._mark, key, nearest)

    def nearest_point(self, point: Point) -> tuple[float, Point]:
        """Find how far the nearest point lies and where; how far along it lies would cost half as much again."""
        distance, i, t = self._foot(point)
        return distance, self.segments[i].point(t)

    def _foot(self, point: Point) -> tuple[float, int, float]:
        key = (point[0], point[1])
        if (foot := _FEET.get(self._mark, key)) is not None:
            return foot
        if (found := self.nearest_within(point, 0, len(self.segments))) is None:
            raise ValueError(f"{point} is not a point")
        return _FEET.keep(self._mark, key, found)

    def nearest_within(
        self, point: Point, first: int, after: int, best: float = math.inf
    ) -> tuple[float, int, float] | None:
        """Find the nearest point on some of the segments, if nearer than ``best``.

        Args:
            point: in mm.
            first, after: the segments, from the first to the one before ``after``.
            best: a distance in mm.

        Returns:
            Distance, number of the segment and parameter on it.
        """
        x, y = point
        answer: tuple[float, int, float] | None = None
        waiting: list[tuple[float, Node]] = [(0.0, self.tree)]
        while waiting:
            least, node = waiting.pop()
            if least >= best or node[1] >= after or node[2] <= first:
                continue
            if node[3] is None or node[4] is None:
                found = self.segments[node[1]].nearest(x, y, best)
                if found is not None:
                    best = found[0]
                    answer = (found[0], node[1], found[1])
                continue
            left = (distance_to_box(node[3][0], x, y), node[3])
            right = (distance_to_box(node[4][0], x, y), node[4])
            waiting += [right, left] if left[0] <= right[0] else [left, right]
        return answer

    def tightest(self, side: Hand | Literal["both"] = "both") -> Tightest:
        """Find the least radius of curvature; corners are not curves and do not count.

        A line whose whole length strays from its chord by less than a millionth of a millimetre is straight: its
        radius is infinite.

        Args:
            side: of turns to this hand only, or of both.
        """
        straight = 8 * _STRAIGHT_MM / self.length_mm**2
        best, where = straight, (0, 0.0)
        for i, segment in enumerate(self.segments):
            for t in segment.bends():
                k = segment.curvature(t)
                k = abs(k) if side == "both" else (k if side == "right" else -k)
                if k > best * (1 + 1e-9):
                    best, where = k, (i, t)
        segment = self.segments[where[0]]
        along = self.starts[where[0]] + segment.length_to(where[1])
        return Tightest(1 / best if best > straight else math.inf, along, segment.point(where[1]))

    def corners(self, least_deg: float = 1.0) -> tuple[tuple[float, float], ...]:
        """Find the corners between segments.

        Args:
            least_deg: leave out corners that turn less.

        Returns:
            Distance along and signed turn in degrees, positive to the right hand, from the first end.
        """
        found = []
        for i, (one, other) in enumerate(pairwise(self.segments)):
            turn = math.degrees(turn_between(one.tangent(1.0), other.tangent(0.0)))
            if abs(turn) >= least_deg:
                found.append((self.starts[i + 1], turn))
        return tuple(found)

    @cached_property
    def directions(self) -> tuple[tuple[float, float], ...]:
        """For each segment, the least and most angle of its tangents, unwound from the first."""
        ranges, angle = [], 0.0
        for i, segment in enumerate(self.segments):
            if i:
                angle += turn_between(self.segments[i - 1].tangent(1.0), segment.tangent(0.0))
            turns = [segment.turning_to(t) for t in (*segment.turning_places(), 1.0)]
            ranges.append((angle + min(0.0, *turns), angle + max(0.0, *turns)))
            angle += turns[-1]
        return tuple(ranges)

    @property
    def direction_range(self) -> float:
        """The angle between the two directions furthest apart, unwound, in radians."""
        return max(high for _, high in self.directions) - min(low for low, _ in self.directions)

    def crossings_of_level(self, y: float) -> tuple[float, ...]:
        """Find where the curve lies at a level.

        Args:
            y: the level, in mm.

        Returns:
            Distances along, ascending. A touch counts once, and so does a flat stretch: its middle.
        """
        return tuple((low + high) / 2 for low, high in meetings(self.segments, self.starts, y))

    def level_stretches(self, y0: float, y1: float) -> tuple[tuple[float, float], ...]:
        """Find the stretches that lie between two levels, both included.

        Args:
            y0, y1: the upper and the lower level, in mm; either order will do.

        Returns:
            From and to along the curve, ascending; a single touch is a stretch of no length.
        """
        low, high = min(y0, y1), max(y0, y1)
        touches = [pair for y in dict.fromkeys((low, high)) for pair in meetings(self.segments, self.starts, y)]
        return stretches_between(touches, self.length_mm, lambda s: self.point_at(s)[1], low, high)

    def approximate_polyline(self, sagitta_mm: float = 0.01) -> tuple[Point, ...]:
        """Points on the curve whose chords leave it by no more than the sagitta, ends included."""
        points = [self.start]
        for segment in self.segments:
            points += [segment.point(t) for t in approximate_chords(segment, sagitta_mm)]
        return tuple(points)

    def path(self) -> tuple[Command, ...]:
        """Drawing commands M, L and C with absolute mm; true to 0.001 mm, lines and cubics exact."""
        return self._commands

    @cached_property
    def _commands(self) -> tuple[Command, ...]:
        # A line is drawn on several sheets, and fitting its cubics costs more than drawing them.
        return (("M", *self.start), *(one for segment in self.segments for one in approximate_commands(segment)))

    def crosses_itself(self) -> tuple[Point, ...] | None:
        """Find where the curve crosses itself.

        Returns:
            The first few crossings, or None. Two parts that only touch do not cross.
        """
        # A curve whose tangents all lie within half a turn goes on and on one way and cannot come back.
        return None if self.direction_range < math.pi else crossings(self.segments)
