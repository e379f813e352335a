"""Laps of one state of cloth that shrinks, in the other: every line of them is where the same threads are."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import stretched
from closures.placing.lap import Facing

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.reading import Edges
    from closures.placing.lap import Lap, Laps


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
