"""Finding free room for words beside what is already drawn."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

from closures.drawing.ink.extents import grown
from closures.drawing.ink.shapes import Box, Command, Point

_CELL_MM = 8.0
_STEP_MM = 2.0


class Room:
    """What is taken on a drawing: boxes of words and marks, and lines as rows of points."""

    def __init__(self) -> None:
        self._boxes: dict[tuple[int, int], list[Box]] = defaultdict(list)
        self._points: dict[tuple[int, int], list[Point]] = defaultdict(list)

    def take(self, box: Box) -> None:
        """Note that a box is taken."""
        for cell in _cells(box):
            self._boxes[cell].append(box)

    def take_path(self, commands: Iterable[Command]) -> None:
        """Note that a drawn line is taken."""
        for x, y in points_on(commands, _STEP_MM):
            self._points[(math.floor(x / _CELL_MM), math.floor(y / _CELL_MM))].append((x, y))

    def is_free(self, box: Box, gap_mm: float = 0.6) -> bool:
        """Tell whether nothing taken comes nearer to a box than the gap."""
        wide = grown(box, gap_mm)
        if not self._is_clear_of_boxes(wide):
            return False
        x0, y0, x1, y1 = wide
        points = self._points
        for cell in _cells(wide):
            if cell in points:
                for x, y in points[cell]:
                    if x0 < x < x1 and y0 < y < y1:
                        return False
        return True

    def is_free_strip(self, start: Point, end: Point, half_mm: float) -> bool:
        """Tell whether a straight strip, so wide on either side, meets nothing taken."""
        count = max(1, math.ceil(math.dist(start, end) / (1.7 * half_mm)))
        # From the middle and both ends inwards: what is in the way is found sooner.
        for i in sorted(range(count + 1), key=lambda k: (k * 3) % (count + 1)):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            if not self.is_free((x - half_mm, y - half_mm, x + half_mm, y + half_mm), 0.2):
                return False
        return True

    def take_strip(self, start: Point, end: Point, half_mm: float) -> None:
        """Note that a straight strip is taken."""
        count = max(1, math.ceil(math.dist(start, end) / (2 * half_mm)))
        for i in range(count + 1):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            self.take((x - half_mm, y - half_mm, x + half_mm, y + half_mm))

    def lets_through(self, start: Point, end: Point) -> bool:
        """Tell whether a thin straight line meets no box taken."""
        count = max(1, math.ceil(math.dist(start, end)))
        for i in range(count + 1):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            if not self._is_clear_of_boxes((x - 0.4, y - 0.4, x + 0.4, y + 0.4)):
                return False
        return True

    def _is_clear_of_boxes(self, box: Box) -> bool:
        x0, y0, x1, y1 = box
        for cell in _cells(box):
            for a0, b0, a1, b1 in self._boxes.get(cell, ()):
                if x1 > a0 and x0 < a1 and y1 > b0 and y0 < b1:
                    return False
        return True


def _cells(box: Box) -> list[tuple[int, int]]:
    columns = range(math.floor(box[0] / _CELL_MM), math.floor(box[2] / _CELL_MM) + 1)
    rows = range(math.floor(box[1] / _CELL_MM), math.floor(box[3] / _CELL_MM) + 1)
    return [(i, j) for i in columns for j in rows]


def points_on(commands: Iterable[Command], step_mm: float) -> Iterator[Point]:
    """Walk a path in points no further apart than about the step."""
    last = (0.0, 0.0)
    for name, *rest in commands:
        numbers = [float(value) for value in rest]
        points = list(zip(numbers[0::2], numbers[1::2], strict=True))
        if name == "M":
            yield points[0]
        elif name == "L":
            count = max(1, math.ceil(math.dist(last, points[0]) / step_mm))
            for i in range(1, count + 1):
                yield _between(last, points[0], i / count)
        elif name == "C":
            a, b, c = points
            count = max(1, math.ceil((math.dist(last, a) + math.dist(a, b) + math.dist(b, c)) / step_mm))
            for i in range(1, count + 1):
                t, u = i / count, 1 - i / count
                k0, k1, k2, k3 = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
                yield (
                    k0 * last[0] + k1 * a[0] + k2 * b[0] + k3 * c[0],
                    k0 * last[1] + k1 * a[1] + k2 * b[1] + k3 * c[1],
                )
        last = points[-1] if points else last


def _between(a: Point, b: Point, share: float) -> Point:
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
