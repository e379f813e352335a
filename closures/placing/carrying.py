"""Places carried between the two states of cloth that shrinks: along a line as it is worn, and as it is marked.

By the mean of a whole line a place would lie beside itself where a bent edge shrinks unlike across and along: each is
carried by the point of the cloth that it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.placing.buttonhole import cut_longer
from closures.placing.shrinkage import put, put_range

if TYPE_CHECKING:
    from closures.placing.placed import Placement, Prepared
    from closures.plan.plan import Plan
    from closures.spacing import Wish

Lines = tuple[Curve, Curve]
"""A line as it is worn, and as it is marked."""

# Each step takes off all but a few hundredths of what is still missing.
_STEPS = 8


def carry(point: tuple[float, float], plan: Plan) -> tuple[float, float]:
    """Carry a point of the washed garment to the unwashed cloth, in mm in the frame of the drawing."""
    wish = plan.shrinkage
    if wish is None:
        return point
    return (point[0] / (1.0 - wish.across), point[1] / (1.0 - wish.along))


def carry_along(place_mm: float, worn: Curve, marked: Curve, plan: Plan) -> float:
    """Carry a place on a line of the washed garment to the same line on the unwashed cloth.

    Args:
        place_mm: along the line as it is worn.
        worn, marked: the line in either state.
        plan: as it is marked.

    Returns:
        Along the line as it is marked, in mm.
    """
    stand = plan.stand
    if stand is not None and stand.worn_mm is not None and place_mm <= stand.worn_mm:
        return place_mm * stand.height_mm / stand.worn_mm
    return marked.nearest(carry(worn.point_at(place_mm), plan)).along_mm


def carry_back(place_mm: float, worn: Curve, marked: Curve, plan: Plan) -> float:
    """Carry a place on a line of the unwashed cloth to the same line as it is worn; args as for `carry_along`."""
    by = worn.length_mm / marked.length_mm
    found = place_mm * by
    for _ in range(_STEPS):
        found = min(max(found + (place_mm - carry_along(found, worn, marked, plan)) * by, 0.0), worn.length_mm)
    return found


def with_places(other: Plan, told: Plan, lines: Lines, singles: Sequence[Lines], marked: Plan) -> Plan:
    """Put every place that is told along a line where a tape finds it in the state in which it was told.

    By the mean of the whole line it would lie beside it, where a bent edge of cloth shrinks unlike both ways.

    Args:
        other: the plan in the other state, its places carried by the mean.
        told: the plan as it was told.
        lines: the closing line as it is worn and as it is marked.
        singles: the same of the line of each single closure.
        marked: the plan as it is marked.
    """
    wish = told.shrinkage
    if wish is None or wish.across == wish.along:
        return other
    carried = carry_along if wish.measured == "washed" else carry_back

    def on(pair: Lines) -> Callable[[float], float]:
        worn, line = pair
        mean = line.length_mm / worn.length_mm if wish.measured == "washed" else worn.length_mm / line.length_mm
        most = worn.length_mm if wish.measured == "washed" else line.length_mm

        def at(mm: float) -> float:
            return carried(mm, worn, line, marked) if 0.0 < mm < most else mm * mean

        return at

    row = on(lines)
    return replace(
        other,
        anchors=tuple(
            replace(one, along_mm=put(own.along_mm, row)) for one, own in zip(other.anchors, told.anchors, strict=True)
        ),
        clear=tuple(
            replace(one, along_mm=put_range(own.along_mm, row))
            for one, own in zip(other.clear, told.clear, strict=True)
        ),
        layers=tuple(
            replace(one, along_mm=put_range(own.along_mm, row))
            for one, own in zip(other.layers, told.layers, strict=True)
        ),
        singles=tuple(
            replace(one, along_mm=put(own.along_mm, on(pair)))
            for one, own, pair in zip(other.singles, told.singles, singles, strict=True)
        ),
    )


def worn_ends(worn: Wish, marked: Wish, worn_line: Curve, line: Curve, plan: Plan) -> Wish:
    """Ends that were told of the unwashed cloth, as they are worn: a tape laid on that cloth must find them there.

    By the mean of the whole line they would not: where the edge runs across, the cloth shrinks as it does across.

    Args:
        worn, marked: what is wished of the row in either state.
        worn_line, line: the closing line in either state.
        plan: as it is marked.
    """
    if plan.spacing is None or plan.shrinkage is None or plan.shrinkage.measured == "washed":
        return worn

    def first(mm: float) -> float:
        return carry_back(mm, worn_line, line, plan) if 0.0 < mm < line.length_mm else mm

    def last(mm: float) -> float:
        there = line.length_mm - mm
        return worn_line.length_mm - carry_back(there, worn_line, line, plan) if 0.0 < mm < line.length_mm else mm

    return replace(
        worn,
        first=worn.first if plan.spacing.first is None else (first(marked.first[0]), first(marked.first[1])),
        last=worn.last if plan.spacing.last is None else (last(marked.last[0]), last(marked.last[1])),
    )


def with_longest_holes(marked: Prepared, worn: Placement) -> Prepared:
    """What the longest buttonhole along the line, and the longest across it, is cut longer by, where they lie."""
    wish = marked.plan.shrinkage
    if wish is None:
        return marked
    ways = [(lap, mark.tangent) for one in (worn, *worn.beside) for lap in one.laps.both for mark in one.on(lap.name)]
    along = max(cut_longer(way, wish)[0] for _, way in ways)
    across = max(cut_longer(lap.inward(way), wish)[0] for lap, way in ways)
    return replace(marked, plan=replace(marked.plan, shrinkage=replace(wish, holes=(along, across))))
