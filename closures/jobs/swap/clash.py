"""Which old holes stand in the way of new closures, and which are hidden by them.

Terms: a made hole *overlaps* a new closure when the rim comes nearer to it than it may and does
not hide it; it is *covered* when the cap, or a patch, hides all of it from outside with 1 mm to spare.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.role import face_of

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.curve import Curve, Point
    from closures.jobs.swap.old_row import OldHole
    from closures.placing.lap import Lap
    from closures.placing.placement import Mark, Placement

ClashKind = Literal["overlaps", "covered"]
_SAGITTA_MM = 1e-4
_STEPS = 200
_SETTLED_MM = 1e-7


@frozen
class Clash:
    """An old hole at a new closure.

    Attributes:
        mark: number of the new closure.
        hole: number of the old one.
        lap: the lap that the hole is in.
        kind: whether it is hidden, or in the way.
        distance_mm: from the new rim to the hole, less than 0 where the hole runs under the rim, or a new slit into it.
        spare_mm: how far what hides it reaches past it; less than 0 where it shows by so much.
    """

    mark: int
    hole: int
    lap: LapName
    kind: ClashKind
    distance_mm: float
    spare_mm: float


def clashes_with(
    marks: Sequence[Mark],
    holes: Sequence[OldHole],
    rim_mm: float,
    cover_mm: Mapping[LapName, float],
    near_mm: float,
    catalogue: Catalogue,
    slits: Mapping[int, Curve] = MappingProxyType({}),
    reused: Collection[tuple[int, int, LapName]] = (),
    slit_lap: LapName | None = None,
) -> tuple[Clash, ...]:
    """Find every old hole that a new closure meets or hides.

    Args:
        marks: the new closures.
        holes: the old holes; those only drawn do not count.
        rim_mm: from a centre to the new rim.
        cover_mm: by lap, radius of the largest thing that lies over a hole there, seen from outside: a cap, a patch
            or a button; what is sewn to the inside hides nothing.
        near_mm: how far a rim keeps from a hole that it does not hide.
        catalogue: for how far past a hole what hides it reaches.
        slit_lap: the lap that the new buttonholes are in.
        slits: the new buttonhole of each mark, by its number; where there is one, the distance is the
            lesser of those from the rim and from the slit.
        reused: mark, hole and its lap where the old hole is the new one, which is no clash.

    Returns:
        Mark by mark, in the order of the holes.
    """
    spare = catalogue.rule("old hole hidden by").value.value
    found = []
    for mark in marks:
        for hole in holes:
            carries = mark.on(hole.lap)
            if not hole.made or carries is None or (mark.n, hole.n, hole.lap) in reused:
                continue
            # A hole and what is set beside it lie on one lap, in that lap's own frame.
            point = carries.at
            distance = hole.nearest_mm(point) - rim_mm
            if mark.n in slits and hole.lap == slit_lap:
                distance = min(distance, between_mm(slits[mark.n], hole))
            far = hole.farthest_mm(point)
            left = cover_mm[hole.lap] - far
            if left >= spare - SAME_MM:
                found.append(Clash(mark.n, hole.n, hole.lap, "covered", distance, left))
            elif distance < near_mm - SAME_MM:
                found.append(Clash(mark.n, hole.n, hole.lap, "overlaps", distance, left))
    return tuple(found)


def is_room_to_cover(placement: Placement, holes: Sequence[OldHole], cover_mm: float) -> bool:
    """Whether round covers laid outside on old holes would all lie beside the new closures, none under or over a part.

    Args:
        placement: the new row.
        holes: those to be covered.
        cover_mm: the diameter of a cover, centred on its hole.
    """
    return all(
        math.dist(on.at, _middle(hole)) - placement.fastener_of(on.n).rim_mm >= cover_mm / 2 - SAME_MM
        for hole in holes
        for on in placement.all_on(hole.lap)
        if face_of(placement, on.n, hole.lap) != "inside"
    )


def _middle(hole: OldHole) -> Point:
    (a, b), (c, d) = hole.ends
    return ((a + c) / 2, (b + d) / 2)


def between_mm(slit: Curve, hole: OldHole) -> float:
    """The shortest distance between a new slit and an old hole: 0 where two slits meet, below 0 within a round one."""
    if hole.slit is None:
        return slit.nearest(hole.centre).distance_mm - hole.length_mm / 2
    ours, theirs = slit.approximate_polyline(_SAGITTA_MM), hole.slit.approximate_polyline(_SAGITTA_MM)
    for a, b in pairwise(ours):
        for c, d in pairwise(theirs):
            if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
                return 0.0
    # Two slits that do not cross are nearest at an end of a chord of one of them.
    return min(
        *(hole.slit.nearest(point).distance_mm for point in ours),
        *(slit.nearest(point).distance_mm for point in theirs),
    )


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def closed_by_hole(hole: OldHole, place_mm: float, lap: Lap, room_mm: float) -> tuple[float, float]:
    """Find the stretch of the closing line on which a rim would come too near to an old hole.

    Args:
        hole: the old hole.
        place_mm: a place along the line that lies in it, or nearest to it.
        lap: the lap that the hole is in.
        room_mm: rim and the room to keep.

    Returns:
        From and to along the line; may reach past its ends by the room.
    """
    low, high = place_mm, place_mm
    if hole.way == "along" and hole.slit is not None:
        low, high = (lap.nearest_row(end) for end in hole.ends)
    return (_clear_towards(hole, low, -1.0, lap, room_mm), _clear_towards(hole, high, 1.0, lap, room_mm))


def _clear_towards(hole: OldHole, start: float, way: float, lap: Lap, room: float) -> float:
    # The distance to a hole grows by no more than the way gone along the line, so a step by what is
    # lacking never goes too far, and on a line that a band can follow it settles.
    at = start
    for _ in range(_STEPS):
        if not 0.0 <= at <= lap.row_of(lap.line.length_mm):
            break
        lacking = room - hole.nearest_mm(lap.at(at))
        if lacking <= _SETTLED_MM:
            break
        at += way * lacking
    return at
