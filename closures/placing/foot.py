"""The place on a line nearest to a point of the drawing, also where two places are as near.

On the outer side of a corner a line that runs parallel has its own corner further out: a point at the corner of the
edge then has two feet on it, one on each side, and which of them is nearer is a matter of the last digit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.curve import Curve, Point

ALIKE_MM = 0.05
"""Distances that differ by less are alike: drawings come rounded to a tenth of a millimetre."""
_SAME_PLACE_MM = 1e-3
_ROUND_CORNER = 1.5
"""How much further than the feet the line may lie between them, to be one corner: a right angle makes it 1.41."""


@dataclass(frozen=True, slots=True)
class Foot:
    """Where a point comes to lie on a line.

    Attributes:
        along_mm: from the line's first end; the middle between two feet about one corner.
        distance_mm: from the point to the nearest place.
        feet_mm: the first and the last of the places that are as near, where there is more than one.
        is_corner: whether those lie about one corner.
    """

    along_mm: float
    distance_mm: float
    feet_mm: tuple[float, float] | None = None
    is_corner: bool = False


def foot_of(line: Curve, point: Point) -> Foot:
    """Find where a point comes to lie on a line.

    Args:
        line: in mm.
        point: in mm, in the same frame.

    Returns:
        The foot. Within one segment only its nearest place is looked at.
    """
    near = line.nearest(point)
    best: list[tuple[float, float]] = []
    for i, (segment, start) in enumerate(zip(line.segments, line.starts, strict=False)):
        distance, _, t = line.nearest_within(point, i, i + 1) or (float("inf"), i, 0.0)
        best.append((start + segment.length_to(t), distance))
    feet = [
        along
        for i, (along, distance) in enumerate(best)
        if distance <= near.distance_mm + ALIKE_MM
        # At an end of a segment it is a foot only where the line comes no nearer beyond.
        and (i == 0 or along - line.starts[i] > _SAME_PLACE_MM or along - best[i - 1][0] <= _SAME_PLACE_MM)
        and (
            i == len(best) - 1
            or line.starts[i + 1] - along > _SAME_PLACE_MM
            or best[i + 1][0] - along <= _SAME_PLACE_MM
        )
    ]
    if not feet or max(feet) - min(feet) <= _SAME_PLACE_MM:
        return Foot(near.along_mm, near.distance_mm)
    low, high = min(feet), max(feet)
    middle = (low + high) / 2
    x, y = line.point_at(middle)
    off = ((x - point[0]) ** 2 + (y - point[1]) ** 2) ** 0.5
    is_corner = off <= _ROUND_CORNER * near.distance_mm + ALIKE_MM
    return Foot(middle if is_corner else near.along_mm, near.distance_mm, (low, high), is_corner)
