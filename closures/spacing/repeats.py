"""The best row whose closures sit on given places only, such as the repeats of a stripe.

The rule is that of any row (see `choice`), with the places restricted. There are finitely many rows, and the answer is
the best of them: limits on the gaps are tightened until no row is left, and where a row cannot look even, the best
way from place to place is kept, as from bend to bend in `rows`.

Terms: a *place* is where a closure may sit; a *step* leads from one place to a later one, and is allowed where its gap
is within the limits and it passes no anchor (see `steps`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from closures.errors import SpacingError
from closures.lengths import SAME_MM
from closures.series import how_many
from closures.spacing.advice import NoSpacing, advise
from closures.spacing.choice import with_alone
from closures.spacing.departures import with_gaps
from closures.spacing.measure import measure
from closures.spacing.reason import gaps_in_words, off_in_words
from closures.spacing.rows import Way, is_better, keep_better
from closures.spacing.steps import Steps, allowed_on, steps_of
from closures.spacing.unlike import wish_of_one
from closures.spacing.wish import Show, Spacing, Wish, check_wish, show_mm

MOST_PLACES = 400
"""Places of one row: twelve metres at a repeat of 30 mm; the work grows with their square."""


def best_on_places(
    wish: Wish, places: Sequence[float], show: Show = show_mm, sits: str = "on a repeat", step_mm: float = 0.01
) -> Spacing:
    """Find the best row on given places.

    Args:
        wish: what is asked; its length, ends, gaps, anchors and zones are kept as for any row.
        places: in mm along the line, in any order.
        show: writes a length for people.
        sits: where the places are, in words.
        step_mm: the smallest step that `show` tells apart.

    Returns:
        The row.

    Raises:
        NoSpacing: no row on these places meets the rules; says which conflict, and what would do.
        SpacingError: a figure makes no sense, or there are too many places.
    """
    check_wish(wish)
    allowed = allowed_on(wish, places)
    if len(allowed) > MOST_PLACES:
        mend = (
            "a wider repeat"
            if "repeat" in sits
            else "see whether the gauge, and what it was counted over, is the one meant"
        )
        raise SpacingError(
            f"{len(allowed)} places, each {sits}, are too many", mend=f"Keep it to {MOST_PLACES}: {mend}."
        )
    row = None if wish.count == 1 else _row_of_more(wish, allowed)
    if wish.count in (None, 1):
        alone = _alone(wish, places)
        row = with_alone(wish, wish.pitch_mm or 0.0, row, alone)
    if row is None:
        raise _none(wish, allowed, places, show, sits, step_mm)
    return measure(wish, row, _reason(wish, row, show, sits))


def _row_of_more(wish: Wish, allowed: tuple[float, ...]) -> tuple[float, ...] | None:
    """Give the best row of two closures or more, or None where there is none."""
    steps = steps_of(wish, allowed, None)
    windows = _least_limits(wish, steps)
    if not windows:
        return None
    low, high = windows[0]
    if wish.pitch_mm is not None and wish.count is None:
        departure = max(abs(high - wish.pitch_mm), abs(low - wish.pitch_mm))
        far, uneven = wish.even_departure * wish.pitch_mm, wish.even_spread * wish.pitch_mm
        if departure > far + SAME_MM or high - low > uneven + SAME_MM:
            way = _evenest(wish, steps, wish.pitch_mm)
            return None if way is None else way.places()
    shifts = sorted(
        {0.0, *(abs(p - a.at_mm) for a in wish.anchors for p in allowed if abs(p - a.at_mm) <= a.within_mm + SAME_MM)}
    )

    def has_row(bound: float) -> bool:
        near = steps_of(wish, allowed, bound)
        return any(_row(wish, near, low, high) is not None for low, high in windows)

    near = steps_of(wish, allowed, _first(shifts, has_row) if len(shifts) > 1 else shifts[0])
    # What is still equal is settled in the one order of all rows.
    best: Way | None = None
    for low, high in windows:
        # Of rows of any count whose gaps are all equal, how often they depart says nothing.
        is_level = wish.count is None and high - low <= SAME_MM
        way = _evenest(wish, replace(near, steps=near.between(low, high)), low if is_level else _wanted(wish))
        best = way if way is not None and is_better(way, best) else best
    return None if best is None else best.places()


def _wanted(wish: Wish) -> float:
    """The gap from which departures are counted: the pitch, or that of an even row between the middles."""
    if wish.pitch_mm is not None or wish.count is None:
        return wish.pitch_mm or 0.0
    first, last = wish.middles
    return (last - first) / (wish.count - 1)


def _alone(wish: Wish, places: Sequence[float]) -> float | None:
    """Give the best place for one single closure; with no gap the whole line is the gap."""
    if wish.length_mm > wish.widest_mm:
        return None
    wish = wish_of_one(wish)
    allowed = allowed_on(wish, places)
    steps = steps_of(wish, allowed, None)
    middle = sum(wish.middles) / 2

    def off(place: float) -> tuple[float, float]:
        return max((abs(place - a.at_mm) for a in wish.anchors), default=0.0), abs(place - middle)

    return min((allowed[i] for i in steps.starts & steps.ends), key=off, default=None)


def _evenest(wish: Wish, steps: Steps, wanted: float) -> Way | None:
    """Give the row that is the best in the order of all rows: of two ways to a place the better stays the better."""
    first, last = wish.middles
    # Where a row may both begin and end, a closure that begins there departs by nothing, but is no row of two yet: so
    # the best way of two closures or more is kept beside it.
    ways: list[dict[int, Way]] = [{} for _ in steps.places]
    best: Way | None = None
    onward: dict[int, list[int]] = {}
    for _, i, j in steps.steps:
        onward.setdefault(i, []).append(j)
    for i, place in enumerate(steps.places):
        if i in steps.starts:
            keep_better(ways[i], Way(None, place, 0, place, 1, (), (place - first) ** 2), wish.count)
        for way in ways[i].values():
            if i in steps.ends and (way.closures == wish.count if wish.count else way.closures > 1):
                ended = replace(way, ends=way.ends + (place - last) ** 2)
                best = ended if is_better(ended, best) else best
            for j in onward.get(i, ()):
                off = abs(steps.places[j] - place - wanted)
                further = Way(
                    way, steps.places[j], 1, way.first_mm, way.closures + 1, with_gaps(way.departures, off, 1), way.ends
                )
                keep_better(ways[j], further, wish.count)
    return best


def _least_limits(wish: Wish, steps: Steps) -> list[tuple[float, float]]:
    """All the tightest limits on the gaps between which there is a row of two or more, the wish's own order kept.

    Several may be equally tight, about gaps of different length; none where there is no row at all.
    """
    gaps = _distinct([gap for gap, _, _ in steps.steps])
    if _row(wish, steps, 0.0, float("inf")) is None:
        return []
    if wish.pitch_mm is not None:
        pitch = wish.pitch_mm
        off = sorted({abs(gap - pitch) for gap in gaps})
        departure = _first(off, lambda d: _row(wish, steps, pitch - d, pitch + d) is not None)
        gaps = [gap for gap in gaps if abs(gap - pitch) <= departure + SAME_MM]
    low, high = _narrowest(wish, steps, gaps)
    tight = [(gap, min(gap + high - low, gaps[-1])) for gap in gaps]
    return [(low, high) for low, high in tight if _row(wish, steps, low, high) is not None]


def _narrowest(wish: Wish, steps: Steps, gaps: Sequence[float]) -> tuple[float, float]:
    """Of all pairs of limits among the gaps, the nearest two between which there is a row."""
    # No row has all its gaps below the first of these, or all above the second.
    lowest_top = _first(gaps, lambda top: _row(wish, steps, gaps[0], top) is not None)
    highest_low = -_first([-gap for gap in reversed(gaps)], lambda low: _row(wish, steps, -low, gaps[-1]) is not None)
    best = (gaps[0], lowest_top)
    for low in reversed([gap for gap in gaps if gap <= highest_low + SAME_MM]):
        # A row that is no better than the best so far need not be looked for.
        most = low + best[1] - best[0] - SAME_MM
        tops = [top for top in gaps if max(low, lowest_top) - SAME_MM <= top < most]
        if tops and _row(wish, steps, low, tops[-1]) is not None:
            best = (low, _least_top(wish, steps, low, tops))
    return best


def _least_top(wish: Wish, steps: Steps, low: float, tops: Sequence[float]) -> float:
    return _first(tops, lambda top: _row(wish, steps, low, top) is not None)


def _row(wish: Wish, steps: Steps, low: float, high: float) -> tuple[int, ...] | None:
    """A row of steps within limits, or None: for each place, the numbers of closures with which it can be reached."""
    before: list[list[int]] = [[] for _ in steps.places]
    within = steps.between(low, high)
    if len(within) < (wish.count or 2) - 1:
        return None
    for _, i, j in within:
        before[j].append(i)
    reach = [0] * len(steps.places)
    for j in range(len(steps.places)):
        counts = 2 if j in steps.starts else 0
        for i in before[j]:
            counts |= reach[i] << 1
        reach[j] = counts
    for j in sorted(steps.ends, reverse=True):
        wanted = [n for n in _counts_in(reach[j]) if n == (wish.count or max(n, 2))]
        if wanted:
            return _trace(reach, before, j, wanted[-1])
    return None


def _counts_in(bits: int) -> list[int]:
    return [n for n in range(bits.bit_length()) if bits >> n & 1]


def _trace(reach: Sequence[int], before: Sequence[Sequence[int]], end: int, count: int) -> tuple[int, ...]:
    row = [end]
    while count > 1:
        count -= 1
        row.append(next(i for i in before[row[-1]] if reach[i] >> count & 1))
    return tuple(reversed(row))


def _distinct(values: Sequence[float]) -> list[float]:
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > SAME_MM:
            found.append(value)
    return found


def _first(values: Sequence[float], holds: Callable[[float], bool]) -> float:
    """The first of ascending values for which something holds that holds for every later one too."""
    low, high = 0, len(values) - 1
    while low < high:
        middle = (low + high) // 2
        if holds(values[middle]):
            high = middle
        else:
            low = middle + 1
    return values[low]


def _reason(wish: Wish, places: tuple[float, ...], show: Show, sits: str) -> str:
    row = measure(wish, places, "")
    if not row.gaps_mm:
        return f"1 closure {sits}, so there are no gaps."
    words = f"{how_many(len(places), 'closure')}, each {sits}: {gaps_in_words(row.gaps_mm, show)}"
    if row.departure_mm is not None and wish.pitch_mm is not None:
        words += off_in_words(row.departure_mm, wish.pitch_mm, show)
    return f"{words}. No other row on these places comes nearer to what was asked."


def _none(
    wish: Wish, allowed: tuple[float, ...], places: Sequence[float], show: Show, sits: str, step_mm: float
) -> NoSpacing:
    """Say why no row will do, and what would."""

    def possible(changed: Wish) -> bool:
        free = allowed_on(changed, places)
        if changed.count in (1, None) and _alone(changed, places) is not None:
            return True
        return changed.count != 1 and _row(changed, steps_of(changed, free, None), 0.0, math.inf) is not None

    error = advise(wish, show, step_mm, possible)
    fault = error.faults[0]
    what = f"{fault.what}, with each closure {sits}"
    for anchor in wish.anchors:
        near = min(allowed, key=lambda place: abs(place - anchor.at_mm), default=None)
        if near is not None and abs(near - anchor.at_mm) > anchor.within_mm + SAME_MM:
            off = show(abs(near - anchor.at_mm))
            kind = "repeat" if "repeat" in sits else sits.removeprefix("on a ")
            what = (
                f"anchor {anchor.name} lies {off} from the nearest {kind} that is free, and may be missed by "
                f"{show(anchor.within_mm)}"
            )
            break
    error.faults = (replace(fault, what=what),)
    return error
