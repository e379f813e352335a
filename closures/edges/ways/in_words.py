"""An edge that a few words tell: a straight, an arc, an arc through three points."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.edges.shapes import arc_edge, straight_edge, three_point_arc
from closures.edges.ways.way import Way
from closures.errors import Where
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.arrival import Arrival
    from closures.edges.hand import Hand


def _straight(arrival: Arrival) -> Curve:
    return straight_edge(arrival.wish.straight_mm or 0.0)


def _arc_through(arrival: Arrival) -> Curve:
    where = Where(file=arrival.plan.where, section="edge")
    return arrival.turned(three_point_arc(arrival.wish.arc_through or (), f"{where} arc_through"))


def _arc(arrival: Arrival) -> Curve:
    arc = arrival.wish.arc
    if arc is None:
        raise ValueError("the plan tells no arc")
    # The chord runs straight down: cloth on the right hand lies towards -x.
    outwards = 1 if _told_hand(arrival) == "right" else -1
    towards = outwards if arc.bows == "out" else -outwards
    return arc_edge(arc.length_mm, arc.radius_mm, 1 if towards > 0 else -1, shown_beside(arrival.plan.units))


def _told_hand(arrival: Arrival) -> Hand:
    """The hand on which the cloth lies beside an arc that is told by its length, by the plan's words."""
    from closures.edges.hand import hand_by_key, hand_by_words, unknown_hand

    garment, start, end = arrival.plan.garment, (0.0, 0.0), (0.0, 1.0)
    opens = None if garment is None else garment.opens
    hand = hand_by_words(opens, arrival.band.lap)
    if hand is None and arrival.wish.cloth is not None:
        hand = hand_by_key(arrival.wish.cloth, start, end, arrival.inside)
    if hand is None:
        raise unknown_hand(start, end, ("first end", "last end"), arrival.inside)
    return hand


WAYS = (
    Way(lambda wish: wish.straight_mm is not None, _straight, is_in_words=True),
    Way(lambda wish: wish.arc_through is not None, _arc_through, is_in_words=True),
    Way(lambda wish: wish.arc is not None, _arc, is_in_words=True),
)
