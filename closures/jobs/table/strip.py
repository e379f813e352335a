"""Running distances told stride by stride, for a strip that is stepped along the closing line.

Terms: a *stride* is one length of the strip; the strip is laid down stride after stride, each beginning
where the one before it ended. Every distance on it is reckoned from the first end and rounded once, so
nothing adds up but whole strides, which are whole on the ruler too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.placing.placement import Placement
    from closures.plan.top import Units

_STRIDES_MM = {"mm": 180.0, "in": 7 * 25.4}
"""Half a sheet is 210 mm long (A4) or 8 1/2 in (Letter): this fits on either, with room at the ends."""


@dataclass(frozen=True, slots=True)
class Stride:
    """One stride of the strip.

    Attributes:
        n: from 1 at the first end.
        from_mm: where it begins, along the closing line from the first end.
        length_mm: of this stride; the last one ends at the last end.
        marks: number of a closure and its distance in mm from where the stride begins.
    """

    n: int
    from_mm: float
    length_mm: float
    marks: tuple[tuple[int, float], ...]


def stride_mm(units: Units) -> float:
    """How long a stride is: a whole number on the ruler in use."""
    return _STRIDES_MM[units]


def strides(placement: Placement) -> tuple[Stride, ...]:
    """Part a row into strides.

    Args:
        placement: closures along an edge.

    Returns:
        The strides from the first end; each closure lies on exactly one, or at the end of one.
    """
    length, step = placement.laps.line.length_mm, stride_mm(placement.plan.units)
    count = max(1, math.ceil(length / step - 1e-9))
    return tuple(
        Stride(
            k + 1,
            k * step,
            min(step, length - k * step),
            tuple(
                (mark.n, mark.along_mm - k * step)
                for mark in placement.marks
                if _stride_of(mark.along_mm, step, count) == k
            ),
        )
        for k in range(count)
    )


def _stride_of(along_mm: float, step: float, count: int) -> int:
    return min(int(along_mm / step), count - 1)
