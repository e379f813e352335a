"""Which of all rows is the best.

With a pitch, first of all the largest departure of a gap from it is as small as can be. Then

- where that departure is at most a third of the pitch, and one of those rows has a spread (largest gap less
  smallest) of at most a quarter of the pitch, the row can *look even*: the smallest spread, then the smallest largest
  shift from an anchor;
- otherwise some stretch forces a gap that is far off, and every other gap comes as near to the pitch as it can: the
  lists of departures decide (see `departures`).

With a count and a pitch the same, of the rows of that count. With a count alone: the smallest spread, then the smallest
largest shift. What is still equal is settled in one order for all rows (see `rows`): the lists of departures, with a
count alone from the gap of an even row between the middles of both ranges, and of rows of any count whose gaps are all
equal from that gap; the ends; the count; the first mark that differs.
"""

import math
from bisect import bisect_left
from collections.abc import Iterable
from itertools import pairwise

from closures.spacing.course import Course, course_of
from closures.spacing.departures import SAME_DEPARTURE_MM, Departures, with_gaps
from closures.spacing.even import gap_of_even_row, level_rows, place_alone
from closures.spacing.gates import narrow, need_and_room
from closures.spacing.measure import measure
from closures.spacing.reach import Interval
from closures.spacing.rows import Limits, Way, evenest_row, is_better
from closures.spacing.search import (
    EQUAL_MM,
    Found,
    even_gap,
    least_departure,
    least_shift_in,
    least_spread,
    least_spread_near,
)
from closures.spacing.taut import pull_taut
from closures.spacing.unlike import keeps_off, ways_within
from closures.spacing.wish import Wish

_Row = tuple[float, ...]

_CLEAR_MM = 1e-3
"""A figure so far from its limit lies on the side on which its row does: a hundred times how fine it is found."""


def best_row(wish: Wish) -> _Row | None:
    """Find the best row for a pitch, for a count, or of a count for a pitch; None where no row meets the rules."""
    if wish.pitch_mm is None or wish.count == 1:
        return row_for_count(wish, wish.count or 1)
    if wish.count is None:
        return row_for_pitch(wish, wish.pitch_mm)
    departure = least_departure(wish, wish.pitch_mm, wish.count)
    return None if departure is None else _row_near(wish, wish.pitch_mm, departure, wish.count)


def can_look_even(wish: Wish) -> bool | None:
    """Tell whether the best row would look even, by the figures that settle it and without making the row.

    Returns:
        whether there is a row and it looks even; None where a figure lies too near to its limit to tell, where one
        closure alone may be the best row, or where closures keep off clear zones each by its own.
    """
    if wish.rooms is not None:
        return None
    if wish.pitch_mm is None:
        return _can_look_even_of_count(wish, wish.count or 1)
    if wish.count == 1 or (wish.count is None and place_alone(wish) is not None):
        return None
    departure = least_departure(wish, wish.pitch_mm, wish.count)
    if departure is None:
        return False
    is_near = _is_below(departure.value, wish.even_departure * wish.pitch_mm)
    if not is_near:
        return is_near
    spread, _ = least_spread_near(wish, wish.pitch_mm, departure, wish.count)
    return _is_below(spread.value, wish.even_spread * wish.pitch_mm)


def _can_look_even_of_count(wish: Wish, count: int) -> bool | None:
    if count == 1 or wish.even_spread > wish.even_departure:
        return None
    known = least_departure(wish, even_gap(wish, count), count)
    if known is None:
        return False
    spread, _ = least_spread(wish, count, known.gates)
    # No gap is further from the mean of all than the largest is from the smallest; the mean goes by the ends.
    least, most = (wish.length_mm - wish.first[n] - wish.last[n] for n in (1, 0))
    told = {_is_below(spread.value, wish.even_spread * long / (count - 1)) for long in (least, most)}
    return told.pop() if len(told) == 1 else None


def _is_below(found_mm: float, limit_mm: float) -> bool | None:
    return None if abs(found_mm - limit_mm) < _CLEAR_MM else found_mm < limit_mm


def row_for_pitch(wish: Wish, pitch_mm: float) -> _Row | None:
    """Find the best row with a pitch, any count of closures; None where no row meets the rules."""
    departure = least_departure(wish, pitch_mm, None)
    row = None if departure is None else _row_near(wish, pitch_mm, departure, None)
    return with_alone(wish, pitch_mm, row, place_alone(wish))


def row_for_count(wish: Wish, count: int) -> _Row | None:
    """Find the best row of a count of closures; None where no row meets the rules."""
    if count == 1:
        alone = place_alone(wish)
        return None if alone is None else (alone,)
    first, last = wish.middles
    even = (last - first) / (count - 1)
    known = least_departure(wish, even_gap(wish, count), count)
    if known is None:
        return None
    spread, boxes = least_spread(wish, count, known.gates)
    nearest = least_shift_in(wish, boxes, spread.value, count, spread.gates)
    if spread.value <= EQUAL_MM:
        return _row_of_equal_gaps(wish, count, nearest)
    return _evenest(wish, even, boxes, count, nearest)


def _row_near(wish: Wish, pitch: float, departure: Found, count: int | None) -> _Row | None:
    """Find the best row of two or more closures, of a count or of any, with the least departure from the pitch."""
    if departure.value <= wish.even_departure * pitch + EQUAL_MM:
        spread, boxes = least_spread_near(wish, pitch, departure, count)
        if spread.value <= wish.even_spread * pitch + EQUAL_MM:
            nearest = least_shift_in(wish, boxes, spread.value, count, spread.gates)
            if count is None and spread.value <= EQUAL_MM:
                return _evenest_of_any_count(wish, boxes, nearest)
            return _evenest(wish, pitch, boxes, count, nearest)
    box = (wish.closest_mm, min(wish.widest_mm, wish.length_mm))
    return _evenest(wish, pitch, (box,), count, Found(math.inf, departure.gates))


def _evenest(wish: Wish, wanted: float, boxes: Iterable[Interval], count: int | None, nearest: Found) -> _Row | None:
    """Find the best of the rows with gaps in one of some boxes and shifts no larger than one that can be had."""
    if wish.rooms is not None:
        return _evenest_unlike(wish, wanted, boxes, count, nearest)
    course = course_of(wish, nearest.value)
    best = None
    pulled: list[_Row] = []
    for low, high in boxes:
        pulled.append(pull(wish, nearest, min(max(wanted, low), high)))
        known = departures_of(pulled[-1], wanted)
        # The best row of any count is found much sooner; where it has the count asked for, it is the best of that.
        way = evenest_row(Limits(course, wanted, low, high, None, known), best)
        if count is not None and way is not None and way.closures != count:
            way = evenest_row(Limits(course, wanted, low, high, count, known), best)
        best = best if way is None else way
    row = pulled[-1] if best is None else best.places()
    return _on_bends(row, course.bends)


def _evenest_of_any_count(wish: Wish, boxes: Iterable[Interval], nearest: Found) -> _Row | None:
    """Find the best of the rows of equal gaps, which all depart from the pitch by as much.

    How often they do says nothing of a row, and would make one with fewer closures the better: so gaps are counted from
    their own length, and the ends settle it.
    """
    best: tuple[Way, _Row] | None = None
    for low, high in boxes:
        gap = (low + high) / 2
        row = _evenest(wish, gap, ((low, high),), None, nearest)
        way = None if row is None else _as_way(wish, gap, row)
        if row is not None and way is not None and (best is None or is_better(way, best[0])):
            best = way, row
    return None if best is None else best[1]


def _evenest_unlike(
    wish: Wish, wanted: float, boxes: Iterable[Interval], count: int | None, nearest: Found
) -> _Row | None:
    """Find the same where each closure keeps off clear zones by its own: of all choices of sides the best."""
    best: tuple[Way, _Row] | None = None
    for low, high in boxes:
        gap, box = min(max(wanted, low), high), (low, high)
        known = pull(wish, nearest, gap)
        if keeps_off(wish, known) and all(low - EQUAL_MM <= b - a <= high + EQUAL_MM for a, b in pairwise(known)):
            # No gap of a better row departs further than the furthest of one that is known.
            most = max(abs(b - a - wanted) for a, b in pairwise(known)) + SAME_DEPARTURE_MM
            box = (max(low, wanted - most), min(high, wanted + most))
            way = _as_way(wish, wanted, known)
            best = (way, known) if best is None or is_better(way, best[0]) else best
        for gates in ways_within(wish, box, count, nearest.value):
            row = pull(wish, Found(nearest.value, gates), gap)
            way = _as_way(wish, wanted, row)
            if keeps_off(wish, row) and (best is None or is_better(way, best[0])):
                best = way, row
    return None if best is None else best[1]


def _even_unlike(wish: Wish, count: int, nearest: Found, even_mm: float, known_mm: float) -> _Row | None:
    """Find, of the rows of equal gaps, the one whose gap is nearest to that of an even row between both ranges."""
    off = abs(known_mm - even_mm) + EQUAL_MM
    box = (max(wish.closest_mm, even_mm - off), min(wish.widest_mm, even_mm + off))
    best: tuple[float, Way, _Row] | None = None
    for gates in (nearest.gates, *ways_within(wish, box, count, nearest.value)):
        need, room = (pair.slope for pair in need_and_room(*narrow(gates, nearest.value)))
        low, high = max(need, wish.closest_mm), min(room, wish.widest_mm)
        if low > high + EQUAL_MM:
            continue
        gap = min(max(even_mm, low), max(low, high))
        row = pull(wish, Found(nearest.value, gates), gap)
        way, off = _as_way(wish, gap, row), abs(gap - even_mm)
        if not keeps_off(wish, row):
            continue
        if best is None or off < best[0] - EQUAL_MM or (off <= best[0] + EQUAL_MM and is_better(way, best[1])):
            best = off, way, row
    return None if best is None else best[2]


def _row_of_equal_gaps(wish: Wish, count: int, nearest: Found) -> _Row | None:
    course, even = course_of(wish, nearest.value), even_gap(wish, count)
    need, room = (pair.slope for pair in need_and_room(*narrow(nearest.gates, nearest.value)))
    least, most = max(need, wish.closest_mm), min(room, wish.widest_mm)
    known = min(max(even, least), max(least, most))
    if wish.rooms is not None:
        return _even_unlike(wish, count, nearest, even, known)
    near = gap_of_even_row(course, count, even, known, (wish.closest_mm, wish.widest_mm))
    best: tuple[Way, _Row] | None = None
    # A gap that is as much larger as this is smaller is as near: which of the two it is, the order of all rows settles.
    for gap in dict.fromkeys((near, 2 * even - near)):
        row = _row_of_gap(course, count, gap) if wish.closest_mm <= gap <= wish.widest_mm else None
        way = None if row is None else _as_way(wish, even, row)
        if row is not None and way is not None and (best is None or is_better(way, best[0])):
            best = way, row
    if best is not None:
        return best[1]
    return pull(wish, nearest, known)  # by rounding alone


def _row_of_gap(course: Course, count: int, gap: float) -> _Row | None:
    """The row of one gap whose ends are nearest to the middles, exactly even between the two bends that hold it."""
    for _, _, first in level_rows(course, gap, (count,)):
        row = _on_bends(tuple(first + k * gap for k in range(count)), course.bends)
        held = [k for k, place in enumerate(row) if place in course.bends]
        if len(held) > 1:
            i, j = held[0], held[-1]
            gap, first = (row[j] - row[i]) / (j - i), row[i]
            row = tuple(first + (k - i) * gap for k in range(count))
        return row
    return None


def pull(wish: Wish, found: Found, wanted_mm: float) -> _Row:
    """Pull a row taut through gates, no closure farther than the shift from its anchor."""
    low, high = narrow(found.gates, found.value)
    return tuple(pull_taut(low, high, wanted_mm, *wish.middles))


def departures_of(row: _Row, wanted_mm: float) -> Departures:
    """List how far the gaps of a row depart from the one wanted."""
    found: Departures = ()
    for before, after in pairwise(row):
        found = with_gaps(found, abs(after - before - wanted_mm), 1)
    return found


def with_alone(wish: Wish, pitch_mm: float, row: _Row | None, alone_mm: float | None) -> _Row | None:
    """Choose between the best row of two or more closures and the best of one, where there are such.

    With no gap the whole line is the gap. What is still equal is settled in the one order of all rows.
    """
    if alone_mm is None or row is None:
        return row if alone_mm is None else (alone_mm,)
    figures = []
    for places in (row, (alone_mm,)):
        found = measure(wish, places, "")
        figures.append([found.departure_mm or 0.0])
        if figures[0][0] <= wish.even_departure * pitch_mm + EQUAL_MM:
            figures[-1] += [found.spread_mm, max((abs(shift.shift_mm) for shift in found.shifts), default=0.0)]
    for ours, theirs in zip(*figures, strict=False):
        if abs(ours - theirs) > EQUAL_MM:
            return row if ours < theirs else (alone_mm,)
    return row if is_better(_as_way(wish, pitch_mm, row), _as_way(wish, pitch_mm, (alone_mm,))) else (alone_mm,)


def _as_way(wish: Wish, pitch_mm: float, row: _Row) -> Way:
    """Give a whole row as what the order of all rows looks at; with no gap the whole line is the gap."""
    off = departures_of(row, pitch_mm) if len(row) > 1 else with_gaps((), abs(wish.length_mm - pitch_mm), 1)
    ends = (row[0] - wish.middles[0]) ** 2 + (row[-1] - wish.middles[1]) ** 2
    way = Way(None, row[0], 0, row[0], 1, off, ends)
    for closures, place in enumerate(row[1:], start=2):
        way = Way(way, place, 1, row[0], closures, off, ends)
    return way


def _on_bends(row: _Row, bends: tuple[float, ...]) -> _Row:
    """Put closures that lie on a bend but for rounding onto it."""
    placed = []
    for place in row:
        at = bisect_left(bends, place)
        near = min(bends[max(at - 1, 0) : at + 1], key=lambda bend: abs(bend - place), default=place)
        placed.append(near if abs(near - place) <= EQUAL_MM else place)
    return tuple(placed)
