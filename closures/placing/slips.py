"""Figures of a row that nobody who knows the closure and the edge can have meant: mostly another unit was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import SpacingError, in_section

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.placing.lap import Laps
    from closures.plan.plan import Plan

_SLIP = 0.5
"""A pitch of less than so much of what a closure takes is a slip: our own rule."""


def refuse_slips(plan: Plan, least_mm: float, laps: Laps, show: Callable[[float], str]) -> None:
    """Refuse a pitch far below what the closures take, and ends that lie beyond the whole line.

    Args:
        plan: with its spacing.
        least_mm: from centre to centre, what the closures take.
        laps: the closing line, in the state of the plan.
        show: writes a length for people.

    Raises:
        SpacingError: one of them cannot be meant.
    """
    if plan.spacing is None:
        return
    pitch_mm = plan.spacing.pitch_mm
    if pitch_mm is not None and pitch_mm < _SLIP * least_mm:
        raise SpacingError(
            f"a pitch of {show(pitch_mm)} is less than half of the {show(least_mm)} that the closure takes from "
            "centre to centre",
            where=in_section("spacing", "pitch"),
            mend="See whether its unit is the one meant: pitch is from the centre of one closure to the next.",
        )
    for key, told, end in zip(
        ("first", "last"), (plan.spacing.first, plan.spacing.last), laps.garment.ends, strict=True
    ):
        if told is not None and told.low_mm > laps.line.length_mm:
            raise SpacingError(
                f"{show(told.low_mm)} from the {end} lies beyond the other end: the whole closing line is "
                f"{show(laps.line.length_mm)} long",
                where=in_section("spacing", key),
                mend="See whether the figure and its unit are the ones meant.",
            )
