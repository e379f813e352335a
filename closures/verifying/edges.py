"""How far inside its finished edge each mark of a sheet lies, measured as somebody does who has only the sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.verifying.promises import Promises
    from closures.verifying.sheet_read import SheetRead

EDGE_MM = 0.02
"""How far a distance to an edge that was cut into chords may be off: what is promised of every figure of a row."""


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
        found = min((edge.place_of(sheet.marks[lap, n])[1] for edge in sheet.edges), default=math.inf)
        if not abs(found - told) <= EDGE_MM:
            yield f"mark {n} lies {found:.3f} mm from the finished edge, and the report says {told}"
        elif asked is not None and k < row and not abs(found - asked) <= EDGE_MM:
            yield f"mark {n} lies {found:.3f} mm from the finished edge, and {asked:.3f} mm was asked for"
