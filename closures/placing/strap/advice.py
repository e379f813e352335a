"""Lengths in advice, written so that they do when they are followed to the letter."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.lengths import format_length, parse_length_mm
from closures.placing.strap.values import SAME_SEAT_MM

if TYPE_CHECKING:
    from closures.plan.top import Units

# What a length for people tells apart: a tenth of a mm, a sixteenth of an inch.
_STEP_MM = {"mm": 0.1, "in": 25.4 / 16}


def rounded_up(mm: float, units: Units) -> float:
    """Round a least length up to the next that is written in these units."""
    step = _STEP_MM[units]
    return math.ceil(mm / step - 1e-6) * step


def written(mm: float, units: Units) -> str:
    """Write a length in these units, or in hundredths of a mm where their steps would miss it."""
    text = format_length(mm, units)
    return text if abs(parse_length_mm(text) - mm) <= SAME_SEAT_MM else f"{mm:.2f} mm"
