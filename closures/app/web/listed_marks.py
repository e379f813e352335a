"""Every mark as a row of the page's list: the row's own with their gaps, then what lies beside it with what it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closures.app.web.moves import lock_of
from closures.checks.finding import share_in_words
from closures.lengths import format_length
from closures.placing.marking import are_along_alike
from closures.placing.role import role_of

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.marking import Mark
    from closures.placing.placement import Placement

_SIDE_BY_SIDE: tuple[LapName, LapName] = ("over", "under")


def listed_marks(placement: Placement, can_lock: bool) -> tuple[Mapping[str, Any], ...]:
    """List every mark, those beside the row last.

    Args:
        placement: the closures as placed.
        can_lock: whether a closure of the row can be locked here.

    Returns:
        For each its number, the figures in the plan's units and in the others, and what is said of it. ``under`` is
        empty where one figure does for both laps.
    """
    units = placement.plan.units
    alike = are_along_alike(placement.all_marks)
    own = len(placement.marks)
    gaps: tuple[float | None, ...] = (None, *placement.spacing.gaps_mm)
    rows = []
    for nth, mark in enumerate(placement.all_marks):
        is_own = nth < own
        gap = gaps[nth] if is_own else None
        rows.append(
            {
                "n": mark.n,
                "along": format_length(mark.along_mm, units),
                "other": format_length(mark.along_mm, "in" if units == "mm" else "mm"),
                "under": "" if alike or mark.under is None else format_length(mark.under.along_mm, units),
                "gap": "" if gap is None else format_length(gap, units),
                "anchor": mark.anchor or "",
                "what": "" if is_own else what_it_is(placement, mark.n),
                "lies": "" if is_own else from_the_edges(placement, mark),
                "locked": is_own and can_lock and lock_of(placement.plan, placement, mark.n) is not None,
                "can_lock": is_own and can_lock and placement.plan.spacing is not None and mark.anchor is None,
            }
        )
    return tuple(rows)


def kinds_listed(placement: Placement) -> tuple[str, ...]:
    """What is set where, in the order of the marks; nothing where all are alike."""
    shares = sorted((one for one in placement.shares if one.marks), key=lambda share: min(m.n for m in share.marks))
    return tuple(map(share_in_words, shares)) if placement.is_mixed else ()


def what_it_is(placement: Placement, n: int) -> str:
    """Say what is set at a mark, such as "second column: shank button 30 L"; nothing where all are alike."""
    if not placement.is_mixed:
        return ""
    share, role = placement.share_of(n), role_of(placement, n)
    named = share.fastener.name
    if share.fastener.mark.buttonhole_lap is not None:
        named += f", buttonhole {share.plan.closure.hole or 'along'}"
    # What is sewn on for show says so by its name.
    return named if role == "row" or role in named else f"{role}: {named}"


def from_the_edges(placement: Placement, mark: Mark) -> str:
    """How far a centre lies from the finished edge of either lap that carries it."""
    told = []
    for lap in _SIDE_BY_SIDE:
        on_lap = mark.on(lap)
        if on_lap is not None:
            way = "past" if placement.share_of(mark.n).laps[lap].past_edge_mm else "in from"
            figure = format_length(on_lap.edge_distance_mm, placement.plan.units)
            told.append(f"{figure} {way} the {lap} {placement.side_word}’s edge")
    return ", ".join(told)
