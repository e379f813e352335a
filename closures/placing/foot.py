"""The place on a line nearest to a point of the drawing, also where two places are as near.

On the outer side of a corner a line that runs parallel has its own corner further out: a point at the corner of the
edge then has two feet on it, one on each side, and which of them is nearer is a matter of the last digit.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.curve import Curve, Point
    from closures.curve.curve import Nearest

ALIKE_MM = 0.05
"""Distances that differ by less are alike: drawings come rounded to a tenth of a millimetre."""
_SAME_PLACE_MM = 1e-3
_ROUND_CORNER = 1.5
"""How much further than the feet the line may lie between them, to be one corner: a right angle makes it 1.41."""
_ONE_PLACE = 0.02
"""Feet no further apart than this share of their distance lie about a turn of a degree, such as a sampled curve has."""
_ONE_PLACE_MM = 0.1
_FLAT = 3.0
"""Alike so many times further from the foot than on a straight line, the line bends about the point."""


@frozen
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
        The foot, or the feet: every place at which the line comes nearest is looked at, also within one bent segment.
    """
    near = line.nearest(point)
    feet = _feet(line, point, near)
    if not feet or max(feet) - min(feet) <= _SAME_PLACE_MM:
        return Foot(near.along_mm, near.distance_mm)
    low, high = min(feet), max(feet)
    middle = (low + high) / 2
    off = math.dist(line.point_at(middle), point)
    is_corner = off <= _ROUND_CORNER * near.distance_mm + ALIKE_MM and (
        high - low <= max(_ONE_PLACE_MM, _ONE_PLACE * near.distance_mm)
        or any(low < along < high for along, _ in line.corners())
    )
    return Foot(middle if is_corner else near.along_mm, near.distance_mm, (low, high), is_corner)


def _feet(line: Curve, point: Point, near: Nearest) -> list[float]:
    """The places along at which the line comes nearer than on either side of them, and as near as anywhere.

    With them those that lie far from the nearest and are as near: the line bends about the point, as an arc does about
    its centre.
    """
    far = max(1.0, _FLAT * math.sqrt(2 * near.distance_mm * ALIKE_MM))
    places: list[tuple[float, float]] = []
    for segment, start in zip(line.segments, line.starts, strict=False):
        for t in (0.0, *segment.extremes(*point), 1.0):
            along = start + segment.length_to(t)
            if not places or along - places[-1][0] > _SAME_PLACE_MM:
                places.append((along, math.dist(segment.point(t), point)))
    ends = (math.inf, math.inf)
    about = [ends, *places, ends]
    return [
        here[0]
        for before, here, after in zip(about, about[1:], about[2:], strict=False)
        if here[1] <= near.distance_mm + ALIKE_MM
        and ((here[1] <= before[1] and here[1] <= after[1]) or abs(here[0] - near.along_mm) > far)
    ]
