"""The closing lines of an edge, and the two laps that meet on them.

Terms: both laps are *closed* where they are told in one frame, lying as they do on the closed garment: then their
closing lines are one curve. They are *apart* where each has its own piece: a *pair* is one piece cut twice, the second
turned over; *separate* pieces that were drawn apart have an edge each. Then each lap has a closing line of its own, and
one row of distances runs along both. A *pin* is a place of each that are sewn level with each other.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from closures.curve import parallel
from closures.edges.hand import other_hand
from closures.errors import EdgeError, in_section
from closures.placing.easing import MOST_EASE, refuse_pins, too_much
from closures.placing.edge_to_edge import as_two_pieces
from closures.placing.garment import Shown, know_garment
from closures.placing.lap import Facing, Lap, Laps, depth_from, offset_sign
from closures.placing.pins import Knots, Pins, pin_at, pinned
from closures.placing.shrinkage import banded
from closures.placing.stand import with_stand
from closures.placing.stretched_laps import matched_as_worn, stretched_laps, with_gap_as_worn
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.edges.hand import Hand
    from closures.edges.reading import Edges
    from closures.placing.garment import Garment
    from closures.plan.band import BandWish
    from closures.plan.plan import Plan
    from closures.plan.shown import Show
    from closures.plan.top import Units

# A drawn line is looked at in this many places; its own band is far wider than the steps.
_SIDE_SAMPLES = 64
# Nearer to an edge than this, a closing line lies on it: no closure could be set there.
_ON_EDGE_MM = 0.01
# An edge that strays no further than this from straight sets a mark no further than 1 mm off on a piece that is turned
# over: the tolerance of either lap, our own rule.
STRAIGHT_MM = 0.5
# Two edges drawn apart are taken to run the same way where they lean no more than 60 degrees from each other.
_SAME_WAY_COS = 0.5
# A lap more than so many times as wide as the other lap's band is no band: our own rule.
PIECE_FROM = 3.0


def laps_of(plan: Plan, edges: Edges, by_feet: bool = False, is_alone: bool = False) -> Laps:
    """Find the laps of a plan: what it says of its garment, held against what the drawing shows.

    Args:
        plan: with an edge and a band.
        edges: the curves that its edge arrived as.
        by_feet, is_alone: as for `make_laps`.

    Raises:
        EdgeError: as for `know_garment` and `make_laps`.
    """
    wish, band, _ = plan.along_an_edge
    # Of a stretch of a closed outline that outline is the piece, and needs no name.
    piece = "" if edges.seen.piece is None else edges.seen.piece.name
    shown = Shown(edges.cloth_on, wish.begins is not None, band.seen_from, wish.reverse, piece, edges.is_turned)
    garment = know_garment(plan.garment, band.lap, edges.over, wish.cloth, shown)
    pins = tuple((pin_at(one, edges), pin_at(other, edges)) for one, other in wish.match)
    if edges.before is None:
        laps = with_gap_as_worn(make_laps(edges, band, garment, pins, by_feet, is_alone, plan.units), plan)
        return with_stand(laps, plan.stand, plan.shrinkage)
    # Lines lie so far inside an edge as it was told: in the other state they are where the same threads are.
    told, x, y = edges.before.edges, edges.before.x, edges.before.y
    back = tuple(((a / x, b / y), (c / x, d / y)) for (a, b), (c, d) in pins)
    laps = make_laps(told, banded(band, 1.0 / x), garment, back, by_feet, is_alone, plan.units)
    there = stretched_laps(with_gap_as_worn(laps, plan), edges, x, y)
    is_worn = plan.shrinkage is not None and plan.shrinkage.measured == "unwashed"
    return with_stand(matched_as_worn(there, pins) if is_worn else there, plan.stand, plan.shrinkage)


@lru_cache(maxsize=16)
def make_laps(
    edges: Edges,
    band: BandWish,
    garment: Garment,
    pins: Pins = (),
    by_feet: bool = False,
    is_alone: bool = False,
    units: Units = "mm",
) -> Laps:
    """Find the closing line of an edge and the two laps that meet on it.

    The line is the one drawn, or the over lap's finished edge moved inwards by the inset,
    square to the edge. Of laps that lie in one frame, the under lap's edge is the one drawn, or lies past the line by
    the under lap's inset, on the over lap's side of it. Else it has its own edge and, its own inset inside that, its
    own line.

    Args:
        edges: the curves that arrived, in mm, seen from outside; with the garment closed but for edges drawn apart.
        band: finished widths and insets.
        garment: on which hand the cloth lies, and how the pieces are cut.
        pins: places near the over lap's line, and near the under lap's, that are sewn level; of laps drawn apart.
        by_feet: where each lap has a line of its own, places of both lie level whose feet on the finished edges do, as
            of edges that meet: so two lines far from each other keep level on a bend.
        is_alone: one closure lies on it, square across, and nothing is eased between it and another: how much longer
            one of its lines is than the other is no matter.
        units: in which lengths are told.

    Returns:
        The laps.

    Raises:
        EdgeError: a curve crosses itself, a drawn line lies off the cloth, or the band
            cannot follow the edge; the place and the radius are named. Or a curved edge of which nothing
            tells how the under lap's piece runs, or edges that differ too much to be sewn to each other.
    """
    edges, garment = as_two_pieces(edges, garment)
    show = shown_beside(units)
    _refuse_crossing(edges.over, "the finished edge", show)
    _refuse_unknown_pieces(edges, garment, show)
    over = _over(edges, band, garment, show)
    if garment.is_meeting and garment.pieces is None and edges.under is None:
        # A straight edge turned over is itself: what is left here of unknown pieces is straight.
        garment = replace(garment, pieces="pair")
    if garment.pieces == "pair":
        under = _turned(over, edges, band, garment, by_feet, is_alone, show)
    elif edges.under is not None and edges.under_lies == "apart":
        under = _apart(over, edges, band, garment, pins, by_feet or garment.is_meeting, units)
    else:
        return Laps(over.line, over, _beneath(over, edges, band, garment, show), edges.level_zero_y, garment)
    if garment.is_meeting:
        return Laps(over.line, over, under, edges.level_zero_y, garment)
    try:
        beneath = _beneath(over, replace(edges, under=None), band, garment, show)
    except EdgeError:
        beneath = None
    return Laps(over.line, over, under, edges.level_zero_y, garment, beneath)


def _over(edges: Edges, band: BandWish, garment: Garment, show: Show) -> Lap:
    """The over lap, and the closing line on it."""
    cloth = garment.cloth_on
    inwards = offset_sign(cloth)
    edge = edges.over
    if edges.line is None:
        line = _parallel(edge, inwards * band.inset_mm, "closing line")
    else:
        line = edges.line
        _refuse_crossing(line, "the closing line", show)
        _refuse_off_cloth(line, edge, cloth, "over", show)
    side, whose = garment.over_side, garment.whose("over")
    if _reaches_far(band.width_mm, band.under_width_mm):
        width, inset = band.under_width_mm, band.under_inset_mm
        return Lap(
            "over", side, whose, edge, line, _inner(line, inwards * (width - inset)), width, inset, cloth, is_piece=True
        )
    inner = _inner(edge, inwards * band.width_mm)
    return Lap("over", side, whose, edge, line, inner, band.width_mm, band.inset_mm, cloth)


def _beneath(over: Lap, edges: Edges, band: BandWish, garment: Garment, show: Show) -> Lap:
    """The under lap where it lies beneath the over lap, on the same line and in the same frame."""
    far = other_hand(over.cloth_on)
    inwards = offset_sign(over.cloth_on)
    past = inwards * band.under_inset_mm
    if edges.under is not None:
        edge = edges.under
        _refuse_crossing(edge, "the under lap's edge", show)
        _refuse_off_cloth(over.line, edge, far, "under", show)
    elif edges.line is None:
        edge = _parallel(over.edge, inwards * band.inset_mm + past, "under lap's edge")
    else:
        edge = _parallel(over.line, past, "under lap's edge")
    return _under(edge, over.line, _inner(edge, -inwards * band.under_width_mm), band, garment)


def _under(edge: Curve, line: Curve, inner: Curve | None, band: BandWish, garment: Garment, pins_mm: Knots = ()) -> Lap:
    side, whose, cloth_on = garment.under_side, garment.whose("under"), other_hand(garment.cloth_on)
    width, inset = band.under_width_mm, band.under_inset_mm
    if _reaches_far(band.under_width_mm, band.width_mm):
        width, inset = band.width_mm, band.inset_mm
        inner = _inner(line, offset_sign(cloth_on) * (width - inset))
        return Lap("under", side, whose, edge, line, inner, width, inset, cloth_on, pins_mm=pins_mm, is_piece=True)
    return Lap("under", side, whose, edge, line, inner, width, inset, cloth_on, pins_mm=pins_mm)


def _reaches_far(width_mm: float, other_mm: float) -> bool:
    """Whether a lap is no band but a piece of the garment, such as a wrap's under front."""
    return width_mm > PIECE_FROM * other_mm


def _turned(
    over: Lap, edges: Edges, band: BandWish, garment: Garment, by_feet: bool, is_alone: bool, show: Show
) -> Lap:
    """The under lap as the over lap's piece turned over, x to -x, with its own inset and width."""
    edge = over.edge.mirrored()
    inwards = offset_sign(other_hand(over.cloth_on))
    same = band.under_inset_mm == band.inset_mm
    if edges.line is not None or same:
        line = over.line.mirrored()
    else:
        line = _parallel(edge, inwards * band.under_inset_mm, "under lap's closing line")
    if over.inner is not None and band.under_width_mm == band.width_mm:
        inner: Curve | None = over.inner.mirrored()
    else:
        inner = _inner(edge, inwards * band.under_width_mm)
    # One piece turned over has one line: its lengths are the same to the last digit.
    if edges.line is not None or same:
        return _under(edge, line, inner, band, garment)
    by_edges = _under(edge, line, inner, band, garment, ((edge.length_mm, edge.length_mm),))
    if garment.is_meeting:
        return _against(over, by_edges)
    lengths = (over.line.length_mm, line.length_mm)
    mend = "Write under_inset as inset where both halves close on one line of the piece."
    if by_feet:
        mend = "So far from each other they lie too unlike on this curve: tell less of it by from and to under [edge], "
        mend += "bring the lines nearer to each other, or take pieces that are cut for each lap on its own."
    if not is_alone:
        _refuse_ease(*lengths, "band", mend, show)
    if by_feet:
        return _against(over, by_edges)
    return _under(edge, line, inner, band, garment, (lengths,))


def _apart(over: Lap, edges: Edges, band: BandWish, garment: Garment, pins: Pins, by_feet: bool, units: Units) -> Lap:
    """The under lap on a piece of its own, with the places where its row keeps step with the over lap's."""
    drawn, show = edges.under or over.edge, shown_beside(units)
    edge = drawn if edges.under_way_told else _running_with(drawn, over.edge)
    _refuse_under_cloth(edges, edge is drawn, garment)
    _refuse_crossing(edge, "the under lap's edge", show)
    inwards = offset_sign(other_hand(over.cloth_on))
    line = _parallel(edge, inwards * band.under_inset_mm, "under lap's closing line")
    inner = _inner(edge, inwards * band.under_width_mm)
    one, other = (over.edge, edge) if by_feet else (over.line, line)
    what = "finished edge" if by_feet else "closing line"
    placed = pinned(one, other, pins, 2 * max(band.width_mm, band.under_width_mm), what, units)
    lengths = (one.length_mm, other.length_mm)
    _refuse_ease(
        *lengths,
        "edge",
        "Check which line it is, where both edges begin and end, and the scale of both pieces.",
        show,
        what,
    )
    knots = (*placed, lengths)
    refuse_pins(knots, garment.ends, units)
    under = _under(edge, line, inner, band, garment, knots)
    return _against(over, under) if by_feet else under


def _against(over: Lap, under: Lap) -> Lap:
    """The under lap of edges that meet: its places lie opposite the over lap's, foot by foot on the finished edges."""
    return replace(under, facing=Facing(under.edge, over.edge, over.line))


def _refuse_under_cloth(edges: Edges, is_as_drawn: bool, garment: Garment) -> None:
    """Refuse an under lap's piece whose outline shows its cloth on the hand where the over lap's lies."""
    shown = edges.under_cloth_on
    if shown is None or shown == (other_hand(garment.cloth_on) if is_as_drawn else garment.cloth_on):
        return
    first, last = garment.ends
    turn = "exchange under_from and under_to" if edges.under_way_told else "turn that piece half round in the drawing"
    raise EdgeError(
        "the under lap's piece shows its cloth on the wrong side of its edge: laid closed, both laps would lie on the "
        "same side of the line",
        where=in_section("edge", "under"),
        mend=f"One of these is so: (1) the under lap's edge runs from the {last} to the {first}: {turn}; (2) its piece "
        "is drawn as seen from inside: mirror it in the drawing; (3) it is another edge of that piece, or another "
        "piece is drawn along this edge: move that one away in the drawing.",
    )


def _refuse_ease(
    over_mm: float, under_mm: float, section: str, mend: str, show: Show, what: str = "closing line"
) -> None:
    """Refuse two lines that cannot be sewn to one length."""
    differ = abs(under_mm - over_mm) / over_mm
    if differ > MOST_EASE:
        raise EdgeError(
            f"the over lap's {what} is {show(over_mm)} long and the under lap's {show(under_mm)}: they "
            f"differ by {too_much(differ)}, and no more than {MOST_EASE:.0%} can be eased in",
            where=in_section(section, "under" if section == "edge" else "under_inset"),
            mend=mend,
        )


def strays_mm(edge: Curve) -> float:
    """How far an edge strays from the straight line between its ends, at most, in mm."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    length = math.hypot(x1 - x0, y1 - y0)
    if length == 0.0:
        return math.inf
    return max(
        abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length
        for x, y in edge.approximate_polyline(STRAIGHT_MM / 10)
    )


def _both_pieces(garment: Garment) -> str:
    if garment.opens in (None, "front", "back"):
        return f"both {garment.opens or 'front'}s"
    sides = f"the {garment.over_side} and the {garment.under_side}"
    return f"{sides} layer" if garment.opens == "flat" else sides


def _refuse_unknown_pieces(edges: Edges, garment: Garment, show: Show) -> None:
    if garment.pieces == "pair" and edges.under is not None:
        raise EdgeError(
            'pieces = "pair" says that one piece is cut twice, and an edge of the under lap is told beside it',
            where=in_section("garment", "pieces"),
            mend='Leave under out, or write pieces = "separate".',
        )
    if garment.pieces is not None or edges.under is not None or strays_mm(edges.over) <= STRAIGHT_MM:
        return
    raise EdgeError(
        f"the edge is curved (it strays {show(strays_mm(edges.over))} from straight), and the plan does not say how "
        "the under lap's piece is cut",
        where=in_section("garment", "pieces"),
        mend='Write pieces = "pair" under [garment] (or --pieces pair) where one pattern piece is cut twice, the '
        f'second turned over: {_both_pieces(garment)} have this same edge. Write pieces = "separate" where the under '
        "lap is a piece of its own: it is taken to run beside the over lap's edge, as a band beneath it does, or draw "
        "it and name it by under.",
    )


def _parallel(curve: Curve, distance_mm: float, name: str) -> Curve:
    return curve if distance_mm == 0.0 else parallel(curve, distance_mm, name)


def _inner(edge: Curve, distance_mm: float) -> Curve | None:
    # A band may be wider than its edge is curved and still close well: the closing line
    # counts, not the line where the band is sewn on. The rule on curves tells the user.
    try:
        return parallel(edge, distance_mm, "inner edge of the band")
    except EdgeError:
        return None


def _running_with(curve: Curve, edge: Curve) -> Curve:
    """Turn an edge that was drawn apart round where it runs against the over lap's."""
    ways = []
    for one in (curve, edge):
        (x0, y0), (x1, y1) = one.start, one.end
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        ways.append(((x1 - x0) / length, (y1 - y0) / length))
    lean = ways[0][0] * ways[1][0] + ways[0][1] * ways[1][1]
    if abs(lean) < _SAME_WAY_COS:
        raise EdgeError(
            "the two edges are drawn at very different angles, so nothing tells which ends meet",
            where=in_section("edge", "under"),
            mend="Turn one piece in the drawing, so that both edges run from the same end the same way.",
        )
    return curve if lean > 0 else curve.reversed()


def _refuse_crossing(curve: Curve, name: str, show: Show) -> None:
    crossing = curve.crosses_itself()
    if crossing is None:
        return
    x, y = crossing[0]
    raise EdgeError(
        f"{name} crosses itself near x {show(x)}, y {show(y)}",
        where=in_section("edge"),
        mend="Draw it as one stretch that never meets itself.",
    )


def _refuse_off_cloth(line: Curve, edge: Curve, cloth_on: Hand, lap: LapName, show: Show) -> None:
    """Refuse a closing line that is not on the cloth side of a lap's edge all the way."""
    for i in range(_SIDE_SAMPLES + 1):
        x, y = line.point_at(line.length_mm * i / _SIDE_SAMPLES)
        inside, distance = depth_from(edge, (x, y), cloth_on)
        if inside < -_ON_EDGE_MM or distance < _ON_EDGE_MM:
            raise EdgeError(
                f"the closing line is not on the cloth of the {lap} lap near x {show(x)}, y {show(y)}",
                where=in_section("edge", "line"),
                mend="It must lie between the over lap's edge and the under lap's edge. Check `lap`, "
                "`reverse` and which curve is which."
                + (
                    ' If it is drawn on a piece of its own, write under_lies = "apart" under [edge].'
                    if lap == "under"
                    else ""
                ),
            )
