"""Words beside marks, anchors and zones, placed so that they meet nothing and each other least."""

from __future__ import annotations

from dataclasses import dataclass

from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import FINE, Align, Item, Path, Pen, Point, Weight, Words, line, polygon

NUMBER_MM = 7.0
FIGURES_MM = 3.1
NAME_MM = 3.3
_LEADING = 1.2
_DIAMOND = Pen(0.3, fill=1.0)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a label's small type."""

    text: str
    size_mm: float = FIGURES_MM
    weight: Weight = "regular"


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says and where it belongs.

    Attributes:
        head: the large number, or empty.
        lines: small type beside or below it.
        at: the centre of what it speaks of.
        away: unit direction in which it lies from there.
        leader_from_mm: how far from `at` its leader begins.
        least_mm: how far from `at` it may begin.
        diamond: whether a diamond stands at its near end.
    """

    head: str
    lines: tuple[Line, ...]
    at: Point
    away: Point
    leader_from_mm: float
    least_mm: float
    diamond: bool = False


def place_label(label: Label, room: Room) -> tuple[Item, ...]:
    """Set a label at the nearest free place and note there that the room is taken.

    Places are tried outwards from the mark, then a little to either side. Where every one of
    them is taken, the nearest is used all the same: a crowded label is better than none.
    """
    ax, ay = label.away
    tries = sorted(
        ((out, side) for out in range(16) for side in (0, -1, 1, -2, 2)),
        key=lambda pair: (pair[0] * 3.0 + abs(pair[1]) * 5.5, pair),
    )
    chosen: tuple[Item, ...] = ()
    for out, side in tries:
        far, shift = label.least_mm + 3.0 * out, 4.0 * side
        near = (label.at[0] + far * ax - shift * ay, label.at[1] + far * ay + shift * ax)
        start = (label.at[0] + label.leader_from_mm * ax, label.at[1] + label.leader_from_mm * ay)
        words = _set(label, near)
        boxes = [box_of(item) for item in words]
        is_free = room.is_free(union(boxes)) and room.lets_through(start, near)
        if is_free or not chosen:
            chosen = _with_leader(label, start, near, words)
        if is_free:
            break
    for item in chosen:
        if isinstance(item, Words):
            room.take(box_of(item))
        elif isinstance(item, Path):
            # The leader, and the diamond at its end.
            room.take_path(item.commands)
    return chosen


def _with_leader(label: Label, start: Point, near: Point, words: tuple[Item, ...]) -> tuple[Item, ...]:
    end = (near[0] - 0.8 * label.away[0], near[1] - 0.8 * label.away[1])
    far = (end[0] - start[0]) * label.away[0] + (end[1] - start[1]) * label.away[1]
    return ((line(start, end, pen=FINE),) if far > 0.8 else ()) + words


def _set(label: Label, near: Point) -> tuple[Item, ...]:
    ax, ay = label.away
    if abs(ax) >= 0.6:
        return _set_beside(label, near, 1.0 if ax > 0 else -1.0)
    return _set_above_or_below(label, near, 1.0 if ay > 0 else -1.0)


def _diamond(x: float, y: float) -> Path:
    return polygon(((x - 1.5, y), (x, y - 1.5), (x + 1.5, y), (x, y + 1.5)), _DIAMOND)


def _set_beside(label: Label, near: Point, way: float) -> tuple[Item, ...]:
    x, y = near
    align: Align = "start" if way > 0 else "end"
    items: list[Item] = []
    if label.diamond:
        items.append(_diamond(x + 1.5 * way, y))
        x += 4.2 * way
    if label.head:
        items.append(Words(x, y + 0.33 * NUMBER_MM, label.head, NUMBER_MM, align, 0.0, "bold"))
        x += (width_of(label.head, NUMBER_MM, "bold") + 1.4) * way
    height = sum(row.size_mm * _LEADING for row in label.lines)
    base = y - height / 2
    for row in label.lines:
        base += row.size_mm * _LEADING
        items.append(Words(x, base - 0.32 * row.size_mm, row.text, row.size_mm, align, 0.0, row.weight))
    return tuple(items)


def _set_above_or_below(label: Label, near: Point, way: float) -> tuple[Item, ...]:
    x, y = near
    items: list[Item] = []
    if label.diamond:
        items.append(_diamond(x, y + 1.5 * way))
        y += 3.8 * way
    rows = (*((Line(label.head, NUMBER_MM, "bold"),) if label.head else ()), *label.lines)
    for row in rows if way > 0 else reversed(rows):
        cap, step = 0.66 * row.size_mm, row.size_mm * (0.82 if row.size_mm == NUMBER_MM else 1.12)
        base = y + cap if way > 0 else y
        items.append(Words(x, base, row.text, row.size_mm, "middle", 0.0, row.weight))
        y += step * way
    return tuple(items)
