"""Laps as DXF for a cutter, in the plainest form that all programs read (release 12, text).

Layers follow the open practice for exchanging sewn-product patterns (ASTM D6673, from memory): 1 the
outline, 8 lines inside it, 13 drill holes. Lengths are mm; y runs up, as DXF has it.
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
    """Write one lap with its outline, the closing line and a drill hole at each mark.

    An eye's bow stands out past the edge, and a loop begins in it: nothing is drilled there. Such a mark is a point
    among the lines inside, and notches in the outline show where its metal crosses the edge, or where its feet go.

    Args:
        placement: the closures as placed.
        lap: one of its laps.

    Returns:
        The file, the same on every run; x as in the user's drawing, y turned to run up.

    Raises:
        OutputError: a figure is not finite.
    """
    # Of a piece far wider than its band the band alone is drawn.
    lap = lap.as_strip
    outline = list(lap.edge.approximate_polyline(_SAGITTA_MM))
    if lap.inner is not None:
        outline += reversed(lap.inner.approximate_polyline(_SAGITTA_MM))
    entities: Rows = [
        *polyline(OUTLINE, outline, is_closed=lap.inner is not None),
        *(row for one in lap.lines_on_cloth for row in polyline(INSIDE, one.approximate_polyline(_SAGITTA_MM))),
        *(row for mark in placement.all_new_on(lap.name) for row in _marked(placement, lap, mark)),
    ]
    return dxf_of(lap.name.upper(), entities, f"run {run_mark(placement)}")


def _marked(placement: Placement, lap: Lap, mark: LapMark) -> Rows:
    """What a cutter does at a mark: a hole, or notches in the edge."""
    is_loop = placement.fastener_of(mark.n).mark.on(lap.name) == "loop"
    if not is_loop and not lap.past_edge_mm:
        return spot(DRILL_HOLES, mark.at)
    loop = loop_of(placement) if is_loop else None
    half = 0.0 if loop is None else loop.marked_mm / 2
    foot = lap.edge.nearest(mark.at)
    tx, ty = lap.edge.mean_tangent_at(foot.along_mm)
    nx, ny = inward_normal((tx, ty), lap.cloth_on)
    rows = spot(INSIDE, mark.at)
    for u in dict.fromkeys((-half, half)):
        x, y = foot.point[0] + u * tx, foot.point[1] + u * ty
        rows += line(NOTCHES, (x, y), (x + _NOTCH_MM * nx, y + _NOTCH_MM * ny))
    return rows


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
