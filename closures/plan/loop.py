"""Loops that buttons are closed with on edges that meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.kinds import length
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class LoopWish:
    """How loops are sewn on.

    Attributes:
        feet_mm: along the edge, between the two ends of a loop; 0 where they lie together.
        sewn_mm: of cord at either end, sewn into the seam; None for what is usual.
    """

    feet_mm: float = 0.0
    sewn_mm: float | None = None


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.loop is not None and (plan.garment is None or not plan.garment.is_meeting):
        yield "", "loops close edges that meet", 'Write edges = "meeting" under [garment].'


LOOP = Section(
    name="loop",
    title="Loops",
    meaning="How the loops of `loop and button` and `loop and ball button` are sewn to the edge; their length follows "
    "from the button: [how to](../how-to/edges-that-meet.md#loops-and-buttons).",
    keys=(
        Key(
            "feet",
            length(),
            '"8 mm"',
            "along the edge between the two ends of a loop, as it is worn",
            label="Between the ends of a loop",
            default="0",
        ),
        Key(
            "sewn",
            sound.sewn_in,
            '"10 mm"',
            "of cord at either end, sewn into the seam",
            label="Cord sewn in, at either end",
            default="10 mm",
        ),
    ),
    value=LoopWish,
    not_with=("belt", "row", "swap", "change", "lacing", "tape"),
    against=_against,
)
