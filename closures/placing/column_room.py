"""What lies between a row and the column and the hidden closure beside it, and where there would be room for them.

Marks of one line are held against each other by the rules of a row; here stands every pair of two lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.placing.clearance import Lying, Room, Wanted, lying_at, lying_on, room_between, too_near
from closures.placing.shrinkage import as_told, told_across

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Point
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Laps
    from closures.placing.placed import Placement
    from closures.plan.top import Units

_SAME_PLACE_MM = 0.05
"""Two closures so near are at one place, back to back; the numbers of both are told apart."""
_APART_MM = 0.5
"""So far past the smaller rim another centre must lie, that a number can be told to belong to one of both."""

_LAPS: tuple[LapName, LapName] = ("over", "under")

STEP_MM: dict[Units, float] = {"mm": 1.0, "in": 25.4 / 8}
"""What a figure to write into a plan is rounded to: people measure by these."""


def all_rooms(placement: Placement, catalogue: Catalogue) -> list[tuple[LapName, Room]]:
    """Find what lies between every two marks of two lines, lap by lap."""
    wanted = Wanted.of(catalogue)
    return [
        (lap, room)
        for lap in _LAPS
        for some, others in combinations(_lines(placement, lap, catalogue), 2)
        for one in some
        for other in others
        if (room := room_between(one, other, wanted)) is not None
    ]


def _lines(placement: Placement, lap: LapName, catalogue: Catalogue) -> list[list[Lying]]:
    return [lying_on(one, lap, catalogue) for one in (placement, *placement.beside)]


def least_apart_mm(placement: Placement, catalogue: Catalogue) -> float:
    """Find how far the columns must be apart, so that enough lies between the row and all beside it.

    Args:
        placement: with a second column; of a garment that shrinks, as it is worn.
        catalogue: limits, and the figures of buttonholes.

    Returns:
        The least figure as people measure, the levels kept; in the state in which the plan is told.

    Raises:
        ValueError: there is no second column.
    """
    column = placement.plan.column
    if column is None:
        raise ValueError("no second column")
    wanted, step, apart = Wanted.of(catalogue), STEP_MM[placement.plan.units], column.apart_mm
    # In the figures of the plan: a line moves by what these come to square across it, as it is worn.
    told = apart * as_told(placement.plan)[0]
    across = worst_told_across(placement)
    laid = []
    for lap in placement.laps.both:
        row, *beside = _lines(placement, lap.name, catalogue)
        # From the row the second line lies further from the over lap's edge, and nearer to the under lap's.
        sign = 1.0 if lap.name == "over" else -1.0
        ways = {}
        for mark in placement.all_on(lap.name):
            by, (x, y) = sign / told_across(placement.plan, mark.tangent), lap.inward(mark.tangent)
            ways[mark.n] = (by * x, by * y)
        laid.append((row, [(one, ways[one.n]) for line in beside for one in line]))

    def is_enough(figure: float) -> bool:
        return not any(
            room
            for row, beside in laid
            for room in too_near(
                row, [one.moved(((figure - told) * x, (figure - told) * y)) for one, (x, y) in beside], wanted
            )
        )

    # Apart by all that they reach, no two come near each other.
    of_row = max((one.reach_mm for row, _ in laid for one in row), default=0.0)
    of_beside = max((one.reach_mm for _, beside in laid for one, _ in beside), default=0.0)
    low = math.ceil(told / step - 1e-9)
    high = max(low, math.ceil((of_row + of_beside + max(wanted.rims_mm, wanted.slit_mm)) * across / step))
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle * step) else (middle + 1, high)
    return high * step


def worst_told_across(placement: Placement) -> float:
    """By what a length square across the line is longer in the plan's own figures, where a wash takes most of it.

    Args:
        placement: as it is worn.
    """
    return max(told_across(placement.plan, mark.tangent) for lap in _LAPS for mark in placement.on(lap))


def half_behind(placement: Placement, beside: Placement) -> tuple[int, int, float] | None:
    """Find a closure beside the row whose centre lies within another's rim, or the other's within its own.

    Whether they lie on one face or back to back, nobody could tell on a sheet which prick is whose.

    Args:
        placement: the row, with what lies beside it already.
        beside: what is to lie there too.

    Returns:
        The number of the one, that of the other, and how far their centres are apart in mm; None where there is none.
        Centres at one place are none.
    """
    for line in (placement, *placement.beside):
        for one in beside.marks:
            for other in line.marks:
                for lap in _LAPS:
                    mine, its = one.on(lap), other.on(lap)
                    if one.n == other.n or mine is None or its is None:
                        continue
                    if _is_half_behind(mine.at, beside.fastener.rim_mm, its.at, line.fastener_of(other.n).rim_mm):
                        return one.n, other.n, math.dist(mine.at, its.at)
    return None


def back_to_back(share: Placement, others: Iterable[Placement]) -> tuple[int, int] | None:
    """The number of a mark that lies at one place of the over lap with one of `others`, and that one's; or None."""
    for one in share.on("over"):
        for other in (mark for shown in others for mark in shown.on("over")):
            if one.n != other.n and math.dist(one.at, other.at) <= _SAME_PLACE_MM:
                return one.n, other.n
    return None


def _is_half_behind(at: Point, rim_mm: float, other: Point, other_rim_mm: float) -> bool:
    return _SAME_PLACE_MM < math.dist(at, other) < min(rim_mm, other_rim_mm) + _APART_MM


@frozen
class HiddenPlaces:
    """The line of a hidden closure, with what others have on both laps.

    Attributes:
        laps: with its line.
        fastener, hole: what it is.
        n: its number.
        others: what lies on each lap.
        closed_mm: stretches of its line that a clear zone closes.
        wanted: what is to lie between.
        told: by what a level here becomes one as the plan tells it.
    """

    laps: Laps
    fastener: Fastener
    hole: Buttonhole | None
    n: int
    others: dict[LapName, list[Lying]]
    closed_mm: tuple[tuple[float, float], ...]
    wanted: Wanted
    told: float = 1.0

    @classmethod
    def among(
        cls, placement: Placement, laps: Laps, fastener: Fastener, hole: Buttonhole | None, n: int, catalogue: Catalogue
    ) -> HiddenPlaces:
        """Beside a row, its second column, and every single closure that is there."""
        among = (placement, *(one for one in placement.beside if all(mark.n != n for mark in one.marks)))
        others = {lap: [one for line in among for one in lying_on(line, lap, catalogue)] for lap in _LAPS}
        closed = tuple(stretch for zone in placement.zones for stretch in zone.closed_mm)
        _, told = as_told(placement.plan)
        return cls(laps, fastener, hole, n, others, closed, Wanted.of(catalogue), told)

    def met_at(self, along_mm: float) -> Room | None:
        """What it would come too near to at a distance along its line; None where it is free there."""
        return next(
            (
                room
                for lap in _LAPS
                for room in too_near(
                    lying_at(self.laps[lap], self.fastener, self.hole, [(self.n, along_mm)]),
                    self.others[lap],
                    self.wanted,
                )
            ),
            None,
        )

    def is_free(self, along_mm: float) -> bool:
        """Whether nothing is too near, no zone closes it, and it lies on the line with what is wanted past it."""
        if any(low < along_mm < high for low, high in self.closed_mm):
            return False
        before = after = self.fastener.rim_mm
        if self.hole is not None and self.hole.way == "along":
            before, after = max(before, self.hole.before_mm), max(after, self.hole.after_mm)
        room = self.wanted.slit_mm
        if not before + room <= along_mm <= self.laps.line.length_mm - after - room:
            return False
        return self.met_at(along_mm) is None and not any(
            _is_half_behind(one.at, one.rim_mm, other.at, other.rim_mm)
            for lap in _LAPS
            for one in lying_at(self.laps[lap], self.fastener, self.hole, [(self.n, along_mm)])
            for other in self.others[lap]
        )

    def free_levels(self, from_mm: float, units: Units) -> tuple[float, ...]:
        """The nearest free levels above and below a level, as people measure and the plan tells; none where none is."""
        step = STEP_MM[units]
        found = (next(self._free(from_mm, step, way), None) for way in (-1, 1))
        return tuple(level for level in found if level is not None)

    def _free(self, from_mm: float, step: float, way: int) -> Iterator[float]:
        start = from_mm * self.told / step
        at = math.floor(start) if way < 0 else math.ceil(start)
        for k in range(math.ceil(self.laps.line.length_mm * self.told / step) + 1):
            level = (at + way * k) * step
            crossings = self.laps.line.crossings_of_level(level / self.told + self.laps.level_zero_mm)
            if len(crossings) == 1 and self.is_free(crossings[0]):
                yield level
