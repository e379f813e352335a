"""Where the laps of one opening lie on each other, closures of another opening miss their other half.

Terms: the *overlap* of an opening is the strip of its piece from the over lap's finished edge to the under lap's. What
is set there on the over lap, as the snaps of a crotch below a front, has the under lap between itself and what it
should meet; what is set on the under lap has the over lap on its outside.
"""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING

from closures.jobs.whole.clear_ends import Bites, clear_end
from closures.jobs.whole.clearances import Clearance, although_told_clear, is_told_clear
from closures.jobs.whole.frames import is_one_drawing, lie_on_two_sides, parts_of, turn_of
from closures.lengths import SAME_MM, format_length
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import shapely

    from closures.catalogue.catalogue import Catalogue
    from closures.curve import Curve, Point
    from closures.jobs.whole.frames import Worked

_SAGITTA_MM = 0.01


def under_overlaps(worked: Sequence[Worked], catalogue: Catalogue) -> Iterator[Clearance]:
    """Find closures of one opening in the overlap of another on the same drawing, on either half of the piece.

    Args:
        worked: all openings of the garment.
        catalogue: for the closures' sizes.
    """
    for lapped, other in permutations(worked, 2):
        if not _is_lapped(lapped) or not _is_other_row(lapped, other) or lie_on_two_sides(lapped, other):
            continue
        for found in _in_overlap(lapped, other, catalogue):
            if not is_told_clear(lapped, other):
                yield found
            elif found.result == "fail":
                yield although_told_clear(found)


def _is_lapped(one: Worked) -> bool:
    """Whether two halves of one piece lap there. What laps over another piece, as a crotch, keeps its layers below."""
    placement, garment = one.placement, one.placement.laps.garment
    return placement.plan.strap is None and not garment.is_meeting and garment.opens in (None, "front", "back")


def _is_other_row(lapped: Worked, other: Worked) -> bool:
    """Whether two rows close two places of one piece: those of one place, as a hidden row behind a front, share it."""
    places = [one.placement.laps.garment.opens or "front" for one in (lapped, other)]
    return other.placement.plan.strap is None and places[0] != places[1] and is_one_drawing(lapped, other)


def _in_overlap(lapped: Worked, other: Worked, catalogue: Catalogue) -> Iterator[Clearance]:
    import shapely

    laps, turn = lapped.placement.as_worn.laps.as_worn, turn_of(lapped.placement)
    edges = [_points(edge, turn) for edge in (laps.over.edge, laps.under.edge)]
    wide_mm = laps.under.edge.nearest(laps.over.edge.start).distance_mm
    strip, inner = _strip(edges[0], edges[1], wide_mm)
    show, names = lapped.placement.plan.units, (other.opening.name, lapped.opening.name)
    centres: list[tuple[float, int]] = []
    rims: list[tuple[float, int]] = []
    for part in parts_of(other, catalogue):
        if part.ends[0] != part.ends[1]:
            continue
        at = shapely.Point(part.ends[0])
        if strip.contains(at):
            centres.append((float(at.distance(inner)) + part.round_mm, part.n))
        elif (into := part.round_mm - float(strip.distance(at))) > SAME_MM:
            rims.append((into, part.n))
    if not centres and not rims:
        return
    deep, n = max(centres or rims)
    found = [n for _, n in sorted(centres or rims, key=lambda one: one[1])]
    which = f"{names[0]} {in_a_row([str(one) for one in found])} {'lie' if found[1:] else 'lies'}"
    where = f"where the {names[1]} laps over itself, {format_length(wide_mm, show)} from its edge"
    by = clear_end(other, found, _bites(strip)) or (
        f"Move such a closure {format_length(deep, show)} or more further from that edge, square to it"
    )
    if centres:
        text = (
            f"{which} {where}. There the under lap of {names[1]} comes between the two halves of a closure, and they "
            f"do not meet. {by}, or leave such a closure out."
        )
        yield Clearance("fail", *names, n, None, -deep, 0.0, text)
        return
    text = f"{which} with its rim {where}, and bites the edge of the under lap there. {by}."
    yield Clearance("warn", *names, n, None, -deep, 0.0, text)


def _bites(strip: shapely.Geometry) -> Bites:
    """Whether a rim so far round a point reaches into a strip."""
    import shapely

    return lambda point, round_mm: round_mm - float(strip.distance(shapely.Point(point))) > SAME_MM


def _points(curve: Curve, turn: float) -> list[Point]:
    return [(turn * x, y) for x, y in curve.approximate_polyline(_SAGITTA_MM)]


def _strip(over: list[Point], under: list[Point], by_mm: float) -> tuple[shapely.Geometry, shapely.LineString]:
    """The strip between two edges, and the edge beneath; both run on at either end, to what crosses them there."""
    import shapely

    both = [_run_on(points, by_mm) for points in (over, under)]
    polygon = shapely.Polygon([*both[0], *reversed(both[1])])
    return shapely.make_valid(polygon), shapely.LineString(both[1])


def _run_on(points: list[Point], by_mm: float) -> list[Point]:
    def beyond(end: Point, before: Point) -> Point:
        (x, y), (px, py) = end, before
        far = ((x - px) ** 2 + (y - py) ** 2) ** 0.5 or 1.0
        return (x + (x - px) / far * by_mm, y + (y - py) / far * by_mm)

    return [beyond(points[0], points[1]), *points, beyond(points[-1], points[-2])]
