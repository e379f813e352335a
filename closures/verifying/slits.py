"""The buttonholes on pages held against those on the finished sheets: each is cut in the cloth."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from closures.verifying.measured import Point
from closures.verifying.page_read import Stroke

SLIT_MM = 0.05
"""How far an end of a buttonhole on a page may lie from where it is on the sheet."""
_PEN_MM, _BAR_MM = 0.5, 4.0
"""How wide a slit is drawn, and how long the bars at its ends are at most, which are drawn with the same pen."""


def is_like_slit(stroke: Stroke, stretch: float) -> bool:
    """Whether a stroke on a page may be a buttonhole, or a bar at its end."""
    straight = len(stroke.points) == 2 and not stroke.is_dashed
    return straight and abs(stroke.width_mm / stretch - _PEN_MM) < 0.02


def faults_of_slits(
    wanted: Mapping[int, Sequence[tuple[Point, Point]]],
    drawn: Sequence[tuple[complex, complex]],
    fit: Callable[[complex], complex],
    most_mm: float,
) -> Iterator[str]:
    """Each mark must have the buttonhole that it has on the sheet: as long, at the same place, running the same way.

    Args:
        wanted: both ends of those on the sheet, by the number of the mark; of the marks that are on this part.
        drawn: both ends of every stroke of the part that may be one.
        fit: lays the part on the sheet.
        most_mm: how far an end may be out.

    Returns:
        What is wrong, one sentence each.
    """
    laid = [(fit(a), fit(b)) for a, b in drawn]
    ends = [(n, complex(*a), complex(*b)) for n, slits in wanted.items() for a, b in slits]
    for n, start, end in ends:
        # Which of its ends a stroke begins at says nothing.
        ways = [way for slit in laid for way in (slit, slit[::-1])]
        off = min((max(abs(a - start), abs(b - end)) for a, b in ways), default=math.inf)
        if not off <= most_mm:
            yield f"the buttonhole of mark {n} is not drawn as it is on the sheet"
    long = [abs(b - a) for a, b in laid if abs(b - a) > _BAR_MM]
    alike = [length for length in long if any(abs(length - abs(b - a)) <= most_mm for _, a, b in ends)]
    if len(alike) > len(ends):
        yield f"{len(alike)} buttonholes are drawn on a part where there are {len(ends)}"


def faults_of_bars(n: int, slit: tuple[Point, Point], bars: Sequence[tuple[Point, Point]]) -> Iterator[str]:
    """A bar stands across either end of a buttonhole: the cut stops there."""
    a, b = (complex(*end) for end in slit)
    for end in (a, b):
        for one, other in bars:
            p, q = complex(*one), complex(*other)
            askew = ((q - p) * (b - a).conjugate()).real / (abs(b - a) or 1.0)
            if abs((p + q) / 2 - end) <= SLIT_MM and abs(askew) <= SLIT_MM:
                break
        else:
            yield f"no bar stands across an end of the buttonhole of mark {n}"
