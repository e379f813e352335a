"""Laps of one state of cloth that shrinks, in the other: every line of them is where the same threads are."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import parallel, stretched
from closures.placing.lap import Facing, offset_sign, square_across
from closures.placing.pins import pinned

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.reading import Edges
    from closures.placing.lap import Lap, Laps
    from closures.placing.pins import Pins
    from closures.plan.plan import Plan


def stretched_laps(laps: Laps, edges: Edges, x: float, y: float) -> Laps:
    """Stretch laps as their cloth is.

    Args:
        laps: of the edges as they were told.
        edges: the same stretched, from where levels are measured.
        x, y: by what lengths across and down become longer.
    """
    known: dict[int, Curve] = {}

    def curve(told: Curve) -> Curve:
        # Laps that lie in one frame have one line, and are known by it.
        if id(told) not in known:
            known[id(told)] = stretched(told, x, y)
        return known[id(told)]

    def carried(mm: float, told: Curve) -> float:
        there = curve(told)
        if mm >= told.length_mm:
            return there.length_mm
        at = told.point_at(mm)
        return there.nearest((at[0] * x, at[1] * y)).along_mm

    def lap(told: Lap) -> Lap:
        facing = told.facing
        ways = (laps.line, told.line) if facing is None else (facing.edge, facing.own)
        return replace(
            told,
            edge=curve(told.edge),
            line=curve(told.line),
            inner=None if told.inner is None else curve(told.inner),
            # As on an edge that runs straight down: how far a mark is from its edge is measured there.
            width_mm=told.width_mm * x,
            inset_mm=told.inset_mm * x,
            pins_mm=tuple((carried(a, ways[0]), carried(b, ways[1])) for a, b in told.pins_mm),
            facing=None if facing is None else Facing(curve(facing.own), curve(facing.edge), curve(facing.line)),
        )

    return replace(
        laps,
        line=curve(laps.line),
        over=lap(laps.over),
        under=lap(laps.under),
        level_zero_mm=edges.level_zero_y,
        beside=None if laps.beside is None else lap(laps.beside),
    )


def with_gap_as_worn(laps: Laps, plan: Plan) -> Laps:
    """Let the bows of eyes stand out by the gap of the worn garment all along, where laps were told unwashed.

    Unwashed, a gap is not so long everywhere on an edge that bends: so the line that has no gap is washed, moved out
    there, and taken back.

    Args:
        laps: as they were told, the gap in their insets as near as one length of the unwashed cloth has it.
        plan: in either state.
    """
    wish, garment, under = plan.shrinkage, plan.garment, laps.under
    if wish is None or wish.measured == "washed" or garment is None or under.facing is None or not under.past_edge_mm:
        return laps
    if not garment.gap_mm or wish.across == wish.along:
        return laps
    outwards = -offset_sign(under.cloth_on)
    x, y = 1.0 - wish.across, 1.0 - wish.along
    # Without a gap a bow stands out by as much as its hook's end lies inside.
    near = parallel(under.edge, outwards * laps.over.inset_mm, "under lap's closing line")
    worn = parallel(stretched(near, x, y), outwards * garment.gap_mm, "under lap's closing line")
    return replace(laps, under=replace(under, line=stretched(worn, 1.0 / x, 1.0 / y)))


def matched_as_worn(laps: Laps, pins: Pins) -> Laps:
    """Match two lines of washed laps that were told unwashed: square across their edges as these are worn.

    Lines that kept step in the unwashed cloth do not after a wash that takes unlike shares down and across: what lay
    square across a slanted edge then lies aslant, and the further inside its edge a line is the more. So each line is
    matched from where it lies square across the first end of its own edge to where it does across the last.

    Args:
        laps: the washed ones.
        pins: places near either line that are sewn level, in the same state.
    """
    over, under = laps.over, laps.under
    if not under.pins_mm or under.facing is not None:
        return laps
    # How far they may lie from the lines was held against those that were told.
    between = pinned(over.line, under.line, pins, math.inf, "closing line", "mm")
    first = (square_across(over.edge.start, over.line), square_across(under.edge.start, under.line))
    last = (square_across(over.edge.end, over.line), square_across(under.edge.end, under.line))
    return replace(laps, under=replace(under, worn_pins_mm=(first, *between, last)))
