"""Figures of a row that nobody who knows the closure and the edge can have meant: mostly another unit was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import SpacingError, in_section

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.plan.plan import Plan
    from closures.spacing import Wish

_SLIP = 0.5
"""A pitch of less than so much of what a closure takes is a slip: our own rule."""


def refuse_slip(plan: Plan, least_mm: float, show: Callable[[float], str]) -> None:
    """Refuse a pitch far below what the closures take.

    Args:
        plan: with its spacing.
        least_mm: from centre to centre, what the closures take.
        show: writes a length for people.

    Raises:
        SpacingError: it cannot be meant.
    """
    pitch_mm = plan.spacing.pitch_mm if plan.spacing is not None else None
    if pitch_mm is not None and pitch_mm < _SLIP * least_mm:
        raise SpacingError(
            f"a pitch of {show(pitch_mm)} is less than half of the {show(least_mm)} that the closure takes from "
            "centre to centre",
            where=in_section("spacing", "pitch"),
            mend="See whether its unit is the one meant: pitch is from the centre of one closure to the next.",
        )


def refuse_ends_beyond(wish: Wish, show: Callable[[float], str]) -> None:
    """Refuse a first or a last closure that would lie beyond the other end of the whole line.

    A range up to there would mend it in numbers, with a row that nobody wants.

    Args:
        wish: of the row.
        show: writes a length for people.

    Raises:
        SpacingError: one of them cannot be meant.
    """
    for key, (low_mm, _), end in zip(("first", "last"), (wish.first, wish.last), wish.ends, strict=True):
        if low_mm > wish.length_mm:
            raise SpacingError(
                f"the {key} closure {show(low_mm)} from the {end} lies beyond the other end: the whole closing line is "
                f"{show(wish.length_mm)} long",
                where=in_section("spacing", key),
                mend="See whether the figure and its unit are the ones meant.",
            )
