"""Which of a few measured points may be mistyped: the one that alone lies off a line that is smooth without it.

Of a point between two others its neighbours tell where it would lie. Beyond the last point there is none, and a sound
front may bend right there: a point at an end is asked about where one slip of the hand explains it, or where it alone
tells a bend of an edge that runs on straight or evenly up to there.
"""

from __future__ import annotations

import math
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING

from closures.curve.fitting.limits import LEAST_POINTS
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from closures.curve import Point
    from closures.plan.top import Units

_LEAST_FOR_STRAY = 5
"""With fewer than so many points, one bend of a front is one point."""
_LEAST_STRAY_MM = 10.0
"""Off its neighbours: our own rule. What bends less is not seen from a slip of the hand."""
_MOST_WITHOUT = 0.25
"""A point is taken to be mistyped where, without it, no other lies further off its neighbours than this share: our own
rule. A front with one rounded corner in few points bends there on one side only, and keeps half of it."""
_MOST_WITHOUT_END = 0.33
"""The same of a point at an end, which a slip of the hand has to explain besides: our own rule."""
_NEAR_MM = 2.0
"""How near to where an edge leads the figure must lie that was meant: our own rule, as far as a tape is read."""
_LEAST_ALONE_MM = 15.0
_LEAST_ALONE_SHARE = 0.4
_MOST_ALONE = 0.1
_MOST_SPREAD = 0.3
_LEAST_STEP = 0.8
"""A point at an end is asked about without a slip where it lies so far off, and by so much of the way to it, while the
others lie so much less off their neighbours, where they lead is so well known, and the way to it is no shorter than the
others are: who measures a bend takes a point nearer. Our own rule: of a thousand sound shapes each it asks 12 at the
most that are curved, and 79 with a corner before the last point, which that point alone tells."""
_MM_PER_IN = 25.4


@frozen
class Stray:
    """A measured point that alone lies far off a line that is smooth without it.

    Attributes:
        number: which one it is, from 1.
        off_mm: how far off the straight line through its neighbours; at an end, off where the points before it lead.
        told_mm: at an end, the figure that is told of it.
        meant_mm: at an end, the figure that would lie where they lead, and of which a slip of the hand makes the told.
        is_end: it is the first point or the last.
    """

    number: int
    off_mm: float
    told_mm: float = 0.0
    meant_mm: float | None = None
    is_end: bool = False


def stray_point(points: Sequence[Point], units: Units) -> Stray | None:
    """Find the one point of a few that may be mistyped: a digit too many, or two changed over.

    Args:
        points: in mm, first end to last end. Of many points the noise is known, and the line is read by it.
        units: in which their figures are told.
    """
    if not _LEAST_FOR_STRAY <= len(points) < LEAST_POINTS:
        return None
    off = _off_neighbours(points)
    worst = max(off, key=lambda k: off[k])
    without = [*points[:worst], *points[worst + 1 :]]
    rest = max(_off_neighbours(without).values())
    if off[worst] >= _LEAST_STRAY_MM and rest <= _MOST_WITHOUT * off[worst]:
        return Stray(worst + 1, off[worst])
    return _at_end(points, len(points), units) or _at_end(points[::-1], 1, units)


def _off_neighbours(points: Sequence[Point]) -> dict[int, float]:
    """How far each inner point lies off the straight line through the two beside it."""
    off = {}
    for k, ((x0, y0), (x, y), (x1, y1)) in enumerate(zip(points, points[1:], points[2:], strict=False), start=1):
        chord = math.hypot(x1 - x0, y1 - y0)
        across = abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0))
        off[k] = across / chord if chord else math.hypot(x - x0, y - y0)
    return off


def _at_end(points: Sequence[Point], number: int, units: Units) -> Stray | None:
    """Hold the last point against where those before it lead, straight on or in their bend."""
    *before, last = points
    along = 0 if abs(before[-1][0] - before[0][0]) > abs(before[-1][1] - before[0][1]) else 1
    across = 1 - along
    steps = [b[along] - a[along] for a, b in pairwise(points)]
    if not (all(step > 0 for step in steps) or all(step < 0 for step in steps)):
        # Where it turns back on itself, nothing says where it leads.
        return None
    places = [(point[along], point[across]) for point in before]
    leads = [_carried_on(places[-count:], last[along]) for count in (2, 3)]
    low_mm, high_mm, told_mm = min(leads), max(leads), last[across]
    off_mm = max(low_mm - told_mm, told_mm - high_mm)
    rest_mm = max(_off_neighbours(before).values())
    if off_mm < _LEAST_STRAY_MM or rest_mm > _MOST_WITHOUT_END * off_mm:
        return None
    for meant_mm in sorted(_slips(told_mm, units, has_digit_more=off_mm > abs(steps[-1]))):
        # Beside a line at naught, whatever is left of a figure lies near it.
        is_figure = abs(meant_mm) >= _LEAST_STRAY_MM
        if is_figure and low_mm - _NEAR_MM <= meant_mm <= high_mm + _NEAR_MM:
            return Stray(number, off_mm, told_mm, meant_mm, is_end=True)
    step_mm, usual_mm = abs(steps[-1]), median(abs(step) for step in steps[:-1])
    is_alone = off_mm >= max(_LEAST_ALONE_MM, _LEAST_ALONE_SHARE * step_mm) and rest_mm <= _MOST_ALONE * off_mm
    if is_alone and high_mm - low_mm <= _MOST_SPREAD * off_mm and step_mm >= _LEAST_STEP * usual_mm:
        return Stray(number, off_mm, told_mm, is_end=True)
    return None


def _carried_on(places: Sequence[tuple[float, float]], along_mm: float) -> float:
    """Where the line or the parabola through two or three places lies further on (Lagrange's formula)."""
    found = 0.0
    for i, (at_mm, off_mm) in enumerate(places):
        share = math.prod((along_mm - other) / (at_mm - other) for k, (other, _) in enumerate(places) if k != i)
        found += share * off_mm
    return found


def _slips(told_mm: float, units: Units, *, has_digit_more: bool) -> Iterator[float]:
    """The figures of which one slip makes the one that is told: two digits changed over, or a digit typed besides."""
    unit_mm = _MM_PER_IN if units == "in" else 1.0
    whole, _, part = f"{abs(told_mm) / unit_mm:g}".partition(".")
    digits, sign = whole + part, math.copysign(unit_mm, told_mm)
    if not digits.isdigit():
        return
    for k in range(len(digits) - 1):
        changed = digits[:k] + digits[k + 1] + digits[k] + digits[k + 2 :]
        yield sign * int(changed) / 10 ** len(part)
    for k in range(len(digits) if has_digit_more and len(digits) > 1 else 0):
        after = len(part) - (k >= len(whole))
        yield sign * int(digits[:k] + digits[k + 1 :]) / 10**after
