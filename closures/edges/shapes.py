"""Edges told by a few words: a straight, an arc."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from closures.curve import Arc, Curve, Line, Point
from closures.errors import EdgeError, in_section
from closures.lengths import format_mm

if TYPE_CHECKING:
    from closures.plan.shown import Show


def straight_edge(length_mm: float) -> Curve:
    """Make a straight edge from (0, 0) straight down.

    Raises:
        EdgeError: the length is not above zero.
    """
    _refuse_nothing(length_mm, "[edge] straight")
    return Curve((Line((0.0, 0.0), (0.0, length_mm)),))


def arc_edge(length_mm: float, radius_mm: float, towards_x: Literal[-1, 1], show: Show = format_mm) -> Curve:
    """Make an edge that is an arc of a circle, its chord from (0, 0) straight down.

    Args:
        length_mm: along the arc.
        radius_mm: of the circle.
        towards_x: the side to which it bows, 1 to greater x and -1 to lesser.
        show: writes a length for people, in the units of the plan.

    Raises:
        EdgeError: a figure is not above zero, or the arc is a whole circle or more.
    """
    _refuse_nothing(length_mm, "[edge] arc length")
    _refuse_nothing(radius_mm, "[edge] arc radius")
    half = length_mm / radius_mm / 2
    if half >= math.pi * 0.999:
        raise EdgeError(
            f"an arc of {show(length_mm)} with a radius of {show(radius_mm)} goes round the whole circle",
            where=in_section("edge", "arc"),
            mend=f"Write a length under {show(math.floor(math.tau * radius_mm))}, or a greater radius.",
        )
    centre = (-radius_mm * math.cos(half), radius_mm * math.sin(half))
    bowed = Curve((Arc(centre, radius_mm, -half, 2 * half),))
    return bowed if towards_x == 1 else bowed.mirrored()


def three_point_arc(points: Sequence[Point], where: str) -> Curve:
    """Make an edge that is the one arc through three points.

    Args:
        points: first end, a point between, last end, in mm.
        where: the place for messages.

    Raises:
        EdgeError: two points are the same, or the three lie on one straight line.
    """
    (x0, y0), (x1, y1), (x2, y2) = points
    ax, ay, bx, by = x1 - x0, y1 - y0, x2 - x0, y2 - y0
    double = 2 * (ax * by - ay * bx)
    if abs(double) < 1e-6 * max(ax * ax + ay * ay, bx * bx + by * by, 1e-6):
        raise EdgeError(
            "the three points lie on one straight line, or two of them are the same",
            where=where,
            mend="Measure the middle again, or write straight.",
        )
    # The centre is as far from each of the three (the perpendicular bisectors meet there).
    a, b = ax * ax + ay * ay, bx * bx + by * by
    cx, cy = (by * a - ay * b) / double, (ax * b - bx * a) / double
    radius = math.hypot(cx, cy)
    begin = math.atan2(-cy, -cx)
    middle = (math.atan2(ay - cy, ax - cx) - begin) % math.tau
    sweep = (math.atan2(by - cy, bx - cx) - begin) % math.tau
    return Curve((Arc((x0 + cx, y0 + cy), radius, begin, sweep if middle < sweep else sweep - math.tau),))


def _refuse_nothing(value_mm: float, where: str) -> None:
    if not (math.isfinite(value_mm) and value_mm > 0):
        raise EdgeError(f"{value_mm:g} mm is no length for an edge", where=where, mend="Write a length above 0 mm.")
