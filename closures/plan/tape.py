"""A tape that hooks or snaps come on: cut to length, its own pitch kept."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.lengths import format_length
from closures.offered import at_least
from closures.plan.column import TWO_PLANS
from closures.plan.kinds import more_than_nothing
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

# Our own rule: closer than this no number stands beside its own mark, and a place for it is sought in vain, slowly.
_LEAST_PITCH_MM = 5.0


@frozen
class TapeWish:
    """A tape with closures on it.

    Attributes:
        pitch_mm: from one to the next, as the tape has them.
    """

    pitch_mm: float


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.tape is not None and plan.tape.pitch_mm < _LEAST_PITCH_MM:
        yield (
            "pitch",
            f"closures {format_length(plan.tape.pitch_mm, plan.units)} apart stand too close for numbers beside them",
            "Measure over ten of them and divide by ten; sheets are drawn from "
            f"{at_least(_LEAST_PITCH_MM, plan.units)} on.",
        )
    if plan.tape is None or plan.spacing is None:
        return
    spacing = plan.spacing
    if spacing.pitch_mm is not None:
        yield "pitch", "a pitch under [spacing] is told beside it, and the tape has its own", "Leave that one out."
    if spacing.widest_mm is not None or spacing.closest_mm is not None:
        yield "", "every gap is the tape's own pitch", "Leave widest and closest out under [spacing]."
    if spacing.aim != "even":
        yield "", "a tape cannot be spaced for calm", 'Leave for = "calm" out under [spacing].'
    if plan.sheets is not None and plan.sheets.closing == "wide gap":
        yield "", "no gap of a tape can be wider than the others", "Leave closing out under [sheets]."


TAPE = Section(
    name="tape",
    title="Tape with closures on it",
    meaning="A hook tape or a snap tape, cut to length: every gap is the tape's own pitch, and it is cut half way "
    "between two closures. What the line leaves over at either end is told: [how to](../how-to/edges-that-meet.md).",
    keys=(
        Key(
            "pitch",
            more_than_nothing,
            '"19 mm"',
            "from one closure to the next on the tape, measured over ten of them and alike on both halves",
            label="From closure to closure on the tape",
            needed=True,
        ),
    ),
    value=TapeWish,
    not_with=("belt", "row", "swap", "change", "sizes", "stripe", "gauge", "shrinkage", "stand", "column", "differs"),
    instead=(
        ("column", f"A tape lies on one line: {TWO_PLANS}"),
        ("stand", "A tape ends below the neck seam: leave [stand] out, and place its closure by a plan of its own."),
        (
            "differs",
            "All closures of a tape are alike: leave [[differs]] out. A closure of another kind is a [[single]] beside "
            "it where the edges lap, and has a plan of its own where they meet.",
        ),
        ("shrinkage", "Wash the cloth and the tape first, and leave [shrinkage] out."),
        ("stripe", "A tape keeps its own pitch: leave [stripe] out."),
        ("gauge", "A tape keeps its own pitch: leave [gauge] out."),
    ),
    against=_against,
)
