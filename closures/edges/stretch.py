"""A stretch of a longer line: the part between two places, open or round a closed outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.curve import Curve, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.dents import Dent, without_notches
from closures.edges.drawing import CLOSED_MM
from closures.edges.judged import MOST_SEGMENTS, judge, too_many
from closures.edges.sampled import ReadLine, read_line
from closures.errors import DrawingError
from closures.frozen import frozen
from closures.lengths import format_mm
from closures.plan.place import LevelPlace

if TYPE_CHECKING:
    from closures.plan.shown import Show

# A place further from the line than this was not meant to be on it: a bust point lies 50 mm and more inside a front, a
# notch is drawn up to 6 mm in, and the nearest place to what lies further may be any.
_MOST_AWAY_MM = 10.0

# Two ways round an outline that differ by no more than this share are as good as each other.
_ALIKE = 0.02

# Two places nearer than this leave no edge between them.
_LEAST_MM = 1.0

# A place this near to a corner is meant to be the corner, and one this near to a joint is on it.
_AT_CORNER_MM = 0.5
_SHARP_DEG = 20.0
_AT_JOINT_MM = 1e-4

# Points this near to the stretch stood for it, and not for the rest of an outline.
_BESIDE_MM = 1.0

# A corner that turns by less than this is drawing noise.
_CORNER_DEG = 5.0

Where = Point | LevelPlace
"""A point in mm, or a level whose height is already that of the drawing's y."""


@frozen
class Stretch:
    """A stretch, cut.

    Attributes:
        curve: from its first end to its last.
        notes: what the user should know of it.
        piece_on: the hand on which the inside of an outline lies for somebody who walks the edge from
            its first end to its last; None where the line is open.
        points: the points that stood for it, in mm.
        outline: the closed outline that it is cut out of, None where the line is open.
        dents: notches that were taken out of it.
        rough_mm: what its points are out by, as of a `ReadLine`.
    """

    curve: Curve
    notes: tuple[str, ...]
    piece_on: Literal["right", "left"] | None = None
    points: tuple[Point, ...] = ()
    outline: Curve | None = None
    dents: tuple[Dent, ...] = ()
    rough_mm: float = 0.0


def cut_stretch(
    chains: Sequence[Sequence[Segment]],
    begins: Where,
    ends: Where,
    via: Where | None,
    where: str,
    within_mm: float = READ_WITHIN_MM,
    show: Show = format_mm,
) -> Stretch:
    """Cut the stretch between two places out of a line.

    Args:
        chains: lines in mm; of several the one nearest to both places is taken.
        begins, ends: where the edge begins and ends.
        via: a place that it passes; without one it goes the shorter way round an outline.
        where: the place for messages.
        within_mm: what points that stand for a curve may be out by.
        show: writes a length for people, in the units of the plan.

    Returns:
        The stretch, running from ``begins`` to ``ends``.

    Raises:
        DrawingError: a place is not on the line, the two are one, both ways round are as good, or the
            stretch is no edge.
    """
    segments = _chosen(chains, (begins, ends), where)
    if len(segments) > MOST_SEGMENTS:
        raise too_many(where)
    raw, dents = without_notches(Curve(tuple(segments)))
    is_closed = math.dist(raw.start, raw.end) < CLOSED_MM and len(raw.segments) > 1
    firsts, lasts = _along(raw, begins, f"{where}, from", show), _along(raw, ends, f"{where}, to", show)
    between = None if via is None else _along(raw, via, f"{where}, via", show)[0]
    one, other = _least_apart(firsts, lasts, between, raw.length_mm if is_closed else None)
    if not is_closed:
        read = read_line(raw.segments, within_mm)
        edge = _open_cut(read.curve, raw, (one, other), between, where)
    else:
        read, edge = _closed_cut(raw, one, other, between, where, within_mm, show)
    judge(edge, where)
    side = _inside_of(raw, edge) if is_closed else None
    points = tuple(point for point in read.points if edge.nearest(point).distance_mm <= _BESIDE_MM)
    return Stretch(
        edge,
        (_told(edge, raw, is_closed, show), *read.notes, *_corners(edge, show)),
        side,
        points,
        raw if is_closed else None,
        tuple(one for one in dents if edge.nearest(one.at).distance_mm <= _BESIDE_MM),
        read.rough_mm if points else 0.0,
    )


def _chosen(chains: Sequence[Sequence[Segment]], places: tuple[Where, Where], where: str) -> Sequence[Segment]:
    points = [place for place in places if not isinstance(place, LevelPlace)]
    if len(chains) == 1:
        return chains[0]
    if not points:
        raise DrawingError(
            f"these are {len(chains)} lines that do not touch",
            where=where,
            mend="Name one of them, or write from and to as points or ids.",
        )
    far = {i: max(Curve(tuple(chain)).nearest(p).distance_mm for p in points) for i, chain in enumerate(chains)}
    return chains[min(far, key=lambda i: far[i])]


def _least_apart(
    firsts: Sequence[float], lasts: Sequence[float], between: float | None, round_mm: float | None
) -> tuple[float, float]:
    """Of places that a level hem or neck offers, its two corners, the ones at which the edge first meets it.

    Args:
        firsts, lasts: along the line, where the edge may begin and end.
        between: a place that it passes.
        round_mm: length of a closed outline, None for an open line.
    """

    def apart(pair: tuple[float, float]) -> float:
        one, other = pair
        if round_mm is None:
            return abs(other - one)
        forward = (other - one) % round_mm
        if between is not None:
            return forward if (between - one) % round_mm < forward else round_mm - forward
        return min(forward, round_mm - forward)

    return min(((one, other) for one in firsts for other in lasts), key=apart)


def _along(curve: Curve, place: Where, where: str, show: Show) -> tuple[float, ...]:
    """Where a place lies along a line; of a level stretch both its corners."""
    if isinstance(place, LevelPlace):
        return _at_level(curve, place, where, show)
    near = curve.nearest(place)
    if near.distance_mm > _MOST_AWAY_MM:
        raise DrawingError(
            f"x {show(place[0])}, y {show(place[1])} lies {show(near.distance_mm)} from the line",
            where=where,
            mend=f"Name a place on it, within {show(_MOST_AWAY_MM)}, and check the unit of the figures and the "
            "scale of the drawing.",
        )
    return (near.along_mm,)


def _at_level(curve: Curve, place: LevelPlace, where: str, show: Show) -> tuple[float, ...]:
    found = list(curve.level_stretches(place.level_mm, place.level_mm))
    # The place where a ring is closed is one place, though it is both ends.
    if len(found) > 1 and math.dist(curve.point_at(found[0][0]), curve.point_at(found[-1][1])) < CLOSED_MM:
        found = [(found[-1][0], found[0][1]), *found[1:-1]]
    if not found:
        _, top, _, bottom = curve.box
        raise DrawingError(
            f"the line does not meet y {show(place.level_mm)}; it lies between {show(top)} and {show(bottom)}",
            where=where,
            mend="Check the level and the level zero.",
        )
    if len(found) == 1 and place.which in (None, 1):
        return found[0]
    if place.which is not None and place.which <= len(found):
        return found[place.which - 1]
    places = ", ".join(f"{n} at x {show(curve.point_at(low)[0])}" for n, (low, _) in enumerate(found, 1))
    raise DrawingError(
        f"the line meets y {show(place.level_mm)} {len(found)} times: {places}",
        where=where,
        mend="Say which, as in { level = ..., which = 1 }.",
    )


def _open_cut(curve: Curve, raw: Curve, along: tuple[float, float], between: float | None, where: str) -> Curve:
    # The places are looked for again on the smooth curve, which lies a little beside the chords.
    one, other = (_found_again(curve, raw.point_at(s)) for s in along)
    low, high = min(one, other), max(one, other)
    if high - low < _LEAST_MM:
        raise _nothing_between(where)
    if between is not None and not min(along) < between < max(along):
        raise DrawingError(
            "via does not lie between from and to on this line", where=where, mend="Leave via out, or move it."
        )
    cut = curve.stretch(low, high)
    return cut if one < other else cut.reversed()


def _closed_cut(
    raw: Curve, one: float, other: float, between: float | None, where: str, within_mm: float, show: Show
) -> tuple[ReadLine, Curve]:
    whole = raw.length_mm
    forward = (other - one) % whole
    backward = whole - forward
    if min(forward, backward) < _LEAST_MM:
        raise _nothing_between(where)
    if between is not None:
        goes_forward = (between - one) % whole < forward
    elif abs(forward - backward) <= _ALIKE * whole:
        raise DrawingError(
            f"both ways round the outline are about as long, {show(forward)} and {show(backward)}",
            where=where,
            mend="Say which with via: a point, an id or a level on the way.",
        )
    else:
        goes_forward = forward < backward
    # Turned so that it opens in the middle of the rest, runs of chords stay whole on both sides of each end.
    begin, length = (one, forward) if goes_forward else (other, backward)
    opens = (begin + length + (whole - length) / 2) % whole
    read = read_line(_opened_at(raw, opens), within_mm)
    first, last = (_found_again(read.curve, raw.point_at(s % whole)) for s in (one, other))
    cut = read.curve.stretch(min(first, last), max(first, last))
    return read, cut if first < last else cut.reversed()


def _found_again(curve: Curve, point: Point) -> float:
    """Where a point lies on the smooth curve: at the corner or the joint that it is next to, if any."""
    along = curve.nearest(point).along_mm
    corners = [s for s, _ in curve.corners(_SHARP_DEG) if abs(s - along) <= _AT_CORNER_MM]
    if corners:
        return min(corners, key=lambda s: abs(s - along))
    joint = min(curve.starts, key=lambda s: abs(s - along))
    return joint if abs(joint - along) <= _AT_JOINT_MM else along


def _opened_at(ring: Curve, along: float) -> tuple[Segment, ...]:
    parts: list[Segment] = []
    for low, high in ((along, ring.length_mm), (0.0, along)):
        if high - low > 1e-6:
            parts += ring.stretch(low, high).segments
    return tuple(parts)


def _inside_of(ring: Curve, edge: Curve) -> Literal["right", "left"]:
    """The hand on which a ring's inside lies, by its signed area and the way the edge runs on it."""
    points = ring.approximate_polyline(1.0)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(points))
    middle = edge.length_mm / 2
    tx, ty = edge.tangent_at(middle)
    rx, ry = ring.tangent_at(ring.nearest(edge.point_at(middle)).along_mm)
    return "right" if area * (tx * rx + ty * ry) > 0 else "left"


def _nothing_between(where: str) -> DrawingError:
    return DrawingError(
        "from and to are the same place on the line", where=where, mend="Write two places that lie apart."
    )


def _told(edge: Curve, raw: Curve, is_closed: bool, show: Show) -> str:
    kind = "an outline" if is_closed else "a line"
    begin, end = (f"x {show(x)}, y {show(y)}" for x, y in (edge.start, edge.end))
    return f"The edge is {show(edge.length_mm)} of {kind} of {show(raw.length_mm)}, from {begin} to {end}."


def _corners(edge: Curve, show: Show) -> list[str]:
    return [
        f"The edge turns a corner of {abs(turn):.0f}° at {show(along)} along it "
        f"(x {show(edge.point_at(along)[0])}, y {show(edge.point_at(along)[1])})."
        for along, turn in edge.corners(_CORNER_DEG)
    ]
