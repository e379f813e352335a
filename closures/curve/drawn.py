"""Curves as drawing programs take them: chords and cubics that stay close to the exact segment."""

from __future__ import annotations

import math
from itertools import pairwise

from closures.curve.algebra import Controls, point_of
from closures.curve.arc import Arc
from closures.curve.cubic import Cubic
from closures.curve.line import Line, Point
from closures.curve.offset_piece import OffsetPiece
from closures.curve.segment import Segment

Command = tuple[str | float, ...]

# How far a drawn line may be from the exact one: a hundredth of the finest pen.
DRAWN_WITHIN_MM = 0.001

# Where a fitted cubic is held against the piece; three places see both a bow and an S.
_HELD_AT = (0.25, 0.5, 0.75)

# The least stretch of parameter that is split further.
_LEAST_STEP = 1e-6


def approximate_chords(segment: Segment, sagitta_mm: float) -> list[float]:
    """Parameters of chords that leave a segment by no more than the sagitta, from the second on."""
    if isinstance(segment, Line):
        return [1.0]
    if isinstance(segment, Arc):
        half = 2 * math.acos(max(0.0, 1 - sagitta_mm / segment.radius))
        count = max(1, math.ceil(abs(segment.sweep) / half - 1e-12)) if half > 0 else 1
        return [i / count for i in range(1, count)] + [1.0]
    places: list[float] = []
    borders = (0.0, *segment.turning_places(), 1.0)
    for low, high in pairwise(borders):
        places += _chords_between(segment, low, high, sagitta_mm)
    return places


def _chords_between(piece: Cubic | OffsetPiece, low: float, high: float, sagitta_mm: float) -> list[float]:
    done: list[float] = []
    waiting = [(low, high)]
    while waiting:
        t0, t1 = waiting.pop()
        one, other = piece.point(t0), piece.point(t1)
        # A tenth is kept back for what lies between the places that are held.
        bow = max(_from_line(piece.point(t0 + (t1 - t0) * u), one, other) for u in _HELD_AT)
        turn = abs(piece.turning_to(t1) - piece.turning_to(t0))
        if (bow <= 0.9 * sagitta_mm and turn < 1) or t1 - t0 < _LEAST_STEP:
            done.append(t1)
        else:
            middle = (t0 + t1) / 2
            waiting += [(middle, t1), (t0, middle)]
    return done


def approximate_commands(segment: Segment) -> list[Command]:
    """Commands L and C that draw a segment from its start, true to `DRAWN_WITHIN_MM`."""
    if isinstance(segment, Line):
        return [("L", *segment.end)]
    if isinstance(segment, Cubic):
        return [("C", *segment.p1, *segment.p2, *segment.p3)]
    if isinstance(segment, Arc):
        return _arc_commands(segment)
    return _piece_commands(segment)


def _arc_commands(arc: Arc) -> list[Command]:
    """Draw an arc by cubics.

    A cubic over an angle a with handles (4/3) tan(a/4) r leaves the circle by about
    2.7e-4 r at a quarter turn, and by the sixth power of the angle less below it (Goldapp 1991,
    Approximation of circular arcs by cubic polynomials).
    """
    share = (0.5 * DRAWN_WITHIN_MM / (2.8e-4 * arc.radius)) ** (1 / 6)
    most = min(math.pi / 2, math.pi / 2 * share)
    count = max(1, math.ceil(abs(arc.sweep) / most))
    angle = arc.sweep / count
    handle = 4 / 3 * math.tan(abs(angle) / 4) * arc.radius
    return [_cubic_command(arc, i / count, (i + 1) / count, handle) for i in range(count)]


def _cubic_command(piece: Arc | OffsetPiece, t0: float, t1: float, handle: float) -> Command:
    (x0, y0), (x1, y1) = piece.point(t0), piece.point(t1)
    (ax, ay), (bx, by) = piece.tangent(t0), piece.tangent(t1)
    return (
        "C", x0 + ax * handle, y0 + ay * handle, x1 - bx * handle, y1 - by * handle, x1, y1,
    )  # fmt: skip


def _piece_commands(piece: OffsetPiece) -> list[Command]:
    done: list[Command] = []
    waiting = [(0.0, 1.0)]
    while waiting:
        t0, t1 = waiting.pop()
        fitted = _hermite(piece, t0, t1)
        off = max(math.dist(point_of(fitted, u), piece.point(t0 + (t1 - t0) * u)) for u in _HELD_AT)
        if off <= 0.5 * DRAWN_WITHIN_MM or t1 - t0 < _LEAST_STEP:
            done.append(("C", *fitted[1], *fitted[2], *fitted[3]))
        else:
            middle = (t0 + t1) / 2
            waiting += [(middle, t1), (t0, middle)]
    return done


def _hermite(piece: OffsetPiece, t0: float, t1: float) -> Controls:
    """Control points of a cubic beside a piece: it is drawn and thrown away, and no length of it is asked."""
    one, other = piece.point(t0), piece.point(t1)
    (ax, ay), (bx, by) = piece.derivative(t0), piece.derivative(t1)
    third = (t1 - t0) / 3
    return (
        one,
        (one[0] + ax * third, one[1] + ay * third),
        (other[0] - bx * third, other[1] - by * third),
        other,
    )


def _from_line(p: Point, one: Point, other: Point) -> float:
    dx, dy = other[0] - one[0], other[1] - one[1]
    length = math.hypot(dx, dy)
    if length == 0:
        return math.dist(p, one)
    return abs(dx * (p[1] - one[1]) - dy * (p[0] - one[0])) / length
