"""What closures keep to along their line: repeats of a stripe, rows or stitches of knitting."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.verifying.measured import ALONG_MM

if TYPE_CHECKING:
    from closures.verifying.measured import Measured
    from closures.verifying.promises import StepsPromised


def faults_of_steps(along: Sequence[float], line: Measured, zero: float, steps: StepsPromised) -> Iterator[str]:
    """Hold places on a line against the repeats, rows or stitches that closures keep to.

    Args:
        along: of each closure, ascending.
        line: the closing line.
        zero: the y from which levels count.
        steps: what they keep to.
    """
    begins = [place - steps.before_mm for place in along]
    places = [line.at(place)[1] - zero for place in begins] if steps.by_level else begins
    start = places[0] if steps.level_mm is None else steps.level_mm
    for n, place in list(enumerate(places, 1))[steps.from_n - 1 :]:
        off = abs(math.remainder(place - start, steps.every_mm))
        if not off <= ALONG_MM:
            yield f"mark {n} lies {off:.3f} mm off the repeats, rows or stitches of {steps.every_mm:.3f} mm"


def faults_of_rows(
    along: Sequence[float], line: Measured, edges: Sequence[Measured], steps: StepsPromised
) -> Iterator[str]:
    """Hold the rows that are told to a knitter of a front against the corner of its edge at which they begin.

    Args:
        along: of each closure, ascending.
        line: the closing line.
        edges: what is drawn of the lap's finished edge.
        steps: what they keep to.
    """
    if steps.rows is None:
        return
    told, total = steps.rows, steps.rows_in_all
    ends = [point[1] for edge in edges for point in (edge.points[0], edge.points[-1])]
    if not ends:
        yield "no finished edge is drawn from which rows could be counted"
        return
    # The edge runs one way, so its ends lie furthest of all that is drawn of it.
    runs_down = line.points[-1][1] >= line.points[0][1]
    corner, other = (max(ends), min(ends)) if runs_down != steps.from_first else (min(ends), max(ends))
    if not abs(abs(other - corner) - total * steps.every_mm) <= steps.every_mm / 2 + ALONG_MM:
        yield f"the front is {abs(other - corner):.3f} mm high, and {total} rows of {steps.every_mm:.3f} mm are told"
    for n, place, count in zip(range(1, len(along) + 1), along, told, strict=True):
        found = abs(line.at(place - steps.before_mm)[1] - corner)
        if not abs(found - count * steps.every_mm) <= ALONG_MM:
            yield (
                f"mark {n} keeps to a row {found:.3f} mm from the corner where knitting begins, and is told after "
                f"{count} rows, {count * steps.every_mm:.3f} mm"
            )
