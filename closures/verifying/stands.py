"""A collar stand as a stranger reads it: one that shrinks otherwise than the front has a line of its own."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from closures.verifying.measured import Measured, Point, measured

if TYPE_CHECKING:
    from closures.verifying.promises import Promises
    from closures.verifying.sheet_read import SheetRead

_NEAR_MM = 0.004
"""How far a mark may lie from a line that is drawn through it, and a line from its length: both are rounded."""
_OFF_MM = 0.02
"""How far the distance to the edge may be off: what is promised of every figure of a row."""


def lies_aside(promises: Promises | None, lap: str) -> bool:
    """Whether the first closure is a stand's, which lies on a line of its own."""
    return promises is not None and promises.worn is not None and lap in promises.worn.inside_mm


def faults_of_stand(sheet: SheetRead, lap: str, promises: Promises) -> Iterator[str]:
    """A stand's closure lies as far inside its edge as it must be for a wash to bring it where the front's come."""
    if promises.worn is None or (wanted := promises.worn.inside_mm.get(lap)) is None or (lap, 1) not in sheet.marks:
        return
    found = min((edge.place_of(sheet.marks[lap, 1])[1] for edge in sheet.edges), default=math.inf)
    if not abs(found - wanted) <= _OFF_MM:
        yield f"the stand's closure lies {found:.3f} mm from the edge, and must {wanted:.3f} mm"


def with_stands_line(sheet: SheetRead, centres: list[Point], height: float) -> tuple[Measured | None, list[Point]]:
    """The drawn line of a front with that of its stand moved onto it, square to itself; and its closure with it."""
    drawn = [measured(points) for points in sheet.lines if len(points) >= 2]
    near = _NEAR_MM
    for own in (one for one in drawn if abs(one.length_mm - height) <= near and one.place_of(centres[0])[1] <= near):
        for top, seam in ((own.points[0], own.points[-1]), (own.points[-1], own.points[0])):
            for line in drawn:
                for points in (line.points, line.points[::-1]):
                    x, y = points[0][0] - seam[0], points[0][1] - seam[1]
                    is_square = abs(x * (top[0] - seam[0]) + y * (top[1] - seam[1])) <= near * height
                    if is_square and all(line.place_of(one)[1] <= near for one in centres[1:]) and line is not own:
                        moved = [(px + x, py + y) for px, py in (top, centres[0])]
                        return measured([moved[0], *points]), [moved[1], *centres[1:]]
    return None, centres
