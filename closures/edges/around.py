"""What a drawing shows on a piece beside its edge: notches, grain, darts and levels, for a picture of the piece."""

from __future__ import annotations

import math
import re
from itertools import islice
from typing import TYPE_CHECKING

from closures.curve import Curve
from closures.edges.opening import open_to_scale
from closures.edges.ring import MOST_LINES
from closures.errors import DrawingError
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.curve import Box
    from closures.plan.plan import Plan

# Lines nearer to one that is drawn already are that line.
_SAME_MM = 0.1
_LOOKS = 5
# A line without a name of its own is called by its number or its handle.
_NUMBERED = re.compile(r"(shape|path|line|handle|page)\b.*\d", re.IGNORECASE)


@frozen
class Around:
    """A line beside the edge.

    Attributes:
        name: what a person called it; empty where nobody did.
        curve: the line, in mm, seen from outside.
    """

    name: str
    curve: Curve


def lines_around(plan: Plan, data: bytes | None, known: Sequence[Curve]) -> tuple[Around, ...]:
    """Find the lines of a plan's drawing that are none of those in hand.

    Args:
        plan: with an edge.
        data: its drawing; None where it has none.
        known: the edge, the outline and whatever else is drawn anyway, as they lie here.

    Returns:
        The lines in the order of the drawing; none where it holds those of many pieces, or cannot be listed.
    """
    edge = plan.edge
    if data is None or edge is None or not edge.names or edge.moved or edge.longer:
        return ()
    try:
        drawing = open_to_scale(data, plan.drawing or "drawing", edge).drawing
        lines = list(islice(drawing.all_lines(), MOST_LINES + 1))
    except DrawingError:
        return ()
    if len(lines) > MOST_LINES:
        return ()
    found = []
    for line in lines:
        drawn = Curve(line.segments)
        curve = drawn.mirrored() if plan.is_turned else drawn
        if not any(_lies_on(curve, one) for one in known):
            found.append(Around("" if _NUMBERED.match(line.name) else line.name, curve))
    return tuple(found)


def within(curve: Curve, box: Box) -> bool:
    """Whether a line lies wholly within a box."""
    x0, y0, x1, y1 = curve.box
    return box[0] <= x0 and box[1] <= y0 and x1 <= box[2] and y1 <= box[3]


def _lies_on(curve: Curve, other: Curve) -> bool:
    """Whether a line is another one, or a stretch of it."""
    places = (curve.point_at(curve.length_mm * k / (_LOOKS - 1)) for k in range(_LOOKS))
    return all(math.dist(place, other.nearest(place).point) < _SAME_MM for place in places)
