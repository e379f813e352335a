"""The best row of closures whose pitch is fixed, as on a tape: only where it begins and how many there are is free."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.errors import SpacingError
from closures.frozen import frozen
from closures.series import how_many
from closures.spacing.measure import measure
from closures.spacing.wish import Show, show_mm

if TYPE_CHECKING:
    from closures.spacing.wish import Anchor, Spacing, Wish

_SAME_MM = 1e-9

Stretch = tuple[float, float]
End = Literal["first", "last"]


@frozen
class TapeWay:
    """One thing to write so that a tape can be laid.

    Attributes:
        group: of ways that do for each other, such as an end that is moved one way or the other: one of them is told.
        words: as a plan writes it.
        first, last: the ends that are told with it; None for as they are.
        count: likewise.
        within: an anchor by its name, and how far a closure may then lie from it, in mm; None for as they are.
    """

    group: str
    words: str
    first: Stretch | None = None
    last: Stretch | None = None
    count: int | None = None
    within: tuple[str, float] | None = None


class NoTape(SpacingError):
    """No tape of a pitch can be laid.

    Args:
        what: why.
        ways: what would do, as far as the line shows it; those that move less first.
        told: the sentence that tells them, with ``{}`` for their words; one of a single way for each `group`.
        between: what stands between two ways.
        none: what is told where none of them is left.
        instead: a way that is told where none of them is left, with a sentence of its own, before `none`.
    """

    def __init__(
        self,
        what: str,
        ways: Sequence[TapeWay],
        told: str,
        between: str,
        none: str,
        instead: tuple[TapeWay, str] | None = None,
    ) -> None:
        self.ways, self.told, self.between, self.none, self.instead = ways, told, between, none, instead
        super().__init__(what, mend=self._mend(lambda way: ""))

    def tell_tried(self, tried: Callable[[TapeWay], str | None]) -> None:
        """Tell what of it was tried and passes.

        Args:
            tried: what is to be added to a way, such as what is to be looked at with it; None where it fails.
        """
        first, *others = self.faults
        self.faults = (replace(first, mend=self._mend(tried)), *others)

    def _mend(self, tried: Callable[[TapeWay], str | None]) -> str:
        best: dict[str, tuple[TapeWay, str]] = {}
        for way in self.ways:
            more = tried(way)
            if more is not None and (way.group not in best or (best[way.group][1] and not more)):
                best[way.group] = (way, more)
        if best:
            return self.told.format(self.between.join(f"{way.words}{more}" for way, more in best.values()))
        if self.instead is not None and (more := tried(self.instead[0])) is not None:
            return self.instead[1].format(f"{self.instead[0].words}{more}")
        return self.none


def best_at_pitch(wish: Wish, pitch_mm: float, show: Show = show_mm, step_mm: float = 0.1) -> Spacing:
    """Find the longest row of one fixed pitch, or that of the count; of those the one that leaves its ends most alike.

    Args:
        wish: the ends, the count where one is told, anchors and clear zones; its own pitch and gaps are not asked.
        pitch_mm: the only gap.
        show: writes a length for people.
        step_mm: the smallest step that `show` tells apart.

    Returns:
        The row, every place at its index times the pitch from the first.

    Raises:
        SpacingError: no row of this pitch meets the ends, an anchor, or a zone; what would do is named.
    """
    most = math.floor((wish.length_mm - wish.first[0] - wish.last[0]) / pitch_mm + _SAME_MM) + 1
    counts = [wish.count] if wish.count is not None else list(range(most, 0, -1))
    if most < 1:
        raise SpacingError(
            f"no closure of a tape at {show(pitch_mm)} goes between the ends that are told",
            mend="Write less for first and last under [spacing].",
        )
    if not any(_starts(wish, pitch_mm, count) for count in counts):
        raise _too_long_or_short(wish, pitch_mm, most, show, step_mm)
    for count in counts:
        free = _narrowed(wish, pitch_mm, count, _starts(wish, pitch_mm, count))
        if free:
            even = (wish.length_mm - (count - 1) * pitch_mm) / 2
            start = min((min(max(even, low), high) for low, high in free), key=lambda one: abs(one - even))
            places = tuple(start + k * pitch_mm for k in range(count))
            words = (
                f"{count} closures at the tape's own pitch of {show(pitch_mm)}"
                if count > 1
                else "1 closure of the tape"
            )
            return measure(replace(wish, pitch_mm=pitch_mm), places, f"{words}.")
    raise _refusal(wish, pitch_mm, counts, show, step_mm)


def meets(wish: Wish, pitch_mm: float) -> bool:
    """Whether any row of a fixed pitch meets the ends, every anchor and zone, and the count where one is told."""
    most = math.floor((wish.length_mm - wish.first[0] - wish.last[0]) / pitch_mm + _SAME_MM) + 1
    counts = [wish.count] if wish.count is not None else range(most, 0, -1)
    return any(_narrowed(wish, pitch_mm, count, _starts(wish, pitch_mm, count)) for count in counts)


def with_end(wish: Wish, end: End, stretch: Stretch) -> Wish:
    """Ask for another stretch at one end."""
    return replace(wish, first=stretch) if end == "first" else replace(wish, last=stretch)


def wider_ends(wish: Wish, pitch_mm: float, step_mm: float, end: End, anchor: Anchor | None = None) -> list[Stretch]:
    """Find how far an end must be let to begin nearer, or to reach further, for a row of a fixed pitch to be had.

    Args:
        wish: which no such row meets.
        pitch_mm: the only gap.
        step_mm: the smallest step that a plan tells.
        end: whose stretch is widened; the other one's stays.
        anchor: which one the row does not meet; None for any.

    Returns:
        The least wider stretch on either side of what is told that does, on whole steps, the nearer side first.
    """
    low, high = wish.first if end == "first" else wish.last
    found = []
    for one in wish.anchors if anchor is None else (anchor,):
        at = one.at_mm if end == "first" else wish.length_mm - one.at_mm
        for k in range(math.floor(at / pitch_mm) + 1):
            least, most = at - k * pitch_mm - one.within_mm, at - k * pitch_mm + one.within_mm
            if most < low:
                found.append((max(0.0, math.floor(most / step_mm + _SAME_MM) * step_mm), high))
            elif least > high:
                found.append((low, math.ceil(least / step_mm - _SAME_MM) * step_mm))
    found = [one for one in found if meets(with_end(wish, end, one), pitch_mm)]
    nearer = max((one for one in found if one[0] < low), default=None)
    further = min((one for one in found if one[1] > high), key=lambda one: one[1], default=None)
    return [on_steps(one, step_mm) for one in (nearer, further) if one is not None]


def on_steps(stretch: Stretch, step_mm: float) -> Stretch:
    """The least stretch from one whole step to another that holds a stretch, and is not less than nothing."""
    low, high = stretch
    least = max(math.floor(low / step_mm + _SAME_MM), 0) * step_mm
    return least, math.ceil(high / step_mm - _SAME_MM) * step_mm


def _starts(wish: Wish, pitch_mm: float, count: int) -> list[Stretch]:
    """Where the first may lie for the ends alone."""
    run = (count - 1) * pitch_mm
    low = max(wish.first[0], wish.length_mm - run - wish.last[1])
    high = min(wish.first[1], wish.length_mm - run - wish.last[0])
    return [(low, max(low, high))] if low <= high + _SAME_MM else []


def _narrowed(wish: Wish, pitch_mm: float, count: int, free: list[Stretch], anchors: bool = True) -> list[Stretch]:
    """Where the first may lie, every anchor met and no closure in a zone."""
    for anchor in wish.anchors if anchors else ():
        near = [anchor.at_mm - k * pitch_mm for k in range(count)]
        free = _both(free, [(at - anchor.within_mm, at + anchor.within_mm) for at in near])
    for zone in wish.clear:
        for k in range(count):
            shut = (zone.low_mm - k * pitch_mm, zone.high_mm - k * pitch_mm)
            free = _both(free, [(-math.inf, shut[0]), (shut[1], math.inf)])
    return free


def _too_long_or_short(wish: Wish, pitch_mm: float, most: int, show: Show, step_mm: float) -> SpacingError:
    """Tell what is left between the ends that are told, and the two nearest rows of whole pitches, with their ends.

    Args:
        wish: of which the tape fits between no ends.
        pitch_mm: of the tape.
        most: how many closures go between the ends at their least.
        show: writes a length for people.
        step_mm: the smallest step that it tells apart.
    """
    what = (
        f"{'a tape' if wish.count is None else how_many(wish.count, 'closure') + ' of a tape'} at {show(pitch_mm)} "
        f"{'does' if wish.count in (None, 1) else 'do'} not fit between the ends that are told"
    )
    least = wish.length_mm - wish.first[1] - wish.last[1]
    room = wish.length_mm - wish.first[0] - wish.last[0]
    left = show(room) if room - least <= _SAME_MM else f"{show(max(least, 0.0))} to {show(room)}"
    fits = [n for n in range(1, most + 1) if _starts(wish, pitch_mm, n)]
    if fits:
        told = f"{fits[0]} to {fits[-1]}" if fits[1:] else f"{fits[0]}"
        mend = f"Between them fit {told}: write such a count, or other ends (first, last), under [spacing]."
        return SpacingError(what, mend=mend)
    ways = []
    for n in dict.fromkeys((*([] if wish.count is None else [wish.count]), most, most + 1)):
        run = (n - 1) * pitch_mm
        last = wish.length_mm - run - wish.first[1 if run < room else 0]
        low, high = math.floor(last / step_mm + _SAME_MM) * step_mm, math.ceil(last / step_mm - _SAME_MM) * step_mm
        if low >= 0.0:
            told = f'"{show(low)}"' if high - low <= _SAME_MM else f'{{ from = "{show(low)}", to = "{show(high)}" }}'
            words = f"{how_many(n, 'closure')} {'takes' if n == 1 else 'take'} {show(run)}, with last = {told}"
            ways.append(TapeWay(words, words, last=(low, high), count=None if wish.count is None else n))
    count = ", with that count," if wish.count is not None else ""
    begin = f"Between them {left} is left."
    ranges = "let first or last be a range."
    return NoTape(
        what,
        ways,
        f"{begin} {{}}: under [spacing] write one of these{count} or {ranges}",
        "; ",
        f"{begin} L{ranges[1:]}",
    )


def _both(some: list[Stretch], others: list[Stretch]) -> list[Stretch]:
    met = [(max(a, c), min(b, d)) for a, b in some for c, d in others]
    return [(low, max(low, high)) for low, high in met if low <= high + _SAME_MM]


def _refusal(wish: Wish, pitch_mm: float, counts: list[int], show: Show, step_mm: float) -> SpacingError:
    """Say what the tape cannot meet, with the nearest that it can."""
    tape = f"a tape at {show(pitch_mm)}"
    for anchor in wish.anchors:
        alone = replace(wish, anchors=(anchor,))
        if any(_narrowed(alone, pitch_mm, n, _starts(wish, pitch_mm, n)) for n in counts):
            continue
        off = min(
            (
                max(low - at, at - high, 0.0)
                for n in counts
                for low, high in _narrowed(alone, pitch_mm, n, _starts(wish, pitch_mm, n), anchors=False)
                for k in range(n)
                for at in [anchor.at_mm - k * pitch_mm]
            ),
            default=math.inf,
        )
        if off < math.inf:
            within = math.ceil(off / step_mm - _SAME_MM) * step_mm
            wider = TapeWay("", f"within = {show(within)} for it", within=(anchor.name, within))
            return NoTape(
                f"no closure of {tape} comes within {show(anchor.within_mm)} of '{anchor.name}': the nearest lies "
                f"{show(off)} off",
                tuple(_moved(wish, pitch_mm, anchor, show, step_mm)),
                "Move the tape: under [spacing] write {}.",
                ", or ",
                "No other end, and no wider within, was found with which this tape holds: leave that place out, or let "
                "first and last under [spacing] both be ranges.",
                (wider, "Write {}."),
            )
    if wish.clear and any(_narrowed(replace(wish, clear=()), pitch_mm, n, _starts(wish, pitch_mm, n)) for n in counts):
        names = ", ".join(sorted({f"'{zone.name}'" for zone in wish.clear}))
        return SpacingError(
            f"{tape} skips no place, and one of its closures always lies in a clear zone: {names}",
            mend="Cut it into two tapes, above and below, with a plan for each; or narrow the zone, or write "
            'room = "centre" for it.',
        )
    names = ", ".join(f"'{anchor.name}'" for anchor in wish.anchors)
    if len(wish.anchors) < 2:
        return SpacingError(
            f"{tape} does not fit between the ends that are told",
            mend="Let first or last under [spacing] be a range, or leave one of them out.",
        )
    return SpacingError(
        f"{tape} meets each of {names}, and not all of them at once",
        mend="Write a wider within for one of them: neighbours on a tape lie whole pitches apart.",
    )


def _moved(wish: Wish, pitch_mm: float, anchor: Anchor, show: Show, step_mm: float) -> Iterator[TapeWay]:
    """How the tape can be moved at either end so that one of its closures meets an anchor.

    At each end first the way in which it moves less: the other one leaves nearly a pitch more at the end.
    """
    ends: tuple[End, ...] = ("first", "last")
    for end in ends:
        least, most = wish.first if end == "first" else wish.last
        ways = wider_ends(wish, pitch_mm, step_mm, end, anchor)
        for low, high in sorted(ways, key=lambda one: (least - one[0]) + (one[1] - most)):
            words = f'{end} = {{ from = "{show(low)}", to = "{show(high)}" }}'
            yield TapeWay(end, words, (low, high) if end == "first" else None, (low, high) if end == "last" else None)
