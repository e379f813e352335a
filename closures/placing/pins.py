"""Pins: places of two pieces drawn apart that are sewn level with each other."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.placing.foot import foot_of
from closures.plan.place import LevelPlace
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from closures.curve import Curve, Point
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.plan.place import PlaceWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units

Pins = tuple[tuple["Point", "Point"], ...]
Knots = tuple[tuple[float, float], ...]


def pin_at(place: PlaceWish, edges: Edges) -> Point:
    """Find one place of `match` in the drawing."""
    if isinstance(place, LevelPlace):
        raise EdgeError(
            "a level is no place that two pieces drawn apart have in common",
            where=in_section("edge", "match"),
            mend='Write the ids of two notches, or two points such as ["12 mm", "340 mm"].',
        )
    return edges.point(place)


def pinned(over: Curve, under: Curve, pins: Pins, most_mm: float, what: str, units: Units) -> Knots:
    """Find the pins along both closing lines, or both finished edges, in order."""
    placed, show = [], shown_beside(units)
    for n, pair in enumerate(pins, 1):
        alongs = []
        for lap, line, point in zip(("over", "under"), (over, under), pair, strict=True):
            near = foot_of(line, point)
            if near.distance_mm > most_mm:
                raise EdgeError(
                    f"the place on the {lap} lap in pair {n} lies {show(near.distance_mm)} from its {what}",
                    where=in_section("edge", "match"),
                    mend="Write the over lap's notch first, then the under lap's, as they stand in the drawing.",
                )
            if near.feet_mm is not None and not near.is_corner:
                low, high = near.feet_mm
                raise EdgeError(
                    f"two places on the {lap} lap's {what} are equally near to its place in pair {n}, {show(low)} and "
                    f"{show(high)} along",
                    where=in_section("edge", "match"),
                    mend="Write a place that lies on the edge or beside it, nearer to one of the two.",
                )
            alongs.append(near.along_mm)
        placed.append((alongs[0], alongs[1]))
    placed.sort()
    knots = [(0.0, 0.0), *placed, (over.length_mm, under.length_mm)]
    for (a, b), (c, d) in itertools.pairwise(knots):
        if c - a <= 0.0 or d - b <= 0.0:
            raise EdgeError(
                f"the pins cross: {show(a)} and {show(c)} along the over lap are {show(b)} and {show(d)} along the "
                "under lap",
                where=in_section("edge", "match"),
                mend="Write each pair once, the over lap's notch first, none at an end of the line.",
            )
    return tuple(placed)


def pins_at_corners(plan: Plan, edges: Edges, laps: Laps, show: Callable[[float], str]) -> Iterator[str]:
    """Say which places of `match` lie at a corner, where two places along are equally near."""
    if not laps.is_apart or plan.edge is None:
        return
    is_by_edge = laps.under.facing is not None
    lines = [lap.edge if is_by_edge else lap.line for lap in laps.both]
    for n, pair in enumerate(plan.edge.match, 1):
        for lap, line, place in zip(laps.both, lines, pair, strict=True):
            foot = foot_of(line, pin_at(place, edges))
            if foot.feet_mm is not None:
                low, high = map(show, foot.feet_mm)
                yield (
                    f"The place on the {lap.name} lap in pair {n} of match lies at a corner, where {low} and {high} "
                    f"along are equally near: taken is the middle, {show(foot.along_mm)} along."
                )
