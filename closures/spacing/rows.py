"""The evenest row within given limits: a shortest way from bend to bend.

A row is a chain of runs, each from one bend to a later one, with a level run from the first closure and one to the
last where an end is free. What a run costs is how far its gaps depart from the one wanted, and rows are compared by
their lists of departures (see `departures`). Of two ways to the same bend the better stays the better whatever
follows, so one pass over the bends, keeping the best way to each, finds the best row of all.

What lists leave equal is settled by the ends, as near to the middles of their ranges as can be (the sum of the
squares), then by more closures rather than fewer, and last by the first mark in which two rows differ: the one nearer
to the first end. So there is one order of all rows, whatever else is asked, and a rule that the best row meets
already cannot make another row the best.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from closures.frozen import frozen
from closures.spacing.course import PLACE_SLACK_MM, Course
from closures.spacing.departures import SAME_DEPARTURE_MM, Departures, compare, joined, with_gaps
from closures.spacing.even import counts_that_reach, level_rows
from closures.spacing.runs import Gaps, counts_of_level_run, runs_from

_GAP_SLACK_MM = 1e-8
"""Limits on the gaps are loosened by this, so that rounding never loses an exact fit."""

_SAME_ENDS = 1e-6
"""Squares of mm: ends that lie as near to the middles as this count as equally near."""


@frozen
class Way:
    """A row as far as one bend, or a whole row.

    Attributes:
        before: the way to the bend before; None where the row begins.
        place_mm: where it ends.
        gaps: how many equal gaps there are since the bend before, or since the first closure.
        first_mm: where the first closure is.
        closures: how many there are in all.
        departures: how far all its gaps depart from the one wanted.
        ends: how far the ends are from the middles of their ranges, squared; what is known of them.
    """

    before: Way | None
    place_mm: float
    gaps: int
    first_mm: float
    closures: int
    departures: Departures
    ends: float

    def places(self, since: Way | None = None) -> tuple[float, ...]:
        """Give the places of all closures, ascending; or of those from the end of a way that this one goes on from."""
        found: list[float] = [self.place_mm]
        way: Way | None = self
        while way is not None and way is not since:
            begin = way.first_mm if way.before is None else way.before.place_mm
            step = (way.place_mm - begin) / way.gaps if way.gaps else 0.0
            found += [begin + k * step for k in range(way.gaps - 1, -1, -1)]
            way = way.before
        found.reverse()
        return tuple(found)


def is_better(ours: Way, other: Way | None) -> bool:
    """Tell whether one way comes before another in the order of all rows."""
    if other is None:
        return True
    by_list = compare(ours.departures, other.departures)
    if by_list:
        return by_list < 0
    if abs(ours.ends - other.ends) > _SAME_ENDS:
        return ours.ends < other.ends
    if ours.closures != other.closures:
        return ours.closures > other.closures
    since = _parting(ours, other)
    for mine, theirs in zip(ours.places(since), other.places(since), strict=True):
        if abs(mine - theirs) > PLACE_SLACK_MM:
            return mine < theirs
    return False


def _parting(ours: Way, other: Way) -> Way | None:
    """The last way that two rows both go on from; None where they begin apart."""
    mine: Way | None = ours
    theirs: Way | None = other
    while mine is not theirs:
        # Every run adds closures: what has more of them lies further on.
        if mine is None or (theirs is not None and theirs.closures >= mine.closures):
            theirs = None if theirs is None else theirs.before
        else:
            mine = mine.before
    return mine


@frozen
class Limits:
    """Which rows are looked at.

    Attributes:
        course: the line, with its windows.
        wanted_mm: the gap from which departures are counted.
        low_mm, high_mm: no gap is smaller or larger.
        count: the number of closures; None for any.
        known: the departures of some row within these limits, whose largest is the least there is; None where
            none is known. Only spares work.
    """

    course: Course
    wanted_mm: float
    low_mm: float
    high_mm: float
    count: int | None = None
    known: Departures | None = None

    @property
    def level_mm(self) -> float:
        """The gap of a run that nothing bends: the one wanted, as far as the limits let it."""
        return min(max(self.wanted_mm, self.low_mm), self.high_mm)

    def departure(self, gap_mm: float) -> float:
        """How far a gap departs from the one wanted."""
        return abs(gap_mm - self.wanted_mm)

    def gaps(self) -> Gaps:
        """The gaps that a run of the best row can have.

        The largest departure is settled. A run whose departure lies between the largest and the next one of a row
        that is known would come second in its list, where that row has less.
        """
        low, high = max(self.low_mm - _GAP_SLACK_MM, _GAP_SLACK_MM), self.high_mm + _GAP_SLACK_MM
        if not self.known:
            return [(low, high)]
        most = self.known[0][0]
        second = next((off for off, _ in self.known if off < most - SAME_DEPARTURE_MM), 0.0)
        spans = [(off - 2 * SAME_DEPARTURE_MM, off + 2 * SAME_DEPARTURE_MM) for off in (-most, most)]
        spans = [spans[0], (-second - SAME_DEPARTURE_MM, second + SAME_DEPARTURE_MM), spans[1]]
        joined: Gaps = []
        for begin, end in ((max(self.wanted_mm + a, low), min(self.wanted_mm + b, high)) for a, b in spans):
            if joined and begin <= joined[-1][1]:
                joined[-1] = (joined[-1][0], max(joined[-1][1], end))
            elif begin <= end:
                joined.append((begin, end))
        return joined


def evenest_row(limits: Limits, best: Way | None = None) -> Way | None:
    """Find the best of the rows of two or more closures within limits, and of one that is known.

    Returns:
        the row, or None where there is none.
    """
    for way in _level(limits):
        if is_better(way, best):
            best = way
    if (
        best is not None
        and best.before is None
        and (not best.departures or limits.high_mm - limits.low_mm <= _GAP_SLACK_MM)
    ):
        return best  # nothing departs less, and what departs as little is level too
    course, gaps = limits.course, limits.gaps()
    rest = None if limits.count is None or not limits.known else _rests(limits)
    for bend, known in _ways(limits, gaps, rest):
        for number in _ends_from(limits, course.bends[bend]):
            for way in known.values():
                ended = _ended(limits, way, number)
                if ended is not None and is_better(ended, best):
                    best = ended
    return best


def _ways(limits: Limits, gaps: Gaps, rests: list[Departures] | None) -> Iterator[tuple[int, dict[int, Way]]]:
    """Give the bends that can be reached, in order, each with the best ways to it."""
    course = limits.course
    ways: list[dict[int, Way]] = [{} for _ in course.bends]
    for bend, place in enumerate(course.bends):
        known = ways[bend]
        for way in _begun(limits, place):
            _keep(known, way, limits, rests, bend)
        if not known:
            continue
        yield bend, known
        for end, length, allowed in runs_from(course, bend, gaps):
            for departure, number in _numbers(limits, length, allowed):
                for way in known.values():
                    further = Way(
                        way,
                        course.bends[end],
                        number,
                        way.first_mm,
                        way.closures + number,
                        with_gaps(way.departures, departure, number),
                        way.ends,
                    )
                    _keep(ways[end], further, limits, rests, end)


def _rests(limits: Limits) -> list[Departures]:
    """Give for each bend a list that no way from there to the end of a row falls below, whatever its count."""
    back = replace(limits, course=limits.course.turned, count=None)
    rests: list[Departures] = [((math.inf, 1),) for _ in back.course.bends]
    for bend, known in _ways(back, back.gaps(), None):
        for way in known.values():
            if compare(way.departures, rests[bend]) < 0:
                rests[bend] = way.departures
    return rests[::-1]


def _keep(known: dict[int, Way], way: Way, limits: Limits, rests: list[Departures] | None, bend: int) -> None:
    """Keep a way to a bend if it is the best of its kind yet, and can still lead to a row as good as the known one."""
    if rests is not None and limits.known and compare(joined(way.departures, rests[bend]), limits.known) > 0:
        return
    keep_better(known, way, limits.count)


def keep_better(known: dict[int, Way], way: Way, count: int | None = None) -> None:
    """Keep a way to a bend if it is the best of its kind yet.

    With a count there is a kind for each number of closures so far. With any count there are two, since one closure
    alone departs by nothing and yet is no row that may end here.
    """
    if count is not None and way.closures > count:
        return
    kind = min(way.closures, 2) if count is None else way.closures
    if is_better(way, known.get(kind)):
        known[kind] = way


def _numbers(limits: Limits, length: float, allowed: Gaps) -> list[tuple[float, int]]:
    """Give the numbers of gaps that a run may have, each with its departure.

    With any number of closures only the least departure matters, and those that count as equal.
    """
    found = []
    for low, high in allowed:
        least, most = math.ceil(length / high - 1e-12), math.floor(length / low + 1e-12)
        if least > most:
            continue
        if limits.count is None:
            # A wanted gap of a count may be nothing or less, where the ranges of the ends cover each other.
            near = length / limits.wanted_mm if limits.wanted_mm > 0 else most
            numbers = sorted({min(max(math.floor(near), least), most), min(max(math.ceil(near), least), most)})
        else:
            numbers = list(range(max(least, 1), min(most, limits.count - 1) + 1))
        found += [(limits.departure(length / number), number) for number in numbers if number > 0]
    if limits.count is None and len(found) > 1:
        close = min(found)[0] + SAME_DEPARTURE_MM
        found = [entry for entry in found if entry[0] <= close]
    return found


def _level(limits: Limits) -> Iterator[Way]:
    """Give the rows that are one level run, the best of each count."""
    course, gap = limits.course, limits.level_mm
    counts = counts_that_reach(course, gap) if limits.count is None else (limits.count,)
    for off, count, first in level_rows(course, gap, counts):
        last = first + (count - 1) * gap
        yield Way(None, last, count - 1, first, count, with_gaps((), limits.departure(gap), count - 1), off)


def _begun(limits: Limits, place: float) -> Iterator[Way]:
    """Give the ways that begin at a bend, or with a level run up to it."""
    course, gap = limits.course, limits.level_mm
    if course.first[0] <= place <= course.first[1]:
        yield Way(None, place, 0, place, 1, (), (place - course.middles[0]) ** 2)
    for number in counts_of_level_run(course, place, gap, -1):
        first = place - number * gap
        departures = with_gaps((), limits.departure(gap), number)
        yield Way(None, place, number, first, number + 1, departures, (first - course.middles[0]) ** 2)


def _ends_from(limits: Limits, place: float) -> list[int]:
    """Give the numbers of gaps that a level run from a bend to the last closure may have; 0 where the row ends."""
    here = limits.course.last[0] - PLACE_SLACK_MM <= place
    return [0] * here + list(counts_of_level_run(limits.course, place, limits.level_mm, 1))


def _ended(limits: Limits, way: Way, number: int) -> Way | None:
    """Go on with a level run of so many gaps to the last closure; None where that is not the count."""
    closures = way.closures + number
    if closures < 2 or limits.count not in (None, closures):
        return None
    last = way.place_mm + number * limits.level_mm
    return Way(
        way if number else way.before,
        last,
        number or way.gaps,
        way.first_mm,
        closures,
        with_gaps(way.departures, limits.departure(limits.level_mm), number),
        way.ends + (last - limits.course.middles[1]) ** 2,
    )
