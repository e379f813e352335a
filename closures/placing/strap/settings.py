"""How a strap can close: the overlaps at which closures meet, and the lengths they give."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from closures.placing.strap.values import SAME_SEAT_MM, Seat, Setting, inside_mm

if TYPE_CHECKING:
    from closures.placing.placed import Placement


def marks_of(setting: Setting, placement: Placement) -> tuple[int, ...]:
    """Find the marks of the under end that the over end's outermost closures take; none where they take none."""
    strap = placement.strap
    if strap is None:
        return ()
    seats = [(one.n, one.under) for one in placement.marks if one.under is not None]
    at = [(n, strap.closes_at(one.from_tip_mm or 0.0, strap.width_mm / 2 - one.y_mm)) for n, one in seats]
    return tuple(n for n, found in at if found is setting)


def setting_in_words(setting: Setting, placement: Placement) -> str:
    """Name a setting by both its numbers, as "3, on mark 5": it is counted from the loosest, marks along the strap."""
    marks = marks_of(setting, placement)
    named = f"marks {', '.join(map(str, marks[:-1]))} and {marks[-1]}" if len(marks) > 1 else ""
    return ", on ".join((f"{setting.n}", *((named or f"mark {marks[0]}",) if marks else ())))


def settings_at(
    overlaps_mm: Sequence[float],
    target_index: int,
    finished_mm: float,
    outer_mm: float,
    thickness_mm: float | None,
    engaged: int,
) -> tuple[Setting, ...]:
    """List settings.

    Args:
        overlaps_mm: from tip to tip, ascending, which is loosest first.
        target_index: which of them is the target.
        finished_mm: of the strap, tip to tip.
        outer_mm: the over end's closure nearest to its tip.
        thickness_mm: of the strap, None where it is not known.
        engaged: how many closures hold in each.
    """
    return tuple(
        Setting(
            n=i + 1,
            overlap_mm=overlap,
            outer_on_mm=overlap - outer_mm,
            middle_mm=finished_mm - overlap,
            inside_mm=inside_mm(finished_mm - overlap, thickness_mm, overlap - outer_mm),
            is_target=i == target_index,
            engaged=engaged,
        )
        for i, overlap in enumerate(overlaps_mm)
    )


def meeting_overlaps(over: Sequence[Seat], under: Sequence[Seat]) -> tuple[float, ...]:
    """Find every overlap at which the shorter row is met whole: each of its closures finds a mate.

    Returns:
        The overlaps in mm, ascending; none where the halves cannot meet.
    """
    few = min(len(over), len(under))
    found = merged(a.from_tip_mm + b.from_tip_mm for a in over for b in under if _level(a, b))
    return tuple(overlap for overlap in found if met_at(over, under, overlap) == few)


def met_at(over: Sequence[Seat], under: Sequence[Seat], overlap_mm: float) -> int:
    """Count the closures that find their mate at an overlap."""
    return sum(
        any(_level(a, b) and abs(a.from_tip_mm + b.from_tip_mm - overlap_mm) <= SAME_SEAT_MM for b in under)
        for a in over
    )


def _level(a: Seat, b: Seat) -> bool:
    return abs(a.height_mm - b.height_mm) <= SAME_SEAT_MM


def merged(values: Iterable[float]) -> list[float]:
    """Sort figures and keep one of those that are the same."""
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > SAME_SEAT_MM:
            kept.append(value)
    return kept


def closest_pair(places: Sequence[float]) -> tuple[float, float] | None:
    """The two neighbours in an ascending row that lie nearest to each other, None where there is one place."""
    return min(itertools.pairwise(places), key=lambda two: two[1] - two[0], default=None)


def middle_index(count: int) -> int:
    """The middle of so many settings, loosest first; of an even number the looser of the middle two."""
    return (count - 1) // 2
