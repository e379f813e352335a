"""Loops with buttons on edges that meet: how long a loop is, and how far it reaches past its edge.

Terms: the *feet* of a loop are where its two ends leave the edge; it *reaches* from the edge to the button's middle.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.catalogue.values import Figure
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM, format_length
from closures.offered import at_least
from closures.placing.buttonhole import passing_mm
from closures.placing.shrinkage import as_measured
from closures.plan.loop import LoopWish
from closures.said import to_change

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.placed import Placement
    from closures.plan.band import BandWish
    from closures.plan.plan import Plan

SETTING = "loop"
SEWN_MM = 10.0
"""Of a loop's cord at either end in the seam, where nothing is told: a seam allowance, our own rule."""


@frozen
class Loop:
    """A loop, in mm.

    Attributes:
        length_mm: of its cord, from foot to foot.
        feet_mm: between the feet, along the edge, as it is worn.
        marked_mm: the same on the cloth as it is marked, which may still shrink.
        reach_mm: from the edge to the button's middle, the loop drawn straight.
        sewn_mm: of cord at either end, sewn in.
    """

    length_mm: float
    feet_mm: float
    marked_mm: float
    reach_mm: float
    sewn_mm: float

    @property
    def cut_mm(self) -> float:
        """How long its cord is cut."""
        return self.length_mm + 2 * self.sewn_mm


def with_loops(
    plan: Plan, band: BandWish, fastener: Fastener, catalogue: Catalogue, unwashed: float = 1.0
) -> tuple[Plan, tuple[str, ...]]:
    """Sew loops to the over lap's edge, and place their buttons where they reach to.

    Where no inset is told, a button lies no nearer to its edge than any other does (ASDP). A loop and the edge between
    its feet let the button through as a buttonhole does: its length and the feet are twice the hole's length. Drawn
    straight to the button's middle it makes a triangle over its feet.

    Args:
        plan: whose edges meet.
        band: its band.
        fastener: a loop with its button.
        catalogue: where the lengths of buttonholes come from.
        unwashed: by what an inset is longer in this plan than once washed; loop, gap and button are as they are worn.

    Returns:
        The plan, the over lap's row on its edge; and what was taken, a line each.

    Raises:
        EdgeError: an inset of the loops, feet too far apart, or a button too near its edge for its loop.
    """
    if band.is_inset_told:
        raise EdgeError(
            "loops are sewn to the edge itself",
            where=in_section("band", "inset"),
            mend="Leave inset out; under_inset says how far the buttons lie inside their own edge.",
        )
    gap = 0.0 if plan.garment is None else plan.garment.gap_mm
    by, state = as_measured(plan)
    wish = plan.loop or LoopWish()
    slit, _, _ = passing_mm(fastener, catalogue)
    least, feet = 2 * slit - wish.feet_mm, wish.feet_mm
    if least <= feet + SAME_MM:
        raise EdgeError(
            f"feet {format_length(feet, plan.units)} apart leave no loop for this button",
            where=in_section("loop", "feet"),
            mend=f"Write less than {format_length(slit, plan.units)}.",
        )
    near = math.sqrt((least / 2) ** 2 - (feet / 2) ** 2) - gap
    told: tuple[str, ...] = ()
    if not band.is_under_inset_told:
        if near <= 0:
            raise EdgeError(
                f"a loop that just lets this button through ends in the gap of {format_length(gap, plan.units)}",
                where=in_section("garment", "gap"),
                mend="Tell how far the buttons lie inside their edge, under_inset under [band], or a smaller gap.",
            )
        past = catalogue.rule("edge warn extra").value
        reached = max(near, fastener.rim_mm + past.value)
        under = reached * unwashed
        why = (
            "where a loop that just lets one through reaches to (geometry)"
            if reached == near
            else f"half the button and {format_length(past.value, plan.units)}, and the loops are longer for it "
            f"({past.provenance.text})"
        )
        told = (
            f"The buttons lie {format_length(under * by, plan.units)} inside their edge{state}, {why}."
            + to_change("under_inset under [band]"),
        )
    elif band.under_inset_mm < near * unwashed - SAME_MM:
        lies = format_length(band.under_inset_mm * by, plan.units)
        enough = at_least(near * unwashed * by, plan.units)
        raise EdgeError(
            f"a loop to a button {lies} inside its edge does not go over it",
            where=in_section("band", "under_inset"),
            mend=f"Write {enough} or more, or take a smaller button.",
        )
    else:
        under = band.under_inset_mm
    if wish.sewn_mm is None:
        feet_too = " Its two ends leave the edge together." if plan.loop is None else ""
        keys = "sewn and feet" if plan.loop is None else "sewn"
        told += (
            f"{format_length(SEWN_MM, plan.units)} of each loop's cord is sewn in at either end (our own rule)."
            f"{feet_too}" + to_change(f"{keys} under [loop]"),
        )
    band = replace(band, inset_mm=0.0, under_inset_mm=under, assumes_inset=False, assumes_under_inset=False)
    return replace(plan, band=band), told


def drawn_as_loop(plan: Plan, fastener: Fastener, unwashed: float = 1.0) -> Fastener:
    """The closure with the loop's reach and feet as its extent, by which its mark is drawn.

    Args:
        plan: its insets settled.
        fastener: the closure.
        unwashed: as for `with_loops`; a cord does not shrink with its cloth.
    """
    if fastener.setting != SETTING or plan.band is None or fastener.cap is None:
        return fastener
    reach = plan.band.under_inset_mm / unwashed + (0.0 if plan.garment is None else plan.garment.gap_mm)
    # Its feet are sewn to the edge, and draw together with the cloth between them, as the ends of a buttonhole do.
    longer = 1.0 if plan.shrinkage is None else plan.shrinkage.holes[0]
    feet = (plan.loop or LoopWish()).feet_mm * longer
    source = fastener.cap.provenance
    return replace(fastener, extent=(Figure(reach, source), Figure(feet, source)))


def loop_of(placement: Placement) -> Loop | None:
    """Work out the loops of a row; None where it has none."""
    extent = placement.fastener.extent_mm
    if placement.fastener.setting != SETTING or extent is None:
        return None
    reach, marked = extent
    wish = placement.plan.loop or LoopWish()
    feet, told = wish.feet_mm, wish.sewn_mm
    sewn = SEWN_MM if told is None else told
    return Loop(2 * math.hypot(reach, feet / 2), feet, marked, reach, sewn)
