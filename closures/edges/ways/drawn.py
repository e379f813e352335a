"""An edge that is a line, a stretch or joined pieces of a drawing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.edges.arrival import OTHER_HAND
from closures.edges.ways.way import Way
from closures.errors import DrawingError
from closures.plan.shown import shown_beside

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
    cut = cut_stretch(chains, *ends, via, arrival.place(), arrival.within_mm, shown_beside(arrival.plan.units))
    arrival.notes += cut.notes
    arrival.points += cut.points
    arrival.dents += cut.dents
    arrival.rough_mm = max(arrival.rough_mm, cut.rough_mm)
    if cut.piece_on is not None:
        arrival.cloth_on = OTHER_HAND[cut.piece_on] if arrival.inside else cut.piece_on
        arrival.outline = None if cut.outline is None else arrival.turned(cut.outline)
    over = arrival.turned(cut.curve)
    _look_round(arrival, over)
    return over


def _look_round(arrival: Arrival, over: Curve) -> None:
    """See what lies beside the edge; of one that is a line of its own, the piece that it is an edge of counts."""
    from closures.edges.beside import seen_beside

    wish = arrival.wish
    told = [name for name in (wish.under, wish.line) if name is not None]
    seen = seen_beside(over, arrival.drawing(wish.names[0]), arrival.inside, wish.names, told)
    if wish.reverse:
        seen = seen.walked_back()
    if arrival.cloth_on is not None or seen.piece is None:
        # Of a stretch of a closed outline, that outline has told.
        arrival.seen = replace(seen, piece=None)
        return
    piece, arrival.seen = seen.piece, seen
    if piece.is_doubtful or (piece.is_one_line and wish.cloth is not None):
        # Beside another's outline the user's word counts, as for a facing drawn folded out.
        return
    arrival.cloth_on = piece.inside
    arrival.outline = piece.outline if piece.is_on else None


WAYS = (Way(lambda wish: bool(wish.names), _edge),)
