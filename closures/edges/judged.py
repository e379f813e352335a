"""What a line must be before a band can be laid along it: one open line, smooth where it was meant so."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from closures.curve import Cubic, Curve, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.dents import without_notches
from closures.edges.drawing import CLOSED_MM
from closures.edges.sampled import ReadLine, read_line
from closures.errors import DrawingError
from closures.lengths import format_both

# An edge drawn by hand has tens of segments, a traced one thousands.
MOST_SEGMENTS = 200_000

# A line that turns back on itself by more than this at a point.
_HAIRPIN_DEG = 150.0


def judged_edge(segments: Sequence[Segment], where: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
    """Make an edge of the segments of a line, its short strokes read as what they stand for, or refuse the line.

    It runs on across notches that are drawn into it.

    Args:
        segments: in mm, end to end.
        where: the place for messages.
        within_mm: what points that stand for a curve may be out by.

    Raises:
        DrawingError: the line is closed, has too many segments, turns back on itself or crosses itself.
    """
    if len(segments) > MOST_SEGMENTS:
        raise too_many(where)
    if math.dist(segments[0].start, segments[-1].end) < CLOSED_MM:
        raise closed(where)
    for segment in segments:
        if isinstance(segment, Cubic):
            _refuse_cusp(segment, where)
    line, dents = without_notches(Curve(tuple(segments)))
    read = read_line(line.segments, within_mm)
    judge(read.curve, where)
    return replace(read, dents=dents)


def judge(curve: Curve, where: str) -> None:
    """Refuse a line that turns back on itself or crosses itself.

    Raises:
        DrawingError: it does.
    """
    for along, turn in curve.corners(_HAIRPIN_DEG):
        raise _hairpin(curve.point_at(along), f"by {abs(turn):.0f}°", where)
    crossings = curve.crosses_itself()
    if crossings:
        x, y = crossings[0]
        raise DrawingError(
            f"this line crosses itself at x {format_both(x)}, y {format_both(y)}",
            where=where,
            mend="Take the loop out, or cut the line before it.",
        )


def closed(where: str) -> DrawingError:
    """The refusal of a line that comes back to where it began."""
    return DrawingError(
        "this line is closed, and an edge needs two ends",
        where=where,
        mend="Cut the outline at both ends of the edge and name the stretch between them, or say in the plan "
        "where the edge begins and ends, with from and to (of the under lap's edge under_from and under_to).",
    )


def too_many(where: str) -> DrawingError:
    """The refusal of a line with more segments than any edge."""
    return DrawingError(
        f"this line has more than {MOST_SEGMENTS} segments",
        where=where,
        mend="Simplify the path in the drawing program.",
    )


def _refuse_cusp(cubic: Cubic, where: str) -> None:
    """Refuse a piece that stops and turns back: its curvature is endless inside."""
    for t in cubic.bends()[1:-1]:
        dx, dy = cubic.derivative(t)
        if math.hypot(dx, dy) <= 1e-6 * cubic.length_mm:
            raise _hairpin(cubic.point(t), "in a cusp", where)
    for t in (*cubic.level_places(0), *cubic.level_places(1)):
        dx, dy = cubic.derivative(t)
        if 1e-6 < t < 1 - 1e-6 and math.hypot(dx, dy) <= 1e-6 * cubic.length_mm:
            raise _hairpin(cubic.point(t), "in a cusp", where)


def _hairpin(place: Point, how: str, where: str) -> DrawingError:
    return DrawingError(
        f"this line turns back on itself {how} at x {format_both(place[0])}, y {format_both(place[1])}",
        where=where,
        mend="Draw the edge without the hairpin.",
    )
