"""A finished file for a cutter, read back: its points must be the marks of the report, each lap seen from outside."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from closures.verifying.measured import Point
from closures.verifying.verify import POSITION_MM, UnsoundError

_UNITS, _IN_MM = re.compile(rb"\$INSUNITS\s+70\s+(\d+)\s"), b"4"
"""In which unit the figures are meant: 4 is mm (the public DXF Reference, HEADER variables)."""


def require_sound_cutter(files: Mapping[str, bytes], report: Mapping[str, Any], *, is_turned: bool) -> None:
    """Refuse files for a cutter whose points are not the marks.

    Args:
        files: ``over.dxf`` and ``under.dxf``.
        report: what the marks are, in the frame of the user's own drawing.
        is_turned: that drawing shows the laps from inside.

    Raises:
        UnsoundError: something in them is wrong.
    """
    faults = tuple(
        f"{lap}.dxf: {fault}"
        for lap in ("over", "under")
        for fault in _faults(files[f"{lap}.dxf"], report, lap, -1.0 if is_turned else 1.0)
    )
    if faults:
        raise UnsoundError(faults)


def _faults(dxf: bytes, report: Mapping[str, Any], lap: str, sign: float) -> Iterator[str]:
    if _UNITS.findall(dxf) != [_IN_MM]:
        yield "it does not say that its figures are mm"
    found = points_of(dxf)
    wanted = []
    for mark in (*report["marks"], *report.get("beside", ())):
        if mark[lap] is not None:
            own = {**mark, **{key: value for key, value in mark[lap].items() if key in ("x_mm", "y_mm")}}
            # A cutter counts y upwards.
            wanted.append((mark["n"], (sign * own["x_mm"], -own["y_mm"])))
    if len(found) != len(wanted):
        yield f"it has {len(found)} points, and the report tells {len(wanted)} marks"
        return
    for (n, place), point in zip(wanted, found, strict=True):
        if not math.dist(place, point) <= POSITION_MM:
            yield f"the point of mark {n} lies {math.dist(place, point):.4f} mm from where the report says"


def points_of(dxf: bytes) -> list[Point]:
    """Every point of a DXF, in the order of the file: pairs of lines, a code and a value."""
    lines = dxf.decode("ascii").split("\n")
    pairs = [(code.strip(), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=False)]
    points: list[Point] = []
    entity: dict[str, float] | None = None
    for code, value in pairs:
        if code == "0":
            if entity is not None:
                points.append((entity["10"], entity["20"]))
            entity = {} if value == "POINT" else None
        elif entity is not None and code in ("10", "20"):
            entity[code] = float(value)
    return points
