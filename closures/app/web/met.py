"""The two laps as the picture of the closed garment has them; of edges that meet, one beside the other."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from closures.curve import parallel
from closures.edges.hand import other_hand
from closures.errors import EdgeError
from closures.placing.lap import offset_sign

if TYPE_CHECKING:
    from closures.placing.lap import Laps
    from closures.placing.placement import Placement


def worn_laps(placement: Placement) -> Laps:
    """Find both laps in the over lap's frame, as they lie on the closed garment: for pictures, never for marking.

    Of edges that meet nothing lies on anything: the under lap begins at the over lap's edge, or past the gap that the
    garment has there as it is worn, and its closing line lies in its own cloth. Where the edge is so bent that it
    cannot be drawn so far out, its closing line stands for it.
    """
    laps = placement.laps
    return _met(laps, gap_mm(placement)) if laps.garment.is_meeting else laps.as_worn


def gap_mm(placement: Placement) -> float:
    """How far edges that meet stay apart as they are worn, midway where they spread."""
    wish = placement.plan.garment
    if wish is None or not placement.laps.garment.is_meeting:
        return 0.0
    return sum(wish.gaps_mm) / 2


@lru_cache(maxsize=16)
def _met(laps: Laps, gap: float) -> Laps:
    over, under = laps.over, laps.under
    out = -offset_sign(over.cloth_on)
    try:
        edge = parallel(over.edge, out * gap) if gap else over.edge
        line = parallel(edge, out * under.inset_mm) if under.inset_mm else edge
    except EdgeError:
        return laps.as_worn
    try:
        inner = parallel(edge, out * under.width_mm)
    except EdgeError:
        inner = None
    met = replace(
        under,
        edge=edge,
        line=line,
        inner=inner,
        cloth_on=other_hand(over.cloth_on),
        pins_mm=(),
        worn_pins_mm=(),
        facing=None,
    )
    return replace(laps, under=met, beside=None)
