"""Where anchors and clear zones meet the closing line.

Terms: an *anchor* is a place where a closure must sit; a *clear zone* a stretch where none
may; the *rim* is the outer boundary of the largest part.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import format_inches
from closures.offered import at_most
from closures.placing.foot import Foot, foot_of
from closures.placing.garment import runs_up

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.curve import Curve
    from closures.placing.lap import Laps
    from closures.plan.anchors import AnchorWish, ClearWish
    from closures.plan.place import PlaceWish
    from closures.plan.top import Units

    PointOf = Callable[[str | tuple[float, float]], tuple[float, float]]

# A zone that reaches an end of the line reaches past it: no centre may sit on the end itself.
_PAST_THE_END_MM = 1.0
# Two hundredths of the accuracy that is promised for a mark; reached in a handful of steps.
_RIM_SETTLED_MM = 1e-7
_RIM_STEPS = 60
# Below this slope a line counts as level: a slit along it does not come nearer to a level.
_LEVEL_SLOPE = 0.05


_BESIDE_MM = 20.0
"""A notch is drawn at the edge or the line that it belongs to, no further from both than this: our own rule."""


@frozen
class PlacedAnchor:
    """An anchor, met with the closing line.

    Attributes:
        name: as in the plan.
        along_mm, level_mm, x_mm, y_mm: where it lies on the line.
        within_mm: how far a closure may sit from it.
        feet_mm: of a point at a corner, the two places along that are equally near: the anchor lies between them.
        carried_mm: of a point that was drawn well inside the piece, how far it lies from the line; else None.
        drawn_level_mm: the level at which such a point was drawn.
    """

    name: str
    along_mm: float
    level_mm: float
    x_mm: float
    y_mm: float
    within_mm: float
    feet_mm: tuple[float, float] | None = None
    carried_mm: float | None = None
    drawn_level_mm: float = 0.0


@frozen
class PlacedZone:
    """A clear zone, met with the closing line.

    Attributes:
        name: as in the plan.
        level_mm: its levels, None where the plan gives it along the line.
        stretches_mm: from and to, along the line, of each stretch that is the zone itself.
        closed_mm: the same widened by the rim: no centre may lie strictly inside.
        room: "rim" or "centre".
    """

    name: str
    level_mm: tuple[float, float] | None
    stretches_mm: tuple[tuple[float, float], ...]
    closed_mm: tuple[tuple[float, float], ...]
    room: str


def meet_anchor(wish: AnchorWish, laps: Laps, point_of: PointOf | None = None, units: Units = "mm") -> PlacedAnchor:
    """Find where an anchor lies on the closing line.

    Args:
        wish: the anchor, by level, along, or at a point of the drawing.
        laps: the closing line and the level zero.
        point_of: finds the points of the drawing that the plan names.
        units: of the plan, in which a refusal is told.

    Returns:
        The anchor with its place, in mm.

    Raises:
        EdgeError: it lies off the line, or its level meets the line more than once and the
            plan does not say which.
    """
    line = laps.line
    where = in_section("anchor", name=wish.name, is_repeated=True)
    feet, carried, drawn_level = None, None, 0.0
    if wish.at is not None:
        foot = _nearest(wish.at, laps, point_of, where, units)
        along, feet = foot.along_mm, foot.feet_mm
        if point_of is not None and isinstance(wish.at, str | tuple):
            point = point_of(wish.at)
            drawn_level = point[1] - laps.level_zero_mm
            is_inside = min(foot.distance_mm, laps.over.edge.nearest(point).distance_mm) > _BESIDE_MM
            carried = foot.distance_mm if is_inside else None
    elif wish.along_mm is not None:
        along = wish.along_mm
        if along > line.length_mm:
            raise EdgeError(
                f"it lies {_told(along, units)} along, but the closing line is {_told(line.length_mm, units)} long",
                where=where,
                mend=f"Give an along between 0 and {at_most(line.length_mm, units)}.",
            )
    else:
        along = _crossing(wish, laps, where, units)
    x, y = line.point_at(along)
    return PlacedAnchor(wish.name, along, y - laps.level_zero_mm, x, y, wish.within_mm, feet, carried, drawn_level)


def _nearest(at: PlaceWish, laps: Laps, point_of: PointOf | None, where: str, units: Units) -> Foot:
    """The place on the closing line nearest to a point, which must lie on the band or beside it."""
    if point_of is None or not isinstance(at, str | tuple):
        raise EdgeError("this is not a point of the drawing", where=where, mend='Write an id or ["12 mm", "340 mm"].')
    near = foot_of(laps.line, point_of(at))
    most = 2 * max(lap.width_mm for lap in laps.both)
    if near.distance_mm > most:
        raise EdgeError(
            f"it lies {_told(near.distance_mm, units)} from the closing line, further than twice the band's width",
            where=where,
            mend="Check which point it is, or give the anchor by level.",
        )
    if near.feet_mm is not None and not near.is_corner:
        low, high = near.feet_mm
        raise EdgeError(
            f"two places on the closing line are equally near to it, {_told(low, units)} and {_told(high, units)} "
            "along",
            where=where,
            mend="Give the anchor by along, or by level.",
        )
    return near


def _told(mm: float, units: Units) -> str:
    """Write a length in the plan's units, a tenth of a mm always shown."""
    return f"{mm:.1f} mm" if units == "mm" else format_inches(mm)


def _crossing(wish: AnchorWish, laps: Laps, where: str, units: Units) -> float:
    """The one place where an anchor's level meets the closing line, or a refusal that asks which."""
    line, level = laps.line, wish.level_mm or 0.0
    crossings = line.crossings_of_level(level + laps.level_zero_mm)
    if not crossings:
        _, top, _, bottom = line.box
        raise EdgeError(
            f"level {_told(level, units)} does not meet the closing line, which runs between levels "
            f"{_told(top - laps.level_zero_mm, units)} and {_told(bottom - laps.level_zero_mm, units)}",
            where=where,
            mend="Check the level and the level zero." + _if_it_runs_up(laps),
        )
    if len(crossings) == 1:
        return crossings[0]
    if wish.which is not None and wish.which <= len(crossings):
        return crossings[wish.which - 1]
    places = ", ".join(f"{n} at {_told(along, units)} along" for n, along in enumerate(crossings, 1))
    raise EdgeError(
        f"level {_told(level, units)} meets the closing line {len(crossings)} times: {places}",
        where=where,
        mend=f"Say which: add which = 1 (counted from the {laps.garment.ends[0]}), or give along instead of level.",
    )


def _if_it_runs_up(laps: Laps) -> str:
    """What to write where levels miss because the edge was drawn from its last end to its first."""
    if not runs_up(laps.over.edge):
        return ""
    first, last = laps.garment.ends
    return (
        f" The edge runs up the drawing: if it was drawn from the {last} to the {first}, write reverse = true under "
        "[edge], or exchange from and to."
    )


def meet_zone(wish: ClearWish, laps: Laps, rim_mm: float, slit_mm: tuple[float, float] = (0.0, 0.0)) -> PlacedZone:
    """Find the stretches of the closing line that a clear zone takes.

    Args:
        wish: the zone, by levels or along.
        laps: the closing line and the level zero.
        rim_mm: of the fastener, kept out of the zone where the plan does not say otherwise.
        slit_mm: how far a buttonhole along the line reaches from its mark towards the first end, and towards the last;
            kept out of the zone likewise.

    Returns:
        The zone with its stretches, in mm along the line.

    Raises:
        EdgeError: it does not meet the line.
    """
    line = laps.line
    room = rim_mm if wish.room == "rim" else 0.0
    level: tuple[float, float] | None = None
    own: tuple[tuple[float, float], ...] = ()
    closed: tuple[tuple[float, float], ...] = ()
    if wish.level_mm is not None:
        level = (wish.level_mm.low_mm, wish.level_mm.high_mm)
        low, high = (end + laps.level_zero_mm for end in level)
        own = line.level_stretches(low, high)
        closed = line.level_stretches(low - room, high + room)
        if wish.room == "rim" and any(slit_mm):
            closed = _joined([*closed, *(_clear_of_slits(line, span, slit_mm) for span in own)])
    elif wish.along_mm is not None:
        low, high = max(wish.along_mm.low_mm, 0.0), min(wish.along_mm.high_mm, line.length_mm)
        own = ((low, high),) if low < high else ()
        before, after = (max(room, mm) if wish.room == "rim" else 0.0 for mm in slit_mm)
        closed = ((_clear_before(line, low, after), _clear_after(line, high, before)),) if own else ()
    if not own:
        raise EdgeError(
            "it lies wholly off the closing line",
            where=in_section("clear", name=wish.name, is_repeated=True),
            mend="Check its levels and the level zero, or leave it out." + _if_it_runs_up(laps),
        )
    closed = tuple(_past_ends(line.length_mm, span) for span in closed)
    return PlacedZone(wish.name, level, own, closed, wish.room)


def _joined(spans: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Stretches in order, those that overlap as one."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(joined)


def _clear_of_slits(line: Curve, span: tuple[float, float], slit_mm: tuple[float, float]) -> tuple[float, float]:
    """The stretch of centres whose buttonhole, straight along the line, comes into a stretch that levels bound."""
    before, after = slit_mm
    return _slit_clear(line, span[0], after), _slit_clear(line, span[1], -before)


def _slit_clear(line: Curve, along_mm: float, reach_mm: float) -> float:
    """The place from which a straight slit of this reach ends at the level of a point of the line.

    It lies about the reach away; where the line bends, the slit leaves it, and the place is stepped to.
    """
    level = line.point_at(along_mm)[1]
    place = along_mm - reach_mm
    for _ in range(_RIM_STEPS):
        if not 0.0 <= place <= line.length_mm:
            return place
        slope = line.tangent_at(place)[1]
        past = line.point_at(place)[1] + reach_mm * slope - level
        # A line that runs level there is clear of a slit once it is that far away.
        if abs(slope) < _LEVEL_SLOPE or abs(past) <= _RIM_SETTLED_MM:
            break
        place -= past / slope
    return place


def _past_ends(length_mm: float, span: tuple[float, float]) -> tuple[float, float]:
    low, high = span
    return (
        -_PAST_THE_END_MM if low <= 0.0 else low,
        length_mm + _PAST_THE_END_MM if high >= length_mm else high,
    )


def _clear_before(line: Curve, along_mm: float, room_mm: float) -> float:
    """The last place before a point of the line from which a rim of this radius does not reach it."""
    return _clear_towards(line, along_mm, room_mm, -1.0)


def _clear_after(line: Curve, along_mm: float, room_mm: float) -> float:
    return _clear_towards(line, along_mm, room_mm, 1.0)


def _clear_towards(line: Curve, along_mm: float, room_mm: float, way: float) -> float:
    """Step along the line until the straight distance from where it began is the rim's radius.

    A distance on a curve is never less than the straight one, so the step starts at the
    radius and grows by what is lacking; on any line that a band can follow this settles.
    """
    start = line.point_at(along_mm)
    step = room_mm
    for _ in range(_RIM_STEPS):
        place = along_mm + way * step
        if not 0.0 <= place <= line.length_mm:
            return place
        lacking = room_mm - math.dist(start, line.point_at(place))
        if lacking <= _RIM_SETTLED_MM:
            break
        step += lacking
    return along_mm + way * step
