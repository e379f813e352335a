"""Where the laps of one opening lie on each other, closures of another opening miss their other half.

Terms: the *overlap* of an opening is the strip of its piece from the over lap's finished edge to the under lap's. What
is set there on the over lap, as the snaps of a crotch below a front, has the under lap between itself and what it
should meet; what is set on the under lap has the over lap on its outside.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from pathlib import Path
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.jobs.whole.clearances import Clearance, although_told_clear, clearances, is_told_clear
from closures.jobs.whole.frames import is_one_drawing, lie_on_two_sides, parts_of, turn_of
from closures.jobs.whole.out_of_it import Bites, Way, ways_out
from closures.jobs.whole.trying import try_change
from closures.lengths import SAME_MM, format_length
from closures.offered import up_mm
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import shapely

    from closures.catalogue.catalogue import Catalogue
    from closures.curve import Curve, Point
    from closures.jobs.whole.frames import Worked
    from closures.jobs.whole.trying import Trials
    from closures.plan.garment_file import GarmentFile

_SAGITTA_MM = 0.01


def under_overlaps(
    garment: GarmentFile, worked: Sequence[Worked], catalogue: Catalogue, trials: Trials
) -> Iterator[Clearance]:
    """Find closures of one opening in the overlap of another on the same drawing, on either half of the piece.

    Args:
        garment: the openings, for what is asked between them.
        worked: all of them, placed.
        catalogue: for the closures' sizes.
        trials: what is offered is tried with these.
    """
    cures: dict[tuple[str, str, tuple[int, ...]], str] = {}
    for lapped, other, found in _all_lying(worked, catalogue):
        # What is written into a plan holds for both sides of the body: it is found once.
        key = (lapped.opening.name, other.opening.plan, found.marks)
        if key not in cures:
            cures[key] = _cure(garment, lapped, other, found, worked, catalogue, trials)
        yield _told(lapped, other, found, cures[key])


def _all_lying(worked: Sequence[Worked], catalogue: Catalogue) -> Iterator[tuple[Worked, Worked, Lying]]:
    for lapped, other in permutations(worked, 2):
        if not _is_lapped(lapped) or not _is_other_row(lapped, other) or lie_on_two_sides(lapped, other):
            continue
        found = _lying(lapped, other, catalogue)
        if found is not None:
            yield lapped, other, found


def _is_lapped(one: Worked) -> bool:
    """Whether two halves of one piece lap there. What laps over another piece, as a crotch, keeps its layers below."""
    placement, garment = one.placement, one.placement.laps.garment
    return placement.plan.strap is None and not garment.is_meeting and garment.opens in (None, "front", "back")


def _is_other_row(lapped: Worked, other: Worked) -> bool:
    """Whether two rows close two places of one piece: those of one place, as a hidden row behind a front, share it."""
    places = [one.placement.laps.garment.opens or "front" for one in (lapped, other)]
    return other.placement.plan.strap is None and places[0] != places[1] and is_one_drawing(lapped, other)


@frozen
class Lying:
    """Closures that lie in an overlap.

    Attributes:
        marks: their numbers: of those whose centres do, where any does.
        reach: the numbers of all, of those too whose rims alone do.
        by_centre: their centres do; else their rims alone.
        worst: the number of the one that lies furthest in.
        deep_mm: how far it does, to where its rim is clear.
        wide_mm: how wide the overlap is.
        strip: the overlap, in the frame of the drawing.
    """

    marks: tuple[int, ...]
    reach: tuple[int, ...]
    by_centre: bool
    worst: int
    deep_mm: float
    wide_mm: float
    strip: shapely.Geometry


def _lying(lapped: Worked, other: Worked, catalogue: Catalogue) -> Lying | None:
    """What is told of the closures of one opening in the overlap of another."""
    found = _in_overlap(lapped, other, catalogue)
    return None if found is None or (is_told_clear(lapped, other) and not found.by_centre) else found


def _in_overlap(lapped: Worked, other: Worked, catalogue: Catalogue) -> Lying | None:
    import shapely

    laps, turn = lapped.placement.as_worn.laps.as_worn, turn_of(lapped.placement)
    edges = [_points(edge, turn) for edge in (laps.over.edge, laps.under.edge)]
    wide_mm = laps.under.edge.nearest(laps.over.edge.start).distance_mm
    strip, inner = _strip(edges[0], edges[1], wide_mm)
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
        return None
    deep, worst = max(centres or rims)
    marks = tuple(sorted(n for _, n in centres or rims))
    reach = tuple(sorted(n for _, n in (*centres, *rims)))
    return Lying(marks, reach, bool(centres), worst, deep, wide_mm, strip)


def _told(lapped: Worked, other: Worked, found: Lying, cure: str = "") -> Clearance:
    """What lies there, and what to do."""
    show, names = lapped.placement.plan.units, (other.opening.name, lapped.opening.name)
    which = f"{names[0]} {in_a_row([str(n) for n in found.marks])} {'lie' if found.marks[1:] else 'lies'}"
    where = f"where the {names[1]} laps over itself, {format_length(found.wide_mm, show)} from its edge"
    if not found.by_centre:
        text = f"{which} with its rim {where}, and bites the edge of the under lap there. {cure}"
        return Clearance("warn", *names, found.worst, None, -found.deep_mm, 0.0, text)
    text = (
        f"{which} {where}. There the under lap of {names[1]} comes between the two halves of a closure, and they "
        f"do not meet. {cure}"
    )
    failed = Clearance("fail", *names, found.worst, None, -found.deep_mm, 0.0, text)
    return although_told_clear(failed) if is_told_clear(lapped, other) else failed


def _cure(
    garment: GarmentFile,
    lapped: Worked,
    other: Worked,
    found: Lying,
    worked: Sequence[Worked],
    catalogue: Catalogue,
    trials: Trials,
) -> str:
    """What was tried and keeps the row clear of the overlap; else that nothing was found that does."""
    plan, file = trials.plan(other.opening), other.opening.plan
    looks: dict[str, tuple[str, ...]] = {}

    def between(openings: Sequence[Worked]) -> Sequence[Clearance]:
        return (
            *clearances(garment, openings, catalogue),
            *(_told(one, two, lying) for one, two, lying in _all_lying(openings, catalogue)),
        )

    def still(way: Way) -> Sequence[int] | None:
        placed = trials.place(other.opening, way.change(plan))
        if placed is None:
            return None
        left = _lying(lapped, replace(other, placement=placed[0]), catalogue)
        return () if left is None else left.reach

    def passes(way: Way) -> bool:
        # Most fail by what was asked in the first place: that is seen on one side of the body alone.
        left = still(way)
        if left is None or left:
            return False
        tried = try_change(way.change, file, worked, trials, between)
        if tried is None or any(
            one.opening == lapped.opening and two.opening.plan == file
            for one, two, _ in _all_lying(tried.worked, catalogue)
        ):
            return False
        looks[way.words] = tried.looks
        return True

    called: dict[str, None] = {}
    for ways in ways_out(other, plan, found.reach, _bites(found.strip), still):
        called[ways.called] = None
        way = ways.find(passes)
        if way is not None:
            more = f", and gives a look at {in_a_row(looks[way.words])}" if looks[way.words] else ""
            return f"Write {way.words} of {Path(file).name}, which keeps the row clear of it{more}."
    deep = format_length(up_mm(found.deep_mm, plan.units), plan.units)
    tried = f" ({in_a_row(list(called))} tried)" if called else ""
    return (
        f"Move such a closure {deep} or more further from that edge, square to it, or leave such a closure out: "
        f"nothing that {Path(file).name} can tell was found to keep the row clear of it{tried}."
    )


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
