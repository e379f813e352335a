"""Slanted strokes that fill a figure, for stretches to keep clear."""

from __future__ import annotations

import math

from closures.drawing.ink.shapes import Point


def hatched(outline: tuple[Point, ...], step_mm: float, slant_deg: float) -> tuple[tuple[Point, Point], ...]:
    """Fill a closed figure with parallel strokes.

    Args:
        outline: the corners, in order; the last joins the first.
        step_mm: distance between strokes.
        slant_deg: their slope, against x to the right, y down.

    Returns:
        The strokes inside the figure, by the even-odd rule. Strokes lie on a grid through the
        frame's own origin, so that neighbouring figures hatch alike.
    """
    angle = math.radians(slant_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    # Turned so that strokes run level: u along a stroke, v from stroke to stroke.
    turned = [(x * cos + y * sin, -x * sin + y * cos) for x, y in outline]
    sides = list(zip(turned, turned[1:] + turned[:1], strict=True))
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    found: list[tuple[Point, Point]] = []
    for k in range(math.ceil(low / step_mm), math.floor(high / step_mm) + 1):
        v = k * step_mm
        cuts = sorted(u0 + (v - v0) * (u1 - u0) / (v1 - v0) for (u0, v0), (u1, v1) in sides if (v0 <= v) != (v1 <= v))
        for a, b in zip(cuts[0::2], cuts[1::2], strict=True):
            found.append(((a * cos - v * sin, a * sin + v * cos), (b * cos - v * sin, b * sin + v * cos)))
    return tuple(found)
