"""What a cover says of rows whose closures are all there and stay: their strips are a record, and nothing is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.sheets.subject import Subject
    from closures.placing.placement import Placement


def heading_of(placement: Placement) -> str:
    """What the first section of a cover is headed by."""
    return "A record of what is there: nothing is to be set" if placement.is_all_there else "Marking templates"


def before_read(placements: Sequence[Placement]) -> str:
    """Say what waits till a failed check was read, a sentence."""
    if all(one.is_all_there for one in placements):
        return "Read the report before it is worn again."
    return "Pierce nothing before the report is read."


def when_to_measure(subjects: Sequence[Subject]) -> str:
    """Say before what the check distances are measured, a sentence."""
    before = "lay them on the cloth" if len(kept_of(subjects)) == len(subjects) else "mark anything"
    return f"Measure the check distances across the joins before you {before}."


def kept_of(subjects: Sequence[Subject]) -> list[Subject]:
    """The laps on which nothing is marked, since all closures of their row stay."""
    return [one for one in subjects if one.placement.is_all_there]


def how_to_lay(subjects: Sequence[Subject]) -> list[str]:
    """Tell what is done with the strips of those laps, a sentence; nothing where there are none."""
    kept = kept_of(subjects)
    if not kept:
        return []
    laps = "" if len(kept) == len(subjects) else f" of the {in_a_row([one.strip for one in kept])} lap"
    return [
        f"Cut the strips{laps} along the finished edge, lay that edge on the edge of the cloth, and mark nothing: "
        "they show where closures are that stay."
    ]
