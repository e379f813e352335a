"""The pattern pieces of both laps' bands, each made so that it cannot be taken for its neighbour.

Terms: the *band* shows on the outside, the *facing* lies behind it; a *folded* band is both in one, folded
on the finished edge; the *cut line* is the finished outline and the seam allowance.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.jobs.table.backing_side import lies_on_facing
from closures.placing.interfaced import INNER_HALF, OUTER_HALF
from closures.placing.lap_area import Ring, lap_area, ring_of
from closures.placing.stand import below_stand

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.placing.lap import Lap
    from closures.placing.placement import Placement
    from closures.plan.garment import SideName

_STRAIGHT_RAD = 1e-6
# Sides of an outline that are told as one figure, which is rounded to a tenth of a mm: our own rule.
_ALIKE_MM = 0.01
# How far a notch is cut in, and how far apart two stand: common practice.
_NOTCH_MM = 5.0
_NOTCH_STEP_MM = 8.0
_QUARTER, _HALF = 0.25, 0.5
NOTCHES: dict[SideName, int] = {"right": 1, "left": 2, "front": 1, "back": 2, "upper": 1, "lower": 2}
"""Notches of a piece for each side: one for the front and two for the back, as is common practice; the rest "
"likewise."""


@frozen
class Notch:
    """A notch: from the cut line towards the seam line, both in mm in the garment's frame."""

    start: tuple[float, float]
    end: tuple[float, float]


@frozen
class BandPiece:
    """One pattern piece.

    Attributes:
        lap: which lap it is for.
        side: which of the garment's sides carries it; whose: the same for people.
        name: band, facing or folded band.
        finished, cut: outlines in mm in the garment's frame, seen from outside with the garment closed.
        fold: the fold of a folded band, None for others.
        mirrored: its right side is seen from inside the garment, so it is drawn turned over.
        notches: as many as `NOTCHES` says on each edge that is matched.
        cloth, interfacing: how many to cut.
        half: behind which half of a folded band one interfacing lies; empty of others.
    """

    lap: LapName
    side: SideName
    whose: str
    name: Literal["band", "facing", "folded band"]
    finished: Ring
    cut: Ring
    fold: tuple[tuple[float, float], tuple[float, float]] | None
    mirrored: bool
    notches: tuple[Notch, ...]
    cloth: int
    interfacing: int
    half: str = ""


def rectangle_mm(piece: BandPiece) -> tuple[float, float] | None:
    """How long and how wide a piece is cut, in mm, the seam allowance included; None where it is no rectangle."""
    return sides_of_rectangle_mm(piece.cut)


def sides_of_rectangle_mm(ring: Ring) -> tuple[float, float] | None:
    """The long and the short side of an outline, in mm; None where it is no rectangle."""
    corners = _corners(ring)
    if len(corners) != 4:
        return None
    a, b, c, d = corners
    sides = [math.dist(*pair) for pair in ((a, b), (b, c), (c, d), (d, a))]
    # Alike opposite sides and diagonals: nothing else than a rectangle has both.
    alike = ((sides[0], sides[2]), (sides[1], sides[3]), (math.dist(a, c), math.dist(b, d)))
    if any(abs(one - other) > _ALIKE_MM for one, other in alike):
        return None
    return (max(sides), min(sides))


def straight_between_mm(piece: BandPiece, lap: Lap) -> tuple[float, float] | None:
    """From where to where along its lap's closing line both sides of a piece run straight; None where one bends."""
    sides = [curve for curve in (lap.edge, lap.line, lap.inner) if curve is not None]
    if any(curve.direction_range > _STRAIGHT_RAD for curve in sides):
        return None
    at = [lap.line.nearest(corner).along_mm for corner in _corners(piece.cut)]
    half = lap.line.length_mm / 2
    return max(along for along in at if along < half), min(along for along in at if along >= half)


def end_to_end_mm(piece: BandPiece, lap: Lap) -> float:
    """How long a straight piece is cut, from its furthest corner to its furthest, along its lap's closing line."""
    x, y = lap.line.tangent_at(0.0)
    along = [x * a + y * b for a, b in piece.cut]
    return max(along) - min(along)


def _corners(ring: Ring) -> list[tuple[float, float]]:
    """The points at which an outline turns."""
    points = list(dict.fromkeys((round(x, 6), round(y, 6)) for x, y in ring))
    around = zip(points[-1:] + points[:-1], points, points[1:] + points[:1], strict=True)
    return [at for before, at, after in around if abs(_turn(before, at, after)) > _STRAIGHT_RAD]


def _turn(before: tuple[float, float], at: tuple[float, float], after: tuple[float, float]) -> float:
    """By what angle an outline turns at a point, in rad, taken for its sine."""
    (ax, ay), (bx, by) = ((q[0] - p[0], q[1] - p[1]) for p, q in ((before, at), (at, after)))
    return (ax * by - ay * bx) / (math.hypot(ax, ay) * math.hypot(bx, by))


def along_bands(placement: Placement) -> Placement:
    """A placement for the lines that its bands run along: from the neck seam, to which a collar stand is sewn later."""
    if placement.plan.stand is None:
        return placement
    return replace(placement, laps=below_stand(placement.laps, placement.plan))


def band_pieces(placement: Placement) -> tuple[BandPiece, ...]:
    """Make the pieces of both laps.

    Args:
        placement: closures along an edge.

    Returns:
        Of each lap the band and its facing, or one folded band; none where the plan does not ask, and none of a row
        that is held back: what is set in place of it may want other bands.

    Raises:
        EdgeError: the band cannot follow the edge, or a curved edge was to be a fold.
    """
    wish = placement.plan.bands
    if wish is None or placement.strap is not None or placement.is_withheld:
        return ()
    pieces: list[BandPiece] = []
    for lap in along_bands(placement).laps.both:
        if lap.has_strip_without_edge:
            # A piece of the garment, such as a wrap's under front, has no band of its own at its edge.
            continue
        stiff, within = wish.interfacings_of(lap.name), lies_on_facing(placement, lap.name)
        if wish.made == "folded":
            pieces.append(_folded(lap, wish.allowance_mm, stiff, interfaced_half(placement, lap.name)))
        else:
            pieces.append(_piece(lap, "band", wish.allowance_mm, 0 if within else stiff))
            pieces.append(_piece(lap, "facing", wish.allowance_mm, stiff if within else 0))
    return tuple(pieces)


def interfaced_half(placement: Placement, lap: LapName) -> str:
    """Behind which half of a folded band one interfacing lies: the one that holds the closures."""
    return INNER_HALF if lies_on_facing(placement, lap) else OUTER_HALF


def _piece(lap: Lap, name: Literal["band", "facing"], allowance: float, interfacing: int) -> BandPiece:
    area = lap_area(lap)
    cut = _grown(area, allowance)
    notches = list(_notches(lap, lap.edge, _HALF, cut, area))
    if name == "band" and lap.inner is not None:
        notches += _notches(lap, lap.inner, _QUARTER, cut, area)
    side = _side(lap)
    return BandPiece(
        lap.name,
        side,
        lap.whose,
        name,
        ring_of(area),
        ring_of(cut),
        None,
        name == "facing",
        tuple(notches),
        1,
        interfacing,
    )


def _folded(lap: Lap, allowance: float, interfacing: int, half: str) -> BandPiece:
    from shapely.affinity import affine_transform
    from shapely.ops import unary_union

    if lap.edge.direction_range > _STRAIGHT_RAD:
        raise EdgeError(
            f"the {lap.name} lap's finished edge is curved and cannot be a fold",
            where=in_section("bands", "made"),
            mend='Write made = "two pieces".',
        )
    area = lap_area(lap)
    (x0, y0), (x1, y1) = lap.edge.start, lap.edge.end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    # The mirror image in the line of the finished edge: 2 u uT - 1, about the edge's start.
    a, b, d, e = 2 * ux * ux - 1, 2 * ux * uy, 2 * ux * uy, 2 * uy * uy - 1
    other = affine_transform(area, [a, b, d, e, x0 - a * x0 - b * y0, y0 - d * x0 - e * y0])
    whole = unary_union([area, other]).buffer(0)
    if whole.geom_type != "Polygon":
        raise EdgeError(
            "the folded band is not one piece", where=in_section("bands"), mend='Write made = "two pieces".'
        )
    cut = _grown(whole, allowance)
    notches = () if lap.inner is None else tuple(_notches(lap, lap.inner, _QUARTER, cut, whole))
    return BandPiece(
        lap.name,
        _side(lap),
        lap.whose,
        "folded band",
        ring_of(whole.simplify(1e-6)),
        ring_of(cut.simplify(1e-6)),
        (lap.edge.start, lap.edge.end),
        False,
        notches,
        1,
        interfacing,
        half,
    )


def _side(lap: Lap) -> SideName:
    if lap.side is None:
        raise EdgeError("the side is not told", where=in_section("band", "lap"), mend='Write lap = "right over left".')
    return lap.side


def _grown(area: Any, by_mm: float) -> Any:
    return area.buffer(by_mm, join_style="mitre", mitre_limit=2.0) if by_mm else area


def _notches(lap: Lap, edge: Curve, share: float, cut: Any, area: Any) -> list[Notch]:
    """Notches on the cut line beside an edge: one for the wearer's right, two for the left."""
    from shapely.geometry import LineString, Point

    found = []
    count = NOTCHES[_side(lap)]
    middle = share * edge.length_mm
    for k in range(count):
        # On an edge shorter than the notches stand apart they lie at its ends.
        along = min(max(middle + (k - (count - 1) / 2) * _NOTCH_STEP_MM, 0.0), edge.length_mm)
        (x, y), (tx, ty) = edge.point_at(along), edge.tangent_at(along)
        outwards = (-ty, tx)
        if area.contains(Point(x + 0.5 * outwards[0], y + 0.5 * outwards[1])):
            outwards = (ty, -tx)
        ray = LineString([(x, y), (x + 100.0 * outwards[0], y + 100.0 * outwards[1])])
        hit = ray.intersection(cut.exterior)
        start = (x, y)
        if not hit.is_empty:
            nearest = min(getattr(hit, "geoms", [hit]), key=lambda one: one.distance(Point(x, y)))
            start = (float(nearest.coords[0][0]), float(nearest.coords[0][1]))
        depth = min(_NOTCH_MM, max(Point(start).distance(Point(x, y)), 3.0))
        found.append(Notch(start, (start[0] - depth * outwards[0], start[1] - depth * outwards[1])))
    return found
