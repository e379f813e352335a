"""The straight ways from a first mark to a last one, by which sheets and marks are proved: all tell and list these."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement

    Span = tuple[LapMark, LapMark]


def span_of(placement: Placement, lap: LapName) -> Span | None:
    """From the first mark of a row, or of a share of it, to its last; None where a lap carries fewer than two."""
    marks = placement.on(lap)
    return (marks[0], marks[-1]) if len(marks) > 1 else None


def spans_of(placement: Placement, lap: LapName) -> tuple[Span, ...]:
    """Every such way that an order of work may name: of the row, of what is set alike, of a column beside it."""
    lines = (placement, *placement.beside, *placement.shares)
    told = [span for line in lines if (span := span_of(line, lap)) is not None]
    return tuple({(one.n, other.n): (one, other) for one, other in told}.values())
