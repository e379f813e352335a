"""A tape laid between any two points of the picture: how far they lie apart, straight and along the lines."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from closures.app.web.met import worn_laps
from closures.app.web.placed import answer_of
from closures.errors import ClosureError, PlanError
from closures.frozen import frozen
from closures.lengths import format_length

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.drawing.ink.shapes import Point
    from closures.placing.placement import Placement

_FARTHEST_MM = 100_000.0
"""Nothing that is worn or slept under is as large: what lies beyond was not pointed at."""
_LINES_REACH = 0.6
"""A line takes an end of the tape from so much of the reach of a closure, so that the closure on it is met first."""


@frozen
class TapeEnd:
    """One end of the tape.

    Attributes:
        at: where it lies in the picture, the garment closed, in mm.
        name: what it lies on; empty where that is nothing with a name.
        mark: the closure that it lies on, 0 for none.
    """

    at: Point
    name: str = ""
    mark: int = 0


@frozen
class LaidTape:
    """What the tape tells, in mm.

    Attributes:
        ends: where it lies.
        straight_mm: as the crow flies.
        line_mm: along the closing line, between its points nearest to both ends.
        edge_mm: the same along the over lap's finished edge; None on a strap, whose edge runs round its tip.
    """

    ends: tuple[TapeEnd, TapeEnd]
    straight_mm: float
    line_mm: float
    edge_mm: float | None


def end_at(placement: Placement, at: Point, reach_mm: float, mark: int = 0) -> TapeEnd:
    """Find what an end of the tape is meant to lie on.

    Args:
        placement: the closures as placed.
        at: where it was pointed, in mm.
        reach_mm: how far it may be moved onto a closure; onto a corner or a line a little less.
        mark: the closure that it lay on before, which it stays with; 0 for none.
    """
    laps, what = worn_laps(placement), "lap" if placement.strap is None else "end"
    kept = next((one for one in placement.marks if one.n == mark), None)
    near = kept or min(placement.marks, key=lambda one: math.dist((one.x_mm, one.y_mm), at), default=None)
    if near is not None and (near is kept or math.dist((near.x_mm, near.y_mm), at) <= reach_mm):
        return TapeEnd((near.x_mm, near.y_mm), f"mark {near.n}", near.n)
    lines = [(lap.edge, f"the {lap.name} {what}’s finished edge") for lap in laps.both]
    corners: list[tuple[Point, str]] = []
    if placement.strap is None:
        corners = [
            (curve.point_at(along), f"{placement.ends[end]} at {name}")
            for curve, name in lines
            for end, along in ((0, 0.0), (1, curve.length_mm))
        ]
    for place, name in sorted(corners, key=lambda one: math.dist(one[0], at))[:1]:
        if math.dist(place, at) <= reach_mm:
            return TapeEnd(place, name)
    feet = [(curve.nearest(at), name) for curve, name in [*lines, (laps.line, "the closing line")]]
    foot, name = min(feet, key=lambda one: one[0].distance_mm)
    return TapeEnd(foot.point, name) if foot.distance_mm <= _LINES_REACH * reach_mm else TapeEnd(at)


def lay_tape(placement: Placement, one: TapeEnd, other: TapeEnd) -> LaidTape:
    """Measure between two points of the closed garment, on its exact lines."""
    laps = placement.laps.as_worn
    on_line = [laps.line.nearest(end.at) for end in (one, other)]
    on_edge = [laps.over.edge.nearest(end.at) for end in (one, other)]
    edge = abs(on_edge[1].along_mm - on_edge[0].along_mm) if placement.strap is None else None
    along = abs(on_line[1].along_mm - on_line[0].along_mm)
    return LaidTape((one, other), math.dist(one.at, other.at), along, edge)


def tape_told(placement: Placement, laid: LaidTape) -> str:
    """Tell a laid tape in a sentence, in the plan's unit."""
    units = placement.plan.units
    names_of = [end.name for end in laid.ends]
    names = [name or "a place beside the lines" for name in names_of]
    told = f"Tape from {names[0]} to {names[1]}: {format_length(laid.straight_mm, units)} straight"
    told += f", {format_length(laid.line_mm, units)} along the closing line"
    if laid.edge_mm is not None:
        told += f", {format_length(laid.edge_mm, units)} along the over lap’s finished edge"
    nearest = "" if all(names_of) else " Along a line is told between its points nearest to the ends."
    return f"{told}.{nearest}"


def laid_told(placement: Placement, asked: Mapping[str, str]) -> dict[str, Any]:
    """Answer a tape that was laid.

    Args:
        placement: the closures as placed.
        asked: ``from`` and ``to``, each ``x,y`` in mm as the picture has them; ``from_mark`` and ``to_mark``, closures
            that the ends stay with; ``reach``, how far an end may be moved onto something, in mm.

    Raises:
        PlanError: a place cannot be read.
    """
    reach = max(0.0, _numbers(asked.get("reach", "0"), 1)[0])
    ends = []
    for side in ("from", "to"):
        x, y = _numbers(asked.get(side, ""), 2)
        ends.append(end_at(placement, (x, y), reach, int(_numbers(asked.get(f"{side}_mark") or "0", 1)[0])))
    laid = lay_tape(placement, ends[0], ends[1])
    line = placement.laps.as_worn.line
    return {
        "ends": [
            {"at": end.at, "name": end.name, "mark": end.mark, "along": line.nearest(end.at).along_mm} for end in ends
        ],
        "straight": format_length(laid.straight_mm, placement.plan.units),
        "told": tape_told(placement, laid),
    }


def _numbers(text: str, count: int) -> list[float]:
    try:
        found = [float(part) for part in text.split(",")]
    except ValueError:
        found = []
    if len(found) != count or not all(abs(one) < _FARTHEST_MM for one in found):
        raise PlanError("this place cannot be read", mend="Load the page anew.")
    return found


def laid_tape_route(page: Page) -> Route:
    """The address that is asked how far two points of a plan's picture lie apart."""

    async def between(request: Request) -> Response:
        asked = {name: told[:100] for name, told in request.query_params.items()}

        def measure() -> dict[str, Any]:
            return laid_told(answer_of(page.table.find(request.path_params["name"])).placement, asked)

        try:
            return JSONResponse(await page.hands.by_hand(measure))
        except ClosureError as error:
            return JSONResponse({"message": str(error)}, 422)

    return Route("/plan/{name}/tape", between)
