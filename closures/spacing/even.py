"""Rows of equal gaps, and the row of one closure.

A row of equal gaps is two numbers, its first place and its gap. For a given gap the first places that meet every
rule are found by moving each clear zone and each anchor's window back by as many gaps as it may be away.
"""

import math
from collections.abc import Iterable, Iterator

from closures.spacing.course import PLACE_SLACK_MM, Course, course_of
from closures.spacing.reach import Interval
from closures.spacing.runs import Gaps, into_window, past_zone
from closures.spacing.unlike import wish_of_one
from closures.spacing.wish import Wish

_NEARER_MM = 1e-7
"""A gap is nearer to another by more than this, or not at all: well above what is given to rounding."""
_SAME_DIGITS = 6
"""Distances in mm that are alike in so many decimals are one."""


def level_rows(course: Course, gap_mm: float, counts: Iterable[int]) -> Iterator[tuple[float, int, float]]:
    """Find, for each count, the row of equal gaps whose ends are nearest to the middles of their ranges.

    Args:
        course: the line.
        gap_mm: every gap.
        counts: the numbers of closures, each 2 or more.

    Yields:
        how far off the middles the ends are (the sum of the squares), the count, and the first place; the nearest
        to the middles first as far as can be told beforehand, and no more once none can be nearer.
    """
    asked = []
    for count in counts:
        reach = (count - 1) * gap_mm
        low = max(course.first[0], course.last[0] - reach)
        high = min(course.first[1], course.last[1] - reach)
        if low <= high + 2 * PLACE_SLACK_MM:
            high = max(low, high)
            wanted = (sum(course.middles) - reach) / 2
            asked.append((_off(course, min(max(wanted, low), high), reach), count, low, high, wanted))
    nearest = math.inf
    for bound, count, low, high, wanted in sorted(asked):
        if bound > nearest + 1e-6:
            return
        firsts = _firsts(course, gap_mm, count, low, high)
        if firsts:
            nearby = sorted(min(max(wanted, low), high) for low, high in firsts)
            # Of two as near but for rounding the one nearer to the first end, as of all rows.
            first = min(nearby, key=lambda place: round(abs(place - wanted), _SAME_DIGITS))
            off = _off(course, first, (count - 1) * gap_mm)
            nearest = min(nearest, off)
            yield off, count, first


def counts_that_reach(course: Course, gap_mm: float) -> range:
    """Give the numbers of closures, 2 or more, with which a row of equal gaps can run from range to range."""
    least = math.ceil((course.last[0] - course.first[1] - 2 * PLACE_SLACK_MM) / gap_mm) + 1
    most = math.floor((course.last[1] - course.first[0] + 2 * PLACE_SLACK_MM) / gap_mm) + 1
    return range(max(least, 2), most + 1)


def gap_of_even_row(course: Course, count: int, wanted_mm: float, known_mm: float, limits: Interval) -> float:
    """Find the gap nearest to the one wanted with which a row of equal gaps meets every rule.

    A row with the nearest gap is held by two bends, where it is not the gap wanted itself: so it runs through a
    bend, with some number of closures before it.

    Args:
        course: the line.
        count: the number of closures, two or more.
        wanted_mm: the gap wanted, within the limits.
        known_mm: a gap with which there is such a row.
        limits: no gap is smaller or larger.

    Returns:
        the gap in mm.
    """
    best = known_mm
    if any(level_rows(course, wanted_mm, (count,))):
        return wanted_mm
    for place in course.bends:
        reach = abs(best - wanted_mm)
        fewest = math.floor((place - course.first[1]) / (wanted_mm + reach))
        most = math.ceil((place - course.first[0]) / max(wanted_mm - reach, PLACE_SLACK_MM))
        for before in range(max(fewest, 0), min(most, count - 1) + 1):
            reach = abs(best - wanted_mm)
            within = (max(wanted_mm - reach, limits[0]), min(wanted_mm + reach, limits[1]))
            gaps = _through(course, place, before, count - 1 - before, within)
            for low, high in gaps:
                gap = min(max(wanted_mm, low), high)
                if abs(gap - wanted_mm) < abs(best - wanted_mm) - _NEARER_MM:
                    best = _between_bends(course, place, gap)
    return best


def _between_bends(course: Course, place: float, gap: float) -> float:
    """Take out of a gap what was given to rounding: it leads from one bend to another."""
    for bend in course.bends:
        number = round((bend - place) / gap)
        if number and abs((bend - place) / number - gap) < _NEARER_MM:
            return (bend - place) / number
    return gap


def _through(course: Course, place: float, before: int, after: int, within: Interval) -> Gaps:
    """Give the gaps within limits with which a row of equal gaps runs through a place."""
    low, high = within
    for closures, span, way in ((before, course.first, -1), (after, course.last, 1)):
        near, far = sorted((bound - place) * way for bound in span)
        if closures == 0:
            if near > PLACE_SLACK_MM or far < -PLACE_SLACK_MM:
                return []
        else:
            low, high = max(low, near / closures), min(high, far / closures)
    gaps = [(low, high)] if 0 < low <= high else []
    for low, high in course.zones:
        if gaps and low > place - PLACE_SLACK_MM:
            gaps = past_zone(gaps, max(low - place, 0.0), high - place, after)
        elif gaps:
            gaps = past_zone(gaps, max(place - high, 0.0), place - low, before)
    for low, high in course.windows:
        if gaps and low > place + PLACE_SLACK_MM:
            gaps = into_window(gaps, low - place, high - place)
        elif gaps and high < place - PLACE_SLACK_MM:
            gaps = into_window(gaps, place - high, place - low)
    return gaps


def place_alone(wish: Wish) -> float | None:
    """Find the best place for one single closure, or None where there is none.

    With no gap the whole line is the gap, so `widest_mm` holds for its length. The place is as near as can be to
    all the anchors, and without any to the middle between what both ends ask.
    """
    if wish.length_mm > wish.widest_mm:
        return None
    wish = wish_of_one(wish)
    course = course_of(wish)
    low = max(course.first[0], course.last[0], *(begin for begin, _ in course.windows))
    high = min(course.first[1], course.last[1], *(end for _, end in course.windows))
    middle = sum(wish.middles) / 2
    wanted = middle
    if wish.anchors:
        wanted = (min(a.at_mm for a in wish.anchors) + max(a.at_mm for a in wish.anchors)) / 2
    spans = [(max(a, low), min(b, high)) for a, b in course.free if max(a, low) <= min(b, high) + PLACE_SLACK_MM]
    places = [min(max(wanted, a), max(a, b)) for a, b in spans]
    return min(places, key=lambda place: (round(abs(place - wanted), 9), abs(place - middle), place), default=None)


def _off(course: Course, first: float, reach: float) -> float:
    return (first - course.middles[0]) ** 2 + (first + reach - course.middles[1]) ** 2


def _firsts(course: Course, gap: float, count: int, low: float, high: float) -> list[Interval]:
    """Give the stretches of first places from which a row of equal gaps meets every rule."""
    low, high = low - PLACE_SLACK_MM, high + PLACE_SLACK_MM
    spans = [(low, high)]
    for begin, end in course.windows:
        begin, end = begin - PLACE_SLACK_MM, end + PLACE_SLACK_MM
        ks = range(max(math.ceil((begin - high) / gap), 0), min(math.floor((end - low) / gap), count - 1) + 1)
        spans = _both(spans, [(begin - k * gap, end - k * gap) for k in reversed(ks)])
    taken = []
    outside = ((-math.inf, course.free[0][0]), *course.zones, (course.free[-1][1], math.inf))
    for begin, end in outside:
        begin, end = begin + PLACE_SLACK_MM, end - PLACE_SLACK_MM
        begins = 0 if begin == -math.inf else max(math.floor((begin - high) / gap) + 1, 0)
        ends = count - 1 if end == math.inf else min(math.ceil((end - low) / gap) - 1, count - 1)
        if begin == -math.inf:
            ends = min(ends, 0)  # only the first closure can lie before the first free stretch
        if end == math.inf:
            begins = max(begins, count - 1)
        taken += [(begin - k * gap, end - k * gap) for k in range(begins, ends + 1)]
    free, at = [], low
    for begin, end in sorted(taken):
        if begin >= at:
            free.append((at, begin))
        at = max(at, end)
    free.append((at, high))
    # What rounding was given is taken back, as far as there is room.
    return [(min(a + PLACE_SLACK_MM, (a + b) / 2), max(b - PLACE_SLACK_MM, (a + b) / 2)) for a, b in _both(spans, free)]


def _both(spans: list[Interval], others: list[Interval]) -> list[Interval]:
    return [(max(a, c), min(b, d)) for a, b in spans for c, d in others if max(a, c) <= min(b, d)]
