"""The best row when it is settled which closure meets which anchor and on which side of each clear zone.

Then closure i has a *gate*, one closed interval [l_i, u_i], and two figures say all about the gaps::

    need = max over i < j of (l_j - u_i) / (j - i)      the largest gap is never below this
    room = min over i < j of (u_j - l_i) / (j - i)      the smallest gap is never above this

Proof. Gates and gap limits are bounds on differences p_j - p_i, and such bounds agree unless some cycle of
them adds up below zero. A cycle through the fixed origin goes in at one gate, out at another and along the
row between, which gives the two figures (and l_i <= u_i); one that misses the origin gives only m <= M. So
gaps within [m, M] are possible exactly when M >= need, m <= room and m <= M.

Hence the least departure from a pitch P is max(0, need - P, P - room), the least spread is
max(0, need - room), and one row has both. If need <= room, all gaps can be any one length between them.
"""

from bisect import bisect_right
from collections.abc import Sequence

from closures.frozen import frozen
from closures.spacing.reach import Interval, RuledLine
from closures.spacing.wish import Wish

CLOSE_ENOUGH_MM = 1e-9
"""Limits met to this count as met: well above float rounding, far below anything that can be marked."""


@frozen
class Hold:
    """A closure that meets an anchor: its index, the anchor's place, and how far it may sit from it."""

    mark_index: int
    at_mm: float
    within_mm: float


@frozen
class Gates:
    """One gate for each closure.

    Attributes:
        low: least places, from the ends and the clear zones alone.
        high: greatest places, likewise.
        holds: the closures that meet anchors, which narrow those gates.
    """

    low: tuple[float, ...]
    high: tuple[float, ...]
    holds: tuple[Hold, ...]


def gates_through(wish: Wish, line: RuledLine, places: list[float]) -> Gates:
    """Make the gates that a row which meets every rule passes through."""
    begins = [start for start, _ in line.free]
    sides = [line.free[_side_of(place, line.free, begins)] for place in places]
    return gates_of(wish, sides, [nearest_index(places, anchor.at_mm) for anchor in wish.anchors])


def gates_of(wish: Wish, sides: Sequence[Interval], holding: Sequence[int]) -> Gates:
    """Make gates of the free stretch in which each closure lies and of the closure that meets each anchor."""
    low, high = [side[0] for side in sides], [side[1] for side in sides]
    low[0], high[0] = max(low[0], wish.first[0]), min(high[0], wish.first[1])
    low[-1] = max(low[-1], wish.length_mm - wish.last[1])
    high[-1] = min(high[-1], wish.length_mm - wish.last[0])
    pairs = zip(holding, wish.anchors, strict=True)
    return Gates(tuple(low), tuple(high), tuple(Hold(k, one.at_mm, one.within_mm) for k, one in pairs))


def side_of(place_mm: float, free: Sequence[Interval]) -> int:
    """Find the free stretch in which a place lies, the nearest where rounding puts it beside one."""
    return _side_of(place_mm, free, [start for start, _ in free])


def _side_of(place: float, free: Sequence[Interval], begins: list[float]) -> int:
    at = max(bisect_right(begins, place) - 1, 0)
    if place > free[at][1] and at + 1 < len(begins):
        past, before = place - free[at][1], begins[at + 1] - place
        at = at if past < before else at + 1
    return at


def nearest_index(places: list[float] | tuple[float, ...], at_mm: float) -> int:
    """Find the index of the place nearest to a point; the earlier one of two as near."""
    after = bisect_right(places, at_mm)
    if after == 0:
        return 0
    if after == len(places):
        return after - 1
    return after - 1 if at_mm - places[after - 1] <= places[after] - at_mm else after


def narrow(gates: Gates, shift_mm: float) -> tuple[list[float], list[float]]:
    """Give the least and greatest places, with no closure farther than the shift from its anchor."""
    low, high = list(gates.low), list(gates.high)
    for hold in gates.holds:
        reach, i = min(hold.within_mm, shift_mm), hold.mark_index
        low[i] = max(low[i], hold.at_mm - reach)
        high[i] = min(high[i], hold.at_mm + reach)
    for i, (a, b) in enumerate(zip(low, high, strict=True)):
        if a > b:  # only by rounding, or by a shift too small; the caller judges by how much
            low[i] = high[i] = (a + b) / 2
    return low, high


@frozen
class Steepest:
    """The pair of closures whose gates press hardest on the gaps between them."""

    slope: float
    i: int
    j: int


def steepest(low: list[float], high: list[float]) -> Steepest:
    """Find the largest (low_j - high_i) / (j - i) over i < j; for two or more closures.

    A guess g is beaten exactly when low_j - g j exceeds high_i - g i for some i < j, which one walk with a
    running least tells. Each walk moves the guess up to a true slope, and a few walks end at the largest.
    """
    count = len(low)
    best = Steepest((low[-1] - high[0]) / (count - 1), 0, count - 1)
    while True:
        guess = best.slope
        least, at = high[0], 0
        excess, pair = 0.0, (0, 0)
        for j in range(1, count):
            step = guess * j
            over = low[j] - step - least
            if over > excess:
                excess, pair = over, (at, j)
            value = high[j] - step
            if value < least:
                least, at = value, j
        i, j = pair
        slope = (low[j] - high[i]) / (j - i) if j > i else guess
        if slope <= guess:
            return best
        best = Steepest(slope, i, j)


def need_and_room(low: list[float], high: list[float]) -> tuple[Steepest, Steepest]:
    """Find the pairs that give `need` and, with its slope turned round, `room`."""
    need = steepest(low, high)
    turned = steepest([-value for value in high], [-value for value in low])
    return need, Steepest(-turned.slope, turned.i, turned.j)


def least_shift(gates: Gates, lo_mm: float, hi_mm: float, spread_mm: float, floor_mm: float = 0.0) -> float | None:
    """Find the least largest shift from the anchors with gaps in [lo, hi] and a spread no larger than given.

    With the shift t, `need` is a greatest and `room` a least of straight lines in t, so what is lacking is
    convex and falls with t: Newton's steps from the left go up to the answer, and never past it.

    Returns:
        the shift in mm, or None where no shift does.
    """
    if not gates.holds:
        return floor_mm
    shift = floor_mm
    most = max(hold.within_mm for hold in gates.holds)
    for _ in range(200):
        lacking, fall = _lacking(gates, shift, lo_mm, hi_mm, spread_mm)
        if lacking <= CLOSE_ENOUGH_MM:
            return min(shift, most)
        if fall <= 0 or shift > most + 1e-6:
            return None
        shift += lacking / fall
    return min(shift, most)


def _lacking(gates: Gates, shift: float, lo: float, hi: float, spread: float) -> tuple[float, float]:
    """Tell by how much the limits are missed, and how fast that falls as the shift grows."""
    low, high = list(gates.low), list(gates.high)
    moving_low, moving_high = [False] * len(low), [False] * len(low)
    for hold in gates.holds:
        reach, i = min(hold.within_mm, shift), hold.mark_index
        moves = shift < hold.within_mm
        for bounds, moving, bound, inward in (
            (low, moving_low, hold.at_mm - reach, 1.0),
            (high, moving_high, hold.at_mm + reach, -1.0),
        ):
            ahead = (bound - bounds[i]) * inward
            if ahead > 0 or (ahead == 0 and moves):
                bounds[i], moving[i] = bound, moves
    worst, fall = max(
        (a - b, float(x) + float(y)) for a, b, x, y in zip(low, high, moving_low, moving_high, strict=True)
    )
    if worst > CLOSE_ENOUGH_MM:
        return worst, fall
    if len(low) < 2:
        return worst, 0.0
    need, room = need_and_room(low, high)
    need_fall = (moving_low[need.j] + moving_high[need.i]) / (need.j - need.i)
    room_rise = (moving_high[room.j] + moving_low[room.i]) / (room.j - room.i)
    return max(
        (need.slope - hi, need_fall),
        (lo - room.slope, room_rise),
        (need.slope - room.slope - spread, need_fall + room_rise),
    )
