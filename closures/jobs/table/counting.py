"""Closing without counting: schemes by which a row cannot be closed off by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.lengths import format_length

if TYPE_CHECKING:
    from closures.placing.placement import Placement

LONG_ROW = 8
"""From so many closures on a scheme is offered: common practice."""


@frozen
class Scheme:
    """How the wearer finds the right partner of each closure.

    Attributes:
        name: as the plan names it, empty where none is chosen.
        lines: what to do, in whole sentences.
        labels: the numbers that pair, over lap and under lap alike; empty for other schemes.
    """

    name: str
    lines: tuple[str, ...]
    labels: tuple[str, ...] = ()


def _begin(count: int) -> str:
    if count == 2:
        return "Close number 1 first, then number 2"
    half = (count + 1) // 2
    middle = f"the one in the middle, number {half},"
    if not count % 2:
        middle = f"one of the two in the middle, number {half} or {half + 1},"
    return f"Close {middle} first, then the two ends"


def _keeps_needle_holes(placement: Placement) -> bool:
    """Whether a cloth of either lap keeps every hole of a needle, as leather and coated cloth do (common practice)."""
    stacks = [on.stack for mark in placement.marks for on in (mark.on("over"), mark.on("under")) if on is not None]
    return any(stack is not None and stack.structures & {"leather", "coated"} for stack in stacks)


def closing_scheme(placement: Placement) -> Scheme | None:
    """Tell the scheme of a placement, or offer one where the row is long and has none.

    Args:
        placement: closures along an edge.

    Returns:
        The scheme; None for a short row without one.
    """
    wish = None if placement.plan.sheets is None else placement.plan.sheets.closing
    count, units = len(placement.marks), placement.plan.units
    if wish == "numbers" and count == 1:
        return Scheme("numbers", ("A row of one closure cannot be closed off by one: it needs no numbers.",))
    if wish == "numbers":
        stitches = "" if _keeps_needle_holes(placement) else ", or sew as many stitches"
        when = "now" if placement.is_all_there else "as you set the parts"
        lines: tuple[str, ...] = (
            f"Every closure has the same number on both laps. Put the tags on {when}: black for the "
            f"over lap, white for the under lap; or write the numbers inside{stitches}.",
            f"{_begin(count)}: a row that begins with a true pair cannot run off by one.",
        )
        if placement.fastener.family == "eyelet":
            # Nothing is closed: the lace goes from one to the next.
            lines = (lines[0], "Lace from number 1 on: a lace that begins with a true pair cannot run off by one.")
        return Scheme("numbers", lines, tuple(str(mark.n) for mark in placement.marks))
    if wish == "wide gap" and placement.spacing.gaps_mm:
        first, rest = placement.spacing.gaps_mm[0], placement.spacing.gaps_mm[-1]
        show = [format_length(mm, units) for mm in (first, rest, first - rest)]
        lines = (
            f"The first gap is {show[0]} and every other one {show[1]}: {show[2]} more, on purpose. Closed off by "
            "one, the second closure already misses its partner by that much and cannot be pressed shut.",
            f"Begin at the {placement.ends[0]}; in the dark, the fingers find the wide gap.",
        )
        return Scheme("wide gap", lines)
    # A helper is of another kind, and is never taken for one of the row.
    count -= len(placement.sewn_apart)
    if count >= LONG_ROW and wish is None and placement.fastener.family != "eyelet":
        # No gap of a tape can be wider than the others.
        wider = ', or closing = "wide gap" for a first gap that differs on purpose' if not placement.plan.tape else ""
        alike = "" if placement.differing else " alike"
        lines = (
            f'{count} closures{alike} are easily closed off by one. Under [sheets] write closing = "numbers" for '
            f"numbers that pair{wider}.",
        )
        return Scheme("", tuple(map(placement.plan.in_words, lines)))
    return None
