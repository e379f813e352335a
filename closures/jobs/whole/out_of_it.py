"""What to write in a plan of which closures lie where they must not, in its own words: each is tried as it is offered.

What moves a closure depends on what holds it: `first` and `last` an end of a row and a tape as a whole, its height a
stand, the offer that is taken a row in place of an old one, a clear zone what lies between the ends, and its own level
or along what lies beside the row.

`first` and `last` run along the row's own line, which may cross what is in the way aslant: how far a closure lies in
it, square to its edge, is less than it must be moved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Literal

from closures.errors import SpacingError
from closures.frozen import frozen
from closures.jobs.whole.frames import turn_of
from closures.lengths import SAME_MM, format_length
from closures.offered import STEP_MM, nearest_that_passes
from closures.placing.carrying import carry_along, carry_back
from closures.plan.anchors import ClearWish
from closures.plan.kinds import Range
from closures.plan.sound import LEAST_STAND_MM
from closures.plan.spacing import SpacingWish
from closures.plan.swap import OFFERS
from closures.series import in_a_row
from closures.spacing import best_spacing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.curve import Point
    from closures.jobs.whole.frames import Worked
    from closures.jobs.whole.trying import Change
    from closures.plan.plan import Plan

Bites = Callable[["Point", float], bool]
"""Whether a closure at a point of the drawing, which reaches so far round it, in mm, lies in what is in the way."""

End = Literal["first", "last"]

# Places of an end past the first at which the end itself is clear (our own).
_MOST_ENDS = 20
# Places along a line that are looked at for the stretch of it that lies in what is in the way (our own).
_PLACES = 400
_A_POINT_MM = 0.001
"""How far a place on a line is taken to reach round it: less than any length is told by (our own)."""
_WIDENED = (0, 1, 2, 4, 8, 16, 32)
"""Steps by which such a stretch is made wider (our own)."""
_LAID_ANEW = {OFFERS[kind] for kind in ("best", "fewest", "clear")}
"""Offers whose row follows what the plan tells of it."""
_COARSE_MM = {"mm": 1.0, "in": STEP_MM["in"]}
"""Steps of what is not found along the row's line (our own)."""


@frozen
class Way:
    """One thing to write into a plan.

    Attributes:
        words: as the user's plan has it, with its section.
        change: the same of the plan that was read.
    """

    words: str
    change: Change


Move = tuple[str, float, Callable[[float], Way | None]]
"""What of a closure is moved, where that is told to lie, in mm, and what makes it another place, where one can be."""

Still = Callable[[Way], "Sequence[int] | None"]
"""Which marks lie in what is in the way, with something that is written; None where the plan is refused with it."""

Passes = Callable[[Way], bool]
"""Whether a plan with what is to be written is placed, and does what is asked of it."""


@frozen
class Ways:
    """Things to write of one kind.

    Attributes:
        called: what they change, for people.
        find: the one that changes least of those that pass; None where none was found.
    """

    called: str
    find: Callable[[Passes], Way | None]


def ways_out(one: Worked, plan: Plan, found: Sequence[int], bites: Bites, still: Still) -> Iterator[Ways]:
    """Find what may bring closures out of what is in the way.

    Args:
        one: the opening.
        plan: as it was told.
        found: numbers of its marks that lie in it.
        bites: as the garment is worn, in the frame of the drawing.
        still: which marks lie in it with something that is written.
    """
    placement = one.placement
    row = len(placement.marks)
    beside = [n for n in found if n > row and not placement.is_second_column(n)]
    moved = _both_ways(plan, [_moves_of(one, plan, n) for n in beside]) if beside else iter(())
    if len(beside) == len(found):
        yield from moved
        return

    def clears_beside(way: Way) -> bool:
        left = still(way)
        return left is not None and not set(beside) & set(left)

    clear = next((way for ways in moved if (way := ways.find(clears_beside)) is not None), None)
    if beside and clear is None:
        return
    for ways in _row_moved(one, plan, [n for n in found if n not in beside], bites):
        yield ways if clear is None else Ways(f"{ways.called} with it", partial(_find_both, ways.find, clear))


def _row_moved(one: Worked, plan: Plan, found: Sequence[int], bites: Bites) -> Iterator[Ways]:
    """What moves marks of the row, or of its second column."""
    row = len(one.placement.marks)
    if plan.speaks_of_old:
        yield Ways("take", partial(_first_of, _taken(plan)))
    is_kept = _keeps_old_places(plan)
    ends: tuple[tuple[End, int], ...] = (("first", 1), ("last", row))
    for end, n in ends:
        if n not in found and max(found) <= row:
            continue
        if end == "first" and plan.stand is not None:
            yield from _both_ways(plan, [("height under [stand]", plan.stand.height_mm, partial(_stand_height, plan))])
            continue
        if not is_kept:
            yield from _end_moved(one, plan, end, bites)
        if plan.speaks_of_old:
            (anew,) = (way for way in _taken(plan) if OFFERS["best"] in way.words)
            for ways in _end_moved(one, anew.change(plan), end, bites):
                yield Ways(f"{ways.called} with take", partial(_find_both, ways.find, anew))
        fewer = _one_less(plan)
        if fewer is not None and not is_kept:
            yield from _end_moved(one, plan, end, bites, fewer)
    if plan.tape is None and not is_kept:
        yield Ways("a clear zone", partial(_first_of, _kept_clear(one, plan, bites)))


def _keeps_old_places(plan: Plan) -> bool:
    """Whether the offer that a plan takes lies where the old row does, whatever the plan tells of the new one."""
    return any(
        wish is not None and wish.take is not None and wish.take not in _LAID_ANEW for wish in (plan.swap, plan.change)
    )


def _first_of(ways: Iterator[Way], passes: Passes) -> Way | None:
    return next((way for way in ways if passes(way)), None)


def _both_ways(plan: Plan, moves: Sequence[Move]) -> Iterator[Ways]:
    """What is moved by whole steps from where it is told, either way, and all of it by as many."""
    step = _COARSE_MM[plan.units]
    called = in_a_row(list(dict.fromkeys(what for what, _, _ in moves)))
    for by in (1, -1):
        begins = [math.floor(by * told_mm / step + SAME_MM) + 1 for _, told_mm, _ in moves]

        def further(steps: int, by: int = by, begins: Sequence[int] = tuple(begins)) -> Way | None:
            ways = [make(by * (begin + steps) * step) for (_, _, make), begin in zip(moves, begins, strict=True)]
            made = [way for way in ways if way is not None]
            return _all_of(made) if len(made) == len(ways) else None

        yield Ways(called, partial(nearest_that_passes, further))


def _all_of(ways: Sequence[Way]) -> Way:
    """Several things that are written together."""

    def change(told: Plan) -> Plan:
        for way in ways:
            told = way.change(told)
        return told

    return Way(in_a_row([way.words for way in ways]), change)


def _moves_of(one: Worked, plan: Plan, n: int) -> Move:
    """What moves a closure beside the row: a single one, or the hidden one of a second column."""
    placement = one.placement
    index = n - 1 - len(placement.all_marks) + len(plan.singles)
    if index >= 0:
        single = plan.singles[index]
        key = "level" if single.along_mm is None else "along"
        told_mm = single.level_mm if single.along_mm is None else single.along_mm
        return f"its {key}", told_mm or 0.0, partial(_single_moved, plan, index, key)
    level_mm = next(mark.level_mm for mark in placement.as_told.all_marks if mark.n == n)
    return "level within inner", level_mm, partial(_inner_moved, plan)


def _single_moved(plan: Plan, index: int, key: str, mm: float) -> Way | None:
    which = f"of [[single]] {index + 1}" if plan.singles[1:] else "under [[single]]"

    def change(told: Plan) -> Plan:
        own = told.singles[index]
        moved = replace(own, level_mm=mm) if key == "level" else replace(own, along_mm=mm)
        return replace(told, singles=(*told.singles[:index], moved, *told.singles[index + 1 :]))

    return None if key == "along" and mm < 0.0 else Way(f'{key} = "{format_length(mm, plan.units)}" {which}', change)


def _inner_moved(plan: Plan, mm: float) -> Way:
    def change(told: Plan) -> Plan:
        column = told.column
        if column is None or column.inner is None:
            return told
        return replace(told, column=replace(column, inner=replace(column.inner, level_mm=mm)))

    return Way(f'level = "{format_length(mm, plan.units)}" within inner under [column]', change)


def _stand_height(plan: Plan, mm: float) -> Way | None:
    def change(told: Plan) -> Plan:
        return told if told.stand is None else replace(told, stand=replace(told.stand, height_mm=mm))

    return Way(f'height = "{format_length(mm, plan.units)}" under [stand]', change) if mm >= LEAST_STAND_MM else None


def _taken(plan: Plan) -> Iterator[Way]:
    """Other offers than the one that is taken, in place of old closures."""
    section = "change" if plan.swap is None else "swap"

    def change(name: str, told: Plan) -> Plan:
        if told.swap is not None:
            return replace(told, swap=replace(told.swap, take=name))
        return told if told.change is None else replace(told, change=replace(told.change, take=name))

    for name in OFFERS.values():
        yield Way(f'take = "{name}" under [{section}]', partial(change, name))


def _find_both(find: Callable[[Passes], Way | None], other: Way, passes: Passes) -> Way | None:
    """Find what passes together with something else that is written."""

    def both(way: Way) -> Way:
        return Way(f"{way.words} and {other.words}", lambda told: way.change(other.change(told)))

    found = find(lambda way: passes(both(way)))
    return None if found is None else both(found)


def _one_less(plan: Plan) -> int | None:
    """A closure less; None where no count is told, or one closure."""
    count = None if plan.spacing is None else plan.spacing.count
    return None if count is None or count == 1 else count - 1


def _end_moved(one: Worked, plan: Plan, end: End, bites: Bites, count: int | None = None) -> Iterator[Ways]:
    """An end moved to where it is clear, or further, of a row as it is spaced; of a tape also as a stretch to begin in.

    Args:
        one, plan, bites: as of `ways_out`.
        end: which one.
        count: another count, told beside it.
    """
    place_mm = next(_clear_places(one, plan, end, bites, count), None)
    if place_mm is None:
        return
    step, coarse = STEP_MM[plan.units], _COARSE_MM[plan.units]
    also = "" if count is None else f" and count = {count}"

    def change(stretch: Range, told: Plan) -> Plan:
        own = told.spacing or SpacingWish()
        own = replace(own, first=stretch) if end == "first" else replace(own, last=stretch)
        return replace(told, spacing=replace(own, count=own.count if count is None else count))

    def further(pitch_mm: float, steps: int) -> Way | None:
        mm = place_mm + steps * coarse
        to = math.ceil((mm + pitch_mm) / step - SAME_MM) * step
        if to > one.placement.as_told.laps.line.length_mm:
            return None
        low, high = (format_length(each, plan.units) for each in (mm, to))
        told = f'"{low}"' if pitch_mm == 0.0 else f'{{ from = "{low}", to = "{high}" }}'
        return Way(f"{end} = {told}{also} under [spacing]", partial(change, Range(mm, to)))

    # Wherever a tape ends at its other end, some place of one pitch lets it.
    for pitch_mm in (0.0,) if plan.tape is None else (0.0, plan.tape.pitch_mm):
        yield Ways(f"{end}{also}", partial(nearest_that_passes, partial(further, pitch_mm)))


def _clear_places(one: Worked, plan: Plan, end: End, bites: Bites, count: int | None) -> Iterator[float]:
    """Where an end may lie, from the line's own end, in the steps that people tell apart, the nearest first.

    A plain row is spaced for each on its line, which costs little: what that shows to be in the way is passed over.
    """
    worn, as_told = one.placement.as_worn, one.placement.as_told
    line, step = worn.laps.line, STEP_MM[plan.units]
    told_mm = as_told.laps.line.length_mm
    wish = worn.spacing.wish if _is_spaced_plainly(plan) else None
    if wish is not None and count is not None:
        wish = replace(wish, count=count)
    turn = turn_of(one.placement)

    def from_its_end(mm: float, length_mm: float) -> float:
        return mm if end == "first" else length_mm - mm

    def lies_in_it(along_mm: float) -> bool:
        x, y = line.point_at(along_mm)
        return bites((turn * x, y), worn.rim_mm)

    mark = as_told.marks[0 if end == "first" else -1]
    begin = math.floor(from_its_end(mark.along_mm, told_mm) / step + SAME_MM) + 1
    clear = 0
    for n in range(begin, math.floor(told_mm / step)):
        along = from_its_end(n * step, told_mm)
        if as_told is not worn:
            along = carry_back(along, line, as_told.laps.line, one.placement.plan)
        if lies_in_it(along):
            continue
        clear += 1
        if clear > _MOST_ENDS:
            return
        if wish is not None:
            room = from_its_end(along, line.length_mm), from_its_end(along, line.length_mm)
            try:
                row = best_spacing(replace(wish, first=room) if end == "first" else replace(wish, last=room))
            except SpacingError:
                continue
            if any(lies_in_it(place) for place in row.positions_mm):
                continue
        yield n * step


def _is_spaced_plainly(plan: Plan) -> bool:
    """Whether the row is the best on its line for its figures alone."""
    aims = plan.spacing is not None and plan.spacing.aim != "even"
    held = (plan.tape, plan.change, plan.stripe, plan.gauge, plan.stand, plan.column)
    is_best = plan.swap is None or plan.swap.take == OFFERS["best"]
    return not aims and is_best and all(one is None for one in held)


def _kept_clear(one: Worked, plan: Plan, bites: Bites) -> Iterator[Way]:
    """A clear zone of the stretch of the line that lies in what is in the way, and a little more."""
    worn, as_told = one.placement.as_worn, one.placement.as_told
    line, turn, step = worn.laps.line, turn_of(one.placement), STEP_MM[plan.units]
    places = [line.length_mm * k / _PLACES for k in range(_PLACES + 1)]
    inside = []
    for place in places:
        x, y = line.point_at(place)
        if bites((turn * x, y), _A_POINT_MM):
            inside.append(place)
    if not inside:
        return
    low, high = inside[0], inside[-1]
    if as_told is not worn:
        low, high = (carry_along(mm, line, as_told.laps.line, one.placement.plan) for mm in (low, high))
    whole_mm = as_told.laps.line.length_mm

    def change(stretch: Range, told: Plan) -> Plan:
        return replace(told, clear=(*told.clear, ClearWish("overlap", along_mm=stretch)))

    for by in _WIDENED:
        begin = max(math.floor(low / step - SAME_MM) - by, 0) * step
        to = min((math.ceil(high / step + SAME_MM) + by) * step, math.floor(whole_mm / step) * step)
        shown = ", ".join(f'"{format_length(mm, plan.units)}"' for mm in (begin, to))
        yield Way(f'a [[clear]] with name = "overlap" and along = [{shown}]', partial(change, Range(begin, to)))
