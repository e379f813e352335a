"""The labels of a nest: which size a mark belongs to, and how far along it lies, each with a leader."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.apart import clearance, crossings, pulled_apart
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import Item, Pen, Point, Words, line, rectangle
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale

LEADER = Pen(0.2)
TAG = Pen(0.25, fill=1.0)
NUMBER_MM = 4.2
ROW_MM = 4.6
"""From label to label down a column, both in usual letters: the frame round a size and a little white."""

LEADER_FROM_MM = 0.9
_COLUMN_GAP_MM = 7.5
_PAD_MM = 0.7
_NEAR_MM = 12.0
# Marks closer than this along the nest lie level: their leaders cannot all run straight out.
_LEVEL_MM = 1.0
# Where a leader bends: 0 as soon as it can, 1 at its label.
_BENDS = (0.0, 1.0, 0.5, 0.25, 0.75)
_TOUCH_MM = 1e-6
_CLEAR_MM = 0.8
_DOT_MM = 0.3
_LEVEL_SHARE = 0.5


@frozen
class NestMark:
    """A mark of one size on a nest, or an end of its edge, as it is seen.

    Attributes:
        size: index of the size.
        name: of the size.
        n: the number of the mark, 0 for an end.
        at: the centre.
        figure: what stands beside the size: how far a mark lies from the first end, or which end it is.
    """

    size: int
    name: str
    n: int
    at: Point
    figure: str


Wanted = list[tuple[NestMark, float]]
"""Labels in order along a column, each with the place where it would lie."""

Labelled = list[tuple[NestMark, float, tuple[Point, ...]]]
"""Labels with the place where they lie, and their leaders."""


@frozen
class Grain:
    """Which way a nest runs: labels stand in columns on both sides of it.

    Attributes:
        down: it runs down the sheet rather than across.
    """

    down: bool

    def split(self, point: Point) -> Point:
        """A point as how far along the nest it lies, and how far across."""
        return (point[1], point[0]) if self.down else (point[0], point[1])

    def join(self, along: float, across: float) -> Point:
        """The point so far along and across."""
        return (across, along) if self.down else (along, across)


def tag(along: float, across: float, name: str, way: float, grain: Grain, size: float) -> tuple[Item, ...]:
    """Set a size's name in a frame that begins at a place across the nest and goes on the given way."""
    width, drop = tag_width(name, size), 0.33 * size
    near, far = sorted((across, across + way * width))
    x0, y0 = grain.join(along - drop - _PAD_MM, near)
    x1, y1 = grain.join(along + drop + _PAD_MM, far)
    x, y = grain.join(along + drop, (near + far) / 2)
    angle = 0.0 if grain.down else -90.0
    frame = replace(rectangle((x0, y0, x1, y1), TAG), frames_words=True)
    return (frame, Words(x, y, name, size, "middle", angle, "bold"))


def tag_width(name: str, size: float) -> float:
    """How wide the frame round a size's name is."""
    return max(width_of(name, size, "bold"), 0.6 * size) + 2 * _PAD_MM


def labels_reach_mm(marks: Sequence[NestMark], scale: TypeScale) -> float:
    """How far labels reach beyond what is drawn: the leaders, then number, size and figure."""
    return _COLUMN_GAP_MM * scale.grown + 1.0 + max((_label_width(mark, scale) for mark in marks), default=0.0)


def _label_width(mark: NestMark, scale: TypeScale) -> float:
    number = _number_width(mark, scale) + 1.2 if mark.n else 0.0
    return number + tag_width(mark.name, scale.figure) + 1.2 + width_of(mark.figure, scale.figure)


def _number_width(mark: NestMark, scale: TypeScale) -> float:
    size = NUMBER_MM * scale.grown
    return max(width_of(str(mark.n), size, "bold"), 0.55 * size)


def label_marks(
    marks: Sequence[NestMark],
    grain: Grain,
    reach: tuple[float, float],
    scale: TypeScale,
    between: Callable[[float], tuple[float, float]] = lambda across: (-math.inf, math.inf),
) -> dict[int, list[Item]]:
    """Label every mark of a nest in two columns, each from the side that it lies nearer to.

    Args:
        marks: of all sizes, the ends of their edges among them.
        grain: which way the nest runs.
        reach: from and to of what is drawn, across the nest.
        scale: the sizes of lettering.
        between: from and to along the nest, so far across it, of what no other part covers.

    Returns:
        For each size its labels with their leaders.
    """
    items: dict[int, list[Item]] = {mark.size: [] for mark in marks}
    spots = sorted(grain.split(mark.at) for mark in marks)
    on_the_right = _nearer_the_end(marks, grain)
    row, gap = ROW_MM * scale.grown, _COLUMN_GAP_MM * scale.grown
    for way, column in ((1.0, reach[1] + gap), (-1.0, reach[0] - gap)):
        own = [mark for mark in marks if ((mark.size, mark.n, mark.figure) in on_the_right) == (way > 0)]
        wide = max((_label_width(mark, scale) for mark in own), default=0.0)
        ends = [between(across) for across in (column, column + way * wide)]
        within = (max(low for low, _ in ends), min(high for _, high in ends))

        def labelled(wanted: Wanted, way: float = way, column: float = column, within: Point = within) -> Labelled:
            places = _kept(pulled_apart([place for _, place in wanted], [row] * len(wanted)), row, *within)
            found: Labelled = []
            for crowd in _crowds([mark for mark, _ in wanted], places, row):
                runs = [(grain.split(mark.at), (along, column)) for mark, along in crowd]
                found += [(*one, way_out) for one, way_out in zip(crowd, _leaders(runs, way, spots), strict=True)]
            return found

        for mark, along, leader in min(
            (labelled(order(own, grain, way, row)) for order in (_in_order_of_size, _above_and_below)),
            key=lambda found: crossings([leader for _, _, leader in found]),
        ):
            items[mark.size].append(line(*(grain.join(*point) for point in leader), pen=LEADER))
            items[mark.size] += _label(mark, along, column, way, grain, scale)
    return items


def _kept(places: Sequence[float], row: float, low: float, high: float) -> tuple[float, ...]:
    """Move labels, in order, no further than it takes to keep each whole between two ends."""
    kept = list(places)
    least, most = low + row / 2, high - row / 2
    for k, place in enumerate(kept):
        kept[k], least = max(place, least), max(place, least) + row
    for k in range(len(kept) - 1, -1, -1):
        kept[k], most = min(kept[k], most), min(kept[k], most) - row
    return tuple(kept)


def _crowds(marks: Sequence[NestMark], places: Sequence[float], row_mm: float) -> list[list[tuple[NestMark, float]]]:
    """Part a column where its labels do not touch: leaders bend alike within a crowd, so that none crosses."""
    crowds: list[list[tuple[NestMark, float]]] = []
    for k, pair in enumerate(zip(marks, places, strict=True)):
        if k and places[k] - places[k - 1] < row_mm + _TOUCH_MM:
            crowds[-1].append(pair)
        else:
            crowds.append([pair])
    return crowds


def _nearer_the_end(marks: Sequence[NestMark], grain: Grain) -> set[tuple[int, int, str]]:
    """Of each mark's row of sizes the half that lies further across, so that leaders run outwards."""
    rows: dict[tuple[int, str], list[NestMark]] = {}
    for mark in marks:
        rows.setdefault((mark.n, "" if mark.n else mark.figure), []).append(mark)
    far: set[tuple[int, int, str]] = set()
    for row in rows.values():
        row.sort(key=lambda mark: (grain.split(mark.at)[1], mark.size))
        far |= {(mark.size, mark.n, mark.figure) for mark in row[len(row) // 2 :]}
    return far


def _in_order_of_size(marks: Sequence[NestMark], grain: Grain, way: float, row: float) -> Wanted:
    """Order the labels of a column and say where each would lie: of marks that lie level all to one side of them.

    The mark nearest to the column has its label straight beside it, the next ones further on, on the side where the
    nest has more room: so the sizes of a row of marks stand in their order, and no leader crosses another.
    """
    levels = _levels(marks, grain)
    begins = [grain.split(level[0].at)[0] for level in levels]
    ends = [grain.split(level[-1].at)[0] for level in levels]
    wanted: Wanted = []
    for k, level in enumerate(levels):
        before = begins[k] - ends[k - 1] if k else math.inf
        after = begins[k + 1] - ends[k] if k + 1 < len(levels) else math.inf
        level.sort(key=lambda one: -way * grain.split(one.at)[1])
        at = grain.split(level[0].at)[0]
        if before > after:
            wanted += [(mark, at - row * j) for j, mark in reversed(list(enumerate(level)))]
        else:
            wanted += [(mark, at + row * j) for j, mark in enumerate(level)]
    return wanted


def _above_and_below(marks: Sequence[NestMark], grain: Grain, way: float, row: float) -> Wanted:
    """Order the labels so that those of marks that lie level stand around them: where one side has no room.

    The mark nearest to the column takes the row nearest to it, the next ones the rows beyond, above and
    below in turn.
    """
    wanted: Wanted = []
    for level in _levels(marks, grain):
        level.sort(key=lambda one: -way * grain.split(one.at)[1])
        wanted += [(mark, grain.split(mark.at)[0]) for mark in (*reversed(level[1::2]), *level[::2])]
    return wanted


def _levels(marks: Sequence[NestMark], grain: Grain) -> list[list[NestMark]]:
    """Part marks, in order along the nest, into those that lie level with each other."""
    levels: list[list[NestMark]] = []
    for mark in sorted(marks, key=lambda mark: (grain.split(mark.at)[0], mark.size)):
        if levels and _is_level(grain.split(levels[-1][-1].at), grain.split(mark.at)):
            levels[-1].append(mark)
        else:
            levels.append([mark])
    return levels


def _is_level(one: Point, other: Point) -> bool:
    """Whether a leader from one mark straight out would run into the other."""
    along, across = abs(other[0] - one[0]), abs(other[1] - one[1])
    return along < _LEVEL_MM and along < _LEVEL_SHARE * across


def _leaders(ends: Sequence[tuple[Point, Point]], way: float, spots: Sequence[Point]) -> list[tuple[Point, ...]]:
    """Draw the leaders of a crowd with the bend at which fewest cross and all keep furthest from other marks."""
    best: tuple[tuple[int, float], list[tuple[Point, ...]]] | None = None
    low, high = min(min(a[0], b[0]) for a, b in ends) - _NEAR_MM, max(max(a[0], b[0]) for a, b in ends) + _NEAR_MM
    near = spots[bisect_left(spots, (low, -math.inf)) : bisect_right(spots, (high, math.inf))]
    for share in _BENDS:
        leaders = [_leader(spot, end, way, share, near) for spot, end in ends]
        clear = min(_clearance_of(leader, spot, near) for leader, (spot, _) in zip(leaders, ends, strict=True))
        # What is clear enough is clear: of such bends the first is taken.
        worth = (crossings(leaders), -min(round(clear, 2), _CLEAR_MM))
        if best is None or worth < best[0]:
            best = (worth, leaders)
    return [] if best is None else best[1]


def _leader(spot: Point, end: Point, way: float, share: float, spots: Sequence[Point]) -> tuple[Point, ...]:
    """Draw one leader: from the mark to its label's row, and along that to the label."""
    room = abs(end[1] - spot[1]) - 3.0
    lean = min(0.6 * abs(end[0] - spot[0]), room)
    bend = (end[0], spot[1] + way * max(1.0, lean + share * (room - lean)))
    others = (math.dist(p, spot) for p in spots if abs(p[0] - spot[0]) < 2 * LEADER_FROM_MM)
    nearest = min((far for far in others if far > _TOUCH_MM), default=math.inf)
    # In a crowd of dots a leader begins within its own, or it would seem to begin at another's.
    start = _towards(spot, bend, LEADER_FROM_MM if nearest > 2 * LEADER_FROM_MM else max(0.0, nearest / 2 - 0.3))
    return (start, bend, (end[0], end[1] - way * 0.8))


def _clearance_of(leader: Sequence[Point], spot: Point, spots: Sequence[Point]) -> float:
    low, high = (pick(point[0] for point in leader) for pick in (min, max))
    reach = _CLEAR_MM + LEADER_FROM_MM
    others = [p for p in spots if low - reach < p[0] < high + reach and math.dist(p, spot) > 2 * _DOT_MM]
    return clearance(leader, others)


def _towards(start: Point, end: Point, by: float) -> Point:
    far = math.dist(start, end) or 1.0
    return (start[0] + by * (end[0] - start[0]) / far, start[1] + by * (end[1] - start[1]) / far)


def _label(mark: NestMark, along: float, column: float, way: float, grain: Grain, scale: TypeScale) -> list[Item]:
    """Number, size in a frame, running distance; the number stands nearest to the mark."""
    parts: list[Item] = []
    across = column
    angle = 0.0 if grain.down else -90.0
    # Down the sheet, text on the left is set from its right end; across the sheet it reads upwards.
    starts = way > 0 if grain.down else way < 0
    align = "start" if starts else "end"
    if mark.n:
        parts.append(_words(str(mark.n), along, across, NUMBER_MM * scale.grown, align, angle, "bold", grain))
        across += way * (_number_width(mark, scale) + 1.2)
    parts += tag(along, across, mark.name, way, grain, scale.figure)
    across += way * (tag_width(mark.name, scale.figure) + 1.2)
    parts.append(_words(mark.figure, along, across, scale.figure, align, angle, "regular", grain))
    return parts


def _words(
    text: str, along: float, across: float, size: float, align: str, angle: float, weight: str, grain: Grain
) -> Words:
    x, y = grain.join(along, across)
    drop = 0.33 * size
    place = (x, y + drop) if grain.down else (x + drop, y)
    return Words(*place, text, size, align, angle, weight)  # type: ignore[arg-type]
