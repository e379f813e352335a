"""How far inside its finished edge each mark of a sheet lies, measured as somebody does who has only the sheet."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.verifying.measured import Measured, Point
    from closures.verifying.promises import Promises
    from closures.verifying.sheet_read import SheetRead

EDGE_MM = 0.02
"""How far a distance to an edge that was cut into chords may be off: what is promised of every figure of a row."""
_AT_CORNER_MM = 1e-6


def faults_of_edge(sheet: SheetRead, report: Mapping[str, Any], lap: str, promises: Promises | None) -> Iterator[str]:
    """Hold every mark's distance to the drawn edge against the report, and the row's against what was asked for.

    Args:
        sheet: as read back.
        report: of the placement.
        lap: whose sheet it is.
        promises: with how far inside its edge the row lies on each lap; None where nothing was promised.

    Returns:
        What is wrong, one sentence each.
    """
    if not sheet.edges:
        yield "no finished edge is drawn"
        return
    asked = None if promises is None else promises.inside_mm.get(lap)
    row = len(report["marks"])
    for k, mark in enumerate((*report["marks"], *report.get("beside", ()))):
        if mark[lap] is None:
            continue
        n, told = mark["n"], mark[lap]["edge_distance_mm"]
        at = sheet.marks[lap, n]
        found, edge = min(((one.place_of(at)[1], one) for one in sheet.edges), key=lambda entry: entry[0])
        if not abs(found - told) <= EDGE_MM:
            yield f"mark {n} lies {found:.3f} mm from the finished edge, and the report says {told}"
        elif (
            asked is not None and k < row and not any(abs(mm - asked) <= EDGE_MM for mm in (found, *_square(edge, at)))
        ):
            yield f"mark {n} lies {found:.3f} mm from the finished edge, and {asked:.3f} mm was asked for"


def _square(edge: Measured, point: Point) -> Iterator[float]:
    """How far off a point is, square to both sides of the corner of an edge that is nearest to it, if one is.

    Outside a corner a line of equal distance runs on straight till the two sides meet, further from the corner itself.
    """
    along, _ = edge.place_of(point)
    after = bisect_left(edge.along_mm, along)
    k = min(range(max(after - 1, 0), min(after + 1, len(edge.along_mm))), key=lambda n: abs(edge.along_mm[n] - along))
    k = bisect_left(edge.along_mm, edge.along_mm[k])
    if abs(edge.along_mm[k] - along) > _AT_CORNER_MM:
        return
    for one, other in pairwise(edge.points[max(k - 1, 0) : k + 2]):
        if length := math.dist(one, other):
            (ax, ay), (bx, by) = one, other
            yield abs((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)) / length
