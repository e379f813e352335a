"""What in a drawing could be an edge or an anchor."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Literal

from closures.curve import Box, Curve
from closures.edges.boundary import from_outside
from closures.edges.chords import smooth_chords
from closures.edges.drawing import MOST_LINES, Drawn, Spot
from closures.edges.opening import kind_of, open_drawing
from closures.edges.svg.exact import NoSizeError
from closures.errors import DrawingError
from closures.plan.edge import EdgeWish

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing

Shape = Literal["straight", "smooth", "cornered"]

# A line that turns by less than this between any two of its directions is straight.
_STRAIGHT_RAD = 1e-3
_CORNER_DEG = 20.0

# What is shorter than this is lettering or a mark.
LEAST_MM = 5.0

# So many segments in all are looked at for corners; in a larger drawing only the chords are.
_MOST_SMOOTHED = 60_000


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Listing:
    """What a drawing holds.

    Attributes:
        where: the file's name.
        candidates: lines, the longest first.
        spots: points that could be anchors.
        has_size: the drawing says how large it is; where it does not, a unit is shown as a mm.
        left_out: how many lines were too short to be edges.
        notes: what the user should know of the file.
    """

    where: str
    candidates: tuple[Candidate, ...]
    spots: tuple[Spot, ...]
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
    smoothed = sum(len(line.segments) for line in long) <= _MOST_SMOOTHED
    candidates = tuple(Candidate(line.name, line.layer, _shape(line, smoothed), line) for line in long)
    return Listing(where, candidates, tuple(drawing.spots()), has_size, len(lines) - len(long), notes)


def _opened(data: bytes, where: str) -> tuple[Drawing, bool]:
    if kind_of(data, where) == "picture":
        raise DrawingError(
            "this is a picture, and has no lines that can be named",
            where=where,
            mend="Follow the edge on it: trace = { through = [[120, 340], [180, 2210]], dpi = 300 } under [edge].",
        )
    try:
        return open_drawing(data, where, EdgeWish(), None), True
    except NoSizeError:
        return open_drawing(data, where, EdgeWish(), 1.0), False


def _shape(line: Drawn, smoothed: bool) -> Shape:
    curve = Curve(smooth_chords(line.segments) if smoothed else line.segments)
    if curve.direction_range < _STRAIGHT_RAD:
        return "straight"
    return "cornered" if curve.corners(_CORNER_DEG) else "smooth"
