"""The finished edge of a strap's end, and the closed strap as two laps on one line.

The strap lies level, its upper edge up, seen from outside and closed at its target. The closing line
is its middle line; it begins at the under end's tip, x = 0, and runs towards the over end's tip. With
"right over left" the wearer's right, the over end, comes from the left of the picture.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from closures.curve import Arc, Curve, Line
from closures.errors import SpacingError
from closures.lengths import SAME_MM, format_both, format_length
from closures.placing.garment import garment_of_strap
from closures.placing.lap import Lap, Laps
from closures.placing.strap.values import SAME_SEAT_MM, Layout, Seat
from closures.placing.tip import Tip

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.curve import Segment
    from closures.edges.hand import Hand
    from closures.plan.band import LapOrder
    from closures.plan.plan import Plan
    from closures.plan.strap import TipShape

Way = Literal[-1, 1]


def lay_out(
    over: Sequence[Seat],
    under: Sequence[Seat],
    overlap_mm: float,
    finished_mm: float,
    width_mm: float,
    ends: TipShape,
    lap: LapOrder | None,
    corner_mm: float | None = None,
) -> Layout:
    """Close a strap with a given overlap.

    Args:
        over, under: the places on both ends.
        overlap_mm: from tip to tip.
        finished_mm, width_mm: of the strap.
        ends: shape of the over end's tip.
        corner_mm: radius of a rounded tip's corners; None for half the width.
        lap: the wearer's side on top; where it is not told the strap is drawn as "right over left".

    Returns:
        Both ends on one line; a closure that meets its mate is one place carried by both.

    Raises:
        SpacingError: a shaped tip that such a strap has no room for.
    """
    if ends != "square" and width_mm >= finished_mm:
        raise SpacingError(
            f"a {ends} tip is half as deep as the strap is wide, and {format_both(width_mm)} wide is too much for "
            f"{format_both(finished_mm)} of length",
            where="ends",
            mend='Write ends = "square", a longer strap or a narrower one.',
        )
    way: Way = -1 if lap == "left over right" else 1
    places: list[tuple[float, float, frozenset[LapName]]] = []
    mates = [(overlap_mm - seat.from_tip_mm, seat.height_mm) for seat in over]
    for seat in under:
        here = (seat.from_tip_mm, seat.height_mm)
        met = next((mate for mate in mates if _is_same(mate, here)), None)
        if met is not None:
            mates.remove(met)
        carried: frozenset[LapName] = frozenset(("over", "under") if met else ("under",))
        places.append((*here, carried))
    places += [(*mate, frozenset(("over",))) for mate in mates]
    places.sort(key=lambda place: (place[0], -place[1]))
    start = min(0.0, places[0][0])
    end = max(overlap_mm, places[-1][0])
    return Layout(
        laps=_laps(way, start, end, overlap_mm, finished_mm, width_mm, ends, lap, corner_mm),
        along_mm=tuple(along - start for along, _, _ in places),
        points=tuple((way * along, width_mm / 2 - height) for along, height, _ in places),
        carried=tuple(carried for _, _, carried in places),
    )


def _is_same(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) <= SAME_SEAT_MM and abs(one[1] - other[1]) <= SAME_SEAT_MM


def _laps(
    way: Way,
    start: float,
    end: float,
    overlap: float,
    finished: float,
    width: float,
    ends: TipShape,
    lap: LapOrder | None,
    corner_mm: float | None,
) -> Laps:
    line = Curve((Line((way * start, 0.0), (way * end, 0.0)),))
    # Cloth lies on the lower hand of the line for the over end and on the upper for the under end, as for bands.
    hands: tuple[Hand, Hand] = ("right", "left") if way == 1 else ("left", "right")
    garment = garment_of_strap(lap, None, hands[0])
    over_edge, over_tip = end_outline(way * overlap, way, width, finished, ends, corner_mm)
    under_edge, under_tip = end_outline(0.0, 1 if way == -1 else -1, width, finished, "square")
    half = width / 2
    return Laps(
        line=line,
        over=Lap(
            "over", garment.over_side, garment.whose("over"), over_edge, line, None, width, half, hands[0], over_tip
        ),
        under=Lap(
            "under",
            garment.under_side,
            garment.whose("under"),
            under_edge,
            line,
            None,
            width,
            half,
            hands[1],
            under_tip,
        ),
        level_zero_mm=0.0,
        garment=garment,
    )


def end_outline(
    at_x: float, way: Way, width_mm: float, length_mm: float, ends: TipShape, corner_mm: float | None = None
) -> tuple[Curve, Tip]:
    """Draw the finished edge of a strap's end: upper long side, tip, lower long side.

    Args:
        at_x: where the tip lies on the middle line.
        way: 1 where the tip points to greater x.
        width_mm: of the strap.
        length_mm: of the long sides, measured from the tip.
        ends: the shape; a pointed tip is a right angle.
        corner_mm: radius of a rounded tip's two corners; None for half the width, which makes half a circle.

    Returns:
        The edge, and the tip.
    """
    half = width_mm / 2
    radius = half if corner_mm is None else min(corner_mm, half)
    depth = 0.0 if ends == "square" else radius if ends == "rounded" else half
    far, near = at_x - way * length_mm, at_x - way * depth
    upper, lower, top = (near, -half), (near, half), (at_x, 0.0)
    middle: tuple[Segment, ...]
    if ends == "rounded" and radius < half:
        quarter, side = way * math.pi / 2, half - radius
        middle = (
            Arc((near, -side), radius, -math.pi / 2, quarter),
            Line((at_x, -side), (at_x, side)),
            Arc((near, side), radius, -math.pi / 2 + quarter, quarter),
        )
    elif ends == "rounded":
        middle = (Arc((near, 0.0), half, -math.pi / 2, way * math.pi),)
    elif ends == "pointed":
        middle = (Line(upper, top), Line(top, lower))
    else:
        middle = (Line(upper, lower),)
    edge = Curve((Line((far, -half), upper), *middle, Line(lower, (far, half))))
    return edge, Tip(top, (-float(way), 0.0), Curve(middle), half, ends, radius)


def rounded_tip(ends: TipShape, corner_mm: float | None, width_mm: float, plan: Plan) -> tuple[str, ...]:
    """Say how a tip is rounded: at its corners, or to half a circle; nothing of another tip."""
    if ends != "rounded":
        return ()
    radius = width_mm / 2 if corner_mm is None else corner_mm
    told = f"{format_length(radius, plan.units)} in radius"
    if 2 * radius >= width_mm - SAME_MM:
        return (f"The over end's tip is half a circle, {told}.",)
    return (f"The over end's tip is rounded at its two corners, {told}, and straight between them.",)
