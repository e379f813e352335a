"""Lines as somebody measures them who has only the drawing: many short chords, and lengths along them.

A line of an SVG path is cut into chords far shorter than what is promised; nothing cleverer is done, on purpose.
"""

from __future__ import annotations

import heapq
import itertools
import math
import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import field

from closures.frozen import frozen

Point = tuple[float, float]

ALONG_MM = 0.02
"""How far a length along the line may be off: what is promised of every figure of a row."""

_CHORD_MM, _LEAST_CHORDS, _MOST_CHORDS = 1.0, 16, 1024
"""A chord of a millimetre leaves an arc of radius 100 mm by 0.0013 mm, and its length by a hundred-thousandth."""
_TOGETHER = 8
"""So many chords, and so many boxes of chords, are looked at as one box while they are too far off to matter."""
Box = tuple[float, float, float, float]
_COMMAND = re.compile(r"([MLCHVZ])([^MLCHVZ]*)")


@frozen
class Measured:
    """A line of chords.

    Attributes:
        points: its corners, in mm.
        along_mm: the length of the line up to each.
        boxes: what its chords lie in, some at a time; then what those lie in, some at a time, up to one box.
    """

    points: tuple[Point, ...]
    along_mm: tuple[float, ...]
    boxes: tuple[tuple[Box, ...], ...] = field(repr=False)

    @property
    def length_mm(self) -> float:
        """From its first point to its last."""
        return self.along_mm[-1]

    def place_of(self, point: Point) -> tuple[float, float]:
        """How far along the nearest place to a point lies, and how far off the line the point is, in mm."""
        best = (0.0, math.inf)
        waiting = [(0.0, len(self.boxes), 0)]
        while waiting and waiting[0][0] < best[1]:
            _, level, k = heapq.heappop(waiting)
            low = k * _TOGETHER
            if level:
                row = self.boxes[level - 1]
                for j in range(low, min(low + _TOGETHER, len(row))):
                    if (off := _off_box(row[j], point)) < best[1]:
                        heapq.heappush(waiting, (off, level - 1, j))
            else:
                found = self._nearest(point, low, low + _TOGETHER)
                best = found if found[1] < best[1] else best
        return best

    def _nearest(self, point: Point, low: int, high: int) -> tuple[float, float]:
        x, y = point
        best = (0.0, math.inf)
        for k in range(low, min(high, len(self.points) - 1)):
            (ax, ay), (bx, by) = self.points[k], self.points[k + 1]
            dx, dy = bx - ax, by - ay
            length = dx * dx + dy * dy
            t = min(1.0, max(0.0, ((x - ax) * dx + (y - ay) * dy) / length)) if length else 0.0
            off = math.hypot(ax + t * dx - x, ay + t * dy - y)
            if off < best[1]:
                best = (self.along_mm[k] + t * math.sqrt(length), off)
        return best

    def at(self, along_mm: float) -> Point:
        """The point so far along; before the first end and past the last one that end."""
        k = min(max(bisect_right(self.along_mm, along_mm) - 1, 0), len(self.points) - 2)
        span = self.along_mm[k + 1] - self.along_mm[k]
        t = min(1.0, max(0.0, (along_mm - self.along_mm[k]) / span)) if span else 0.0
        (ax, ay), (bx, by) = self.points[k], self.points[k + 1]
        return (ax + t * (bx - ax), ay + t * (by - ay))

    def moved(self, by_mm: float) -> list[Point]:
        """Its corners, each so far to the right hand of who walks it, square across."""
        return [_aside(point, self._way(k), by_mm) for k, point in enumerate(self.points)]

    def moved_at(self, along_mm: float, by_mm: float) -> Point:
        """The point so far along, moved likewise."""
        k = min(max(bisect_right(self.along_mm, along_mm) - 1, 0), len(self.points) - 2)
        span = self.along_mm[k + 1] - self.along_mm[k]
        t = min(1.0, max(0.0, (along_mm - self.along_mm[k]) / span)) if span else 0.0
        (ax, ay), (bx, by) = self._way(k), self._way(k + 1)
        return _aside(self.at(along_mm), (ax + t * (bx - ax), ay + t * (by - ay)), by_mm)

    def side_of(self, point: Point) -> float:
        """How far a point lies to its right hand, in mm; to its left hand less than 0."""
        along, _ = self.place_of(point)
        (x, y), (ax, ay), (tx, ty) = point, self.at(along), self._way(max(bisect_right(self.along_mm, along) - 1, 0))
        return (y - ay) * tx - (x - ax) * ty

    def _way(self, k: int) -> Point:
        """The unit direction at a corner: that of the circle through it and its neighbours."""
        last = len(self.points) - 1
        if last < 2:
            return _unit(self.points[0], self.points[-1])
        a, b, c = self.points[(j := min(max(k, 1), last - 1)) - 1 : j + 2]
        (ux, uy), (vx, vy), one, two = _unit(a, b), _unit(b, c), math.dist(a, b), math.dist(b, c)
        # Each chord runs as the circle does half way along it.
        if k == 0:
            part = one / ((one + two) or 1.0)
            return _unit((0.0, 0.0), (ux - (vx - ux) * part, uy - (vy - uy) * part))
        if k == last:
            part = two / ((one + two) or 1.0)
            return _unit((0.0, 0.0), (vx + (vx - ux) * part, vy + (vy - uy) * part))
        return _unit((0.0, 0.0), (ux * two + vx * one, uy * two + vy * one))

    def at_level(self, y: float) -> tuple[float, ...]:
        """Every place along it at which the line meets a level."""
        found = []
        for k, ((_, a), (_, b)) in enumerate(zip(self.points, self.points[1:], strict=False)):
            if min(a, b) <= y <= max(a, b):
                t = (y - a) / (b - a) if b != a else 0.0
                found.append(self.along_mm[k] + t * (self.along_mm[k + 1] - self.along_mm[k]))
        return tuple(found)


def measured(points: Sequence[Point]) -> Measured:
    """Measure a line through points."""
    along = [0.0]
    for one, other in itertools.pairwise(points):
        along.append(along[-1] + math.dist(one, other))
    return Measured(tuple(points), tuple(along), tuple(_boxes(points)))


def _unit(one: Point, other: Point) -> Point:
    x, y = other[0] - one[0], other[1] - one[1]
    long = math.hypot(x, y) or 1.0
    return (x / long, y / long)


def _aside(point: Point, way: Point, by_mm: float) -> Point:
    """A point so far to the right hand of a direction: with y down."""
    return (point[0] - by_mm * way[1], point[1] + by_mm * way[0])


def _boxes(points: Sequence[Point]) -> Iterator[tuple[Box, ...]]:
    spans = [list(zip(*points[low : low + _TOGETHER + 1], strict=True)) for low in range(0, len(points) - 1, _TOGETHER)]
    row = tuple((min(xs), min(ys), max(xs), max(ys)) for xs, ys in spans)
    yield row
    while len(row) > _TOGETHER:
        sides = [list(zip(*row[low : low + _TOGETHER], strict=True)) for low in range(0, len(row), _TOGETHER)]
        row = tuple((min(x0), min(y0), max(x1), max(y1)) for x0, y0, x1, y1 in sides)
        yield row


def _off_box(box: Box, point: Point) -> float:
    """How far a point lies outside a box; a hair less, so that no rounding keeps its chords from being looked at."""
    (x0, y0, x1, y1), (x, y) = box, point
    return math.hypot(max(x0 - x, 0.0, x - x1), max(y0 - y, 0.0, y - y1)) * (1.0 - 1e-12)


def lines_of_path(data: str) -> list[list[Point]]:
    """Cut the lines of an SVG path of plain commands into chords; a path with others gives none.

    Args:
        data: of the path, in absolute commands M, L, C, H, V and Z.

    Returns:
        One list of points for each line of it.
    """
    if re.search(r"[a-z]|[QSTA]", data.replace("e-", "")):
        return []
    lines: list[list[Point]] = []
    for name, words in _COMMAND.findall(data):
        figures = [float(word) for word in re.findall(r"-?[0-9.]+(?:e-?[0-9]+)?", words)]
        if name == "M":
            lines.append([(figures[0], figures[1])])
            figures = figures[2:]
        if not lines:
            return []
        line = lines[-1]
        if name in "ML":
            line.extend(zip(figures[::2], figures[1::2], strict=False))
        elif name == "H":
            line.extend((x, line[-1][1]) for x in figures)
        elif name == "V":
            line.extend((line[-1][0], y) for y in figures)
        elif name == "Z":
            line.append(line[0])
        else:
            for k in range(0, len(figures) - 5, 6):
                bx, by, cx, cy, dx, dy = figures[k : k + 6]
                line.extend(chords(line[-1], ((bx, by), (cx, cy), (dx, dy))))
    return lines


def chords(start: Point, rest: Sequence[Point]) -> list[Point]:
    """Cut a cubic into chords, from the second point on."""
    (ax, ay), ((bx, by), (cx, cy), (dx, dy)) = start, rest
    found = []
    corners = (start, (bx, by), (cx, cy), (dx, dy))
    about = sum(math.dist(one, other) for one, other in itertools.pairwise(corners))
    chords = round(min(max(about / _CHORD_MM, _LEAST_CHORDS), _MOST_CHORDS))
    for k in range(1, chords + 1):
        t = k / chords
        u = 1.0 - t
        p, q, r, s = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        found.append((p * ax + q * bx + r * cx + s * dx, p * ay + q * by + r * cy + s * dy))
    return found
