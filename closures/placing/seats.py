"""Where closures of a lap are held: a hook or an eye is sewn by its rings alone, which lie further in than its mark."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.catalogue.values import Figure
from closures.curve import parallel
from closures.errors import EdgeError, in_section
from closures.placing.lap import offset_sign
from closures.placing.sewn_metal import metal_reach_mm, outline_mm, ring_radius_mm, rings_reach_mm

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Curve
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark, Mark
    from closures.placing.placement import Placement


def ring_mm(placement: Placement, name: LapName, n: int) -> float:
    """The radius of each ring by which the part of a mark is sewn; 0 of a part that is held where its mark is."""
    fastener = placement.fastener_of(n)
    if not metal_reach_mm(fastener, name):
        return 0.0
    return ring_radius_mm(outline_mm(fastener.rim_mm, fastener.extent_mm)[1])


def refuse_unbacked(placement: Placement, name: LapName) -> None:
    """Refuse to back what no backing lies under: tapes, and loops.

    Raises:
        EdgeError: the lap carries such a part.
    """
    what = ""
    if placement.fastener.is_taped:
        what = "a tape backs its closures itself: it is sewn on along its whole length"
    elif placement.fastener.mark.on(name) == "loop":
        what = f"the loops of the {name} lap are sewn in at its edge, and nothing lies under them"
    if what:
        mend = "No piece is cut for it."
        raise EdgeError(what, where=in_section("sheets", "backing"), mend=mend)


def at_rings(placement: Placement, name: LapName) -> Placement:
    """Move the marks of hooks or eyes of one lap to the middle between their rings, and its line with them.

    Args:
        placement: closures along an edge.
        name: the lap.

    Returns:
        The placement with that lap's marks where they are sewn, each cap a circle round both rings; the same
        placement where no hook or eye lies on the lap.

    Raises:
        EdgeError: the edge turns so tightly that the line of the rings cannot follow it.
    """
    reaches = {mark.n: metal_reach_mm(placement.fastener_of(mark.n), name) for mark in placement.on(name)}
    if not any(reaches.values()):
        return placement
    lap, alike = placement.laps[name], set(reaches.values())
    if len(alike) == 1:
        (reach,) = alike
        line = parallel(lap.line, offset_sign(lap.cloth_on) * reach, "line of the rings of the hooks and eyes")
        lap = replace(lap, line=line, inset_mm=lap.inset_mm + reach)
    marks = tuple(_moved(mark, name, lap, reaches.get(mark.n, 0.0)) for mark in placement.marks)
    differing = tuple(replace(one, fastener=_round(one.fastener, name)) for one in placement.differing)
    laps = replace(placement.laps, over=lap) if name == "over" else replace(placement.laps, under=lap)
    fastener = _round(placement.fastener, name)
    return replace(placement, laps=laps, marks=marks, fastener=fastener, differing=differing)


def _moved(mark: Mark, name: LapName, lap: Lap, reach_mm: float) -> Mark:
    on_lap = mark.on(name)
    if on_lap is None or not reach_mm:
        return mark
    moved = _on_lap(on_lap, lap, reach_mm)
    return replace(mark, over=moved) if name == "over" else replace(mark, under=moved)


def _on_lap(mark: LapMark, lap: Lap, reach_mm: float) -> LapMark:
    x, y = at = lap.moved_in(mark.at, mark.tangent, reach_mm)
    inner = None if lap.inner is None else _far(lap.inner, at)
    along = lap.line.nearest(at).along_mm
    edge = _far(lap.edge, at)
    return replace(mark, x_mm=x, y_mm=y, along_mm=along, edge_distance_mm=edge, inner_distance_mm=inner)


def _far(curve: Curve, at: tuple[float, float]) -> float:
    return curve.nearest(at).distance_mm


def _round(fastener: Fastener, name: LapName) -> Fastener:
    if fastener.cap is None or not metal_reach_mm(fastener, name):
        return fastener
    reach = rings_reach_mm(outline_mm(fastener.rim_mm, fastener.extent_mm)[1])
    return replace(fastener, cap=Figure(2 * reach, fastener.cap.provenance), extent=None)
