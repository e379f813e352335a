"""The buttonhole a button needs: how long, which way, and where it lies from the mark.

Terms: a buttonhole *across* runs square to the closing line and takes the pull of a fitted
closure; one *along* runs on the line, and suits a narrow band. Either way the button is
drawn to one end of it, so the mark is not its middle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from closures.placing.stack import clamped_layers, layers_on
from closures.plan.shrinkage import UNCARRIED

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.placing.placed import Placement
    from closures.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class Buttonhole:
    """A buttonhole as it lies from its mark, in mm.

    Attributes:
        way: "across" or "along" the closing line.
        length_mm: of the slit.
        before_mm: how far it reaches from the mark towards the edge (across) or towards the
            first end (along).
        thickness_mm: of the button that was reckoned with.
        is_measured: that thickness is the button's own; else it is a usual one, and the button wants measuring.
        is_bulky: it is longer for bulky cloth.
        washed_mm: how long it comes out after the wash that the cloth still has before it; None where there is none.
    """

    way: Literal["across", "along"]
    length_mm: float
    before_mm: float
    thickness_mm: float
    is_measured: bool = True
    is_bulky: bool = False
    washed_mm: float | None = None

    @property
    def after_mm(self) -> float:
        """How far it reaches from the mark the other way."""
        return self.length_mm - self.before_mm


@dataclass(frozen=True, slots=True)
class Slit:
    """The buttonhole of one mark.

    Attributes:
        way: "across" or "along" the closing line.
        ends_mm: its two ends from the mark's centre, in the frame of the placement.
    """

    way: Literal["across", "along"]
    ends_mm: tuple[tuple[float, float], tuple[float, float]]


def buttonhole_for(fastener: Fastener, plan: Plan, catalogue: Catalogue) -> Buttonhole | None:
    """Work out the buttonhole of a button.

    Its length is the button's diameter and thickness, and 1/8 in more in bulky cloth (Univ. of Minnesota, Bulletin
    576, 1965); of a ball button half the way round it and 1/8 in (New Mexico State Univ., Guide C-231). Its end
    stands 1/8 in past the mark: towards the edge when it runs across, towards the first end when it runs along
    (Bulletin 576; ICAR; ASDP). A thickness that nobody measured is the middle of the usual range: a hole that comes
    out short is lengthened in a minute, one too long is darned and shows.

    Args:
        fastener: the closure.
        plan: which way its buttonholes run, the layers that they go through, and what the cloth still shrinks.
        catalogue: where the eighths of an inch are kept.

    Returns:
        The buttonhole, or None for a closure that has none.
    """
    lap = fastener.mark.buttonhole_lap
    if lap is None:
        return None
    way = plan.closure.hole or "along"
    past = catalogue.rule("buttonhole past line" if way == "across" else "buttonhole above button").value.value
    length, thickness, is_measured = passing_mm(fastener, catalogue)
    is_bulky = any(layer.is_bulky for layer in layers_on(lap, clamped_layers(plan), catalogue))
    if is_bulky:
        length += catalogue.rule("buttonhole bulky extra").value.value
    if plan.shrinkage is None or plan.shrinkage.holes == UNCARRIED:
        return Buttonhole(way, length, past, thickness, is_measured, is_bulky)
    by = plan.shrinkage.holes[0 if way == "along" else 1]
    return Buttonhole(way, length * by, past * by, thickness, is_measured, is_bulky, length)


def slit_reach_mm(fasteners: Iterable[Fastener], plan: Plan, catalogue: Catalogue) -> tuple[float, float]:
    """How far buttonholes along the line reach from their marks: towards the first end, and towards the last.

    Args:
        fasteners: every one of a row; the furthest of them counts.
        plan: which way they run.
        catalogue: as for `buttonhole_for`.

    Returns:
        Nothing either way where none runs along the line.
    """
    along = [hole for one in fasteners if (hole := buttonhole_for(one, plan, catalogue)) and hole.way == "along"]
    # What is still to be washed is placed as it comes out.
    washed = [1.0 if hole.washed_mm is None else hole.washed_mm / hole.length_mm for hole in along]
    return (
        max((hole.before_mm * by for hole, by in zip(along, washed, strict=True)), default=0.0),
        max((hole.after_mm * by for hole, by in zip(along, washed, strict=True)), default=0.0),
    )


def slits_of(placement: Placement, catalogue: Catalogue) -> dict[tuple[LapName, int], Slit]:
    """The buttonhole of every mark that has one, from the way its line runs there; on a strap, the way to its tip."""
    found: dict[tuple[LapName, int], Slit] = {}
    for share in placement.shares:
        lap = share.fastener.mark.buttonhole_lap
        hole = buttonhole_for(share.fastener, share.plan, catalogue)
        if lap is None or hole is None:
            continue
        tip = share.laps[lap].tip
        for mark in share.on(lap):
            # It reaches past the mark: across, towards the edge or tip; along, to the first end or upper side.
            along = mark.tangent if tip is None else (0.0, 1.0)
            inward = share.laps[lap].inward(mark.tangent) if tip is None else tip.inwards
            x, y = inward if hole.way == "across" else along
            before, after = -hole.before_mm, hole.after_mm
            found[lap, mark.n] = Slit(hole.way, ((before * x, before * y), (after * x, after * y)))
    return found


def passing_mm(fastener: Fastener, catalogue: Catalogue) -> tuple[float, float, bool]:
    """How long a slit must be that lets a button through, the thickness reckoned with, and whether that is its own."""
    if fastener.is_ball:
        girth = math.pi * fastener.cap_mm / 2
        return girth + catalogue.rule("buttonhole girth extra").value.value, fastener.cap_mm, True
    thickness, is_measured = _thickness_mm(fastener)
    return fastener.cap_mm + thickness, thickness, is_measured


def _thickness_mm(fastener: Fastener) -> tuple[float, bool]:
    """The thickness that a buttonhole must let through, and whether it is known for this button."""
    if fastener.thickness is None:
        return 0.0, False
    low, high = (end.value for end in fastener.thickness)
    return (low + high) / 2, low == high
