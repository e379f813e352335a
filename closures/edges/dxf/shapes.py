"""Single entities of a DXF drawing as segments, in the drawing's own units, y up.

Terms: a *bulge* is the tangent of a quarter of the angle that an arc between two vertices sweeps; the
*extrusion* is the side from which an entity was drawn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from closures.curve import Arc, Cubic, Line, Point, Segment
from closures.edges.affine import Affine

# Segments shorter than this are drawing noise, in units of the drawing.
_NOTHING = 1e-7

# An arc whose radius is so large that it misses its end by more is a straight line, or none.
_MISSED = 1e-9

# An entity whose plane leans by more, as the cosine, or that climbs by more than this share, is not drawn flat.
_UPRIGHT, _CLIMB = 0.999999, 1e-6

# A spline that is no plain cubic is followed by cubics to within this, in units of the drawing.
_SPLINE_WITHIN = 1e-5
_SPLINE_HALVINGS = 12

# Beyond this many pieces a spline is no edge.
_MOST_PIECES = 20_000

_MIRRORED = Affine(-1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def entity_segments(entity: Any) -> list[Segment]:
    """The segments that an entity draws.

    Args:
        entity: LINE, ARC, CIRCLE, ELLIPSE, LWPOLYLINE, POLYLINE or SPLINE.

    Returns:
        Segments end to end, in the frame of the block or the drawing that it stands in; none for
        any other entity, or one that is drawn in another plane.
    """
    draw = _DRAWN.get(entity.dxftype())
    if draw is None or not _is_level(entity):
        return []
    segments = draw(entity)
    if entity.dxftype() in _IN_OWN_PLANE:
        side = entity.dxf.get("extrusion", (0, 0, 1))[2]
        if abs(side) < _UPRIGHT:
            return []
        if side < 0:
            segments = [one for segment in segments for one in _MIRRORED.segments(segment)]
    if not all(math.isfinite(one.length_mm) for one in segments):
        # A point of it is no number: without that piece the rest would be two lines that pass for one.
        return []
    return [one for one in segments if one.length_mm > _NOTHING]


def _is_level(entity: Any) -> bool:
    """Whether all of an entity that is not written in a plane of its own lies at one height: seen from above, a line
    that climbs would be too short."""
    kind = entity.dxftype()
    if kind == "LINE":
        places = [entity.dxf.start, entity.dxf.end]
    elif kind == "SPLINE":
        places = [*entity.control_points, *entity.fit_points]
    elif kind == "POLYLINE" and entity.is_3d_polyline:
        places = [vertex.dxf.location for vertex in entity.vertices]
    elif kind == "ELLIPSE":
        return abs(float(entity.dxf.get("extrusion", (0, 0, 1))[2])) >= _UPRIGHT
    else:
        return True
    heights = [float(place[2]) for place in places]
    return not heights or max(heights) - min(heights) <= _CLIMB * (1 + max(map(abs, heights)))


def entity_point(entity: Any) -> Point | None:
    """The place of a POINT, or the centre of a CIRCLE; None for any other entity."""
    kind = entity.dxftype()
    if kind == "POINT":
        return None if entity.dxf.location is None else _flat(entity.dxf.location)
    if kind == "CIRCLE" and entity.dxf.center is not None:
        x, y = _flat(entity.dxf.center)
        return (-x, y) if entity.dxf.get("extrusion", (0, 0, 1))[2] < 0 else (x, y)
    return None


def _line(entity: Any) -> list[Segment]:
    return [Line(_flat(entity.dxf.start), _flat(entity.dxf.end))]


def _arc(entity: Any) -> list[Segment]:
    begin, end = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
    sweep = (end - begin) % math.tau or math.tau
    return [Arc(_flat(entity.dxf.center), abs(entity.dxf.radius), begin, sweep)] if entity.dxf.radius else []


def _circle(entity: Any) -> list[Segment]:
    if not entity.dxf.radius:
        return []
    # Two halves, so that the ring has a joint to be cut at.
    centre, radius = _flat(entity.dxf.center), abs(entity.dxf.radius)
    return [Arc(centre, radius, 0.0, math.pi), Arc(centre, radius, math.pi, math.pi)]


def _ellipse(entity: Any) -> list[Segment]:
    major, ratio = entity.dxf.major_axis, entity.dxf.ratio
    side = entity.dxf.get("extrusion", (0, 0, 1))[2]
    turned = -ratio if side < 0 else ratio
    x, y = _flat(entity.dxf.center)
    # The unit circle, laid on the two axes.
    onto = Affine(major[0], major[1], -major[1] * turned, major[0] * turned, x, y)
    if not onto.is_usable:
        return []
    begin, end = entity.dxf.start_param, entity.dxf.end_param
    sweep = (end - begin) % math.tau or math.tau
    if not math.isfinite(sweep):
        return []
    return onto.segments(Arc((0.0, 0.0), 1.0, begin, sweep))


def _lwpolyline(entity: Any) -> list[Segment]:
    # ezdxf keeps them in an array, whose figures are not plain floats.
    points = [((float(x), float(y)), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _with_bulges(points, bool(entity.closed))


def _polyline(entity: Any) -> list[Segment]:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return []
    # Vertices with flag 16 only frame a spline, which the others draw.
    kept = [vertex for vertex in entity.vertices if not vertex.dxf.get("flags", 0) & 16]
    points = [(_flat(vertex.dxf.location), vertex.dxf.get("bulge", 0.0)) for vertex in kept]
    return _with_bulges(points, bool(entity.is_closed))


def _with_bulges(points: Sequence[tuple[Point, float]], is_closed: bool) -> list[Segment]:
    found: list[Segment] = []
    following = [*points[1:], points[0]] if is_closed and points else points[1:]
    for (a, bulge), (b, _) in zip(points, following, strict=False):
        if math.dist(a, b) <= _NOTHING:
            continue
        if abs(bulge) < 1e-9:
            found.append(Line(a, b))
            continue
        dx, dy = b[0] - a[0], b[1] - a[1]
        off = (1 - bulge * bulge) / (4 * bulge)
        centre = ((a[0] + b[0]) / 2 - dy * off, (a[1] + b[1]) / 2 + dx * off)
        angle = math.atan2(a[1] - centre[1], a[0] - centre[0])
        arc = Arc(centre, math.dist(centre, a), angle, 4 * math.atan(bulge))
        if math.dist(arc.end, b) <= _MISSED:
            found.append(arc)
        elif abs(bulge) < 1:
            found.append(Line(a, b))
        else:
            # So large that its own figures no longer tell where it ends: nobody drew this.
            return []
    return found


def _spline(entity: Any) -> list[Segment]:
    curve = entity.construction_tool()
    if curve.degree == 3 and not curve.is_rational and curve.is_clamped:
        pieces = [[_flat(p) for p in four] for four in curve.bezier_decomposition()]
        return [Cubic(*four) for four in pieces if max(math.dist(four[0], p) for p in four) > _NOTHING]
    knots = sorted({float(knot) for knot in curve.knots()})
    low, high = float(curve.knots()[curve.order - 1]), float(curve.knots()[-curve.order])

    def at(t: float) -> tuple[Point, Point]:
        point, slope = curve.derivative(t, 1)
        return _flat(point), _flat(slope)

    borders = [low, *(knot for knot in knots if low < knot < high), high]
    found: list[Segment] = []
    for t0, t1 in pairwise(borders):
        found += _followed(at, t0, t1)
        if len(found) > _MOST_PIECES:
            return []
    return found


def _followed(at: Callable[[float], tuple[Point, Point]], low: float, high: float) -> list[Segment]:
    """Cubics with a curve's own points and slopes, halved until they keep close to it."""
    done: list[Segment] = []
    waiting = [(low, high, 0)]
    while waiting:
        t0, t1, halved = waiting.pop()
        (p0, d0), (p3, d3) = at(t0), at(t1)
        third = (t1 - t0) / 3
        p1 = (p0[0] + d0[0] * third, p0[1] + d0[1] * third)
        p2 = (p3[0] - d3[0] * third, p3[1] - d3[1] * third)
        off = max(math.dist(_on_cubic(p0, p1, p2, p3, u), at(t0 + (t1 - t0) * u)[0]) for u in (0.25, 0.5, 0.75))
        if off <= _SPLINE_WITHIN or halved >= _SPLINE_HALVINGS:
            if max(math.dist(p0, p) for p in (p1, p2, p3)) > _NOTHING:
                done.append(Cubic(p0, p1, p2, p3))
        else:
            middle = (t0 + t1) / 2
            waiting += [(middle, t1, halved + 1), (t0, middle, halved + 1)]
    return done


def _on_cubic(p0: Point, p1: Point, p2: Point, p3: Point, t: float) -> Point:
    u = 1 - t
    a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
    return (
        a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0],
        a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1],
    )


def _flat(vector: Any) -> Point:
    # A broken file may lack a place: what is drawn from it has no length, and is left out.
    return (math.nan, math.nan) if vector is None else (float(vector[0]), float(vector[1]))


_DRAWN: dict[str, Callable[[Any], list[Segment]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}

# These are written in a plane of their own; the others stand in the drawing's.
_IN_OWN_PLANE = ("ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE")
