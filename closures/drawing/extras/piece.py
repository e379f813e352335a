"""Pattern pieces on sheets: an outline where it lies on the garment, its grain, and what it is called."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import lettered_along
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import (
    FINE,
    INK,
    LINE,
    Circle,
    Group,
    Item,
    Path,
    Pen,
    Point,
    Words,
    arrow,
    polygon,
    strokes,
)
from closures.drawing.sheets.lap_drawing import KeepClear

if TYPE_CHECKING:
    from closures.drawing.sheets.view import View
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement

_CROSS_MM = 2.2
_GRAIN_MM = 34.0
_LEAST_WORDS_MM = 1.9


def outline(ring: Sequence[Point], view: View, pen: Pen = LINE) -> Path:
    """Draw an outline of the garment as it is seen."""
    return polygon((view.point(*point) for point in ring), pen)


def cross(mark: LapMark, view: View, name: str) -> Group:
    """Draw where a closure's centre lies on a piece, with its number."""
    x, y = view.point(*mark.at)
    ways = (((x - _CROSS_MM, y), (x + _CROSS_MM, y)), ((x, y - _CROSS_MM), (x, y + _CROSS_MM)))
    return Group(
        f"{name}-{mark.n}",
        f"centre of closure {mark.n}",
        (strokes(ways, FINE), Circle(x, y, 0.3, INK, "centre"), Words(x + 1.0, y - 1.0, str(mark.n), 2.8)),
    )


_LEAST_GRAIN_MM = 7.0
"""Two heads of 3.2 mm, and a shaft between them."""


def grain(middle: Point, along: Point, length_mm: float, text: str = "grain") -> tuple[Item, ...]:
    """Draw the grain as an arrow with two heads; nothing where there is no room for them."""
    if length_mm < _LEAST_GRAIN_MM:
        return ()
    reach = length_mm / 2
    tail, tip = ((middle[0] + s * reach * along[0], middle[1] + s * reach * along[1]) for s in (-1.0, 1.0))
    back = arrow(middle, tail, LINE)
    aside = (middle[0] - 2.2 * along[1], middle[1] + 2.2 * along[0])
    return (*arrow(middle, tip, LINE), *back, lettered_along(text, aside, along, 2.6, "semibold"))


def lettered_rows(
    rows: Sequence[str], middle: Point, along: Point, room_along: float, room_across: float
) -> list[Item]:
    """Letter rows of words one under the other about a point, no wider than the room along and the room across."""
    size = min(3.4, room_across / (1.35 * len(rows)))
    size = min([size, *(size * room_along / width_of(row, size, "semibold") for row in rows if row)])
    if size < _LEAST_WORDS_MM:
        return []
    # Rows follow one another in the direction in which lettering runs down.
    angle = (math.degrees(math.atan2(along[1], along[0])) + 90.0) % 180.0 - 90.0
    down = (-math.sin(math.radians(angle)), math.cos(math.radians(angle)))
    items: list[Item] = []
    for k, row in enumerate(rows):
        step = 1.3 * size * (k - (len(rows) - 1) / 2)
        at = (middle[0] + step * down[0], middle[1] + step * down[1])
        items.append(lettered_along(row, at, along, size, "bold" if k == 0 else "semibold"))
    return items


def first_end_arrow(view: View, along_mm: float, inward_mm: float) -> list[Item]:
    """Draw a small arrow on a piece that points to the first end."""
    # On a line shorter than that it stands in the middle.
    spot = view.spot(min(along_mm, view.lap.line.length_mm / 2))
    tail, tip = spot.moved(10.0, inward_mm), spot.moved(0.0, inward_mm)
    way = (tip[0] - tail[0], tip[1] - tail[1])
    label = spot.moved(19.0, inward_mm)
    return [*arrow(tail, tip, LINE, 2.6), lettered_along(view.laps.garment.ends[0], label, way, 2.6, "semibold")]


def clear_of(placement: Placement, view: View) -> tuple[KeepClear, ...]:
    """The marks, which must not come near a join."""
    rim = max(placement.fastener.rim_mm, 2.5)
    return tuple(KeepClear(mark.n, *view.point(*mark.at), rim) for mark in placement.on(view.lap.name))


__all__ = [
    "clear_of",
    "cross",
    "first_end_arrow",
    "grain",
    "lettered_rows",
    "outline",
]
