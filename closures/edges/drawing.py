"""What every kind of drawing offers: lines and points by the names that a plan gives them.

SVG, DXF and PDF each have a reader of their own; all of them hand over the same values, in mm, x to
the right and y down, in the drawing's own frame.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal, Protocol

from closures.curve import Box, Curve, Point, Segment
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.sampled import ReadLine
from closures.errors import DrawingError
from closures.frozen import frozen
from closures.lengths import format_both

# Both ends at one place: the line is closed though it may not say so.
CLOSED_MM = 0.01

# Coordinates beyond this, 100 m, are a slip, and arithmetic would lose the digits that matter.
MOST_MM = 100_000.0

# More lines than any pattern piece has; a drawing that holds more is cut down before it is read.
MOST_LINES = 50_000

# Drawn for a point: a shape with a middle up to the one, a notch up to the other. What is larger is a line or a piece.
_MOST_SHAPE_MM = 80.0
_MOST_NOTCH_MM = 30.0
_BENT_MM = 0.5
# So many places of a notch are looked at, and the nearest is narrowed in so often: from 30 mm to below a thousandth.
_NOTCH_STEPS = 30
_NOTCH_TURNS = 18

PointKind = Literal["notch", "drill hole", "point"]


@frozen
class Drawn:
    """A line as it was found in a drawing, not yet judged.

    Attributes:
        name: what a plan's ``path`` takes for it.
        segments: end to end, at least one, none of no length.
        layer: the layer it lies on, empty where there are none.
    """

    name: str
    segments: tuple[Segment, ...]
    layer: str = ""

    @property
    def start(self) -> Point:
        """The first end as drawn."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """The last end as drawn."""
        return self.segments[-1].end

    @property
    def is_closed(self) -> bool:
        """Whether it comes back to where it began."""
        return len(self.segments) > 1 and math.dist(self.start, self.end) < CLOSED_MM

    @property
    def length_mm(self) -> float:
        """The length."""
        return sum(segment.length_mm for segment in self.segments)

    @property
    def box(self) -> Box:
        """The exact extremes: least x, least y, most x, most y."""
        boxes = [segment.box for segment in self.segments]
        return (
            min(b[0] for b in boxes), min(b[1] for b in boxes),
            max(b[2] for b in boxes), max(b[3] for b in boxes),
        )  # fmt: skip

    @property
    def middle(self) -> Point:
        """The middle of its box: where a small closed mark points to."""
        x0, y0, x1, y1 = self.box
        return ((x0 + x1) / 2, (y0 + y1) / 2)


@frozen
class DrawnPoint:
    """A point that a drawing offers as an anchor.

    Attributes:
        name: what a plan's ``at`` takes for it.
        kind: what it is meant for.
        x_mm, y_mm: where it lies.
    """

    name: str
    kind: PointKind
    x_mm: float
    y_mm: float


def point_meant(parts: Sequence[Sequence[Segment]], where: str) -> Point:
    """Find the point that something small was drawn for.

    The middle of a closed shape and of a cross; of a notch that is bent, as a V, the middle of its two ends; of a
    straight one the end at which it was begun, where there is no edge that would tell (see `nearest_on`).

    Args:
        parts: its separate parts in mm, one at least.
        where: the place for messages.

    Returns:
        The point.

    Raises:
        DrawingError: it is too large to say which of its points is meant.
    """
    whole = Drawn("", tuple(segment for part in parts for segment in part))
    x0, y0, x1, y1 = whole.box
    large = max(x1 - x0, y1 - y0)
    has_middle = len(parts) > 1 or whole.is_closed
    if large > (_MOST_SHAPE_MM if has_middle else _MOST_NOTCH_MM):
        if has_middle:
            said = f"it is {format_both(x1 - x0)} wide and {format_both(y1 - y0)} high, and no point"
        else:
            begin, end = (f"x {format_both(x)}, y {format_both(y)}" for x, y in (whole.start, whole.end))
            said = f"it is a line from {begin} to {end}, and no point"
        raise DrawingError(
            said, where=where, mend="Draw a small circle or cross at the place that is meant, and name that."
        )
    if has_middle:
        return whole.middle
    (ax, ay), (bx, by) = whole.start, whole.end
    long = math.dist(whole.start, whole.end)
    bent = any(
        abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) > _BENT_MM * long
        for x, y in (segment.end for segment in whole.segments)
    )
    return ((ax + bx) / 2, (ay + by) / 2) if bent else whole.start


def straight_notch(drawing: Drawing, name: str) -> tuple[Point, Point] | None:
    """The two ends of a notch that was drawn as one straight line; None for whatever else a point was drawn as."""
    try:
        lines = drawing.lines(name)
    except DrawingError:
        return None
    if len(lines) != 1 or lines[0].is_closed or lines[0].length_mm > _MOST_NOTCH_MM:
        return None
    notch = lines[0]
    is_straight = notch.length_mm - math.dist(notch.start, notch.end) <= CLOSED_MM
    return (notch.start, notch.end) if is_straight else None


def nearest_on(notch: tuple[Point, Point], edges: Sequence[Curve]) -> Point:
    """The point of a straight notch that is nearest to an edge: where it stands on it or crosses it.

    Which end it was begun at does not count. Of a stretch that is equally near all along, the middle.
    """
    (ax, ay), (bx, by) = notch

    def at(share: float) -> Point:
        return (ax + (bx - ax) * share, ay + (by - ay) * share)

    def off(share: float) -> float:
        return min(edge.nearest(at(share)).distance_mm for edge in edges)

    tried = [n / _NOTCH_STEPS for n in range(_NOTCH_STEPS + 1)]
    offs = [off(share) for share in tried]
    near = [share for share, one in zip(tried, offs, strict=True) if one <= min(offs) + CLOSED_MM]
    low, high = max(0.0, near[0] - 1 / _NOTCH_STEPS), min(1.0, near[-1] + 1 / _NOTCH_STEPS)
    if len(near) > 2:
        return at((near[0] + near[-1]) / 2)
    for _ in range(_NOTCH_TURNS):
        one, other = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, other) if off(one) <= off(other) else (one, high)
    return at((low + high) / 2)


class Drawing(Protocol):
    """A drawing that has been opened."""

    where: str

    def lines(self, name: str) -> Sequence[Drawn]:
        """Find the line or lines that a name stands for.

        Raises:
            DrawingError: it stands for nothing, or for something that cannot be read.
        """

    def point(self, name: str) -> Point:
        """Find the point that a name stands for.

        Raises:
            DrawingError: it stands for nothing, or for no point.
        """

    def edge(self, name: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
        """Find the one open line that a name stands for.

        Args:
            name: of the line.
            within_mm: what points that stand for a curve may be out by.

        Raises:
            DrawingError: it is not one open line.
        """

    def all_lines(self) -> Iterator[Drawn]:
        """Go through everything that could be an edge."""

    def points(self) -> Iterator[DrawnPoint]:
        """Go through everything that could be an anchor."""
