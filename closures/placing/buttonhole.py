"""The buttonhole a button needs: how long, which way, and where it lies from the mark.

Terms: a buttonhole *across* runs square to the closing line and takes the pull of a fitted
closure; one *along* runs on the line, and suits a narrow band. Either way the button is
drawn to one end of it, so the mark is not its middle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.placing.knitted import counts_for_button, step_of
from closures.placing.stack import clamped_layers, layers_on
from closures.plan.shrinkage import UNCARRIED

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Point
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placed import Placement
    from closures.plan.closure import ClosureWish
    from closures.plan.plan import Plan
    from closures.plan.shrinkage import ShrinkageWish


@frozen
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
        aslant: how far a hole across the line runs towards the last end for each mm that it runs away from the edge, so
            that washed it comes out square to the line; 0 for one along it.
        asked_mm: of one that is knitted, how long the button asks for; None where it is cut.
        counts: of one that is knitted, how many stitches or rows it takes.
    """

    way: Literal["across", "along"]
    length_mm: float
    before_mm: float
    thickness_mm: float
    is_measured: bool = True
    is_bulky: bool = False
    washed_mm: float | None = None
    aslant: float = 0.0
    asked_mm: float | None = None
    counts: int | None = None

    def way_in(self, along: Point, inward: Point) -> Point:
        """Unit direction from its end near the edge, or near the first end, to the other.

        Args:
            along, inward: unit directions of the closing line towards the last end, and away from the edge.
        """
        if self.way == "along":
            return along
        by = math.hypot(1.0, self.aslant)
        return ((self.aslant * along[0] + inward[0]) / by, (self.aslant * along[1] + inward[1]) / by)

    @property
    def after_mm(self) -> float:
        """How far it reaches from the mark the other way."""
        return self.length_mm - self.before_mm


@frozen
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
        The buttonhole, or None for a closure that has none. On cloth that is still to shrink it is the longest of the
        row: `hole_at` gives that of each mark.
    """
    hole = _as_worn(fastener, plan, catalogue)
    if hole is None or plan.shrinkage is None or plan.shrinkage.holes == UNCARRIED:
        return hole
    return _longer(hole, plan.shrinkage.holes[0 if hole.way == "along" else 1])


def hole_at(share: Placement, lap: Lap, mark: LapMark, catalogue: Catalogue) -> Buttonhole | None:
    """Work out the buttonhole of one mark, as it is cut there; None for a closure that has none.

    Cloth that shrinks by unlike shares down and across makes a hole shorter by what is lost the way it runs: of a worn
    direction (c, s) a length is cut hypot(c / (1 - across), s / (1 - along)) times as long.

    Args:
        share: closures that are set alike, of which this is one.
        lap: on which it lies.
        mark: the mark.
        catalogue: as for `buttonhole_for`.
    """
    wish, stand = share.plan.shrinkage, share.plan.stand
    hole = _as_worn(share.fastener, share.plan, catalogue)
    if hole is None or wish is None or wish.holes == UNCARRIED:
        return hole
    if stand is not None and stand.holes is not None and mark.along_mm <= stand.height_mm:
        # A stand is straight, and its threads run along it or square to it.
        return _longer(hole, stand.holes[0 if hole.way == "along" else 1])
    along, inward = mark.tangent, lap.inward(mark.tangent)
    if hole.way == "along":
        return _longer(hole, cut_longer(worn_way(along, wish), wish)[0])
    worn = worn_way(along, wish)
    by, (x, y) = cut_longer(lap.inward(worn), wish)
    return replace(_longer(hole, by), aslant=(x * along[0] + y * along[1]) / (x * inward[0] + y * inward[1]))


READING_MM = 0.5
"""Lengths that differ by less are one on a ruler or a buttonhole gauge: our own rule."""


def cut_lengths(shares: Sequence[Placement], catalogue: Catalogue) -> tuple[tuple[float, tuple[int, ...]], ...]:
    """How long the buttonholes of closures that are set alike are cut, longest first, each with the marks it is for.

    Of lengths that nobody tells apart the longest stands for all: a hole too short lets no button through.
    """
    holes = [
        (hole_at(share, share.laps[lap], mark, catalogue), mark.n)
        for share in shares
        if (lap := share.fastener.mark.buttonhole_lap) is not None
        for mark in share.on(lap)
    ]
    groups: list[tuple[float, list[int]]] = []
    for length, n in sorted(((hole.length_mm, n) for hole, n in holes if hole is not None), reverse=True):
        if groups and groups[-1][0] - length < READING_MM:
            groups[-1][1].append(n)
        else:
            groups.append((length, [n]))
    return tuple((length, tuple(sorted(marks))) for length, marks in groups)


def worn_way(cut: Point, wish: ShrinkageWish) -> Point:
    """The unit direction that one of the unwashed cloth has on the washed garment."""
    x, y = cut[0] * (1.0 - wish.across), cut[1] * (1.0 - wish.along)
    return (x / math.hypot(x, y), y / math.hypot(x, y))


def cut_longer(worn: Point, wish: ShrinkageWish) -> tuple[float, Point]:
    """By what a length of this unit direction of the washed garment is longer unwashed, and its way on that cloth."""
    x, y = worn[0] / (1.0 - wish.across), worn[1] / (1.0 - wish.along)
    by = math.hypot(x, y)
    return by, (x / by, y / by)


def _longer(hole: Buttonhole, by: float) -> Buttonhole:
    return replace(hole, length_mm=hole.length_mm * by, before_mm=hole.before_mm * by, washed_mm=hole.length_mm)


def _as_worn(fastener: Fastener, plan: Plan, catalogue: Catalogue) -> Buttonhole | None:
    lap = fastener.mark.buttonhole_lap
    if lap is None:
        return None
    way = plan.closure.hole or "along"
    past = catalogue.rule("buttonhole past line" if way == "across" else "buttonhole above button").value.value
    length, thickness, is_measured = passing_mm(fastener, catalogue)
    is_bulky = any(layer.is_bulky for layer in layers_on(lap, clamped_layers(plan), catalogue))
    if is_bulky:
        length += catalogue.rule("buttonhole bulky extra").value.value
    if plan.gauge is not None:
        # What is knitted is what is drawn, checked and told: whole stitches or rows.
        wide = math.pi * fastener.cap_mm / 2 if fastener.is_ball else fastener.cap_mm
        counts = counts_for_button(plan.gauge, way, length, wide)
        knitted_mm = counts * step_of(plan.gauge, way)
        return Buttonhole(way, knitted_mm, past, thickness, is_measured, is_bulky, asked_mm=length, counts=counts)
    return Buttonhole(way, length, past, thickness, is_measured, is_bulky)


def slit_reach_mm(
    closures: Iterable[tuple[ClosureWish, Fastener]], plan: Plan, catalogue: Catalogue
) -> tuple[float, float]:
    """How far buttonholes along the line reach from their marks: towards the first end, and towards the last.

    Args:
        closures: every one of a row, each told with the way that its own buttonhole runs; the furthest of them counts.
        plan, catalogue: as for `buttonhole_for`.

    Returns:
        Nothing either way where none runs along the line.
    """
    holes = (buttonhole_for(one, replace(plan, closure=closure), catalogue) for closure, one in closures)
    along = [hole for hole in holes if hole is not None and hole.way == "along"]
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
        if lap is None:
            continue
        tip = share.laps[lap].tip
        for mark in share.on(lap):
            hole = hole_at(share, share.laps[lap], mark, catalogue)
            if hole is None:
                continue
            # It reaches past the mark: across, towards the edge or tip; along, to the first end or upper side.
            along = mark.tangent if tip is None else (0.0, 1.0)
            inward = share.laps[lap].inward(mark.tangent) if tip is None else tip.inwards
            x, y = hole.way_in(along, inward)
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


def hole_reaches(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> tuple[float, float]:
    """How far from either end a buttonhole along the line wants its mark, so that a little cloth is left beside it."""
    hole = None if plan.closure.hole != "along" else buttonhole_for(fastener, plan, catalogue)
    if hole is None:
        return 0.0, 0.0
    least = catalogue.rule("ridge").value.value
    return hole.before_mm + least, hole.after_mm + least
