"""Find the best gaps: each figure is lowered until a pass proves that it cannot go lower.

A pass (see `reach`) tells whether any row has all its gaps within given limits. One that it finds is
polished at once to the best of its kind (see `gates`), so a figure falls in jumps, and the last pass, a
little below the figure, runs empty: that is the proof. Rows of all kinds and counts are covered by each
pass, so nothing is listed one by one.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from closures.spacing.gates import CLOSE_ENOUGH_MM, Gates, gates_through, least_shift, narrow, need_and_room
from closures.spacing.reach import Ground, lay_out, reach, trace
from closures.spacing.wish import Wish

FINE_MM = 0.001
"""A figure is best when none lower by this much can be had; a twentieth of what is promised."""


@dataclass(frozen=True, slots=True)
class Best:
    """The best figures, and the gates of a row that has them.

    Attributes:
        gates: the gates.
        boxes: the limits (least gap, greatest gap) of the rows that have those figures, one of them each.
        shift_mm: the least largest shift from the anchors; infinite without anchors.
    """

    gates: Gates
    boxes: tuple[tuple[float, float], ...]
    shift_mm: float


@dataclass(frozen=True, slots=True)
class _Found:
    value: float
    gates: Gates


_Trial = Callable[[float], _Found | None]


def _lower(found: _Found, trial: _Trial) -> _Found:
    """Lower a figure until a trial just below it fails; a trial that fails rules out all below it."""
    floor = 0.0
    while found.value > CLOSE_ENOUGH_MM:
        asked = max(found.value - FINE_MM, 0.0)
        better = trial(asked)
        if better is None:
            return found
        found = better
        if asked == 0:
            return found
        if found.value - floor > 4 * FINE_MM:
            middle = (floor + found.value) / 2
            better = trial(middle)
            if better is None:
                floor = middle
            else:
                found = better
    return found


def middles(wish: Wish) -> tuple[float, float]:
    """Give the middles of the stretches where the first and the last closure may be."""
    return sum(wish.first) / 2, wish.length_mm - sum(wish.last) / 2


def seek(wish: Wish, ground: Ground, lo_mm: float, hi_mm: float, count: int | None, gap_mm: float) -> Gates | None:
    """Find the gates of some row with every gap in [lo, hi], or None where there is no such row."""
    levels, works = reach(ground, lo_mm, hi_mm, count)
    if not works:
        return None
    gap = min(max(gap_mm, lo_mm), hi_mm)
    places = trace(ground, levels, works[0], lo_mm, hi_mm, gap, middles(wish)[1])
    return gates_through(wish, ground, places)


def departure_of(wish: Wish, gates: Gates, pitch_mm: float) -> float:
    """Give the least largest departure of the gaps from a pitch, through these gates."""
    if len(gates.low) < 2:
        return 0.0
    need, room = (pair.slope for pair in need_and_room(*narrow(gates, math.inf)))
    if need <= room:
        gap = min(max(pitch_mm, need, wish.closest_mm), room, wish.widest_mm)
        return abs(gap - pitch_mm)
    return max(need - pitch_mm, pitch_mm - room)


def spread_of(gates: Gates) -> float:
    """Give the least spread of the gaps through these gates."""
    if len(gates.low) < 2:
        return 0.0
    need, room = need_and_room(*narrow(gates, math.inf))
    return max(0.0, need.slope - room.slope)


def least_departure(
    wish: Wish, pitch_mm: float, count: int | None, begin_mm: float = 0.0
) -> tuple[float, Gates] | None:
    """Find the least largest departure from a pitch, with a count or with any.

    Args:
        wish: the rules; its own pitch and count are not looked at.
        pitch_mm: the gap wanted.
        count: the number of closures, or None for any.
        begin_mm: a departure known to be needed.

    Returns:
        the departure in mm, to within 0.001, and gates that have it; None where no row meets the rules.
    """
    ground = lay_out(wish)

    def trial(departure: float) -> _Found | None:
        lo, hi = max(wish.closest_mm, pitch_mm - departure), min(wish.widest_mm, pitch_mm + departure)
        gates = seek(wish, ground, lo, hi, count, pitch_mm) if lo <= hi else None
        return None if gates is None else _Found(departure_of(wish, gates, pitch_mm), gates)

    tried, step = begin_mm, pitch_mm / 64
    found = trial(tried)
    while found is None:
        if pitch_mm - tried <= wish.closest_mm and pitch_mm + tried >= min(wish.widest_mm, wish.length_mm):
            return None
        tried, step = tried + step, step * 2
        found = trial(tried)
    found = _lower(found, trial)
    return found.value, found.gates


def find_for_pitch(wish: Wish, pitch_mm: float) -> Best | None:
    """Find the least departure from the pitch, then the least spread, then the least shift; any count."""
    known = least_departure(wish, pitch_mm, None)
    if known is None:
        return None
    departure, gates = known
    ground = lay_out(wish)
    lo, hi = max(wish.closest_mm, pitch_mm - departure), min(wish.widest_mm, pitch_mm + departure)

    def narrower(spread: float) -> _Found | None:
        # With the departure least, one of its two ends is reached by every row, so the gaps fill either
        # the lower or the upper part of the box.
        for box in ((lo, min(lo + spread, hi)), (max(hi - spread, lo), hi)):
            found = seek(wish, ground, *box, None, pitch_mm)
            if found is not None:
                return _Found(spread_of(found), found)
        return None

    narrowest = _lower(_Found(spread_of(gates), gates), narrower)
    spread = narrowest.value
    boxes = ((lo, min(lo + spread, hi)), (max(hi - spread, lo), hi))

    def nearer(shift: float) -> _Found | None:
        closer = lay_out(wish, shift, ground.free)
        for box in boxes:
            found = seek(wish, closer, *box, None, pitch_mm)
            if found is not None:
                return _with_shift(found, lo, hi, spread)
        return None

    if not wish.anchors:
        return Best(narrowest.gates, boxes, math.inf)
    nearest = _lower(_first_shift(wish, narrowest.gates, (lo, hi), spread), nearer)
    return Best(nearest.gates, boxes, nearest.value)


def _with_shift(gates: Gates, lo: float, hi: float, spread: float) -> _Found | None:
    shift = least_shift(gates, lo, hi, spread)
    return None if shift is None else _Found(shift, gates)


def _first_shift(wish: Wish, gates: Gates, limits: tuple[float, float], spread: float) -> _Found:
    """Give the least shift through the gates of a row that is known to keep the limits and the spread."""
    found = _with_shift(gates, *limits, spread)
    if found is None:  # by rounding alone; no shift is larger than this
        return _Found(max(anchor.within_mm for anchor in wish.anchors), gates)
    return found


def find_for_count(wish: Wish, count: int) -> Best | None:
    """Find the least spread with a count, then the least shift."""
    ground = lay_out(wish)
    first, last = middles(wish)
    even = (last - first) / max(count - 1, 1)
    gates = seek(wish, ground, wish.closest_mm, wish.widest_mm, count, even)
    if gates is None:
        return None
    if count == 1:
        return _settle_count(wish, gates, ground, count, 0.0, even)
    even = min(max(even, wish.closest_mm), wish.widest_mm)

    def about_even(spread: float) -> _Found | None:
        lo, hi = max(even - spread / 2, wish.closest_mm), min(even + spread / 2, wish.widest_mm)
        found = seek(wish, ground, lo, hi, count, even)
        return None if found is None else _Found(spread_of(found), found)

    best = _lower(_Found(spread_of(gates), gates), about_even)
    least_mean, most_mean = _means(ground, count)
    windows = [(max(wish.closest_mm, least_mean - best.value), min(wish.widest_mm, most_mean))]
    while windows and best.value > CLOSE_ENOUGH_MM:
        # [a, b + spread] holds every [m, m + spread] with m in [a, b]; if it fails, none of them works.
        a, b = windows.pop()
        a = max(a, least_mean - best.value)
        hi = min(b + max(best.value - FINE_MM, 0.0), wish.widest_mm)
        found = seek(wish, ground, a, hi, count, even) if a <= b else None
        if found is None:
            continue
        value = spread_of(found)
        if value < best.value:
            best = _Found(value, found)
        if b - a > FINE_MM / 2:
            windows += _halves(a, b)
    return _settle_count(wish, best.gates, ground, count, best.value, even)


def _halves(a: float, b: float) -> list[tuple[float, float]]:
    middle = (a + b) / 2
    return [(a, middle), (middle, b)]


def _means(ground: Ground, count: int) -> tuple[float, float]:
    """Give the least and greatest mean gap that the two end ranges allow."""
    (first_low, first_high), (last_low, last_high) = ground.first, ground.last
    return max(last_low - first_high, 0.0) / (count - 1), (last_high - first_low) / (count - 1)


def _settle_count(wish: Wish, gates: Gates, ground: Ground, count: int, spread: float, even: float) -> Best:
    limits = (wish.closest_mm, wish.widest_mm)
    nearest = _Found(math.inf, gates)
    if wish.anchors:
        nearest = _first_shift(wish, gates, limits, spread)
        if count == 1:
            nearest = _lower(nearest, _nearer_within(wish, ground, limits, 1, 0.0, even))
        else:
            nearest = _nearest_for_count(wish, nearest, ground, count, spread, even)
    if count > 1:
        need, room = (pair.slope for pair in need_and_room(*narrow(nearest.gates, nearest.value)))
        limits = (min(need, room), max(need, room))
    return Best(nearest.gates, (limits,), nearest.value)


def _nearer_within(
    wish: Wish, ground: Ground, box: tuple[float, float], count: int, spread: float, even: float
) -> _Trial:
    def nearer(shift: float) -> _Found | None:
        found = seek(wish, lay_out(wish, shift, ground.free), *box, count, even)
        return None if found is None else _with_shift(found, *box, spread)

    return nearer


def _nearest_for_count(wish: Wish, best: _Found, ground: Ground, count: int, spread: float, even: float) -> _Found:
    """Lower the shift over all smallest gaps m, with the gaps in [m, m + spread]."""
    least_mean, most_mean = _means(ground, count)
    windows = [(max(wish.closest_mm, least_mean - spread), min(wish.widest_mm, most_mean))]
    while windows and best.value > CLOSE_ENOUGH_MM:
        a, b = windows.pop()
        closer = lay_out(wish, max(best.value - FINE_MM, 0.0), ground.free)
        found = seek(wish, closer, a, min(b + spread, wish.widest_mm), count, even)
        if found is None:
            continue
        nearer = _with_shift(found, wish.closest_mm, wish.widest_mm, spread)
        if nearer is not None and nearer.value < best.value:
            best = nearer
        if b - a > FINE_MM / count:  # the fault of the last place, count gaps away, is then as fine
            windows += _halves(a, b)
    return best
