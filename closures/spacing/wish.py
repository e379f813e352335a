"""What is asked of a row of closures, and the row that answers it.

Terms: a *place* is the distance of a centre from the first end, along the closing line; a *gap* is the
distance between neighbouring places; an *anchor* is a place that must be met; a *clear zone* is a stretch
in which no centre may lie.
"""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from closures.errors import SpacingError
from closures.frozen import frozen

MOST_CLOSURES = 5000
"""More closures than this in one row are refused: far beyond any garment, and an answer stays quick."""

TOUCH_MM = 5e-10
"""Two places nearer than this are one: above the rounding of floats on a 100 m line, below any use."""

Show = Callable[[float], str]


def show_mm(value_mm: float) -> str:
    """Write a length for people, in mm to two decimals."""
    return f"{value_mm:.2f} mm"


@frozen
class Anchor:
    """A place that some closure must meet.

    Attributes:
        name: what the user calls it.
        at_mm: where it is, along the line from the first end.
        within_mm: how far the nearest closure may sit from it, either way.
    """

    name: str
    at_mm: float
    within_mm: float = 0.0


@frozen
class Clear:
    """A stretch in which no centre may lie; its two ends are allowed.

    Two zones that touch or overlap count as one, so a centre cannot sit on their common end.

    Attributes:
        name: what the user calls it.
        low_mm: where it begins, along the line, already widened for the rim.
        high_mm: where it ends, likewise.
    """

    name: str
    low_mm: float
    high_mm: float


@frozen
class Apart:
    """Closures of a row that are not like the others, and so keep off clear zones by stretches of their own.

    Attributes:
        marks: their numbers, from 1; negative ones count from the last, -1.
        anchor: name of the anchor that is met by one of them, wherever in the row it comes; None without one.
        clear: the stretches in which their centres may not lie.
    """

    marks: tuple[int, ...]
    anchor: str | None
    clear: tuple[Clear, ...]


@frozen
class Rooms:
    """How far the closures of a row that differ keep off clear zones, each by its own size.

    Every closure has the same stretches in the same order as the wish, each as wide as its own size asks.

    Attributes:
        clear: the stretches in which no centre of any other closure may lie.
        apart: of those that differ; of a mark that several tell of, the last counts.
    """

    clear: tuple[Clear, ...]
    apart: tuple[Apart, ...]

    def each(self, change: Callable[[tuple[Clear, ...]], tuple[Clear, ...]]) -> "Rooms":
        """Change the stretches of all closures alike."""
        return Rooms(change(self.clear), tuple(replace(one, clear=change(one.clear)) for one in self.apart))


@frozen
class Wish:
    """All that is asked of one row. Lengths in mm along the closing line.

    Attributes:
        length_mm: length of the line.
        first: least and greatest distance from the first end to the first centre.
        last: least and greatest distance from the last centre to the last end.
        closest_mm: no gap is smaller; above 0.
        widest_mm: no gap is larger; may be infinite.
        pitch_mm: the gap wanted; with the count left free, or of that count the row that comes nearest to it.
        count: the number of closures wanted; alone, as even a row as can be. At least one of the two.
        anchors: places that must be met.
        clear: stretches that must be left free.
        rooms: where closures keep off by unlike amounts, what is closed to each, in place of `clear`, which then holds
            what is closed to all of them.
        least_mm: the fastener's own least gap, below which no advice to lower `closest_mm` goes.
        even_departure: a row looks even while no gap departs from the pitch by more than this part of it.
        even_spread: and while its gaps differ by no more than this part of it.
        ends: what the two ends of the line are called, for words.
    """

    length_mm: float
    first: tuple[float, float]
    last: tuple[float, float]
    closest_mm: float
    widest_mm: float = math.inf
    pitch_mm: float | None = None
    count: int | None = None
    anchors: tuple[Anchor, ...] = ()
    clear: tuple[Clear, ...] = ()
    least_mm: float = 0.0
    even_departure: float = 1 / 3
    even_spread: float = 1 / 4
    ends: tuple[str, str] = ("first end", "last end")
    rooms: Rooms | None = None

    def end_called(self, end: Literal["first", "last"]) -> str:
        """What an end of the line is called."""
        return self.ends[0] if end == "first" else self.ends[1]

    @property
    def middles(self) -> tuple[float, float]:
        """The middles of the stretches in which the first and the last closure may be."""
        return sum(self.first) / 2, self.length_mm - sum(self.last) / 2


def scaled(wish: Wish, by: float) -> Wish:
    """Take every length of a wish so many times as long: the rows that meet it are those of the wish, as much longer.

    Args:
        wish: the wish.
        by: above 0.
    """
    longer = replace(
        wish,
        length_mm=wish.length_mm * by,
        first=(wish.first[0] * by, wish.first[1] * by),
        last=(wish.last[0] * by, wish.last[1] * by),
        closest_mm=wish.closest_mm * by,
        widest_mm=wish.widest_mm * by,
        pitch_mm=None if wish.pitch_mm is None else wish.pitch_mm * by,
        anchors=tuple(replace(one, at_mm=one.at_mm * by, within_mm=one.within_mm * by) for one in wish.anchors),
        least_mm=wish.least_mm * by,
    )
    return with_zones(longer, lambda zones: tuple(_scaled(zone, by) for zone in zones))


def _scaled(zone: Clear, by: float) -> Clear:
    return replace(zone, low_mm=zone.low_mm * by, high_mm=zone.high_mm * by)


def with_zones(wish: Wish, change: Callable[[tuple[Clear, ...]], tuple[Clear, ...]]) -> Wish:
    """Change what is closed to the closures of a row, to each of those that keep off by their own alike."""
    return replace(wish, clear=change(wish.clear), rooms=None if wish.rooms is None else wish.rooms.each(change))


@frozen
class Shift:
    """How far the closure nearest to an anchor sits from it.

    Attributes:
        anchor_index: index into the wish's anchors, from 0.
        mark_index: index into the places, from 0.
        shift_mm: place less anchor; above 0 means nearer the last end.
    """

    anchor_index: int
    mark_index: int
    shift_mm: float


@frozen
class Spacing:
    """A row of closures.

    Attributes:
        positions_mm: the places, ascending.
        gaps_mm: the gaps, one fewer than the places.
        smallest_mm: the smallest gap, 0 where there is none.
        largest_mm: the largest gap, 0 where there is none.
        spread_mm: largest less smallest.
        departure_mm: the largest departure of a gap from the pitch wanted; None without one.
        shifts: one for each anchor, in their order.
        reason: why the row is as it is, in words.
        wish: what was asked; None where no row was asked for by a wish.
    """

    positions_mm: tuple[float, ...]
    gaps_mm: tuple[float, ...]
    smallest_mm: float
    largest_mm: float
    spread_mm: float
    departure_mm: float | None
    shifts: tuple[Shift, ...]
    reason: str
    wish: Wish | None = None


def check_wish(wish: Wish) -> None:
    """Refuse a wish whose figures make no sense by themselves.

    Raises:
        SpacingError: a figure is not finite, negative where it may not be, or upside down; a count is
            below 1 or above 5,000; neither pitch nor count is given.
    """
    _check_figure("the length of the closing line", wish.length_mm)
    _check_range("the distance from the first end to the first closure", *wish.first)
    _check_range("the distance from the last closure to the last end", *wish.last)
    _check_figure("the closest gap", wish.closest_mm, above_zero=True)
    _check_figure("the fastener's least gap", wish.least_mm)
    if wish.widest_mm != math.inf:
        _check_figure("the widest gap", wish.widest_mm, above_zero=True)
    for anchor in wish.anchors:
        _check_finite(f"anchor {anchor.name}, its place", anchor.at_mm)
        _check_figure(f"anchor {anchor.name}, within", anchor.within_mm)
    for zone in wish.clear:
        _check_finite(f"clear zone {zone.name}, its first end", zone.low_mm)
        _check_finite(f"clear zone {zone.name}, its last end", zone.high_mm)
        if zone.low_mm > zone.high_mm:
            raise SpacingError(
                f"clear zone {zone.name} ends at {zone.high_mm:g} mm, before it begins at {zone.low_mm:g} mm",
                mend="Write the smaller distance first.",
            )
    if wish.pitch_mm is None and wish.count is None:
        raise SpacingError(
            "a row needs a pitch or a count",
            mend="Give the gap wanted as pitch, or the number of closures as count.",
        )
    if wish.pitch_mm is not None:
        _check_figure("the pitch", wish.pitch_mm, above_zero=True)
    if wish.count is not None:
        _check_count(wish.count)


def _check_count(count: int) -> None:
    if isinstance(count, bool) or not isinstance(count, int):
        raise SpacingError(f"the count is {count!r}, not a whole number", mend="Write a count of 1 or more.")
    if count < 1:
        raise SpacingError(f"the count is {count}", mend="Write a count of 1 or more.")
    if count > MOST_CLOSURES:
        raise SpacingError(
            f"{count} closures are more than the {MOST_CLOSURES} that one row can have",
            mend="Ask for fewer closures.",
        )


def _check_range(name: str, low_mm: float, high_mm: float) -> None:
    _check_figure(name, low_mm)
    _check_figure(name, high_mm)
    if low_mm > high_mm:
        raise SpacingError(
            f"{name} runs from {low_mm:g} mm down to {high_mm:g} mm", mend="Write the smaller distance first."
        )


def _check_figure(name: str, value_mm: float, *, above_zero: bool = False) -> None:
    _check_finite(name, value_mm)
    if value_mm < 0 or (above_zero and value_mm == 0):
        needed = "above 0" if above_zero else "of 0 or more"
        raise SpacingError(f"{name} is {value_mm:g} mm", mend=f"Write a length {needed}.")


def _check_finite(name: str, value_mm: float) -> None:
    if not math.isfinite(value_mm):
        raise SpacingError(f"{name} is {value_mm}, not a finite number", mend="Write a length in figures.")
