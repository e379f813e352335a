"""An edge that is followed on a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.edges.ways.way import Way
from closures.errors import DrawingError, Where

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.arrival import Arrival


def _edge(arrival: Arrival) -> Curve:
    from closures.edges.scan.trace import trace_edge

    data, wish = arrival.drawing_data, arrival.wish
    if data is None or wish.trace is None:
        raise DrawingError(
            "there is no picture to follow the edge on",
            where=Where(file=arrival.plan.where, section="edge", key="trace"),
            mend='Name it above the sections: drawing = "scan.png".',
        )
    traced = trace_edge(data, arrival.plan.drawing or "picture", wish.trace, arrival.within_mm)
    arrival.notes += traced.notes
    arrival.points += traced.points
    arrival.picture = traced.picture
    return arrival.turned(traced.curve)


WAYS = (Way(lambda wish: wish.trace is not None, _edge),)
