"""How much room shapes take."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from closures.drawing.ink.lettering import ink_of, start_of, width_of
from closures.drawing.ink.shapes import Box, Circle, Group, Item, Path, Point, Words

_PART_MM = 15.0


def union(boxes: Iterable[Box]) -> Box:
    """Find the smallest box that holds all of the boxes, of which there must be at least one."""
    x0s, y0s, x1s, y1s = zip(*boxes, strict=True)
    return (min(x0s), min(y0s), max(x1s), max(y1s))


def grown(box: Box, by_mm: float) -> Box:
    """Widen a box on every side."""
    return (box[0] - by_mm, box[1] - by_mm, box[2] + by_mm, box[3] + by_mm)


def is_apart(a: Box, b: Box) -> bool:
    """Tell whether two boxes share no more than a border."""
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def between(one: Box, other: Box) -> float:
    """How far two boxes lie apart."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    down = max(one[1] - other[3], other[1] - one[3], 0.0)
    return math.hypot(across, down)


def way_out_of(box: Box, at: Point, way: Point) -> float:
    """How far it is from a place within a box to its border."""
    ends = [
        (high - place if go > 0 else low - place) / go
        for place, go, low, high in ((at[0], way[0], box[0], box[2]), (at[1], way[1], box[1], box[3]))
        if abs(go) > 1e-9
    ]
    return max(0.0, min(ends, default=0.0))


def meets(stroke: tuple[Point, Point], box: Box) -> bool:
    """Tell whether a straight stroke runs through a box, by places half a mm apart."""
    (ax, ay), (bx, by) = stroke
    count = max(1, math.ceil(math.dist((ax, ay), (bx, by)) / 0.5))
    places = ((ax + (bx - ax) * k / count, ay + (by - ay) * k / count) for k in range(count + 1))
    return any(box[0] < x < box[2] and box[1] < y < box[3] for x, y in places)


def box_of(item: Item) -> Box:
    """Find a box that holds a shape, its stroke left out; of a curve, its control points count."""
    if isinstance(item, Group):
        whole = union(box_of(part) for part in item.items)
        return _within(whole, union((x, y, x, y) for x, y in item.clip)) if item.clip else whole
    if isinstance(item, Circle):
        return (item.x - item.r, item.y - item.r, item.x + item.r, item.y + item.r)
    if isinstance(item, Words):
        return _box_of_words(item)
    numbers = [float(value) for _, *rest in item.commands for value in rest]
    return (min(numbers[0::2]), min(numbers[1::2]), max(numbers[0::2]), max(numbers[1::2]))


def _within(box: Box, other: Box) -> Box:
    """The part of a box that another holds; a point in it where they are apart."""
    x0, y0 = max(box[0], other[0]), max(box[1], other[1])
    return (x0, y0, max(x0, min(box[2], other[2])), max(y0, min(box[3], other[3])))


def _box_of_words(words: Words) -> Box:
    left, _ = start_of(words)
    right = left + width_of(words.text, words.size_mm, words.weight)
    low, high = ink_of(words.text, words.weight)
    top, bottom = -high * words.size_mm, -low * words.size_mm
    if not words.angle_deg:
        return (words.x + left, words.y + top, words.x + right, words.y + bottom)
    angle = math.radians(words.angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    corners = [(words.x + u * cos - v * sin, words.y + u * sin + v * cos) for u in (left, right) for v in (top, bottom)]
    return union((x, y, x, y) for x, y in corners)


def words_among(items: Iterable[Item]) -> Iterator[Words]:
    """List all lettering, inside groups too."""
    for item in items:
        if isinstance(item, Group):
            yield from words_among(item.items)
        elif isinstance(item, Words):
            yield item


def boxes_of_words(items: Iterable[Item]) -> tuple[Box, ...]:
    """List the boxes of all lettering, inside groups too."""
    return tuple(box_of(words) for words in words_among(items))


def pieces_of(items: Iterable[Item]) -> tuple[Box, ...]:
    """List the boxes of the single strokes, circles and words that shapes are made of."""
    found: list[Box] = []
    for item in items:
        if isinstance(item, Group):
            found += pieces_of(item.items)
        elif isinstance(item, Path):
            found += _boxes_of_strokes(item)
        else:
            found.append(box_of(item))
    return tuple(found)


def _boxes_of_strokes(path: Path) -> list[Box]:
    found: list[Box] = []
    start = last = (0.0, 0.0)
    for name, *rest in path.commands:
        numbers = [float(value) for value in rest] or list(start)
        points = [last, *zip(numbers[0::2], numbers[1::2], strict=True)]
        if name == "M":
            start = points[-1]
        else:
            found += [union((x, y, x, y) for x, y in part) for part in _parts_of(points)]
        last = points[-1]
    return found


def _parts_of(points: Sequence[Point]) -> list[tuple[Point, ...]]:
    """Cut a line or a cubic into short ones: the box of a long slanting stroke would hold much empty paper."""
    steps = (math.dist(a, b) for a, b in pairwise(points))
    count = max(1, math.ceil(sum(steps) / _PART_MM))
    if count == 1 or len(points) not in (2, 4):
        return [tuple(points)]
    degree = len(points) - 1
    return [
        tuple(_blossom(points, [i / count] * (degree - k) + [(i + 1) / count] * k) for k in range(degree + 1))
        for i in range(count)
    ]


def _blossom(points: Sequence[Point], at: Sequence[float]) -> Point:
    """Find a control point of a part of a Bézier curve, after de Casteljau, with another share at each level."""
    for t in at:
        points = [((1 - t) * a[0] + t * b[0], (1 - t) * a[1] + t * b[1]) for a, b in pairwise(points)]
    return points[0]
