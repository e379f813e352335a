"""How the closures are spaced."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from closures.plan.closure import MOST_CLOSURES
from closures.plan.kinds import Range, length_or_range, more_than_nothing, whole
from closures.plan.section import Complaint, Fields, Key, Section


@dataclass(frozen=True, slots=True)
class SpacingWish:
    """How the closures are spaced, in mm along the closing line, centre to centre.

    Attributes:
        first: first end to first centre.
        last: last centre to last end.
        pitch_mm: the wanted gap; None where a count is given.
        count: how many closures; None where a pitch is given.
        widest_mm, closest_mm: limits on every gap, None where there is none.
    """

    first: Range
    last: Range
    pitch_mm: float | None = None
    count: int | None = None
    widest_mm: float | None = None
    closest_mm: float | None = None


def _complaints(fields: Fields) -> Iterator[Complaint]:
    if "closest" in fields and "widest" in fields and fields["closest"] > fields["widest"]:
        yield "closest", "it is more than widest", "Write a closest that is no more than the widest."


SPACING = Section(
    name="spacing",
    title="Count and gaps",
    meaning="Centre to centre, along the closing line.",
    keys=(
        Key(
            "first",
            length_or_range,
            '"5/8 in"',
            "first end to first centre",
            label="First end to first closure",
            hint="5/8 in, or 1/2 in to 3/4 in",
            needed=True,
            option="--first",
            says='First end to first centre, or a range "1/2 in to 3/4 in".',
        ),
        Key(
            "last",
            length_or_range,
            '"2 in"',
            "last centre to last end",
            label="Last closure to last end",
            hint="2 in, or 2 in to 4 in",
            needed=True,
            option="--last",
            says="Last centre to last end, or a range.",
        ),
        Key(
            "pitch",
            more_than_nothing,
            '"3 in"',
            "the gap wanted; the count follows",
            label="Wanted gap",
            option="--pitch",
            says="Wanted gap, centre to centre.",
        ),
        Key(
            "count",
            whole(1, MOST_CLOSURES),
            "8",
            "how many closures",
            label="How many",
            option="--count",
            says="How many closures.",
        ),
        Key(
            "widest",
            more_than_nothing,
            '"3 1/2 in"',
            "no gap may be wider",
            label="No gap wider than",
            default="no limit",
            option="--widest",
            says="No gap wider than this.",
        ),
        Key(
            "closest",
            more_than_nothing,
            '"1 in"',
            "no gap may be closer; never less than the fastener itself allows",
            label="No gap closer than",
            default="the fastener's least pitch",
            option="--closest",
            says="No gap closer than this.",
        ),
    ),
    value=SpacingWish,
    needed=True,
    one_of=(("pitch", "count"),),
    complaints=_complaints,
    option="the spacing",
)
