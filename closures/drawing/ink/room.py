"""Finding free room for words beside what is already drawn."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from copy import copy
from functools import cache
from typing import TypeVar

from closures.drawing.ink.apart import crossings, distance_to_stroke
from closures.drawing.ink.extents import grown
from closures.drawing.ink.shapes import Box, Command, Point
from closures.frozen import frozen

_Key = TypeVar("_Key", bound=Hashable)
_Taken = TypeVar("_Taken")
_CELL_MM = 8.0
# Of what is looked for from further off: marks, leaders, cuts.
_FAR_CELL_MM = 60.0
_STEP_MM = 2.0
_SAME_MM = 0.05
# Two that meet in a point beside two numbers leave it open which of them is whose.
_LEADERS_APART_MM = 3.0
# About the squares of which a strip is made.
_OFF_STRIP_MM = 0.2
# Less than that is left to the rounding of sums: what is said to be in the way is so for certain.
_SURELY_MM, _NO_WAY = 1e-6, 1e-9
_CUT_AWAY_MM, _KEPT_MM, _CUT_BESIDE_MM = 60.0, 0.8, 80.0


@frozen
class Target:
    """Something that a label speaks of, of which there are others like it.

    Attributes:
        kind: which are like it.
        at: its centre.
        rim_mm: of its rim, where a leader ends; 0 where it has none: then a leader ends at its ink.
        ink: the box of what is drawn of it.
        way_out: a stroke that stays free of other labels, so that a leader finds its way.
        reach_mm: how far it reaches the way its label lies, by which two on one place are told apart.
        round_slit_mm, slit: of a buttonhole, the rim of its button, and the unit direction in which it is cut.
    """

    kind: str
    at: Point
    rim_mm: float
    ink: Box
    way_out: tuple[Point, Point] | None = None
    reach_mm: float = 0.0
    round_slit_mm: float = 0.0
    slit: Point = (0.0, 0.0)


@frozen
class _Cut:
    """A line beyond which the paper is cut away or covered: a place on it, and the unit direction that is kept."""

    at: Point
    kept: Point
    half_mm: float


class Room:
    """What is taken on a drawing: boxes of words and marks, and lines as rows of points."""

    def __init__(self) -> None:
        self._targets: dict[tuple[str, int, int], list[tuple[int, Target]]] = defaultdict(list)
        self._count = 0
        self._widest_mm = 0.0
        self._ways_out: dict[tuple[int, int], list[tuple[float, float, Point]]] = defaultdict(list)
        self._labelled: set[Point] = set()
        self._leaders: dict[tuple[int, int], list[tuple[Point, Point]]] = defaultdict(list)
        self._cuts: dict[tuple[int, int], list[_Cut]] = defaultdict(list)
        self._boxes: dict[tuple[int, int], list[Box]] = defaultdict(list)
        self._points: dict[tuple[int, int], list[Point]] = defaultdict(list)
        # What was last found in the way: it is in the way of the next place as well, more often than not.
        self._in_the_way: Box = (math.inf, math.inf, -math.inf, -math.inf)

    def copy(self) -> Room:
        """Make a room in which the same is taken, to try in it what may not stay."""
        # What is taken is frozen, so only the lists of it are new: all of it copied took a tenth of twenty sizes.
        made = copy(self)
        made._targets = _copied(self._targets)
        made._ways_out = _copied(self._ways_out)
        made._labelled = set(self._labelled)
        made._leaders = _copied(self._leaders)
        made._cuts = _copied(self._cuts)
        made._boxes = _copied(self._boxes)
        made._points = _copied(self._points)
        return made

    def take(self, box: Box) -> None:
        """Note that a box is taken."""
        for cell in _cells(box):
            self._boxes[cell].append(box)

    def take_target(self, target: Target) -> None:
        """Note what a label will speak of; its ink is taken."""
        self._targets[target.kind, *_far_cell(target.at)].append((self._count, target))
        self._count += 1
        x0, y0, x1, y1 = target.ink
        self._widest_mm = max(self._widest_mm, math.dist((x0, y0), (x1, y1)))
        self.take(target.ink)
        if target.way_out is not None:
            (ax, ay), (bx, by) = target.way_out
            count = max(1, math.ceil(math.dist((ax, ay), (bx, by))))
            for k in range(count + 1):
                x, y = ax + (bx - ax) * k / count, ay + (by - ay) * k / count
                self._ways_out[math.floor(x / _CELL_MM), math.floor(y / _CELL_MM)].append((x, y, target.at))

    def target_at(self, kind: str, at: Point, reach_mm: float) -> Target | None:
        """Find what a label at a place speaks of: of two on one place that which reaches as far, else the smaller."""
        here = [one for one in self._near(kind, at, _SAME_MM) if math.dist(one.at, at) < _SAME_MM]
        return min(here, key=lambda one: (abs(one.reach_mm - reach_mm), one.ink[2] - one.ink[0]), default=None)

    def others(self, kind: str, at: Point, reach_mm: float) -> list[Target]:
        """What is like it, elsewhere, with any ink so near; the nearest first."""
        near = self._near(kind, at, reach_mm + self._widest_mm)
        return sorted((one for one in near if math.dist(one.at, at) >= _SAME_MM), key=lambda one: math.dist(one.at, at))

    def _near(self, kind: str, at: Point, reach_mm: float) -> list[Target]:
        """What is of a kind and about so near, in the order in which it was taken."""
        x, y = at
        cells = _cells((x - reach_mm, y - reach_mm, x + reach_mm, y + reach_mm), _FAR_CELL_MM)
        return [one for _, one in sorted(pair for i, j in cells for pair in self._targets.get((kind, i, j), ()))]

    def take_leader(self, start: Point, end: Point) -> None:
        """Note a leader: words keep off it, and no other crosses it."""
        for cell in _cells(_spanned(start, end), _FAR_CELL_MM):
            self._leaders[cell].append((start, end))
        self.take_path((("M", *start), ("L", *end)))

    def note_labelled(self, at: Point) -> None:
        """Note that a target has its label: its way out may be built on."""
        self._labelled.add(at)

    def crosses_a_leader(self, start: Point, end: Point) -> bool:
        """Tell whether a leader would cross another, or end so near it that either could be taken for the other."""
        near = _cells(grown(_spanned(start, end), _LEADERS_APART_MM), _FAR_CELL_MM)
        others = {other for cell in near for other in self._leaders.get(cell, ())}
        return any(crossings(((start, end), one)) or _are_near((start, end), one) for one in others)

    def leaves_ways_out(self, box: Box, but: Point) -> bool:
        """Tell whether a box stands in no way out of a target that has no label yet."""
        x0, y0, x1, y1 = wide = grown(box, 0.5)
        for cell in _cells(wide):
            for x, y, at in self._ways_out.get(cell, ()):
                if x0 < x < x1 and y0 < y < y1 and at not in self._labelled and math.dist(at, but) >= _SAME_MM:
                    return False
        return True

    def cut(self, at: Point, kept: Point, half_mm: float) -> None:
        """Note a line beyond which paper is cut away or covered.

        Args:
            at: the middle of the line.
            kept: the unit direction of what is kept.
            half_mm: half the line's length.
        """
        reach = math.hypot(_CUT_AWAY_MM, half_mm + _CUT_BESIDE_MM)
        for cell in _cells((at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach), _FAR_CELL_MM):
            self._cuts[cell].append(_Cut(at, kept, half_mm))

    def keeps(self, box: Box) -> bool:
        """Tell whether a box lies on the kept side of every cut near it."""
        if not self._cuts:
            return True
        for px, py in ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])):
            for cut in self._cuts.get(_far_cell((px, py)), ()):
                (x, y), (kx, ky) = cut.at, cut.kept
                deep, aside = (px - x) * kx + (py - y) * ky, (py - y) * kx - (px - x) * ky
                if -_CUT_AWAY_MM < deep < _KEPT_MM and abs(aside) < cut.half_mm + _CUT_BESIDE_MM:
                    return False
        return True

    def take_path(self, commands: Iterable[Command], step_mm: float = _STEP_MM) -> None:
        """Note that a drawn line is taken, by points so far apart: a corner of words may reach in between two."""
        for x, y in points_on(commands, step_mm):
            self._points[(math.floor(x / _CELL_MM), math.floor(y / _CELL_MM))].append((x, y))

    def is_free(self, box: Box, gap_mm: float = 0.6) -> bool:
        """Tell whether nothing taken comes nearer to a box than the gap."""
        # Asked a million times for the words of many sizes: no calls within.
        x0, y0, x1, y1 = box[0] - gap_mm, box[1] - gap_mm, box[2] + gap_mm, box[3] + gap_mm
        a0, b0, a1, b1 = self._in_the_way
        if x1 > a0 and x0 < a1 and y1 > b0 and y0 < b1:
            return False
        boxes, points, rows = self._boxes, self._points, range(int(y0 // _CELL_MM), int(y1 // _CELL_MM) + 1)
        for i in range(int(x0 // _CELL_MM), int(x1 // _CELL_MM) + 1):
            for j in rows:
                cell = (i, j)
                if cell in boxes:
                    for one in boxes[cell]:
                        a0, b0, a1, b1 = one
                        if x1 > a0 and x0 < a1 and y1 > b0 and y0 < b1:
                            self._in_the_way = one
                            return False
                if cell in points:
                    for x, y in points[cell]:
                        if x0 < x < x1 and y0 < y < y1:
                            self._in_the_way = (x, y, x, y)
                            return False
        return True

    def is_free_strip(self, start: Point, end: Point, half_mm: float) -> bool:
        """Tell whether a straight strip, so wide on either side, meets nothing taken."""
        return self.shut_to_strip(start, end, half_mm, (0.0, 0.0)) is None

    def shut_to_strip(self, start: Point, end: Point, half_mm: float, way: Point) -> tuple[float, float] | None:
        """Find something in the way of a straight strip, and how far the strip may be moved with it still in the way.

        Args:
            start, end: of the strip's middle line.
            half_mm: how wide it is on either side.
            way: the unit direction in which it would be moved.

        Returns:
            From and to, in mm along the way, around 0; both 0 where what is in the way is met by little. None where
            nothing is.
        """
        (x0, y0), (x1, y1) = start, end
        count = max(1, math.ceil(math.dist(start, end) / (1.7 * half_mm)))
        for i in _here_and_there(count):
            x, y = x0 + (x1 - x0) * i / count, y0 + (y1 - y0) * i / count
            if not self.is_free((x - half_mm, y - half_mm, x + half_mm, y + half_mm), _OFF_STRIP_MM):
                reach = half_mm + _OFF_STRIP_MM
                a0, b0, a1, b1 = self._in_the_way
                across = _met_while((a0 - reach - x, a1 + reach - x), way[0])
                down = _met_while((b0 - reach - y, b1 + reach - y), way[1])
                low, high = max(across[0], down[0]), min(across[1], down[1])
                return (min(0.0, low + _SURELY_MM), max(0.0, high - _SURELY_MM))
        return None

    def take_strip(self, start: Point, end: Point, half_mm: float) -> None:
        """Note that a straight strip is taken."""
        count = max(1, math.ceil(math.dist(start, end) / (2 * half_mm)))
        for i in range(count + 1):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            self.take((x - half_mm, y - half_mm, x + half_mm, y + half_mm))

    def lets_through(self, start: Point, end: Point, own: Box | None = None) -> bool:
        """Tell whether a thin straight line meets no box taken, but for one of its own."""
        count = max(1, math.ceil(math.dist(start, end)))
        for i in range(count + 1):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            if not self._is_clear_of_boxes((x - 0.4, y - 0.4, x + 0.4, y + 0.4), own):
                return False
        return True

    def _is_clear_of_boxes(self, box: Box, own: Box | None = None) -> bool:
        x0, y0, x1, y1 = box
        boxes = self._boxes
        for cell in _cells(box):
            if cell in boxes:
                for one in boxes[cell]:
                    a0, b0, a1, b1 = one
                    if x1 > a0 and x0 < a1 and y1 > b0 and y0 < b1 and one is not own:
                        return False
        return True


@cache
def _here_and_there(count: int) -> tuple[int, ...]:
    """The places of a strip from the middle and both ends inwards: what is in the way is found sooner."""
    return tuple(sorted(range(count + 1), key=lambda k: (k * 3) % (count + 1)))


def _met_while(span: tuple[float, float], way: float) -> tuple[float, float]:
    """How far something may be moved, in mm, and still lie between two places, when it goes so much of each mm."""
    if abs(way) < _NO_WAY:
        return (-math.inf, math.inf)
    low, high = span[0] / way, span[1] / way
    return (low, high) if way > 0 else (high, low)


def _copied(lists: dict[_Key, list[_Taken]]) -> defaultdict[_Key, list[_Taken]]:
    return defaultdict(list, {key: taken[:] for key, taken in lists.items()})


def _are_near(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Tell whether strokes that do not cross come too near: where they are nearest, one of them ends."""
    nearest = min(*(distance_to_stroke(end, *other) for end in one), *(distance_to_stroke(end, *one) for end in other))
    return nearest < _LEADERS_APART_MM


def _cells(box: Box, cell_mm: float = _CELL_MM) -> list[tuple[int, int]]:
    i0, j0 = int(box[0] // cell_mm), int(box[1] // cell_mm)
    i1, j1 = int(box[2] // cell_mm), int(box[3] // cell_mm)
    if i0 == i1 and j0 == j1:
        return [(i0, j0)]
    return [(i, j) for i in range(i0, i1 + 1) for j in range(j0, j1 + 1)]


def _far_cell(at: Point) -> tuple[int, int]:
    return (math.floor(at[0] / _FAR_CELL_MM), math.floor(at[1] / _FAR_CELL_MM))


def _spanned(start: Point, end: Point) -> Box:
    """The box of a stroke."""
    return (min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1]))


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
