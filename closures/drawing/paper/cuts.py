"""Cutting a length into pieces that fit a page, away from marks: arithmetic on one axis.

A *join* is where two pages meet. The later page is trimmed on the join's line and laid on the
earlier one, which goes on for the *overlap* beyond that line, so that a slip shows no gap.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

OVERLAP_MM = 12.0
KEEP_MM = 8.0
_RIM_SPARE_MM = 3.0
_LEAST_ADVANCE_MM = 20.0
_STEP_MM = 1.0
# Pages that must all be full leave one place, reached by two sums that differ in their last digits.
_ROUNDING_MM = 1e-6
_WORDS_GAP_MM = 1.5


@dataclass(frozen=True, slots=True)
class Stake:
    """A mark on one axis: its number, its centre, and centre to rim, in mm."""

    n: int
    at: float
    rim_mm: float


@dataclass(frozen=True, slots=True)
class Cuts:
    """Where one axis is cut: the joins' lines, ascending, and the marks too near to one of them."""

    lines: tuple[float, ...]
    near: tuple[int, ...] = ()


def cut_axis(
    low: float, high: float, room: float, stakes: Sequence[Stake], words: Sequence[tuple[float, float]] = ()
) -> Cuts:
    """Cut a length into pieces that fit the room, away from marks and if it can be from words.

    Args:
        low, high: the length, in mm.
        room: how much one page holds.
        stakes: the marks; no centre comes within 8 mm of a join, its overlap counted in, and no
            rim where that needs no further page.
        words: from and to of each line of lettering.

    Returns:
        As few pieces as can be, of like length. Where marks stand so close that no join clears
        them, one piece more is tried, and then the joins that lie midway between marks.
    """
    if high - low <= room:
        return Cuts(())
    advance = room - OVERLAP_MM
    fewest = max(2, math.ceil((high - low - OVERLAP_MM) / advance - 1e-9))
    for count in (fewest, fewest + 1):
        for rims, lettering in ((True, True), (False, True), (True, False), (False, False)):
            by_words = list(_closed_by_words(words))
            closed = [*_closed_by_marks(stakes, rims), *(by_words if lettering else ())]
            # Where not every join can keep out of the words, each that can still does.
            for better_not in ((),) if lettering else (by_words, ()):
                found = _try_cuts(low, high, room, count, closed, better_not)
                if found is not None:
                    return Cuts(found)
    lines = _least_near(low, high, room, fewest, stakes, words)
    near = sorted({s.n for s in stakes for c in lines if _clearance(c, s.at) < KEEP_MM})
    return Cuts(lines, tuple(near))


def _closed_by_marks(stakes: Sequence[Stake], rims: bool) -> Iterator[tuple[float, float]]:
    for stake in stakes:
        keep = max(KEEP_MM, stake.rim_mm + _RIM_SPARE_MM) if rims else KEEP_MM
        yield (stake.at - keep - OVERLAP_MM, stake.at + keep)


def _closed_by_words(words: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    for low, high in words:
        yield (low - OVERLAP_MM - _WORDS_GAP_MM, high + _WORDS_GAP_MM)


def _reach(low: float, high: float, room: float, count: int, k: int, start: float) -> tuple[float, float]:
    """Where cut k of count - 1 may lie, so that every page after it still has room enough."""
    left = count - k
    least = max(high - left * (room - OVERLAP_MM) - OVERLAP_MM, start + _LEAST_ADVANCE_MM)
    return (least, min(start + room - OVERLAP_MM, high - OVERLAP_MM))


def _try_cuts(
    low: float,
    high: float,
    room: float,
    count: int,
    closed: Sequence[tuple[float, float]],
    better_not: Sequence[tuple[float, float]] = (),
) -> tuple[float, ...] | None:
    lines: list[float] = []
    start = low
    for k in range(1, count):
        least, most = _reach(low, high, room, count, k, start)
        target = low + (high - low) * k / count - OVERLAP_MM / 2
        open_places = [c for c in _outwards(target, least, most) if _is_open(c, closed)]
        if not open_places:
            return None
        start = next((c for c in open_places if _is_open(c, better_not)), open_places[0])
        lines.append(start)
    return tuple(lines)


def _outwards(target: float, least: float, most: float) -> Iterator[float]:
    """List places between least and most, those nearest the target first."""
    if least > most + _ROUNDING_MM:
        return
    middle = min(max(target, least), most)
    yield middle
    for k in range(1, math.ceil((most - least) / _STEP_MM) + 1):
        for place in (middle - k * _STEP_MM, middle + k * _STEP_MM):
            if least <= place <= most:
                yield place
    yield least
    yield most


def _is_open(place: float, closed: Sequence[tuple[float, float]]) -> bool:
    return not any(low < place < high for low, high in closed)


def _clearance(line: float, centre: float) -> float:
    """How far a centre lies from a join, its overlap counted in; negative inside."""
    return max(line - centre, centre - line - OVERLAP_MM)


def _least_near(
    low: float,
    high: float,
    room: float,
    count: int,
    stakes: Sequence[Stake],
    words: Sequence[tuple[float, float]],
) -> tuple[float, ...]:
    """Choose lines midway between marks; a mark in an overlap stands whole on both pages."""
    lines: list[float] = []
    start = low

    def worth(place: float) -> tuple[bool, float]:
        parts_words = any(a < place < b for a, b in words)
        return (not parts_words, round(min(abs(place - stake.at) for stake in stakes), 6))

    for k in range(1, count):
        least, most = _reach(low, high, room, count, k, start)
        target = low + (high - low) * k / count - OVERLAP_MM / 2
        start = max(_outwards(target, least, most), key=worth)
        lines.append(start)
    return tuple(lines)


def windows(low: float, high: float, lines: Sequence[float]) -> tuple[tuple[float, float], ...]:
    """List from and to of each piece, the overlap counted in."""
    starts = (low, *lines)
    ends = (*(line + OVERLAP_MM for line in lines), high)
    return tuple(zip(starts, ends, strict=True))
