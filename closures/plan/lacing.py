"""A lace through eyelets on edges that meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import format_length
from closures.plan import sound
from closures.plan.kinds import choice
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class LacingWish:
    """How a row of eyelets is laced.

    Attributes:
        way: "crossed" from side to side, or as a "ladder" with level rungs.
        tied_mm: of cord at either end, to tie; None for what is usual.
        let_out_mm: how far the edges stand apart, still laced, for the wearer to get in; None where it is not told.
    """

    way: Literal["crossed", "ladder"] = "crossed"
    tied_mm: float | None = None
    let_out_mm: float | None = None


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.lacing is None:
        return
    if plan.garment is None or not plan.garment.is_meeting:
        yield "", "a lace draws edges together that meet", 'Write edges = "meeting" under [garment].'
        return
    let_out, gaps = plan.lacing.let_out_mm, (plan.garment.gap_mm, plan.garment.gap_last_mm or 0.0)
    if let_out is not None and let_out < max(gaps):
        yield (
            "let_out",
            f"let out to get in, the edges would stand {format_length(let_out, plan.units)} apart, less than the gap "
            f"of {format_length(max(gaps), plan.units)} that is worn",
            "Measure how far apart they must be for the wearer to get in, or leave let_out out.",
        )


LACING = Section(
    name="lacing",
    title="Lacing",
    meaning="A lace through a row of eyelets on edges that meet: its length is told for the gap that is worn, for the "
    "edges drawn together, and let out to get in.",
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
            "tied",
            sound.tied,
            '"300 mm"',
            "cord at either end, to tie",
            label="To tie, at either end",
            default="300 mm",
        ),
        Key(
            "let_out",
            sound.let_out,
            '"200 mm"',
            "how far apart the edges must stand all along for the wearer to get in with the lace still in: it is then "
            "long enough for that",
            label="Edges apart to get in, still laced",
            default="laced anew each time it is put on",
        ),
    ),
    value=LacingWish,
    not_with=("belt", "row", "swap", "change"),
    against=_against,
)
