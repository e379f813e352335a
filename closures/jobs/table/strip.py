"""Running distances told stride by stride, for a strip that is stepped along the closing line.

Terms: a *stride* is one length of the strip; the strip is laid down stride after stride, each beginning
where the one before it ended. Every distance on it is reckoned from the first end and rounded once, so
nothing adds up but whole strides, which are whole on the ruler too.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.placing.marking import are_along_alike

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.plan.top import Units

_STRIDES_MM = {"mm": 180.0, "in": 7 * 25.4}
"""Half a sheet is 210 mm long (A4) or 8 1/2 in (Letter): this fits on either, with room at the ends."""

_HAIR_MM = 0.01
"""The two laps' lines are reckoned each by itself, and differ by less than this where they are one line."""


@frozen
class Stride:
    """One stride of the strip.

    Attributes:
        n: from 1 at the first end.
        from_mm: where it begins, along the closing line from the first end.
        length_mm: of this stride; one that comes to the last end ends there. None follows the last mark's.
        marks: number of a closure and its distance in mm from where the stride begins.
        lap: whose line it is stepped along; None where both laps have the same line.
    """

    n: int
    from_mm: float
    length_mm: float
    marks: tuple[tuple[int, float], ...]
    lap: LapName | None = None

    @property
    def whose(self) -> str:
        """The lap for people, such as "under lap"; empty where it serves both."""
        return "" if self.lap is None else f"{self.lap} lap"


def stride_mm(units: Units) -> float:
    """How long a stride is: a whole number on the ruler in use."""
    return _STRIDES_MM[units]


def strides(placement: Placement) -> tuple[Stride, ...]:
    """Part a row into strides.

    Args:
        placement: closures along an edge.

    Returns:
        The strides from the first end; each closure that is set lies on exactly one, or at the end of one. Where the
        under lap has a line of its own on which a tape tells other distances, its strides follow those of the over lap.
    """
    laps, step = placement.laps, stride_mm(placement.plan.units)
    if not laps.under.pins_mm or _are_alike(placement):
        return _strides([(mark.n, mark.along_mm) for mark in placement.new_marks], laps.line.length_mm, step, None)
    return tuple(
        row
        for lap in laps.both
        for row in _strides(
            [(mark.n, mark.along_mm) for mark in placement.to_set.on(lap.name)], lap.line.length_mm, step, lap.name
        )
    )


def _are_alike(placement: Placement) -> bool:
    """Whether a tape tells the same distances on both laps: one strip serves them then."""
    over, under = (placement.laps[name].line.length_mm for name in ("over", "under"))
    return abs(over - under) <= _HAIR_MM and are_along_alike(placement.marks)


def _strides(
    places: Sequence[tuple[int, float]], length: float, step: float, lap: LapName | None
) -> tuple[Stride, ...]:
    count = max(1, math.ceil(length / step - 1e-9))
    # Past the last mark there is nothing to step to.
    needed = 1 + max((_stride_of(along, step, count) for _, along in places), default=0)
    return tuple(
        Stride(
            k + 1,
            k * step,
            min(step, length - k * step),
            tuple((number, along - k * step) for number, along in places if _stride_of(along, step, count) == k),
            lap,
        )
        for k in range(needed)
    )


def _stride_of(along_mm: float, step: float, count: int) -> int:
    # A mark at the end of a stride that rounding has put a hair before it is the next stride's on either lap.
    return min(int((along_mm + _HAIR_MM) / step), count - 1)
