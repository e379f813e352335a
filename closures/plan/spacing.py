"""How the closures are spaced."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan.closure import MOST_CLOSURES
from closures.plan.kinds import Range, choice, length_or_range, more_than_nothing, whole
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class SpacingWish:
    """How the closures are spaced, in mm along the closing line, centre to centre.

    Attributes:
        first: first end to first centre; None for as is usual.
        last: last centre to last end; None for as is usual.
        pitch_mm: the wanted gap; None where a count is given, or for as is usual.
        count: how many closures; None where a pitch is given, or for as is usual.
        widest_mm, closest_mm: limits on every gap, None where there is none.
        aim: "even" gaps, or gaps that keep the worst one "calm" under the pull.
        is_widest_usual: the widest gap was filled in, and is no wish of the plan.
    """

    first: Range | None = None
    last: Range | None = None
    pitch_mm: float | None = None
    count: int | None = None
    widest_mm: float | None = None
    closest_mm: float | None = None
    aim: Literal["even", "calm"] = "even"
    is_widest_usual: bool = False

    @property
    def ends(self) -> tuple[Range, Range]:
        """The room at the first and at the last end, once what is usual was filled in.

        Raises:
            ValueError: it was not.
        """
        if self.first is None or self.last is None:
            raise ValueError("the ends are left open")
        return self.first, self.last


def _against(plan: Plan) -> Iterator[Complaint]:
    """Tell what does not go with a row that is spaced for calm."""
    if plan.spacing is None or plan.spacing.aim == "even":
        return
    if plan.pull is None:
        yield "for", "how hard the front is drawn is not told", 'Add [pull], with fit = "usual" at the least.'
    for name, there in (("[stripe]", plan.stripe), ("[gauge]", plan.gauge), ("[shrinkage]", plan.shrinkage)):
        if there is not None:
            yield "for", f"a row for calm cannot keep to {name}", 'Write for = "even".'


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
            label="Room before the first closure",
            hint="5/8 in, or 1/2 in to 3/4 in; as is usual if left empty",
            default="as is usual",
            option="--first",
            says='First end to first centre, or a range "1/2 in to 3/4 in".',
        ),
        Key(
            "last",
            length_or_range,
            '"2 in"',
            "last centre to last end",
            label="Room after the last closure",
            hint="2 in, or 2 in to 4 in",
            default="as is usual",
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
            default="no limit; where no gaps are told at all, what is usual if it can be kept",
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
        Key(
            "for",
            choice("even", "calm"),
            '"calm"',
            "gaps as even as can be, or such that the worst gape number is the smallest: of the `count`, or with a "
            "`pitch` the fewest closures that keep every gap calm. `calm` only with `[pull]`",
            label="Spaced for gaps that are",
            default='"even"',
            field="aim",
        ),
    ),
    value=SpacingWish,
    needed=True,
    one_of=(("pitch", "count"),),
    may_be_empty=True,
    complaints=_complaints,
    against=_against,
    option="the spacing",
)
