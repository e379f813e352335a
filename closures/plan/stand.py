"""A collar stand that continues the row above the neck seam."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.differs import ALIKE_ONLY
from closures.plan.ends import is_below_neck
from closures.plan.kinds import choice
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan

STAND_NAME = "stand"
"""What the closure of the stand is called, where closures are told by a name."""

STAND_TOP = "stand's top"
"""What the first end of an edge is called that begins with a stand."""


@frozen
class StandWish:
    """A collar stand, sewn to the neck of the over and of the under lap.

    Attributes:
        height_mm: finished, at its front end; its closure sits at half of it.
        hole: which way its buttonhole runs; None where the plan does not say.
        grain: the way of its lengthwise threads, round the neck or up its height; None where nothing shrinks.
        worn_mm: its height once washed; None in the state that is worn.
        holes: what its own buttonhole is drawn longer by, up it and round the neck, as of a shrinkage; None where
            it shrinks as the front does.
    """

    height_mm: float
    hole: Literal["along", "across"] | None = None
    grain: Literal["round", "up"] | None = None
    worn_mm: float | None = None
    holes: tuple[float, float] | None = None

    @property
    def way(self) -> Literal["along", "across"]:
        """Which way its buttonhole runs, where it has one."""
        return self.hole or "across"

    @property
    def first_mm(self) -> float:
        """From its upper edge to its closure."""
        return self.height_mm / 2


def _stand(
    height_mm: float, hole: Literal["along", "across"] | None = None, grain: Literal["round", "up"] | None = None
) -> StandWish:
    return StandWish(height_mm, hole, grain)


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.stand is None:
        return
    garment, sheets = plan.garment, plan.sheets
    if plan.spacing is not None and plan.spacing.first is not None:
        yield (
            "",
            "first under [spacing] is told beside it, and the first closure is the stand's, half way up it",
            "Leave first out; the gap from the stand to the first closure below is a gap of the row.",
        )
    if plan.sizes is not None and plan.sizes.first is not None:
        yield (
            "",
            "first under [sizes] is told beside it, and the first closure is the stand's, half way up it",
            "Leave first out under [sizes].",
        )
    if garment is not None and garment.opens not in (None, "front", "back"):
        yield "", f"a {garment.opens} has no neck that a stand is sewn to", "Leave [stand] out, or mend opens."
    elif garment is not None and garment.ends is not None and is_below_neck(garment.ends[0]):
        yield (
            "",
            f"the edge begins at the {garment.ends[0]}, and a stand is sewn to a neck",
            "Leave [stand] out; or write the neck first in ends under [garment], if the edge begins there.",
        )
    if sheets is not None and sheets.backing is not None:
        yield (
            "",
            "a backing runs along one piece, and the stand is another",
            "Leave backing out under [sheets], and back the stand with its own interfacing.",
        )
    if plan.shrinkage is not None and plan.stand.grain is None:
        yield (
            "grain",
            "[shrinkage] is told, and nothing says which way the stand is cut, and so what it loses in height",
            'Write grain = "round" where its lengthwise threads run round the neck, as most stands are cut, or '
            'grain = "up" where they run up its height, as down the front.',
        )
    if plan.fit is not None:
        yield "", "a fit for one wearer moves the edge, and not the stand", "Leave [stand] out there."


STAND = Section(
    name="stand",
    title="Collar stand",
    meaning="A collar stand whose closure continues the row above the neck seam. The edge that the plan tells is the "
    "front's, from the neck seam down; the stand is added above it, so that distances along the line begin at its "
    "upper edge, and levels stay what they are. Its closure is mark 1, and its gap to the next is a gap of the row: "
    "[how to](../how-to/closures-that-differ.md).",
    keys=(
        Key(
            "height",
            sound.stand_height,
            '"30 mm"',
            "finished, at its front end; its closure sits at half of it",
            label="Height of the stand",
            needed=True,
        ),
        Key(
            "hole",
            choice("along", "across"),
            '"across"',
            "which way its buttonhole runs",
            label="Its buttonhole runs",
            default='"across"',
        ),
        Key(
            "grain",
            choice("round", "up"),
            '"round"',
            "which way its lengthwise threads run: round the neck, as most stands are cut, or up its height; needed "
            "with `[shrinkage]`, of which it loses `across` in height in the one case and `along` in the other, the "
            "two exchanged where the piece lies on its side in the drawing",
            label="Its lengthwise threads run",
        ),
    ),
    value=_stand,
    not_with=ALIKE_ONLY,
    instead=(
        (
            "swap",
            "The old buttonhole of a stand lies across and the others along: tell the front by this plan, from the "
            "neck seam down, and leave [stand] out; tell the stand by a plan of its own, a straight edge of its height "
            "with one old closure half way, or leave its button as it is. A garment file puts both together.",
        ),
    ),
    against=_against,
)
