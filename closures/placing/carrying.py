"""Places carried between the two states of cloth that shrinks: along a line as it is worn, and as it is marked.

By the mean of a whole line a place would lie beside itself where a bent edge shrinks unlike across and along: each is
carried by the point of the cloth that it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.errors import SpacingError
from closures.placing.buttonhole import cut_longer
from closures.placing.shrinkage import put, put_range, worn_and_marked
from closures.series import how_many
from closures.spacing import evaluate_spacing

if TYPE_CHECKING:
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.placing.meeting import PlacedAnchor
    from closures.placing.placed import Placement, Prepared
    from closures.plan.anchors import AnchorWish
    from closures.plan.plan import Plan
    from closures.spacing import Spacing, Wish
    from closures.spacing.wish import Show

Lines = tuple[Curve, Curve]
"""A line as it is worn, and as it is marked."""

# Each step takes off all but a few hundredths of what is still missing.
_STEPS = 8
# Each draws a limit in by the gap that kept it least; the rows that are left differ by less and less.
_MOST_DRAWN_IN = 12
# Along a line, to find where a wash makes it shorter least and most.
_SAMPLES = 256
# What a gap may be off a figure that was told of it: carrying rounds, and no tape shows it.
_KEPT_MM = 1e-6


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


def with_lines_matched(plan: Plan, worn: Laps, marked: Laps) -> Laps:
    """Match the two lines of the unwashed cloth where those of the washed garment are matched.

    Args:
        plan: as it is marked.
        worn, marked: the laps in either state.
    """

    def there(mm: float, one: Curve, other: Curve) -> float:
        # A line may end short of where it would lie square across the end of its edge.
        within = min(max(mm, 0.0), one.length_mm)
        return carry_along(within, one, other, plan) + (mm - within) * other.length_mm / one.length_mm

    lines = ((worn.line, marked.line), (worn.under.line, marked.under.line))
    pins = tuple((there(over, *lines[0]), there(under, *lines[1])) for over, under in worn.under.worn_pins_mm)
    return replace(marked, under=replace(marked.under, worn_pins_mm=pins)) if pins else marked


def prepared_in_both(plan: Plan, edges: Edges, prepare: Callable[[Plan, Edges], Prepared]) -> tuple[Prepared, Prepared]:
    """Prepare a plan with a shrinkage as it is worn, and as it is marked.

    What cannot be is to be told in the lengths of the plan: so the state in which it was told is prepared first.

    Args:
        plan: as it was told.
        edges: likewise.
        prepare: prepares a plan in one state.
    """
    (worn_plan, worn_edges), (marked_plan, marked_edges) = worn_and_marked(plan, edges)
    is_unwashed = _is_unwashed(plan)
    if is_unwashed:
        marked = prepare(marked_plan, marked_edges)
        worn = prepare(_without_places(worn_plan), worn_edges)
    else:
        worn = prepare(worn_plan, worn_edges)
        marked = prepare(_without_places(marked_plan), marked_edges)
    marked = replace(marked, laps=with_lines_matched(marked_plan, worn.laps, marked.laps))
    lines = (worn.laps.line, marked.laps.line)
    singles = [(one.line, other.line) for one, other in zip(worn.singles, marked.singles, strict=True)]
    if is_unwashed:
        return prepare(with_places(worn_plan, plan, lines, singles, marked_plan), worn_edges), marked
    return worn, prepare(with_places(marked_plan, plan, lines, singles, marked_plan), marked_edges)


def _without_places(plan: Plan) -> Plan:
    """A plan for its lines alone: by the mean of its edge a place near the end of a line may come to lie past it."""
    bare = tuple(replace(one, along_mm=0.0, level_mm=None) for one in plan.singles)
    return replace(plan, anchors=(), clear=(), singles=bare)


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


def with_row_as_told(worn: Prepared, marked: Prepared) -> Prepared:
    """What is wished of the row as it is worn, where its ends and its pitch were told of the unwashed cloth.

    The pitch is carried by the stretch between the ends. How far apart two closures may be is first let be as loose as
    anywhere on the line: `row_as_told` draws it in.

    Args:
        worn, marked: what is prepared in either state.
    """
    plan, spacing, lines = marked.plan, worn.plan.spacing, (worn.laps.line, marked.laps.line)
    worn = replace(worn, wish=worn_ends(worn.wish, marked.wish, *lines, plan))
    if spacing is None or not _is_unlike(plan):
        return worn
    worn = _with_reaches(worn, marked)
    _, _, told = plan.along_an_edge
    low, high = worn.wish.middles
    pitch = told.pitch_mm
    # Ends that lie past the line, or past each other, leave no stretch: such a row is refused when it is spaced.
    if pitch is not None and 0.0 <= low < high <= lines[0].length_mm:
        pitch *= (high - low) / (carry_along(high, *lines, plan) - carry_along(low, *lines, plan))
    shortest, longest = _local_factors(lines[0], plan)
    closest, widest = _over(told.closest_mm, longest), _over(told.widest_mm, shortest)
    wish = replace(
        worn.wish,
        pitch_mm=pitch,
        closest_mm=max(worn.wish.least_mm, closest or 0.0),
        widest_mm=math.inf if widest is None else widest,
    )
    own = replace(spacing, pitch_mm=pitch, closest_mm=closest, widest_mm=widest)
    return replace(worn, wish=wish, plan=replace(worn.plan, spacing=own))


def _with_reaches(worn: Prepared, marked: Prepared) -> Prepared:
    """How far a closure may sit from each anchor, told of the unwashed cloth, as it is worn where the anchor lies."""

    def here(told: AnchorWish, at: PlacedAnchor) -> float:
        return told.within_mm / _local_factor(at.along_mm, worn.laps.line, marked.plan)

    within = [here(told, at) for told, at in zip(marked.plan.anchors, worn.anchors, strict=True)]
    placed = tuple(replace(one, within_mm=mm) for one, mm in zip(worn.anchors, within, strict=True))
    wished = tuple(replace(one, within_mm=mm) for one, mm in zip(worn.wish.anchors, within, strict=True))
    return replace(worn, anchors=placed, wish=replace(worn.wish, anchors=wished))


def row_as_told(worn: Prepared, marked: Prepared, choose: Callable[[Prepared], Spacing], show: Show) -> Spacing:
    """Find the row as it is worn whose every gap, on the unwashed cloth, keeps the figures that were told of it there.

    A gap is not so many times as long everywhere on a bent edge. So what is wished of the worn row is drawn in by the
    gaps that do not keep, until all do. Where none is left, the row is spaced on the unwashed cloth.

    Args:
        worn, marked: what is prepared in either state, the worn one `with_row_as_told`.
        choose: finds the best row of what is prepared.
        show: writes a length for people.

    Raises:
        SpacingError: none does.
    """
    if not _is_unwashed(marked.plan):
        return choose(worn)
    _, _, told = marked.plan.along_an_edge
    loose = worn
    for _ in range(_MOST_DRAWN_IN):
        try:
            row = choose(worn)
        except SpacingError:
            break
        pairs = list(_gaps_in_both(row, worn, marked))
        wide = [gap / mm for gap, mm in pairs if told.widest_mm is not None and mm > told.widest_mm + _KEPT_MM]
        near = [gap / mm for gap, mm in pairs if told.closest_mm is not None and mm < told.closest_mm - _KEPT_MM]
        if not wide and not near:
            return row
        wish = worn.wish
        if wide and told.widest_mm is not None:
            wish = replace(wish, widest_mm=told.widest_mm * min(wide))
        if near and told.closest_mm is not None:
            wish = replace(wish, closest_mm=told.closest_mm * max(near))
        worn = replace(worn, wish=wish)
    with _saying(_AS_TOLD):
        return _spaced_unwashed(loose, marked, choose, show)


# A row is spaced as the garment is worn; what is refused is told in the lengths that stand in the plan.
_AS_TOLD = "; all of these are lengths of the unwashed cloth"


@contextmanager
def _saying(whose: str) -> Iterator[None]:
    """Say of what a refusal tells the lengths."""
    try:
        yield
    except SpacingError as error:
        error.faults = tuple(replace(one, what=f"{one.what}{whose}") for one in error.faults)
        raise


def _spaced_unwashed(worn: Prepared, marked: Prepared, choose: Callable[[Prepared], Spacing], show: Show) -> Spacing:
    """The best row on the unwashed cloth, as it is worn; what must be kept of the worn one is carried there."""
    lines, plan = (worn.laps.line, marked.laps.line), marked.plan
    _, _, told = plan.along_an_edge
    _, longest = _local_factors(lines[0], plan)

    def there(mm: float) -> float:
        return carry_along(mm, *lines, plan) if 0.0 < mm < lines[0].length_mm else mm * longest

    def reach(worn_mm: float, at_mm: float, within_mm: float) -> float:
        ends = (min(max(at_mm + way * within_mm, 0.0), lines[1].length_mm) for way in (-1, 1))
        return max(abs(carry_back(end, *lines, plan) - worn_mm) for end in ends)

    least = worn.wish.least_mm * longest
    wish = replace(
        marked.wish,
        closest_mm=max(least, told.closest_mm or 0.0),
        least_mm=least,
        anchors=tuple(
            replace(one, at_mm=there(one.at_mm), within_mm=own.within_mm)
            for one, own in zip(worn.wish.anchors, plan.anchors, strict=True)
        ),
        clear=tuple(replace(one, low_mm=there(one.low_mm), high_mm=there(one.high_mm)) for one in worn.wish.clear),
    )
    found = choose(replace(marked, wish=wish))
    places = [carry_back(place, *lines, plan) for place in found.positions_mm]
    reaches = [
        reach(one.at_mm, own.at_mm, own.within_mm) for one, own in zip(worn.wish.anchors, wish.anchors, strict=True)
    ]
    anchors = tuple(replace(one, within_mm=mm) for one, mm in zip(worn.wish.anchors, reaches, strict=True))
    row = evaluate_spacing(replace(worn.wish, anchors=anchors), places, show=show)
    low, high = show(row.smallest_mm), show(row.largest_mm)
    reason = (
        f"{how_many(len(places), 'closure')}, spaced on the unwashed cloth to keep what was told of it: {low} to "
        f"{high} once worn."
    )
    return replace(row, reason=reason)


def _is_unlike(plan: Plan) -> bool:
    """Whether figures that were told of unwashed cloth are worn by another part in every direction."""
    wish = plan.shrinkage
    return wish is not None and _is_unwashed(plan) and wish.across != wish.along


def _is_unwashed(plan: Plan) -> bool:
    return plan.shrinkage is not None and plan.shrinkage.measured == "unwashed"


def _over(mm: float | None, factor: float) -> float | None:
    return None if mm is None else mm / factor


def _local_factors(worn: Curve, plan: Plan) -> tuple[float, float]:
    """By what a short piece of a worn line is longer on the unwashed cloth: the least and the most along it."""
    found = [_local_factor(worn.length_mm * i / _SAMPLES, worn, plan) for i in range(_SAMPLES + 1)]
    return min(found), max(found)


def _local_factor(place_mm: float, worn: Curve, plan: Plan) -> float:
    """By what a short piece at a place of a worn line is longer on the unwashed cloth."""
    wish, stand = plan.shrinkage, plan.stand
    if wish is None:
        return 1.0
    if stand is not None and stand.worn_mm is not None and place_mm < stand.worn_mm:
        return stand.height_mm / stand.worn_mm
    return cut_longer(worn.tangent_at(place_mm), wish)[0]


def _gaps_in_both(row: Spacing, worn: Prepared, marked: Prepared) -> Iterator[tuple[float, float]]:
    """Each gap of a row as it is worn, and as it is on the unwashed cloth."""
    there = [carry_along(place, worn.laps.line, marked.laps.line, marked.plan) for place in row.positions_mm]
    yield from zip(row.gaps_mm, (after - before for before, after in pairwise(there)), strict=True)


def with_longest_holes(marked: Prepared, worn: Placement) -> Prepared:
    """What the longest buttonhole along the line, and the longest across it, is cut longer by, where they lie."""
    wish = marked.plan.shrinkage
    if wish is None:
        return marked
    ways = [(lap, mark.tangent) for one in (worn, *worn.beside) for lap in one.laps.both for mark in one.on(lap.name)]
    along = max(cut_longer(way, wish)[0] for _, way in ways)
    across = max(cut_longer(lap.inward(way), wish)[0] for lap, way in ways)
    return replace(marked, plan=replace(marked.plan, shrinkage=replace(wish, holes=(along, across))))
