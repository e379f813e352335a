"""What in a drawing could be an edge or an anchor."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import islice, pairwise
from typing import TYPE_CHECKING, Literal

from closures.curve import Box, Curve, Line, Point, Segment
from closures.curve.algebra import turn_between
from closures.curve.fitting.limits import MOST_SAGITTA_MM
from closures.edges.boundary import from_outside
from closures.edges.drawing import MOST_LINES, Drawn, DrawnPoint
from closures.edges.opening import kind_of, not_of_lines, open_drawing
from closures.edges.sampled import ReadLine, read_line
from closures.edges.svg.exact import NoSizeError
from closures.errors import DrawingError
from closures.frozen import frozen
from closures.plan.edge import EdgeWish

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing

Shape = Literal["straight", "smooth", "cornered"]

# A line that turns by less than this between any two of its directions is straight.
_STRAIGHT_RAD = 1e-3
_CORNER_DEG = 20.0

# What is shorter than this is lettering or a mark.
LEAST_MM = 5.0

# Corners that turn by more are corners between strokes of any length.
_SHARP_RAD = math.radians(60.0)

# What a traced or digitised line may be out by, in a word about its shape.
_NOISE_MM = 0.3


@frozen
class Candidate:
    """A line that could be an edge.

    Attributes:
        path: what a plan's ``path`` takes for it.
        layer: the layer it lies on, empty where there are none.
        shape: straight, smooth, or with corners.
        line: the line itself.
    """

    path: str
    layer: str
    shape: Shape
    line: Drawn

    @property
    def length_mm(self) -> float:
        """Its length."""
        return self.line.length_mm

    def as_read(self) -> ReadLine:
        """The line as an edge on it is read, its short strokes as what they stand for."""
        return read_line(self.line.segments)

    @property
    def is_open(self) -> bool:
        """Whether it has two ends."""
        return not self.line.is_closed

    @property
    def page(self) -> str:
        """The page that it lies on, empty in a drawing that has none."""
        page, comma, _ = self.path.rpartition(", ")
        return page if comma and page.startswith("page ") else ""

    @property
    def box_mm(self) -> Box:
        """Least x, least y, most x, most y."""
        return self.line.box


@frozen
class Listing:
    """What a drawing holds.

    Attributes:
        where: the file's name.
        candidates: lines, the longest first.
        points: points that could be anchors.
        has_size: the drawing says how large it is; where it does not, a unit is shown as a mm.
        left_out: how many lines were too short to be edges.
        notes: what the user should know of the file.
    """

    where: str
    candidates: tuple[Candidate, ...]
    points: tuple[DrawnPoint, ...]
    has_size: bool
    left_out: int
    notes: tuple[str, ...] = ()


def list_edges(data: bytes, where: str) -> Listing:
    """List what in a drawing could be an edge.

    Args:
        data: the bytes of the file: SVG, DXF or PDF.
        where: its name, for messages.

    Returns:
        Lines and points in mm, x to the right and y down.

    Raises:
        DrawingError: the drawing cannot be read, holds nothing, or holds too much.
    """
    with from_outside(where):
        return _listed(data, where)


def _listed(data: bytes, where: str) -> Listing:
    drawing, has_size = _opened(data, where)
    lines = list(islice(drawing.all_lines(), MOST_LINES + 1))
    if len(lines) > MOST_LINES:
        raise DrawingError(f"it holds more than {MOST_LINES} lines", where=where, mend="Save the pattern piece alone.")
    notes = tuple(getattr(drawing, "notes", ()))
    if not lines:
        what = notes[0] if notes else "nothing in it is a line"
        raise DrawingError(what, where=where, mend="Draw or export the outline as lines and curves.")
    long = sorted((line for line in lines if line.length_mm >= LEAST_MM), key=lambda line: -line.length_mm)
    candidates = tuple(Candidate(line.name, line.layer, _shape(line), line) for line in long)
    return Listing(where, candidates, tuple(drawing.points()), has_size, len(lines) - len(long), notes)


def _opened(data: bytes, where: str) -> tuple[Drawing, bool]:
    if kind_of(data, where) == "picture":
        raise not_of_lines(data, where)
    try:
        drawing = open_drawing(data, where, EdgeWish(), None)
        # A size in px may be a third out: it is asked for like one that is not told.
        return drawing, getattr(drawing, "pixels", None) is None
    except NoSizeError:
        return open_drawing(data, where, EdgeWish(), 1.0), False


def _shape(line: Drawn) -> Shape:
    """What a line looks like: told quickly, from the strokes that are left when the noise is out of it."""
    chain = _simplified(line.segments)
    if Curve(chain).direction_range < _STRAIGHT_RAD:
        return "straight"
    for one, other in pairwise(chain):
        turn = abs(turn_between(one.tangent(1.0), other.tangent(0.0)))
        are_strokes = isinstance(one, Line) and isinstance(other, Line)
        # Between strokes that are left of a curve the turn grows as they grow shorter: see `sharp_points`.
        bow = turn * math.sqrt(one.length_mm * other.length_mm) / 8
        if math.degrees(turn) > _CORNER_DEG and (not are_strokes or bow > MOST_SAGITTA_MM or turn > _SHARP_RAD):
            return "cornered"
    return "smooth"


def _simplified(segments: Sequence[Segment]) -> tuple[Segment, ...]:
    """A line without the vertices that lie within its noise (Douglas, Peucker 1973)."""
    done: list[Segment] = []
    run: list[Point] = []
    for segment in (*segments, None):
        if isinstance(segment, Line):
            run += [segment.end] if run else [segment.start, segment.end]
            continue
        if run:
            needed = _needed(run)
            done += [Line(run[a], run[b]) for a, b in pairwise(needed) if run[a] != run[b]]
            run = []
        if segment is not None:
            done.append(segment)
    return tuple(done)


def _needed(points: Sequence[Point]) -> list[int]:
    needed = {0, len(points) - 1}
    waiting = [(0, len(points) - 1)]
    while waiting:
        low, high = waiting.pop()
        if high - low < 2:
            continue
        (x0, y0), (x1, y1) = points[low], points[high]
        dx, dy = x1 - x0, y1 - y0
        size = math.hypot(dx, dy)
        worst, at = 0.0, low
        for n in range(low + 1, high):
            x, y = points[n][0] - x0, points[n][1] - y0
            off = abs(x * dy - y * dx) / size if size > _NOISE_MM else math.hypot(x, y)
            if off > worst:
                worst, at = off, n
        if worst > _NOISE_MM:
            needed.add(at)
            waiting += [(low, at), (at, high)]
    return sorted(needed)
