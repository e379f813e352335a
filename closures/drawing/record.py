"""What a cover says of rows of which nothing is set: their closures are all there, or the plan is held back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.mended_first import BEFORE_ALL
from closures.placing.nothing_set import HELD_BACK, nothing_set
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.sheets.subject import Subject
    from closures.placing.nothing_set import NothingSet
    from closures.placing.placement import Placement


def heading_of(placement: Placement) -> str:
    """What the first section of a cover is headed by."""
    unset = nothing_set(placement)
    return "Marking templates" if unset is None else unset.heading


def heading_of_printing(subjects: Sequence[Subject]) -> str:
    """What the section of a cover is headed by that says what is done with the sheets."""
    return "These sheets" if are_held_back(subjects) else "Print, measure, tape"


def are_held_back(subjects: Sequence[Subject]) -> bool:
    """Whether all that the sheets show is held back: such sheets are not printed, measured or taped."""
    return all(one.placement.is_withheld for one in subjects)


def before_read(placements: Sequence[Placement]) -> str:
    """Say what waits till a failed check was read, a sentence for each reason; named where it is not of all."""
    told = dict.fromkeys(map(nothing_set, placements))
    if len(told) == 1 and None not in told:
        return next(unset.before for unset in told if unset is not None)
    held = " Of what fails for its wearer buy, mark, cut and set nothing before the plan was changed."
    return f"{BEFORE_ALL}{held * (HELD_BACK in told)}"


def when_to_measure(subjects: Sequence[Subject]) -> str:
    """Say before what the check distances are measured, a sentence."""
    before = "lay them on the cloth" if len(kept_of(subjects)) == len(subjects) else "mark anything"
    return f"Measure the check distances across the joins before you {before}."


def kept_of(subjects: Sequence[Subject]) -> list[Subject]:
    """The laps on which nothing is marked, since nothing of their row is set."""
    return [one for one in subjects if one.placement.sets_nothing]


def how_to_lay(subjects: Sequence[Subject]) -> list[str]:
    """Tell what is done with the strips of those laps, a sentence for each reason; nothing where there are none."""
    strips: dict[NothingSet, list[str]] = {}
    for subject in subjects:
        unset = nothing_set(subject.placement)
        if unset is not None:
            strips.setdefault(unset, []).append(subject.strip)
    return [
        unset.laid.format("" if len(laps) == len(subjects) else f" of the {in_a_row(laps)} lap")
        for unset, laps in strips.items()
    ]
