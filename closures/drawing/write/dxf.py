"""Laps as DXF for a cutter, in the plainest form that all programs read (release 12, text).

Layers follow the open practice for exchanging sewn-product patterns (ASTM D6673, from memory): 1 the
outline, 8 lines and marks inside it, 13 drill holes. Lengths are mm; y runs up, as DXF has it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.numbers import number
from closures.placing.lap import inward_normal
from closures.placing.looped import loop_of
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement

Point = tuple[float, float]
Rows = list[tuple[int, str]]

OUTLINE, NOTCHES, GRAIN, INSIDE, DRILL_HOLES, SEW_LINE = "1", "4", "7", "8", "13", "14"

# Chords leave the true curve by no more than this: a tenth of what a cutter keeps to.
_SAGITTA_MM = 0.01

# So deep is a notch, our own rule: seen in cloth, and within the least seam allowance.
_NOTCH_MM = 3.0

# $INSUNITS and $MEASUREMENT for millimetres.
_HEADER: Rows = [
    (0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"), (9, "$INSUNITS"), (70, "4"),
    (9, "$MEASUREMENT"), (70, "1"), (0, "ENDSEC"),
]  # fmt: skip


def write_dxf(placement: Placement, lap: Lap) -> bytes:
    """Write one lap with its outline, the closing line and a point at each mark.

    It is a drill hole where the setting cuts one at that very place, as a post or an eyelet does. Prongs and
    stitches go between the threads, a buttonhole has its own length, and what is sewn on inside shows nothing
    outside: such marks are points among the lines inside, for a pen. So are those of eyes, whose bow stands out
    past the edge, and of loops, which begin in it: there notches in the outline show where metal crosses the edge,
    or where feet go.

    Args:
        placement: the closures as placed.
        lap: one of its laps.

    Returns:
        The file, the same on every run, the lap seen from outside: x as in the user's drawing, or its opposite where
        that is turned over on reading; y turned to run up.

    Raises:
        OutputError: a figure is not finite.
    """
    # Of a piece far wider than its band the band alone is drawn.
    lap = lap.as_strip
    outline = list(lap.edge.approximate_polyline(_SAGITTA_MM))
    if lap.inner is not None:
        outline += reversed(lap.inner.approximate_polyline(_SAGITTA_MM))
    entities: Rows = polyline(OUTLINE, outline, is_closed=lap.inner is not None)
    for one in lap.lines_on_cloth:
        entities += polyline(INSIDE, one.approximate_polyline(_SAGITTA_MM))
    for mark in placement.all_new_on(lap.name):
        entities += spot(DRILL_HOLES if _is_cut(placement, lap, mark) else INSIDE, mark.at)
        for start, end in _notches(placement, lap, mark):
            entities += line(NOTCHES, start, end)
    return dxf_of(lap.name.upper(), entities, f"run {run_mark(placement)}, seen from outside")


def _is_cut(placement: Placement, lap: Lap, mark: LapMark) -> bool:
    """Whether setting the part of a mark cuts a hole in the lap there."""
    return placement.fastener_of(mark.n).mark.on(lap.name) in ("hole", "bore")


def _notches(placement: Placement, lap: Lap, mark: LapMark) -> list[tuple[Point, Point]]:
    """The notches in the edge that belong to a mark."""
    is_loop = placement.fastener_of(mark.n).mark.on(lap.name) == "loop"
    if not is_loop and not lap.past_edge_mm:
        return []
    loop = loop_of(placement) if is_loop else None
    half = 0.0 if loop is None else loop.marked_mm / 2
    foot = lap.edge.nearest(mark.at)
    tx, ty = lap.edge.mean_tangent_at(foot.along_mm)
    nx, ny = inward_normal((tx, ty), lap.cloth_on)
    begins = [(foot.point[0] + u * tx, foot.point[1] + u * ty) for u in dict.fromkeys((-half, half))]
    return [((x, y), (x + _NOTCH_MM * nx, y + _NOTCH_MM * ny)) for x, y in begins]


def dxf_of(block: str, entities: Rows, remark: str = "") -> bytes:
    """Write entities as one block that is inserted once, at its own place; a remark is read by people alone."""
    rows: Rows = [
        *([(999, remark)] if remark else []),
        *_HEADER,
        (0, "SECTION"), (2, "BLOCKS"),
        (0, "BLOCK"), (8, "0"), (2, block), (70, "0"), (10, "0"), (20, "0"), (30, "0"), (3, block),
        *entities,
        (0, "ENDBLK"), (8, "0"), (0, "ENDSEC"),
        (0, "SECTION"), (2, "ENTITIES"),
        (0, "INSERT"), (8, OUTLINE), (2, block), (10, "0"), (20, "0"), (30, "0"),
        (0, "ENDSEC"), (0, "EOF"),
    ]  # fmt: skip
    return "".join(f"{code:>3}\n{value}\n" for code, value in rows).encode("ascii", "replace")


def polyline(layer: str, points: Sequence[Point], *, is_closed: bool = False) -> Rows:
    """Draw straight from point to point, in mm, y down."""
    flag = "1" if is_closed else "0"
    rows: Rows = [(0, "POLYLINE"), (8, layer), (66, "1"), (70, flag), (10, "0"), (20, "0"), (30, "0")]
    for point in points:
        rows += [(0, "VERTEX"), (8, layer), *_place(point)]
    return [*rows, (0, "SEQEND"), (8, layer)]


def line(layer: str, start: Point, end: Point) -> Rows:
    """Draw one straight line, in mm, y down."""
    return [(0, "LINE"), (8, layer), *_place(start), (11, number(end[0])), (21, number(-end[1])), (31, "0")]


def spot(layer: str, place: Point) -> Rows:
    """Draw a point, in mm, y down."""
    return [(0, "POINT"), (8, layer), *_place(place)]


def _place(point: Point) -> Rows:
    return [(10, number(point[0])), (20, number(-point[1])), (30, "0")]
