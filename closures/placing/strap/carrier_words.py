"""The carriers of a belt in words: whole mm or eighths of an inch, as a tape laid on cloth is read."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.lengths import SAME_MM, format_length

if TYPE_CHECKING:
    from closures.placing.strap.values import Carriers
    from closures.plan.top import Units

_STEP_MM: dict[Units, float] = {"mm": 1.0, "in": 25.4 / 8}
"""What nobody sews a carrier nearer than: common practice."""


def carriers_in_words(carriers: Carriers, units: Units) -> tuple[str, tuple[str, ...]]:
    """Tell how long each is cut, rounded up, and how far round the garment each stands, to the nearest."""
    step = _STEP_MM[units]
    cut = math.ceil(carriers.cut_mm / step - SAME_MM) * step
    return format_length(cut, units), tuple(format_length(round(mm / step) * step, units) for mm in carriers.round_mm)
