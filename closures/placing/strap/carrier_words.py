"""The carriers of a belt in words: whole mm or eighths of an inch, as a tape laid on cloth is read."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.lengths import SAME_MM, format_length

if TYPE_CHECKING:
    from closures.placing.strap.values import Carriers, Strap
    from closures.plan.top import Units

_STEP_MM: dict[Units, float] = {"mm": 1.0, "in": 25.4 / 8}
"""What nobody sews a carrier nearer than: common practice."""


def carriers_in_words(carriers: Carriers, units: Units) -> tuple[str, tuple[str, ...], str]:
    """Tell how long each is cut, rounded up, how far round the garment each stands, to the nearest, and on what cloth.

    The last is empty where no wash is still to come.
    """
    step = _STEP_MM[units]
    cut = math.ceil(carriers.cut_mm / step - SAME_MM) * step
    # A half goes up, wherever it stands: to the nearest even number two of them would go opposite ways.
    places = tuple(format_length(math.floor(mm / step + 0.5 + SAME_MM) * step, units) for mm in carriers.round_mm)
    unwashed = (
        f" These places are for the garment before its first wash, in which it loses {100 * carriers.loses:g} % round; "
        "cut the carriers from cloth that is washed already, as the belt does not shrink with them."
    )
    return format_length(cut, units), places, unwashed if carriers.loses else ""


def evenly_in_words(carriers: Carriers, strap: Strap) -> str:
    """Say of a chart whose size the places are, and how they are found in the others; empty where there is one size."""
    if not strap.in_size:
        return ""
    share = f"1/{len(carriers.round_mm) + 1}"
    way = "each" if len(carriers.round_mm) == 1 else "one after the other"
    return f"{strap.in_size}; in every other size, {way} {share} of the way round its own garment"
