"""A line of a drawing, its short strokes read as what they stand for."""

from __future__ import annotations

import math
from collections.abc import Sequence

from closures.curve import Arc, Cubic, Curve, Line, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.curve.fitting.strokes import Strokes, read_strokes
from closures.edges.dents import Dent
from closures.frozen import frozen

# Strokes and curves shorter than this are joints: a pen is ten times as wide.
_CRUMB_MM = 0.02

# So many strokes in a row at least may stand for a curve.
_LEAST_STROKES = 4

# Points further apart than this leave it open how a line bends between them: of 1,000 random outlines no mark was off
# by more than the furthest point where they were closer, and by less than twice as much where they were not.
SPARSE_MM = 8.0

# What is read better than this needs no word: no ruler shows it.
_TOLD_FROM_MM = 0.01


@frozen
class ReadLine:
    """A line as it was read.

    Attributes:
        curve: the line.
        notes: how well it follows the points that stood for it, for people.
        points: those points, in mm; empty where all of it was drawn as curves and straights.
        dents: notches that were taken out of it.
        rough_mm: what the points are out by, where that is more than they were taken to be; else 0.
    """

    curve: Curve
    notes: tuple[str, ...] = ()
    points: tuple[Point, ...] = ()
    dents: tuple[Dent, ...] = ()
    rough_mm: float = 0.0


def read_line(segments: Sequence[Segment], within_mm: float = READ_WITHIN_MM) -> ReadLine:
    """Read a line of a drawing, runs of short strokes as the smooth curves that they stand for.

    Curves stay as they are drawn, and so do corners and straights among the strokes.

    Args:
        segments: in mm, end to end.
        within_mm: what points may be out by at most.
    """
    kept = _without_crumbs(segments)
    done: list[Segment] = []
    points: list[Point] = []
    read: list[tuple[int, Strokes]] = []
    low = 0
    while low < len(kept):
        high = low
        while high < len(kept) and isinstance(kept[high], Line):
            high += 1
        if high - low < _LEAST_STROKES:
            high = max(high, low + 1)
            done += kept[low:high]
        else:
            run = [kept[low].start, *(segment.end for segment in kept[low:high])]
            strokes = read_strokes(run, within_mm, (low > 0, high < len(kept)))
            done += strokes.segments
            if strokes.points:
                read.append((low, strokes))
                points += run
        low = high
    rough_mm = roughness_of([strokes for _, strokes in read], within_mm)
    return ReadLine(Curve(tuple(done)), reading_in_words(read), tuple(points), rough_mm=rough_mm)


def roughness_of(read: Sequence[Strokes], within_mm: float) -> float:
    """What points are out by, in mm, where that is more than they may be; else 0.

    Args:
        read: how each run of them was read.
        within_mm: what they may be out by.
    """
    told = any(strokes.points and strokes.furthest_mm >= _TOLD_FROM_MM for strokes in read)
    noise_mm = max((strokes.noise_mm for strokes in read), default=0.0)
    return noise_mm if told and noise_mm > within_mm else 0.0


def reading_in_words(read: Sequence[tuple[int, Strokes]]) -> tuple[str, ...]:
    """How well lines follow the points that stood for them.

    Args:
        read: for each run of points the number of points before it, and how it was read.
    """
    count = sum(strokes.points for _, strokes in read)
    if not count:
        # Where every point is a corner, no line was fitted through any.
        return ()
    typical = math.sqrt(sum(strokes.points * strokes.typical_mm**2 for _, strokes in read) / count)
    furthest, number = max((strokes.furthest_mm, before + strokes.furthest) for before, strokes in read)
    if furthest < _TOLD_FROM_MM:
        return ()
    told = (
        f"The edge was read from {count} points, to ±{_two_digits(typical)} mm; "
        f"furthest at point {number}, {_two_digits(furthest)} mm."
    )
    apart = max(strokes.apart_mm for _, strokes in read)
    if apart > SPARSE_MM:
        told += (
            f" They are up to {apart:.0f} mm apart: between them the line may be off by twice as much where it bends."
        )
    return (told,)


def _two_digits(mm: float) -> str:
    return f"{mm:.2f}" if mm >= 0.01 else f"{mm:.3f}"


def _without_crumbs(segments: Sequence[Segment]) -> list[Segment]:
    """Leave out segments that are joints between longer ones, and join what lies beside them."""
    kept: list[Segment] = []
    for n, segment in enumerate(segments):
        beside = [segments[m].length_mm for m in (n - 1, n + 1) if 0 <= m < len(segments)]
        is_crumb = segment.length_mm < _CRUMB_MM and beside and segment.length_mm < min(beside) / 6
        if is_crumb and kept and n < len(segments) - 1:
            kept[-1] = ending_at(kept[-1], segment.end)
        elif not is_crumb or len(segments) == 1:
            if kept and kept[-1].end != segment.start and math.dist(kept[-1].end, segment.start) > 1e-9:
                kept[-1] = ending_at(kept[-1], segment.start)
            kept.append(segment)
    return kept


def ending_at(segment: Segment, end: Point) -> Segment:
    """A segment with its end moved a little."""
    if isinstance(segment, Line):
        return Line(segment.start, end) if segment.start != end else segment
    if isinstance(segment, Cubic):
        dx, dy = end[0] - segment.p3[0], end[1] - segment.p3[1]
        return Cubic(segment.p0, segment.p1, (segment.p2[0] + dx, segment.p2[1] + dy), end)
    if isinstance(segment, Arc):
        return _arc_ending_at(segment, end)
    return segment


def _arc_ending_at(arc: Arc, end: Point) -> Segment:
    """The arc turned and stretched about its start, so that it stays an arc."""
    (x0, y0), (x1, y1) = arc.start, arc.end
    was, now = (x1 - x0, y1 - y0), (end[0] - x0, end[1] - y0)
    if math.hypot(*was) <= _CRUMB_MM:
        return arc
    grown = math.hypot(*now) / math.hypot(*was)
    turn = math.atan2(now[1], now[0]) - math.atan2(was[1], was[0])
    cx, cy = (arc.centre[0] - x0) * grown, (arc.centre[1] - y0) * grown
    cos, sin = math.cos(turn), math.sin(turn)
    centre = (x0 + cx * cos - cy * sin, y0 + cx * sin + cy * cos)
    return Arc(centre, arc.radius * grown, arc.start_angle + turn, arc.sweep)
