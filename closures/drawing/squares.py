"""Two squares that a cover has to be measured by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import LINE, Item, Words, moved, rectangle
from closures.drawing.paper.gauges import INCH_MM, SQUARE_MM
from closures.drawing.paper.words import ChapterPart, Picture

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale

_BETWEEN_SQUARES_MM = 4.0


def squares_to_measure(scale: TypeScale) -> list[ChapterPart]:
    """Two squares to measure on the cover itself."""
    sides = ((SQUARE_MM, "50 mm"), (2 * INCH_MM, "2 in"))
    items: list[Item] = []
    y = 0.0
    for side, name in sides:
        items += [moved(item, 0.0, y) for item in _square(side, name, scale)]
        y += side + _BETWEEN_SQUARES_MM
    size = (max(side for side, _ in sides) + 0.6, y - _BETWEEN_SQUARES_MM + 0.6)
    text = "Two squares to measure: 50 mm and 2 in."
    return [Picture(tuple(items), size, text, "Measure these as well", may_grow=False)]


def _square(side: float, name: str, scale: TypeScale) -> list[Item]:
    middle = side / 2
    rows = (("void unless this", middle + 6.0), (f"measures {name}", middle + 6.0 + scale.leading))
    return [
        rectangle((0.3, 0.3, 0.3 + side, 0.3 + side), LINE),
        Words(0.3 + middle, middle, name, 1.8 * scale.text, "middle", 0.0, "bold"),
        *(Words(0.3 + middle, y, row, scale.text, "middle") for row, y in rows),
    ]
