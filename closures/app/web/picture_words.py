"""What the picture of the closed garment shows, in words: for who does not see it, and for its signs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closures.app.web.figure import figure_of
from closures.app.web.strap_ends import left_out_in_words
from closures.placing.counted import closes_in_settings, closures_in_words, ends_in_words

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.placing.placement import Placement


def in_words(placement: Placement, can_move: bool) -> str:
    """Tell what the picture shows, for who does not see it."""
    plan, strap = placement.plan, placement.strap
    lap = f" {placement.laps.garment.lap_in_words}," if plan.lap else ""
    counted = f"{ends_in_words(placement)}," if closes_in_settings(placement) else closures_in_words(placement)
    told = f"{lap} with {counted} numbered from the {placement.ends[0]}."
    if strap is not None:
        return f"The {strap.piece}, closed,{told} Not drawn: {left_out_in_words(placement)}."
    handles = " Closures, fixed places and clear stretches are moved with the arrow keys." if can_move else ""
    return f"The garment as worn,{told}{handles}"


def legend(answer: Answer) -> Mapping[str, str]:
    """Name the signs that the picture uses, class to words."""
    placement = answer.placement
    over, under = placement.laps.over.whose, placement.laps.under.whose
    what = "lap" if placement.strap is None else "end"
    side = (f", the {over}", f", the {under}") if over and under else ("", "")
    # Of edges that meet nothing lies on top.
    on_top, beneath = ("", "") if placement.laps.garment.is_meeting else (", on top", ", beneath")
    rows = {
        "over": f"over {what}{on_top}{side[0]}",
        "under": f"under {what}{beneath}{side[1]}",
        "edge": f"finished edge of the over {what}",
        "beneath": f"finished edge of the under {what}",
        "closing": "closing line",
        "square": "squares of 2 in" if placement.plan.units == "in" else "squares of 50 mm",
    }
    rows |= (
        {"broken": f"here it goes on; not drawn: {left_out_in_words(placement)}"} if placement.strap is not None else {}
    )
    rows |= {"outline": "outline of the over lap’s piece"} if placement.outline is not None else {}
    rows |= {"figure": "a figure to see by: only its length is measured"} if figure_of(placement) else {}
    results = {finding.result for finding in answer.findings if finding.mark is not None}
    rows |= {"fail": "✕ a check fails here"} if "fail" in results else {}
    rows |= {"warn": "! look here"} if "warn" in results else {}
    rows |= {"anchor": "fixed place"} if placement.anchors else {}
    rows |= {"zone": "keep clear"} if placement.zones else {}
    rows |= {"old": "old place"} if answer.swap is not None else {}
    return rows
