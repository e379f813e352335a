"""What pattern pieces are drawn with: an outline where it lies on the garment, its grain, and what it is called."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import lettered_along
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

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.sheets.view import View
    from closures.placing.placement import LapMark

_CROSS_MM = 2.2


def outline(ring: Sequence[Point], view: View, pen: Pen = LINE) -> Path:
    """Draw an outline of the garment as it is seen."""
    return polygon((view.point(*point) for point in ring), pen)


def cross(mark: LapMark, view: View, name: str, scale: TypeScale) -> Group:
    """Draw where a closure's centre lies on a piece, with its number."""
    x, y = view.point(*mark.at)
    ways = (((x - _CROSS_MM, y), (x + _CROSS_MM, y)), ((x, y - _CROSS_MM), (x, y + _CROSS_MM)))
    return Group(
        f"{name}-{mark.n}",
        f"centre of closure {mark.n}",
        (
            strokes(ways, FINE),
            Circle(x, y, 0.3, INK, "centre"),
            Words(x + 0.9, y - 0.9, str(mark.n), scale.figure, weight="semibold"),
        ),
    )


def grain(middle: Point, along: Point, length_mm: float, text: str, size_mm: float) -> tuple[Item, ...]:
    """Draw the grain as an arrow with two heads, named where there are words for it."""
    reach = length_mm / 2
    tail, tip = ((middle[0] + s * reach * along[0], middle[1] + s * reach * along[1]) for s in (-1.0, 1.0))
    shapes = (*arrow(middle, tip, LINE, 2.4), *arrow(middle, tail, LINE, 2.4))
    if not text:
        return shapes
    off = 0.8 * size_mm
    aside = (middle[0] - off * along[1], middle[1] + off * along[0])
    return (*shapes, lettered_along(text, aside, along, size_mm, "semibold"))


def lettered_rows(rows: Sequence[str], middle: Point, along: Point, size_mm: float) -> list[Item]:
    """Letter rows of words one under the other about a point."""
    # Rows follow one another in the direction in which lettering runs down.
    angle = (math.degrees(math.atan2(along[1], along[0])) + 90.0) % 180.0 - 90.0
    down = (-math.sin(math.radians(angle)), math.cos(math.radians(angle)))
    items: list[Item] = []
    for k, row in enumerate(rows):
        step = 1.25 * size_mm * (k - (len(rows) - 1) / 2)
        at = (middle[0] + step * down[0], middle[1] + step * down[1])
        items.append(lettered_along(row, at, along, size_mm, "bold" if k == 0 else "semibold"))
    return items
