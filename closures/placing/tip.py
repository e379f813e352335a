"""The finished end of a strap, as closures are measured from it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.plan.strap import TipShape


@frozen
class Tip:
    """The finished end of a strap.

    Attributes:
        at: where the strap's middle line meets it.
        inwards: unit direction along the strap, away from the tip.
        end: the part of the finished edge that is not a long side.
        half_mm: half the strap's width.
        shape: of the tip; a pointed one is a right angle.
        corner_mm: radius of a rounded one.
    """

    at: tuple[float, float]
    inwards: tuple[float, float]
    end: Curve
    half_mm: float
    shape: TipShape
    corner_mm: float = 0.0

    def distance_to(self, point: tuple[float, float]) -> float:
        """How far inwards from the tip a point lies, along the strap, in mm."""
        return (point[0] - self.at[0]) * self.inwards[0] + (point[1] - self.at[1]) * self.inwards[1]

    def room_to_end(self, point: tuple[float, float]) -> float:
        """From a point on the cloth to the finished tip, in mm; negative where the point lies beyond it."""
        aside, far, cloth_begins = self.aside(point), self.end.nearest(point).distance_mm, 0.0
        if self.shape == "pointed":
            cloth_begins = aside
        elif self.shape == "rounded":
            past, radius = max(aside - (self.half_mm - self.corner_mm), 0.0), self.corner_mm
            cloth_begins = radius - math.sqrt(max(radius**2 - past**2, 0.0))
        return far if self.distance_to(point) >= cloth_begins else -far

    def aside(self, point: tuple[float, float]) -> float:
        """How far a point lies from the strap's middle line, in mm, never negative."""
        return abs((point[0] - self.at[0]) * self.inwards[1] - (point[1] - self.at[1]) * self.inwards[0])
