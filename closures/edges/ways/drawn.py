"""An edge that is a line, a stretch or joined pieces of a drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.edges.arrival import OTHER_HAND
from closures.edges.ways.way import Way
from closures.errors import DrawingError

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.arrival import Arrival


def _edge(arrival: Arrival) -> Curve:
    wish = arrival.wish
    if wish.begins is None or wish.ends is None:
        if wish.path is not None:
            over = arrival.drawn(wish.path)
            _look_round(arrival, over)
            return over
        from closures.edges.judged import judged_edge

        chains = arrival.chains()
        if len(chains) != 1:
            raise DrawingError(
                f"the pieces make {len(chains)} lines that do not touch",
                where=arrival.place(),
                mend="Name all pieces between, or draw them so that their ends meet within 0.2 mm.",
            )
        over = arrival.take(judged_edge(chains[0], arrival.place(), arrival.within_mm))
        _look_round(arrival, over)
        return over
    from closures.edges.stretch import cut_stretch

    via = None if wish.via is None else arrival.where(wish.via)
    chains, ends = arrival.chains(), (arrival.where(wish.begins), arrival.where(wish.ends))
    cut = cut_stretch(chains, *ends, via, arrival.place(), arrival.within_mm)
    arrival.notes += cut.notes
    arrival.points += cut.points
    if cut.piece_on is not None:
        arrival.cloth_on = OTHER_HAND[cut.piece_on] if arrival.inside else cut.piece_on
        arrival.outline = None if cut.outline is None else arrival.turned(cut.outline)
        return arrival.turned(cut.curve)
    over = arrival.turned(cut.curve)
    _look_round(arrival, over)
    return over


def _look_round(arrival: Arrival, over: Curve) -> None:
    """Find the outline that the edge is a part of, where it is a line of its own."""
    from closures.edges.ring import piece_shown

    ring = piece_shown(over, arrival.drawing(arrival.wish.names[0]), arrival.inside)
    if ring is None:
        return
    hand = OTHER_HAND[ring.inside] if arrival.wish.reverse else ring.inside
    arrival.piece = ring.name
    if ring.is_one_line and arrival.wish.cloth is not None:
        # Beside another's outline the user's word counts, as for a facing drawn folded out; it is a look.
        arrival.beside_on = hand
        return
    arrival.cloth_on = hand
    arrival.outline = ring.outline if ring.is_on else None
    arrival.allowance_mm = 0.0 if ring.is_on or not ring.name else ring.away_mm


WAYS = (Way(lambda wish: bool(wish.names), _edge),)
