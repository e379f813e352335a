"""Which places a row can reach, one closure after another.

Whether every anchor is met can be seen step by step: a step from x to y leaves an anchor unmet exactly
when the anchor's whole window lies between them. So a step needs no memory of what came before. With the
gaps held to [lo, hi], the places that closure i + 1 can take follow from those that closure i can take::

    from x:  x + lo  up to  min(x + hi, cap(x)),   cap(x) = least end of the windows that begin after x

and the clear zones are cut away. Each set is a short list of closed intervals. Walking back through the
sets gives one row; if a set runs empty there is none. One pass serves every count.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from closures.frozen import frozen
from closures.spacing.wish import MOST_CLOSURES, TOUCH_MM, Wish

Interval = tuple[float, float]
Level = list[Interval]

STEP_SLACK_MM = 1e-9
"""Gap limits are loosened by this in a pass, so that rounding never loses an exact fit; 5,000 steps of it
stay below 0.00001 mm."""


@frozen
class RuledLine:
    """The line with its rules, made ready for passes.

    Attributes:
        first: where the first closure may be.
        last: where the last closure may be.
        free: the stretches outside the clear zones, exact, ascending.
        open: the same, widened by `TOUCH_MM` and cut at the greatest place of the last closure.
        starts: the beginnings of the anchors' windows, ascending.
        caps: for k windows passed, the least end of the rest.
        ends: the ends of the windows, ascending.
        needs: for k ends passed, the greatest beginning among them.
        shift_mm: to which the windows are cut.
    """

    first: Interval
    last: Interval
    free: tuple[Interval, ...]
    open: tuple[Interval, ...]
    starts: tuple[float, ...]
    caps: tuple[float, ...]
    ends: tuple[float, ...]
    needs: tuple[float, ...]
    shift_mm: float


def ruled_line(wish: Wish, most_shift_mm: float = math.inf, free: tuple[Interval, ...] | None = None) -> RuledLine:
    """Make a wish's rules ready for passes, with every anchor's window cut to the given shift."""
    windows = sorted(
        (anchor.at_mm - reach - TOUCH_MM, anchor.at_mm + reach + TOUCH_MM)
        for anchor in wish.anchors
        for reach in (min(anchor.within_mm, most_shift_mm),)
    )
    starts = tuple(start for start, _ in windows)
    by_end = sorted(windows, key=lambda window: window[1])
    caps, cap = [math.inf], math.inf
    for _, end in reversed(windows):
        cap = min(cap, end)
        caps.append(cap)
    needs, need = [-math.inf], -math.inf
    for start, _ in by_end:
        need = max(need, start)
        needs.append(need)
    first = (wish.first[0] - TOUCH_MM, min(wish.first[1], wish.length_mm, cap) + TOUCH_MM)
    last = (
        max(wish.length_mm - wish.last[1], 0.0, need) - TOUCH_MM,
        wish.length_mm - wish.last[0] + TOUCH_MM,
    )
    free = free_stretches(wish) if free is None else free
    return RuledLine(
        first,
        last,
        free,
        opened(free, last[1]),
        starts,
        tuple(reversed(caps)),
        tuple(end for _, end in by_end),
        tuple(needs),
        most_shift_mm,
    )


def opened(free: tuple[Interval, ...], end_mm: float) -> tuple[Interval, ...]:
    """Widen free stretches by `TOUCH_MM` for a pass, cut at the greatest place of the last closure."""
    return tuple((low - TOUCH_MM, min(high + TOUCH_MM, end_mm)) for low, high in free if low - TOUCH_MM <= end_mm)


def free_stretches(wish: Wish) -> tuple[Interval, ...]:
    """Find the stretches of the line that no clear zone covers, ascending; zones that touch are one."""
    stretches: list[Interval] = []
    reached = 0.0
    at_zone_end = False
    for low, high in sorted((z.low_mm, z.high_mm) for z in wish.clear if z.low_mm < z.high_mm):
        # Where one zone ends and the next begins, no place is left: rounding makes none either.
        if low > reached + TOUCH_MM or (low >= reached and not at_zone_end):
            stretches.append((reached, min(low, wish.length_mm)))
        if high >= reached:
            reached, at_zone_end = high, True
        if reached > wish.length_mm:
            break
    if reached <= wish.length_mm:
        stretches.append((reached, wish.length_mm))
    return tuple(stretch for stretch in stretches if stretch[0] <= stretch[1])


def reach(
    line: RuledLine,
    lo_mm: float,
    hi_mm: float,
    count: int | None,
    *,
    whole: bool = False,
    opens: Sequence[tuple[Interval, ...]] = (),
) -> tuple[list[Level], list[int]]:
    """Pass along the line with every gap held to [lo, hi], for rows of two closures or more.

    Args:
        line: the line and its rules.
        lo_mm: least gap, may be 0.
        hi_mm: greatest gap, may be infinite.
        count: the number of closures, or None for any.
        whole: with any count, go on after the first count that works.
        opens: with a count, what is open to each closure by itself, in place of the line's.

    Returns:
        the sets of places of closure 1, 2, ..., and the counts that work, ascending; empty for none.
    """
    lo_mm, hi_mm = lo_mm - STEP_SLACK_MM, hi_mm + STEP_SLACK_MM
    most = MOST_CLOSURES if count is None else count
    level = _cut([line.first], opens[0] if opens else line.open, *_still(line, count, 1, lo_mm, hi_mm))
    levels = [level]
    works: list[int] = []
    enough = line.last[0]
    while level:
        if len(levels) > 1 and level[-1][1] >= enough and (count is None or count == len(levels)):
            works.append(len(levels))
            if not whole:
                break
        if len(levels) >= most or lo_mm > hi_mm:
            break
        reached = _step(line, level, lo_mm, hi_mm)
        following = _cut(
            reached, opens[len(levels)] if opens else line.open, *_still(line, count, len(levels) + 1, lo_mm, hi_mm)
        )
        if count is None and len(levels) > 1 and (following == level or (not works and _stands(level, following))):
            break
        level = following
        levels.append(level)
    return levels, works


def _stands(level: Level, following: Level) -> bool:
    """Whether a pass for any count has come as far as it ever will.

    Where every stretch ends where it ended before, nothing further on is reached any more: what lies lower reaches no
    further. Only the slack of the least gap goes on to shift where stretches begin, and where closures may touch, that
    would be a pass of thousands of steps.
    """
    return len(following) == len(level) and all(one[1] == other[1] for one, other in zip(level, following, strict=True))


def _still(line: RuledLine, count: int | None, closure: int, lo_mm: float, hi_mm: float) -> Interval:
    """Give the places of a closure from which the rest of a count can still reach the last range."""
    if count is None:
        return -math.inf, math.inf
    rest = count - closure
    return line.last[0] - rest * hi_mm if rest else line.last[0], line.last[1] - rest * lo_mm


def _step(line: RuledLine, level: Level, lo_mm: float, hi_mm: float) -> Level:
    """Give the places that the next closure can take, as far as gaps and anchors go."""
    found: Level = []
    low, high = math.inf, -math.inf
    if not line.starts:
        for begin, end in level:
            begin += lo_mm
            if begin > high:
                if low <= high:
                    found.append((low, high))
                low = begin
            high = end + hi_mm
        if low <= high:
            found.append((low, high))
        return found
    starts, caps, known = line.starts, line.caps, len(line.starts)
    for begin, end in level:
        passed = bisect_right(starts, begin)
        while True:
            inside = passed < known and starts[passed] <= end
            stop = starts[passed] if inside else end
            y0 = begin + lo_mm
            y1 = min(stop + hi_mm, caps[passed])
            if y0 <= y1:
                if y0 > high:
                    if low <= high:
                        found.append((low, high))
                    low, high = y0, y1
                elif y1 > high:
                    high = y1
            if not inside:
                break
            begin = stop
            passed += 1
    if low <= high:
        found.append((low, high))
    return found


def _cut(level: Level, stretches: tuple[Interval, ...], least_mm: float, most_mm: float) -> Level:
    """Keep what lies in the free stretches and within two bounds."""
    cut: Level = []
    if not level:
        return cut
    known = len(stretches)
    at = max(bisect_right(stretches, (max(level[0][0], least_mm), math.inf)) - 1, 0)
    for low, high in level:
        low = low if low > least_mm else least_mm
        high = high if high < most_mm else most_mm
        if low > high:
            continue
        while at < known and stretches[at][1] < low:
            at += 1
        here = at
        while here < known:
            start, stop = stretches[here]
            if start > high:
                break
            a = low if low > start else start
            b = high if high < stop else stop
            if a <= b:
                cut.append((a, b))
            here += 1
    return cut


def trace(
    line: RuledLine, levels: list[Level], count: int, lo_mm: float, hi_mm: float, gap_mm: float, end_mm: float
) -> list[float]:
    """Walk back through the sets of a pass to one row of the given count.

    Args:
        line: the line and its rules.
        levels: the sets of a pass that works for the count.
        count: the number of closures.
        lo_mm: least gap of that pass.
        hi_mm: greatest gap of that pass.
        gap_mm: the gap preferred where there is a choice.
        end_mm: the last place preferred.

    Returns:
        the places, ascending.
    """
    lo_mm, hi_mm = lo_mm - STEP_SLACK_MM, hi_mm + STEP_SLACK_MM
    place = _nearest(levels[count - 1], line.last[0], line.last[1], end_mm)
    places = [place]
    for level in reversed(levels[: count - 1]):
        least = max(place - hi_mm, line.needs[bisect_left(line.ends, place)])
        place = _nearest(level, least, place - lo_mm, place - gap_mm)
        places.append(place)
    places.reverse()
    return places


def _nearest(level: Level, low: float, high: float, target: float) -> float:
    best, least = math.nan, math.inf
    at = max(bisect_right(level, (target, math.inf)) - 1, 0)
    # The nearest lies in the set that begins before the target or in the one after it; beyond the limits, at the
    # first that reaches into them.
    for way in (range(at, -1, -1), range(at + 1, len(level))):
        for k in way:
            a, b = max(level[k][0], low), min(level[k][1], high)
            if a > b + STEP_SLACK_MM:
                continue
            place = min(max(target, a), b)
            if abs(place - target) < least:
                best, least = place, abs(place - target)
            break
    return best
