"""The straight way from the first mark to the last, by which sheets and marks are proved."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.spans import span_of

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement


def span(placement: Placement, first_lap: LapName) -> dict[str, str]:
    """The straight way from the first mark to the last, by which sheets and marks are proved."""
    marks = placement.on(first_lap)
    if len(marks) < 2 or placement.strap is not None:
        agree = "The marks stand where the sheet has them" if len(marks) > 1 else "It stands where the sheet has it"
        return {
            "span": "",
            "span done": "",
            "marks agree both": f"{agree}.",
        }
    over, under = _straight(placement, "over"), _straight(placement, "under")
    own = over if first_lap == "over" else under
    way = f"from mark {marks[0].n} to mark {marks[-1].n}"
    agree = f"from mark {marks[0].n} to mark {marks[-1].n} it is {own}, straight across"
    found = {
        "span": f", and on the sheets, taped where they come in parts, the straight way {way}",
        "span done": f", and it is {own} {way}",
        "marks agree both": f"{agree.capitalize()}, as on the sheet.",
    }
    if not placement.laps.under.pins_mm or None in (over, under) or over == under:
        return found
    # Two lines of unlike shape: what proves the one lap's sheet would condemn the other's.
    each = f"{over} on the over lap's and {under} on the under lap's"
    return found | {
        "span": f", and on the sheets of either lap, taped where they come in parts, the straight way {way}",
        "span done": f", and {way} it is {each}",
        "marks agree both": f"{way.capitalize()} it is {each}, straight across, as on the sheets.",
    }


def _straight(placement: Placement, lap: LapName) -> str | None:
    """From the first mark of a lap to its last, straight across; None where it carries fewer than two."""
    found = span_of(placement, lap)
    return None if found is None else format_length(math.dist(found[0].at, found[1].at), placement.plan.units)


def marks_agree(placement: Placement, lap: LapName) -> dict[str, str]:
    """When marks are right: only those are asked for that this job makes, of a row whose closures differ its own."""
    marks = placement.on(lap)
    agree = "The marks stand where the sheet has them" if len(marks) > 1 else "It stands where the sheet has it"
    if len(marks) > 1 and placement.strap is None:
        told = _straight(placement, lap)
        agree = f"From mark {marks[0].n} to mark {marks[-1].n} it is {told}, straight across, as on the sheet"
    return {"marks agree": f"{agree}.", "marks agree short": f"{agree[0].lower()}{agree[1:]}."}
