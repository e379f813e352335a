"""Exact plane curves: lengths, distances, levels, parallels. Millimetres, x right, y down.

Walking a curve from its first end to its last, the right hand is the unit tangent (tx, ty) turned
to (-ty, tx). Distances and curvatures to the right hand are positive.
"""

from closures.curve.arc import Arc
from closures.curve.cubic import Cubic
from closures.curve.curve import Curve, Hand, Nearest, Tightest
from closures.curve.line import Box, Line, Point
from closures.curve.offset_piece import OffsetPiece
from closures.curve.parallel import parallel
from closures.curve.segment import Segment
from closures.curve.stretched import stretched

__all__ = [
    "Arc",
    "Box",
    "Cubic",
    "Curve",
    "Hand",
    "Line",
    "Nearest",
    "OffsetPiece",
    "Point",
    "Segment",
    "Tightest",
    "parallel",
    "stretched",
]
