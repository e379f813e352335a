"""How long a lace must be.

Terms: the *bar* is the straight stretch of a lace between the two eyelets of the first pair; *across* is the way from
one eyelet of a pair to the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.placing.placed import Placement


@dataclass(frozen=True, slots=True)
class Lace:
    """A lace, in mm.

    Attributes:
        way: "crossed" or "ladder".
        gap_mm: between the edges as they are worn.
        across_mm: between the eyelets of a pair, with that gap.
        worn_mm: through the eyelets, with that gap.
        together_mm: through the eyelets, with the edges drawn together.
        tied_mm: at either end, to tie.
    """

    way: str
    gap_mm: float
    across_mm: float
    worn_mm: float
    together_mm: float
    tied_mm: float

    @property
    def cut_mm(self) -> float:
        """How long it is to be cut: through the eyelets with the gap, and both ends to tie."""
        return self.worn_mm + 2 * self.tied_mm


def lace_of(placement: Placement) -> Lace | None:
    """Work out the lace of a row; None where the plan tells none.

    Crossed, both ends of the lace run from pair to pair aslant: bar + 2 Σ √(row² + across²). As a ladder, both ends run
    along their own side and cross level at every pair after the first: bar + Σ (2 row + 2 across). The edges lie
    parallel, and what a lace takes to bend round the rims of its eyelets is left to what is tied.
    """
    wish, garment = placement.plan.lacing, placement.plan.garment
    if wish is None or garment is None:
        return None
    insets = placement.marks[0].over, placement.marks[0].under
    own = sum(on.edge_distance_mm for on in insets if on is not None)
    rows = _rows(placement)
    worn, together = (_through(wish.way, rows, own + gap) for gap in (garment.gap_mm, 0.0))
    return Lace(wish.way, garment.gap_mm, own + garment.gap_mm, worn, together, wish.tied_mm)


def _rows(placement: Placement) -> list[float]:
    """From pair to pair, straight, the mean of both sides."""
    sides = [
        [math.dist(one.at, other.at) for one, other in pairwise(placement.on(lap.name))] for lap in placement.laps.both
    ]
    return [(over + under) / 2 for over, under in zip(*sides, strict=True)]


def _through(way: str, rows: list[float], across: float) -> float:
    if way == "crossed":
        return across + 2 * sum(math.hypot(row, across) for row in rows)
    return across + 2 * sum(row + across for row in rows)
