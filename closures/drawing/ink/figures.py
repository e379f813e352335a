"""Small figures and lettering that several drawings share."""

from __future__ import annotations

import math

from closures.drawing.ink.lettering import CAP_HEIGHT
from closures.drawing.ink.shapes import INK, Path, Pen, Point, Weight, Words, polygon
from closures.lengths import format_inches, format_mm


def both_ways(mm: float, units: str) -> tuple[str, str]:
    """Write a length in mm and in inches, the plan's own unit first."""
    pair = (format_mm(mm), format_inches(mm))
    return pair if units == "mm" else (pair[1], pair[0])


def corner_figure(centre: Point, to_first_end: Point, to_edge: Point, side_mm: float, pen: Pen = INK) -> Path:
    """Draw the right-angled corner that points to the finished edge and the first end at once."""
    (fx, fy), (ex, ey), half = to_first_end, to_edge, side_mm / 2

    def at(f: float, e: float) -> Point:
        return (centre[0] + f * fx + e * ex, centre[1] + f * fy + e * ey)

    return polygon((at(half, half), at(half, -half), at(-half, half)), pen)


def lettered_along(text: str, middle: Point, along: Point, size_mm: float, weight: Weight) -> Words:
    """Set words centred on a point, running along a direction, the readable way up."""
    # Rounded first: a hair either side of upright must come out as the same way up.
    angle = round(math.degrees(math.atan2(along[1], along[0])), 6)
    angle = (angle + 90.0) % 180.0 - 90.0
    down = math.radians(angle + 90.0)
    drop = CAP_HEIGHT * size_mm / 2
    x, y = middle[0] + drop * math.cos(down), middle[1] + drop * math.sin(down)
    return Words(x, y, text, size_mm, "middle", angle, weight)
