"""A lace through eyelets on edges that meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan.kinds import choice, length
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class LacingWish:
    """How a row of eyelets is laced.

    Attributes:
        way: "crossed" from side to side, or as a "ladder" with level rungs.
        tied_mm: of cord at either end, to tie.
    """

    way: Literal["crossed", "ladder"] = "crossed"
    tied_mm: float = 300.0


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.lacing is not None and (plan.garment is None or not plan.garment.is_meeting):
        yield "", "a lace draws edges together that meet", 'Write edges = "meeting" under [garment].'


LACING = Section(
    name="lacing",
    title="Lacing",
    meaning="A lace through a row of eyelets on edges that meet: its length is told for the gap that is worn, and for "
    "the edges drawn together.",
    keys=(
        Key(
            "way",
            choice("crossed", "ladder"),
            '"crossed"',
            "from side to side, or as a ladder with level rungs",
            label="It is laced",
            default='"crossed"',
        ),
        Key(
            "tied", length(), '"300 mm"', "cord at either end, to tie", label="To tie, at either end", default="300 mm"
        ),
    ),
    value=LacingWish,
    not_with=("belt", "row", "swap", "change"),
    against=_against,
)
