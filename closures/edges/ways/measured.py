"""An edge that was measured: points in the plan, or a table of them beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.edges.beside import Seen
from closures.edges.points import read_points
from closures.edges.strays import stray_point
from closures.edges.ways.way import FileNeeded, Way
from closures.errors import EdgeError, Where
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.arrival import Arrival
    from closures.plan.edge import EdgeWish


def _is_told(wish: EdgeWish) -> bool:
    return wish.points is not None or wish.points_file is not None


def _files(wish: EdgeWish) -> tuple[FileNeeded, ...]:
    return () if wish.points_file is None else (FileNeeded(wish.points_file, "points"),)


def _edge(arrival: Arrival) -> Curve:
    where: str = Where(file=arrival.plan.where, section="edge", key="points")
    points = arrival.wish.points
    if points is None:
        from closures.edges.tables import read_table_of_points

        where = arrival.wish.points_file or ""
        measured = read_table_of_points(arrival.given.get(where, b""), where, arrival.plan.units)
        points = measured.points
        arrival.notes += measured.notes
    arrival.seen = Seen(stray=stray_point(points, arrival.plan.units))
    over = arrival.take(read_points(points, where, arrival.within_mm))
    crossings = over.crosses_itself()
    if crossings:
        show = shown_beside(arrival.plan.units)
        x, y = crossings[0]
        raise EdgeError(
            f"the edge crosses itself at x {show(x)}, y {show(y)}",
            where=where,
            mend="Write the points in order, from the first end to the last.",
        )
    return over


WAYS = (Way(_is_told, _edge, _files),)
