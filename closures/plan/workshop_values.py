"""What a plan says of the work at the table: further pages, bands, shrinkage, stripes, and who wears it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from closures.plan.size_values import FitWish

BackingForm = Literal["as needed", "strip", "patches"]
ClosingScheme = Literal["numbers", "wide gap"]
WashState = Literal["washed", "unwashed"]
ProfileName = Literal["weak hands", "single hand", "quick change", "child", "implants"]


@dataclass(frozen=True, slots=True)
class SheetsWish:
    """Which pages and files are made beside the two marking templates.

    Attributes:
        coupon: a trial piece for either lap, with a table to note how it went.
        order: the order of work, the parts in the order they stack, and how to mark.
        strip: running distances and a strip to step along with.
        handover: a page for a colleague or a factory, and the same as a table file.
        backing: pieces that back the closures; None for none.
        backing_cloth: what they are cut from, counted in every stack that it backs.
        backing_width_mm: of a strip or a patch; None for as narrow as will do.
        closing: a scheme for closing without counting; None for none.
        stencil: a template to cut out of card or plastic, for either lap.
        stencil_hole_mm: diameter of its holes; None for as the closure asks.
        roll: both laps again, each whole on paper from a roll.
        projector: a sheet for either lap to throw on the cloth with light.
    """

    coupon: bool = False
    order: bool = False
    strip: bool = False
    handover: bool = False
    backing: BackingForm | None = None
    backing_cloth: str | None = None
    backing_width_mm: float | None = None
    closing: ClosingScheme | None = None
    stencil: bool = False
    stencil_hole_mm: float | None = None
    roll: bool = False
    projector: bool = False


@dataclass(frozen=True, slots=True)
class BandsWish:
    """The pattern pieces of both laps' bands.

    Attributes:
        allowance_mm: beyond the finished outline, all round.
        made: a band and a facing sewn together on the finished edge, or one piece folded on it.
        turn_mm: how much of the facing's inner edge is turned under; it lies in the stack there.
        turn_cloth: the cloth that is turned; None where nothing is.
        interfacing: how many pieces of interfacing each lap takes.
    """

    allowance_mm: float
    made: Literal["two pieces", "folded"] = "two pieces"
    turn_mm: float = 0.0
    turn_cloth: str | None = None
    interfacing: int = 1


@dataclass(frozen=True, slots=True)
class ShrinkageWish:
    """What the cloth loses in the first wash.

    Attributes:
        along, across: shares of the length down and across the drawing, 0.03 for 3 %.
        measured: the state in which everything in the plan was measured.
    """

    along: float
    across: float
    measured: WashState


@dataclass(frozen=True, slots=True)
class StripeWish:
    """Stripes or checks that the closures keep to.

    Attributes:
        every_mm: from one repeat to the next, straight down.
        at_mm: a repeat's level.
        on: closures sit on the repeats, or half way between them.
    """

    every_mm: float
    at_mm: float
    on: Literal["repeat", "between"] = "repeat"


@dataclass(frozen=True, slots=True)
class WearerWish:
    """Who wears the garment.

    Attributes:
        profiles: sets of rules and notes that are asked for, each once.
        implants: what the wearer and those who help answered to the question on implants.
        fit: what differs from the printed pattern; None where nothing does.
    """

    profiles: tuple[ProfileName, ...] = ()
    implants: Literal["none", "some", "not asked"] = "not asked"
    fit: FitWish | None = None
