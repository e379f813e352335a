"""A row whose first gap differs from all the others on purpose, so that it cannot be closed off by one."""

from __future__ import annotations

from closures.errors import SpacingError
from closures.spacing.measure import measure
from closures.spacing.unlike import closed_in
from closures.spacing.wish import Show, Spacing, Wish, show_mm

_EVEN_MM = 0.005
_LEAST_COUNT = 4
_WHERE = "[sheets] closing"


def with_wide_first_gap(wish: Wish, spacing: Spacing, by_mm: float, show: Show = show_mm) -> Spacing:
    """Widen the first gap of an even row and narrow all the others alike; both ends stay.

    Args:
        wish: what was asked; its hard rules are kept.
        spacing: an even row.
        by_mm: how much wider the first gap is than the others.
        show: writes a length for people.

    Returns:
        The row.

    Raises:
        SpacingError: the row is not even, too short, or a hard rule would be broken; says which.
    """
    count = len(spacing.positions_mm)
    if count < _LEAST_COUNT:
        raise SpacingError(
            f"{count} closures are too few for a wide gap", where=_WHERE, mend="Leave it out: they can be seen at once."
        )
    if spacing.spread_mm > _EVEN_MM:
        raise SpacingError(
            f"the gaps of this row differ already, by {show(spacing.spread_mm)}",
            where=_WHERE,
            mend='Write closing = "numbers", or take the anchor or the clear zone out.',
        )
    first, last = spacing.positions_mm[0], spacing.positions_mm[-1]
    gap = (last - first - by_mm) / (count - 1)
    places = (first, *(first + by_mm + k * gap for k in range(1, count - 1)), last)
    row = measure(wish, places, "")
    _keep_rules(wish, row, by_mm, show)
    reason = (
        f"{count} closures: the first gap {show(row.gaps_mm[0])}, every other {show(gap)}. The first "
        f"is {show(by_mm)} wider "
        "on purpose, so that the row cannot be closed off by one."
    )
    return measure(wish, places, reason)


def _keep_rules(wish: Wish, row: Spacing, by_mm: float, show: Show) -> None:
    broken = []
    if row.largest_mm > wish.widest_mm + 1e-9:
        broken.append(f"its gap of {show(row.largest_mm)} is wider than the widest, {show(wish.widest_mm)}")
    if row.smallest_mm < wish.closest_mm - 1e-9:
        broken.append(f"its gaps of {show(row.smallest_mm)} are closer than the closest, {show(wish.closest_mm)}")
    for shift in row.shifts:
        anchor = wish.anchors[shift.anchor_index]
        if abs(shift.shift_mm) > anchor.within_mm + 1e-9:
            broken.append(f"anchor {anchor.name} would be missed by {show(abs(shift.shift_mm))}")
    closed = closed_in(wish, row.positions_mm)
    for nth, zone in enumerate(wish.clear):
        each = zip(row.positions_mm, closed, strict=True)
        if any(zones[nth].low_mm + 1e-9 < place < zones[nth].high_mm - 1e-9 for place, zones in each):
            broken.append(f"a closure would lie in the clear zone {zone.name}")
    if broken:
        raise SpacingError(
            f"a first gap {show(by_mm)} wider than the others cannot be: {'; '.join(broken)}",
            where=_WHERE,
            mend='Write closing = "numbers", or loosen what stands in the way.',
        )
