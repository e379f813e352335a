"""Find the best figures: each is lowered until a pass proves that it cannot go lower.

A pass (see `reach`) tells whether any row has all its gaps within given limits. One that it finds is
polished at once to the best of its kind (see `gates`), so a figure falls in jumps, and the last pass, a
little below the figure, runs empty: that is the proof. Rows of all kinds and counts are covered by each
pass, so nothing is listed one by one.
"""

import math
from collections.abc import Callable, Sequence

from closures.frozen import frozen
from closures.spacing.gates import CLOSE_ENOUGH_MM, Gates, gates_through, least_shift, narrow, need_and_room
from closures.spacing.reach import Interval, RuledLine, reach, ruled_line, trace
from closures.spacing.unlike import seek_unlike
from closures.spacing.wish import Wish

FINE_MM = 1e-5
"""A figure is best when none lower by this much can be had: far below what is promised, far above rounding."""

EQUAL_MM = 1e-6
"""Gaps that differ by no more than this are equal but for rounding."""

_SAME_BOX_MM = 1e-6
"""Boxes of gaps that begin this near to each other are one."""

_FINE_SHIFT_MM = 1e-4
"""The same for the shift of rows of equal gaps, which has to be found in two directions at once."""


@frozen
class Found:
    """A figure and the gates of a row that has it."""

    value: float
    gates: Gates


_Trial = Callable[[float], Found | None]


def seek(wish: Wish, line: RuledLine, box: Interval, count: int | None, gap_mm: float) -> Gates | None:
    """Find the gates of some row of two or more closures with every gap in the box, or None without one."""
    if wish.rooms is not None:
        return seek_unlike(wish, line, box, count, min(max(gap_mm, box[0]), box[1]))
    levels, works = reach(line, *box, count)
    if not works:
        return None
    gap = min(max(gap_mm, box[0]), box[1])
    return gates_through(wish, line, trace(line, levels, works[0], *box, gap, wish.middles[1]))


def counts_of(wish: Wish) -> list[int]:
    """Give the numbers of closures, two or more, of which some row meets the hard rules, ascending."""
    line = ruled_line(wish)
    _, works = reach(line, wish.closest_mm, wish.widest_mm, None, whole=True)
    if wish.rooms is None:
        return works
    box = (wish.closest_mm, wish.widest_mm)
    return [count for count in works if seek_unlike(wish, line, box, count, even_gap(wish, count)) is not None]


def spread_of(gates: Gates) -> float:
    """Give the least spread of the gaps through these gates."""
    need, room = need_and_room(*narrow(gates, math.inf))
    return max(0.0, need.slope - room.slope)


def least_departure(wish: Wish, pitch_mm: float, count: int | None, begin_mm: float = 0.0) -> Found | None:
    """Find the least largest departure from a pitch, with a count or with any from 2 on.

    Args:
        wish: the rules; its own pitch and count are not looked at.
        pitch_mm: the gap wanted.
        count: the number of closures, or None for any.
        begin_mm: a departure known to be needed.

    Returns:
        the departure in mm and gates that have it; None where no row meets the rules.
    """
    line = ruled_line(wish)

    def trial(departure: float) -> Found | None:
        box = _about(wish, pitch_mm, departure)
        gates = seek(wish, line, box, count, pitch_mm) if box[0] <= box[1] else None
        return None if gates is None else Found(_departure_of(wish, gates, pitch_mm), gates)

    tried, step = begin_mm, pitch_mm / 64
    found = trial(tried)
    while found is None:
        if pitch_mm - tried <= wish.closest_mm and pitch_mm + tried >= min(wish.widest_mm, wish.length_mm):
            return None
        tried, step = tried + step, step * 2
        found = trial(tried)
    return _lower(found, trial)


def least_spread_near(
    wish: Wish, pitch_mm: float, departure: Found, count: int | None
) -> tuple[Found, tuple[Interval, ...]]:
    """Find the least spread of the rows, of a count or of any, with the least departure from a pitch.

    Returns:
        the spread, and the boxes of gaps in which rows have it. One of the two ends of what the departure allows
        is reached by every row, so the gaps fill either its lower or its upper part.
    """
    line = ruled_line(wish)
    lo, hi = _about(wish, pitch_mm, departure.value)

    def trial(spread: float) -> Found | None:
        for box in ((lo, min(lo + spread, hi)), (max(hi - spread, lo), hi)):
            gates = seek(wish, line, box, count, pitch_mm)
            if gates is not None:
                return Found(spread_of(gates), gates)
        return None

    found = _lower(Found(spread_of(departure.gates), departure.gates), trial)
    return found, ((lo, min(lo + found.value, hi)), (max(hi - found.value, lo), hi))


def least_spread(wish: Wish, count: int, begin: Gates) -> tuple[Found, tuple[Interval, ...]]:
    """Find the least spread of the rows of a count, two or more.

    Args:
        wish: the rules.
        count: the number of closures.
        begin: gates of some row of that count.

    Returns:
        the spread, and the boxes of gaps in which rows have it; where it is 0 one box that holds all of them.
    """
    line = ruled_line(wish)
    even = even_gap(wish, count)
    best = _Narrowest(begin)
    least, most = _means(line, count)
    windows = [(max(wish.closest_mm, least - best.spread), min(wish.widest_mm, most))]
    while windows and best.spread > EQUAL_MM:
        # [a, b + spread] holds every [m, m + spread] with m in [a, b]; where it holds no row, none of them does.
        a, b = windows.pop()
        a = max(a, least - best.spread - _SAME_BOX_MM)
        top = min(b + best.spread + _SAME_BOX_MM / 2, wish.widest_mm)
        gates = seek(wish, line, (a, top), count, even) if a <= b else None
        if gates is None:
            continue
        spread, room = best.look_at(gates)
        if spread > best.spread + FINE_MM or not a <= room <= b:
            if b - a > _SAME_BOX_MM:
                windows += [(a, (a + b) / 2), ((a + b) / 2, b)]
            continue
        # What lies below and above is left to look at; and other gates may leave as much room and need less.
        below, above = room - _SAME_BOX_MM, room + _SAME_BOX_MM
        windows += [(low, high) for low, high in ((a, below), (above, b)) if low <= high]
        other: Gates | None = gates
        while other is not None:
            top = min(above + best.spread - FINE_MM, wish.widest_mm)
            other = seek(wish, line, (max(below, wish.closest_mm), top), count, even) if below <= top else None
            if other is not None:
                best.look_at(other)
    found = Found(best.spread, best.gates)
    if best.spread <= EQUAL_MM:
        return found, ((max(wish.closest_mm, least), min(wish.widest_mm, most)),)
    return found, tuple(best.boxes)


class _Narrowest:
    """The gates with the least spread so far, and the boxes of all that have it."""

    def __init__(self, gates: Gates) -> None:
        self.spread, self.gates = math.inf, gates
        self.boxes: list[Interval] = []
        self.look_at(gates)

    def look_at(self, gates: Gates) -> tuple[float, float]:
        """Take gates in; give their least spread, and the largest that their smallest gap can be."""
        need, room = (pair.slope for pair in need_and_room(*narrow(gates, math.inf)))
        spread = max(need - room, 0.0)
        if spread < self.spread:
            self.spread, self.gates = spread, gates
            self.boxes = [box for box in self.boxes if box[1] - box[0] <= spread + FINE_MM]
        if spread <= self.spread + FINE_MM and all(abs(low - room) > _SAME_BOX_MM for low, _ in self.boxes):
            self.boxes.append((room, max(need, room)))
        return spread, room


def least_shift_in(wish: Wish, boxes: Sequence[Interval], spread_mm: float, count: int | None, begin: Gates) -> Found:
    """Find the least largest shift from the anchors of the rows in one of some boxes, with at most a given spread.

    Args:
        wish: the rules.
        boxes: of gaps.
        spread_mm: the spread.
        count: the number of closures, or None for any.
        begin: gates of some such row.

    Returns:
        the shift, infinite without anchors, and gates that have it.
    """
    if not wish.anchors:
        return Found(math.inf, begin)
    limits = (min(low for low, _ in boxes), max(high for _, high in boxes))
    found = _first_shift(wish, begin, limits, spread_mm)
    if count is not None and spread_mm <= EQUAL_MM and any(high - low > EQUAL_MM for low, high in boxes):
        return _least_shift_of_even(wish, found, count)
    free = ruled_line(wish).free

    def trial(shift: float) -> Found | None:
        line = ruled_line(wish, shift, free)
        for low, high in boxes:
            gates = seek(wish, line, (low, high), count, (low + high) / 2)
            if gates is not None:
                nearer = _with_shift(gates, low, high, high - low)
                if nearer is not None:
                    return nearer
        return None

    return _lower(found, trial)


def _least_shift_of_even(wish: Wish, best: Found, count: int) -> Found:
    """Lower the shift of rows of equal gaps over all gaps."""
    free = ruled_line(wish).free
    even = even_gap(wish, count)
    least, most = _means(ruled_line(wish), count)
    windows = [(max(wish.closest_mm, least), min(wish.widest_mm, most))]
    while windows and best.value > CLOSE_ENOUGH_MM:
        a, b = windows.pop()
        closer = ruled_line(wish, max(best.value - _FINE_SHIFT_MM, 0.0), free)
        gates = seek(wish, closer, (a, b), count, even) if a <= b else None
        if gates is None:
            continue
        nearer = _with_shift(gates, wish.closest_mm, wish.widest_mm, 0.0)
        if nearer is not None and nearer.value < best.value:
            best = nearer
        if b - a > _FINE_SHIFT_MM / count:  # the fault of the last place, count gaps away, is then as fine
            windows += [(a, (a + b) / 2), ((a + b) / 2, b)]
    return best


def even_gap(wish: Wish, count: int) -> float:
    """Give the gap of an even row of two or more between the middles of both ranges, within the limits of gaps."""
    first, last = wish.middles
    return min(max((last - first) / (count - 1), wish.closest_mm), wish.widest_mm)


def _lower(found: Found, trial: _Trial) -> Found:
    """Lower a figure until a trial just below it fails; a trial that fails rules out all below it."""
    floor = 0.0
    while found.value > CLOSE_ENOUGH_MM:
        asked = max(found.value - FINE_MM, 0.0)
        better = trial(asked)
        if better is None or better.value >= found.value:
            return found
        found = better
        if asked == 0:
            return found
        if found.value - floor > 4 * FINE_MM:
            middle = (floor + found.value) / 2
            better = trial(middle)
            if better is None:
                floor = middle
            elif better.value < found.value:
                found = better
    return found


def _about(wish: Wish, pitch_mm: float, departure_mm: float) -> Interval:
    """Give the gaps that depart from a pitch by no more than this, within the limits of gaps."""
    return max(wish.closest_mm, pitch_mm - departure_mm), min(wish.widest_mm, pitch_mm + departure_mm)


def _departure_of(wish: Wish, gates: Gates, pitch_mm: float) -> float:
    """Give the least largest departure of the gaps from a pitch, through these gates."""
    need, room = (pair.slope for pair in need_and_room(*narrow(gates, math.inf)))
    if need <= room:
        gap = min(max(pitch_mm, need, wish.closest_mm), room, wish.widest_mm)
        return abs(gap - pitch_mm)
    return max(need - pitch_mm, pitch_mm - room)


def _means(line: RuledLine, count: int) -> tuple[float, float]:
    """Give the least and greatest mean gap that the two end ranges allow."""
    (first_low, first_high), (last_low, last_high) = line.first, line.last
    return max(last_low - first_high, 0.0) / (count - 1), (last_high - first_low) / (count - 1)


def _with_shift(gates: Gates, lo: float, hi: float, spread: float) -> Found | None:
    shift = least_shift(gates, lo, hi, spread)
    return None if shift is None else Found(shift, gates)


def _first_shift(wish: Wish, gates: Gates, limits: Interval, spread: float) -> Found:
    """Give the least shift through the gates of a row that is known to keep the limits and the spread."""
    found = _with_shift(gates, *limits, spread)
    if found is None:  # by rounding alone; no shift is larger than this
        return Found(max(anchor.within_mm for anchor in wish.anchors), gates)
    return found
