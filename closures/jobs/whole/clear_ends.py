"""What to write as `first` or `last` of a row of which an end lies where it must not: the row is tried, as it is worn.

`first` and `last` run along the row's own line, which may cross what is in the way aslant: how far a closure lies in
it, square to its edge, is less than it must be moved.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from closures.errors import SpacingError
from closures.jobs.whole.frames import turn_of
from closures.lengths import SAME_MM, format_length
from closures.offered import STEP_MM
from closures.placing.carrying import carry_back
from closures.spacing import best_spacing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.curve import Point
    from closures.jobs.whole.frames import Worked

Bites = Callable[["Point", float], bool]
"""Whether a closure at a point of the drawing, which reaches so far round it, in mm, lies in what is in the way."""

# Rows that are tried past the first place where the end itself is clear (our own).
_MOST_TRIED = 20


def clear_end(one: Worked, found: Sequence[int], bites: Bites) -> str:
    """Tell the least end that keeps the whole row out of what is in the way, where an end of the row lies in it.

    Args:
        one: the opening.
        found: numbers of its marks that lie in it.
        bites: as the garment is worn, in the frame of the drawing.

    Returns:
        What to write, a sentence without its stop; empty where the row has no such end, or none was found.
    """
    worn, told = one.placement.as_worn, one.placement.told_plan
    numbers = [mark.n for mark in worn.marks]
    if told.stand is not None or told.tape is not None or told.swap is not None or not set(found) <= set(numbers):
        return ""
    if numbers[0] in found:
        return _moved(one, "first", bites)
    return _moved(one, "last", bites) if numbers[-1] in found else ""


def _moved(one: Worked, end: Literal["first", "last"], bites: Bites) -> str:
    worn, as_told = one.placement.as_worn, one.placement.as_told
    wish, line, units = worn.spacing.wish, worn.laps.line, one.placement.plan.units
    if wish is None:
        return ""
    turn, round_mm, step = turn_of(one.placement), worn.rim_mm, STEP_MM[units]
    told_mm = as_told.laps.line.length_mm

    def from_its_end(mm: float, length_mm: float) -> float:
        return mm if end == "first" else length_mm - mm

    def lies_in_it(along_mm: float) -> bool:
        x, y = line.point_at(along_mm)
        return bites((turn * x, y), round_mm)

    mark = as_told.marks[0 if end == "first" else -1]
    begin = math.floor(from_its_end(mark.along_mm, told_mm) / step + SAME_MM) + 1
    tried = 0
    for n in range(begin, math.floor(told_mm / step)):
        along = from_its_end(n * step, told_mm)
        if as_told is not worn:
            along = carry_back(along, line, as_told.laps.line, one.placement.plan)
        if lies_in_it(along):
            continue
        tried += 1
        if tried > _MOST_TRIED:
            return ""
        room = from_its_end(along, line.length_mm), from_its_end(along, line.length_mm)
        try:
            row = best_spacing(replace(wish, first=room) if end == "first" else replace(wish, last=room))
        except SpacingError:
            continue
        if not any(lies_in_it(place) for place in row.positions_mm):
            written = f'{end} = "{format_length(n * step, units)}"'
            return f"Write {written} under [spacing] of {Path(one.opening.plan).name}, which keeps the row clear of it"
    return ""
