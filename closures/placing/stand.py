"""A collar stand on top of a front: the line and the edges go on above the neck seam, straight, by its height.

The row is then found on the longer line like any other: the stand's closure is fixed half way up it, and the gap to the
next one below is a gap of the row.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import Curve, Line
from closures.placing.garment import ends_called
from closures.placing.lap import Facing, OnStand
from closures.placing.meeting import PlacedZone, meet_zone
from closures.plan.anchors import ClearWish
from closures.plan.kinds import Range
from closures.plan.spacing import SpacingWish
from closures.plan.stand import STAND_TOP

if TYPE_CHECKING:
    from closures.curve import Point
    from closures.placing.lap import Lap, Laps
    from closures.plan.plan import Plan
    from closures.plan.shrinkage import ShrinkageWish
    from closures.plan.stand import StandWish

SEAM = "neck seam"
# The seam begins to be kept clear so far below the stand's own closure, at the nearest: a thousandth of a millimetre.
_PAST_FIRST_MM = 1e-3


def with_stand(laps: Laps, stand: StandWish | None, shrinkage: ShrinkageWish | None = None) -> Laps:
    """Let both laps begin at the upper edge of a stand; the same laps where there is none.

    The stand's front end runs on straight from the neck, the way the finished edge begins there, so that an edge and a
    closing line that are parallel stay so. Cut on another grain than the front, on cloth that is still to shrink, it
    has its closures as far inside its own edge as they must be for the wash to bring them where the front's come.
    """
    if stand is None:
        return laps
    height = stand.height_mm
    line = prolonged(laps.line, laps.over.edge.tangent_at(0.0), height)
    over = replace(_grown(laps.over, height), line=line, stand=_on_stand(laps.over, stand, shrinkage))
    under = replace(_grown(laps.under, height), stand=_on_stand(laps.under, stand, shrinkage))
    if laps.is_one_frame:
        under = replace(under, line=line)
    if under.facing is not None:
        under = replace(under, facing=Facing(under.edge, over.edge, line))
    beside = None if laps.beside is None else replace(_grown(laps.beside, height), line=line)
    garment = replace(laps.garment, ends=(STAND_TOP, laps.garment.ends[1]))
    return replace(laps, line=line, over=over, under=under, garment=garment, beside=beside)


def _on_stand(lap: Lap, stand: StandWish, shrinkage: ShrinkageWish | None) -> OnStand:
    """How a stand that is turned by a quarter carries its closures: it loses inwards what the front loses lengthwise.

    What lies square across a front's edge of the direction (c, s) is worn x y / hypot(x c, y s) times as wide, with x
    across and y down what is left of a mm; on the stand it is cut so many times as wide as its buttonhole across is.
    """
    if stand.holes is None or shrinkage is None or shrinkage.across == shrinkage.along:
        return OnStand(stand.height_mm)
    c, s = lap.edge.tangent_at(0.0)
    x, y = 1.0 - shrinkage.across, 1.0 - shrinkage.along
    return OnStand(stand.height_mm, x * y * stand.holes[1] / math.hypot(x * c, y * s))


def _grown(lap: Lap, height: float) -> Lap:
    way = lap.edge.tangent_at(0.0)
    pins = ((height, height), *((a + height, b + height) for a, b in lap.pins_mm)) if lap.pins_mm else ()
    return replace(
        lap,
        edge=prolonged(lap.edge, way, height),
        line=prolonged(lap.line, way, height),
        inner=None if lap.inner is None else prolonged(lap.inner, way, height),
        pins_mm=pins,
        # It runs on as the lines do, and lies square across as they do.
        worn_pins_mm=tuple((a + height, b + height) for a, b in lap.worn_pins_mm),
    )


def below_stand(laps: Laps, plan: Plan) -> Laps:
    """Both laps from the neck seam down, for what is cut of the front alone; the same laps where there is no stand."""
    if plan.stand is None:
        return laps
    height = plan.stand.height_mm
    line, over, under = _rest(laps.line, height), _without(laps.over, height), _without(laps.under, height)
    over = replace(over, line=line)
    if laps.under.line is laps.line:
        under = replace(under, line=line)
    if under.facing is not None:
        under = replace(under, facing=Facing(under.edge, over.edge, line))
    beside = None if laps.beside is None else replace(_without(laps.beside, height), line=line)
    garment = replace(laps.garment, ends=ends_called(plan.garment))
    return replace(laps, line=line, over=over, under=under, garment=garment, beside=beside)


def _without(lap: Lap, height: float) -> Lap:
    def less(pins: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((a - height, b - height) for a, b in pins)

    return replace(
        lap,
        edge=_rest(lap.edge, height),
        line=_rest(lap.line, height),
        inner=None if lap.inner is None else _rest(lap.inner, height),
        # The first lies on the neck seam.
        pins_mm=less(lap.pins_mm[1:]),
        worn_pins_mm=less(lap.worn_pins_mm),
        stand=None,
    )


def _rest(curve: Curve, height: float) -> Curve:
    return curve.stretch(height, curve.length_mm)


def prolonged(curve: Curve, way: Point, by_mm: float) -> Curve:
    """Begin a curve so far before its first end, straight against a direction."""
    (x, y), (tx, ty) = curve.start, way
    return Curve((Line((x - by_mm * tx, y - by_mm * ty), curve.start), *curve.segments))


def with_stand_first(plan: Plan) -> Plan:
    """Let the first closure be the stand's; the same plan where there is none."""
    if plan.stand is None:
        return plan
    first = plan.stand.first_mm
    return replace(plan, spacing=replace(plan.spacing or SpacingWish(), first=Range(first, first)))


def seam_of(plan: Plan, laps: Laps, rim_mm: float, room_mm: float, slit_mm: float) -> tuple[PlacedZone, ...]:
    """The neck seam as a zone that no rim of the front may enter; empty where there is no stand.

    The stand's own closure is where its height puts it: whether it clears the seam is for the checks to tell.

    Args:
        plan: with the stand.
        laps: with the stand on them.
        rim_mm: of the largest closure of the row.
        room_mm: how far below the seam a flange lies flat.
        slit_mm: how far a buttonhole along the line reaches above its mark.
    """
    stand = plan.stand
    if stand is None:
        return ()
    height = stand.height_mm
    zone = meet_zone(ClearWish(name=SEAM, along_mm=Range(height, height + room_mm)), laps, rim_mm, (slit_mm, 0.0))
    past = stand.first_mm + _PAST_FIRST_MM
    return (replace(zone, closed_mm=tuple((max(low, past), high) for low, high in zone.closed_mm)),)
