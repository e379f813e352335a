"""What a curve is made of."""

from __future__ import annotations

import math

from closures.curve.arc import Arc
from closures.curve.cubic import CORNER_MM, Cubic
from closures.curve.line import Line
from closures.curve.offset_piece import OffsetPiece

Segment = Line | Arc | Cubic | OffsetPiece


def parallel_of(segment: Segment, d: float) -> tuple[Segment, Segment]:
    """Make the parallel of one segment.

    Args:
        segment: any.
        d: in mm, positive to the right hand, less than every radius there on that side.

    Returns:
        The segment and its parallel. Where a cubic's end turns tighter than d within `CORNER_MM`, that much
        is left out of both, and the gap is closed as a corner is.
    """
    if isinstance(segment, Line):
        tx, ty = segment.tangent(0.0)
        return segment, segment.moved(-ty * d, tx * d)
    if isinstance(segment, Arc):
        radius = segment.radius - math.copysign(d, segment.sweep * d)
        return segment, Arc(segment.centre, radius, segment.start_angle, segment.sweep)
    if isinstance(segment, OffsetPiece):
        total = segment.distance + d
        base, further = _parallel_of_cubic(segment.base, total)
        return OffsetPiece(base, segment.distance), base if total == 0 else further
    return _parallel_of_cubic(segment, d)


def _parallel_of_cubic(cubic: Cubic, d: float) -> tuple[Cubic, OffsetPiece]:
    low = 0.0 if d * cubic.curvature(0.0) < 1 else cubic.at_length(CORNER_MM)
    high = 1.0 if d * cubic.curvature(1.0) < 1 else cubic.at_length(cubic.length_mm - CORNER_MM)
    base = cubic.part(low, high)
    return base, OffsetPiece(base, d)
