"""What a shape of an SVG drawing draws, as segments in mm (SVG 2, chapters 9 and 10)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.curve import Arc, Cubic, Line, Point, Segment
from closures.edges.affine import Affine
from closures.edges.svg.exact import tag_of
from closures.edges.svg.path_data import Command, read_points

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# Segments and gaps shorter than this are drawing noise.
NOTHING_MM = 1e-6


def absolute(commands: Sequence[Command]) -> Iterator[Command]:
    """Write path data with M, L, C, A and Z alone, all places absolute.

    Args:
        commands: letters and numbers, one command each.

    Yields:
        Commands; each part begins with an M.
    """
    at = begin = (0.0, 0.0)
    # The control point that a smooth command mirrors, and the letters that it may come from.
    control, follows = at, ""
    is_closed = False
    for letter, numbers in commands:
        kind = letter.upper()
        x0, y0 = at if letter.islower() else (0.0, 0.0)
        if kind == "Z":
            yield "Z", ()
            at, follows, is_closed = begin, "", True
            continue
        if is_closed and kind != "M":
            yield "M", begin
        is_closed = False
        if kind == "M":
            at = begin = (numbers[0] + x0, numbers[1] + y0)
            yield "M", at
        elif kind in "LHV":
            across = at[0] if kind == "V" else numbers[0] + x0
            at = (across, at[1] if kind == "H" else numbers[-1] + y0)
            yield "L", at
        elif kind == "A":
            rx, ry, turn, large, sweep, x, y = numbers
            end = (x + x0, y + y0)
            if end != at:
                yield ("A", (abs(rx), abs(ry), turn, large, sweep, *end)) if rx and ry else ("L", end)
            at = end
        else:
            points = [(x + x0, y + y0) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
            family = "CS" if kind in "CS" else "QT"
            if kind in "ST":
                mirrored = (2 * at[0] - control[0], 2 * at[1] - control[1]) if follows == family else at
                points.insert(0, mirrored)
            control, follows = points[-2], family
            if family == "QT":
                points[:1] = _raised(at, points[0], points[1])
            at = points[-1]
            yield "C", tuple(number for point in points for number in point)
            continue
        follows = ""


def _raised(p0: Point, q: Point, p3: Point) -> list[Point]:
    """The handles of the cubic that a quadratic is."""
    return [(p[0] + 2 / 3 * (q[0] - p[0]), p[1] + 2 / 3 * (q[1] - p[1])) for p in (p0, p3)]


def shape_commands(shape: Element) -> list[Command]:
    """What a line, polyline, polygon, rectangle, circle or ellipse draws.

    Args:
        shape: with its measures as plain numbers of user units.
    """
    tag = tag_of(shape)
    if tag in ("polyline", "polygon"):
        points = read_points(shape.attrib.get("points", ""))
        lines: list[Command] = [("L" if n else "M", point) for n, point in enumerate(points)]
        return [*lines, ("Z", ())] if tag == "polygon" else lines

    def measure(key: str) -> float:
        return float(shape.attrib.get(key, "0"))

    if tag == "line":
        return [("M", (measure("x1"), measure("y1"))), ("L", (measure("x2"), measure("y2")))]
    if tag in ("circle", "ellipse"):
        rx, ry = (measure("r"),) * 2 if tag == "circle" else (measure("rx"), measure("ry"))
        cx, cy = measure("cx"), measure("cy")
        if min(rx, ry) <= 0:
            return []
        half = (rx, ry, 0.0, 0.0, 1.0)
        return [("M", (cx + rx, cy)), ("A", (*half, cx - rx, cy)), ("A", (*half, cx + rx, cy)), ("Z", ())]
    return _rectangle(shape, *map(measure, ("x", "y", "width", "height")))


def _rectangle(shape: Element, x: float, y: float, width: float, height: float) -> list[Command]:
    if min(width, height) <= 0:
        return []
    radii = [float(shape.attrib.get(key, "nan")) for key in ("rx", "ry")]
    # One radius stands for both; neither is more than half the side.
    rx, ry = (own if own >= 0 else max(0.0, other) if other == other else 0.0 for own, other in (radii, radii[::-1]))
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    right, low = x + width, y + height
    if min(rx, ry) <= 0:
        corners = [(x, y), (right, y), (right, low), (x, low)]
        return [*(("L" if n else "M", point) for n, point in enumerate(corners)), ("Z", ())]
    round_to = (rx, ry, 0.0, 0.0, 1.0)
    return [
        ("M", (x + rx, y)), ("L", (right - rx, y)), ("A", (*round_to, right, y + ry)),
        ("L", (right, low - ry)), ("A", (*round_to, right - rx, low)),
        ("L", (x + rx, low)), ("A", (*round_to, x, low - ry)),
        ("L", (x, y + ry)), ("A", (*round_to, x + rx, y)), ("Z", ()),
    ]  # fmt: skip


def placed_parts(commands: Sequence[Command], onto: Affine) -> list[list[Segment]]:
    """Segments of each separate part of a shape, those of no length left out.

    Args:
        commands: in user units.
        onto: from user units to mm.
    """
    parts: list[list[Segment]] = []
    found: list[Segment] = []
    at = begin = (0.0, 0.0)
    for letter, numbers in absolute(commands):
        if letter == "M":
            at = begin = (numbers[0], numbers[1])
            found = []
            parts.append(found)
            continue
        end = begin if letter == "Z" else (numbers[-2], numbers[-1])
        if letter in "LZ":
            found.append(Line(onto(at), onto(end)))
        elif letter == "C":
            found.append(_cubic(*(onto(p) for p in (at, numbers[:2], numbers[2:4], end))))  # type: ignore[arg-type]
        else:
            found += _arc(at, numbers, onto)
        at = end
    kept = [[segment for segment in part if segment.length_mm > NOTHING_MM] for part in parts]
    return [part for part in kept if part]


def _arc(start: Point, numbers: Sequence[float], onto: Affine) -> list[Segment]:
    """An elliptical arc between two points (SVG 2, appendix B.2.4)."""
    rx, ry, turn, large, sweep, *end = numbers
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    # Half the chord, and then the centre, in the frame in which the ellipse is a unit circle.
    u, v = (cos * dx + sin * dy) / rx, (cos * dy - sin * dx) / ry
    grown = math.hypot(u, v)
    if not math.isfinite(max(rx, ry) * grown):
        # Beside its chord such a radius is none, and an arc without a radius is a line (SVG 2, 9.5.1).
        return onto.segments(Line(start, (end[0], end[1])))
    if grown > 1:
        rx, ry, u, v = rx * grown, ry * grown, u / grown, v / grown
    away = math.sqrt(max(0.0, 1 / (u * u + v * v) - 1)) * (-1 if bool(large) == bool(sweep) else 1)
    cu, cv = away * v, -away * u
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    circle = Affine(rx * cos, rx * sin, -ry * sin, ry * cos, *middle)
    begin, stop = math.atan2(v - cv, u - cu), math.atan2(-v - cv, -u - cu)
    by = (stop - begin) % math.tau if sweep else -((begin - stop) % math.tau)
    if by == 0:
        return []
    return onto.after(circle).segments(Arc((cu, cv), 1.0, begin, by))


def _cubic(p0: Point, p1: Point, p2: Point, p3: Point) -> Segment:
    """A cubic, or the line that it is where its points lie on one in order."""
    chord = Line(p0, p3)
    if chord.length_mm > NOTHING_MM:
        tx, ty = chord.tangent(0.0)
        shares = [(p[0] - p0[0]) * tx + (p[1] - p0[1]) * ty for p in (p1, p2)]
        beside = max(abs((p[1] - p0[1]) * tx - (p[0] - p0[0]) * ty) for p in (p1, p2))
        if beside < 1e-9 and 0 <= shares[0] <= shares[1] <= chord.length_mm:
            return chord
    elif max(math.dist(p0, p) for p in (p1, p2)) <= NOTHING_MM:
        return chord
    return Cubic(p0, p1, p2, p3)
