"""The line as straight runs of equal gaps see it: where a row may bend, and what lies between.

Plot place less pitch times index against index. The best row for a settled choice of sides and anchors is a string
pulled taut there (see `taut`), and a taut string bends only where it touches something: an end of an anchor's window
or of a clear zone, an end of the range of the first or of the last closure. These places are the *bends*. Between
two bends the gaps are all equal: a *run*.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from itertools import islice, pairwise

from closures.frozen import frozen
from closures.spacing.reach import Interval, free_stretches
from closures.spacing.wish import Wish

PLACE_SLACK_MM = 1e-9
"""Places met to this count as met: above the rounding of floats on a 100 m line, below any use."""

BEND, ZONE, WINDOW = range(3)


@frozen
class Course:
    """The line made ready for runs.

    Attributes:
        first: where the first closure may be.
        last: where the last closure may be.
        middles: the middles of the two ranges that were asked for.
        free: the stretches outside the clear zones, ascending.
        zones: the clear zones, those that touch joined; no closure lies strictly inside one.
        windows: for each anchor, from where to where some closure must be; shifts cut.
        bends: where a row may bend, ascending.
        events: bends, zones and windows by place: (place, which of the three, index).
    """

    first: Interval
    last: Interval
    middles: tuple[float, float]
    free: tuple[Interval, ...]
    zones: tuple[Interval, ...]
    windows: tuple[Interval, ...]
    bends: tuple[float, ...]
    events: tuple[tuple[float, int, int], ...]

    @property
    def turned(self) -> "Course":
        """The same line seen from its last end; places count from the first end still, and are negative."""
        (first,), (last,) = _turned((self.last,)), _turned((self.first,))
        middles = (-self.middles[1], -self.middles[0])
        bends = tuple(-place for place in reversed(self.bends))
        return _course(first, last, middles, _turned(self.free), _turned(self.zones), _turned(self.windows), bends)

    def events_after(self, place_mm: float) -> Iterator[tuple[float, int, int]]:
        """Give the events from a place on, itself left out where it is a bend."""
        at = bisect_left(self.events, (place_mm - PLACE_SLACK_MM, -1, -1))
        for event in islice(self.events, at, None):
            if event[1] != BEND or event[0] > place_mm + PLACE_SLACK_MM:
                yield event


def course_of(wish: Wish, most_shift_mm: float = math.inf) -> Course:
    """Make a wish's line ready, with every anchor's window cut to the given shift."""
    length = wish.length_mm
    windows = tuple(
        (anchor.at_mm - reach, anchor.at_mm + reach)
        for anchor in wish.anchors
        for reach in (min(anchor.within_mm, most_shift_mm),)
    )
    least_end = min((high for _, high in windows), default=math.inf)
    greatest_begin = max((low for low, _ in windows), default=-math.inf)
    first = (wish.first[0], min(wish.first[1], length, max(least_end, wish.first[0])))
    last_low, last_high = max(length - wish.last[1], 0.0), length - wish.last[0]
    last = (max(last_low, min(greatest_begin, last_high)), last_high)
    free = free_stretches(wish)
    zones = tuple((before, after) for (_, before), (after, _) in pairwise(free))
    asked = {*first, *last, *(place for span in (*windows, *free) for place in span)}
    bends: list[float] = []
    for place in sorted(asked):
        apart = not bends or place - bends[-1] > PLACE_SLACK_MM
        if apart and first[0] <= place <= last[1] and is_in(free, place):
            bends.append(place)
    return _course(first, last, wish.middles, free, zones, windows, tuple(bends))


def _course(
    first: Interval,
    last: Interval,
    middles: tuple[float, float],
    free: tuple[Interval, ...],
    zones: tuple[Interval, ...],
    windows: tuple[Interval, ...],
    bends: tuple[float, ...],
) -> Course:
    events = sorted(
        [(place, BEND, i) for i, place in enumerate(bends)]
        + [(low, ZONE, i) for i, (low, _) in enumerate(zones)]
        + [(high, WINDOW, i) for i, (_, high) in enumerate(windows)]
    )
    return Course(first, last, middles, free, zones, windows, bends, tuple(events))


def _turned(spans: tuple[Interval, ...]) -> tuple[Interval, ...]:
    return tuple((-high, -low) for low, high in reversed(spans))


def is_in(stretches: tuple[Interval, ...], place_mm: float) -> bool:
    """Tell whether a place lies in one of some ascending stretches."""
    at = bisect_right(stretches, (place_mm + PLACE_SLACK_MM, math.inf)) - 1
    return at >= 0 and place_mm <= stretches[at][1] + PLACE_SLACK_MM
