"""The parts of a segment whose parallel does not fold.

A parallel at d to the right hand runs back where ``1 - d k`` is below zero, k the signed curvature: there
the segment turns more tightly than d, and every such point lies nearer than d to its neighbours. No true
parallel passes there, so those parts are left out before anything else is looked at.
"""

from __future__ import annotations

from itertools import pairwise

from closures.curve.algebra import root_of
from closures.curve.arc import Arc
from closures.curve.cubic import Cubic
from closures.curve.line import Line
from closures.curve.offset_piece import OffsetPiece
from closures.curve.segment import Segment, parallel_of
from closures.frozen import frozen

# A share of 1 - d k that is left where the parallel has all but shrunk to a cusp.
_FOLD = 1e-9


@frozen
class Unfolded:
    """A part of a segment that has a parallel.

    Attributes:
        base: the part.
        beside: its parallel.
        begins, ends: whether it has the segment's own start and end; where not, it ends in a cusp.
    """

    base: Segment
    beside: Segment
    begins: bool = True
    ends: bool = True


def unfolded(segment: Segment, d: float) -> list[Unfolded]:
    """Find the parts of a segment whose parallel at d does not fold, in order.

    Args:
        segment: any.
        d: in mm, positive to the right hand.
    """
    if isinstance(segment, Line):
        return [Unfolded(*parallel_of(segment, d))]
    if isinstance(segment, Arc):
        return [Unfolded(*parallel_of(segment, d))] if _room(segment, 0.5, d) > _FOLD else []
    places = segment.bends()
    rooms = [_room(segment, t, d) for t in places]
    if min(rooms) > _FOLD:
        return [Unfolded(*parallel_of(segment, d))]
    # Between two extremes of the curvature it only rises or only falls.
    borders: list[tuple[float, float]] = []
    low = places[0] if rooms[0] > _FOLD else None
    for (t0, t1), (r0, r1) in zip(pairwise(places), pairwise(rooms), strict=True):
        if (r0 > _FOLD) == (r1 > _FOLD):
            continue
        t = root_of(lambda u: _room(segment, u, d) - _FOLD, t0, t1)
        if low is None:
            low = t
        else:
            borders.append((low, t))
            low = None
    if low is not None:
        borders.append((low, places[-1]))
    return [_part(segment, t0, t1, d) for t0, t1 in borders if t1 - t0 > 1e-12]


def _room(segment: Segment, t: float, d: float) -> float:
    return 1 - d * segment.curvature(t)


def _part(segment: Cubic | OffsetPiece, t0: float, t1: float, d: float) -> Unfolded:
    places = segment.bends()
    begins, ends = t0 == places[0], t1 == places[-1]
    # A turn within a hundredth of a mm of an end is a corner; it is joined as one.
    low = 0.0 if begins and _room(segment, 0.0, d) > 0 else t0
    high = 1.0 if ends and _room(segment, 1.0, d) > 0 else t1
    base = segment.part(low, high)
    if isinstance(base, OffsetPiece):
        total = base.distance + d
        beside: Segment = base.base if total == 0 else OffsetPiece(base.base, total)
    else:
        beside = OffsetPiece(base, d)
    return Unfolded(base, beside, begins, ends)
