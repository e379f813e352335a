"""A strip to step along the closing line with, and the same as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import Page, extra_sheet, text_block
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import (
    FINE,
    HEAVY,
    INK,
    LINE,
    Align,
    Circle,
    Group,
    Item,
    Pen,
    Words,
    line,
    moved,
    rectangle,
)
from closures.jobs.table.strip import stride_mm, strides

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.strip import Stride
    from closures.placing.placement import Placement

HALF_SHEET_MM = (210.0, 139.7)
"""Half an A4 sheet is 210 x 148.5 mm (ISO 216), half a Letter sheet 215.9 x 139.7 mm (ASME Y14.1)."""

ROW_MM = 20.0
_FRAME_MM = 4.0
_ROWS = int(HALF_SHEET_MM[1] / ROW_MM)
_NEAR_END_MM = 8.0
_WORDS_BELOW_MM = 5.0


def strip_sheets(placement: Placement, failures: str) -> tuple[Sheet, ...]:
    """Draw the strip, as many half sheets as it needs.

    Args:
        placement: closures along an edge.
        failures: failed checks in words.
    """
    rows = strides(placement)
    # A stride is whole on one ruler only: rounded on the other it would add up, stride after stride.
    step = both_ways(stride_mm(placement.plan.units), placement.plan.units)[0]
    first, last = placement.ends
    told = (
        "Cut the strips apart, or copy them by ruler. Lay stride 1 with its left end on the "
        f"{first}, along the "
        f"closing line. Mark the closures, and mark its right end: {step}.",
        f"Lay stride 2 with its left end there, and so on to the {last}. Do the same on the other lap.",
        f"Every distance is reckoned from the {first} and rounded once; only whole strides are stepped.",
    )
    words = text_block("Step along", told, stride_mm(placement.plan.units))
    sheets = []
    groups = [rows[k : k + _ROWS] for k in range(0, len(rows), _ROWS)]
    for n, group in enumerate(groups, 1):
        stem = "strip" if n == 1 else f"strip-{n}"
        page = Page(stem, "STEP-ALONG STRIP — both laps alike", failures)
        below = len(group) * ROW_MM + _WORDS_BELOW_MM
        beside = [moved(item, _FRAME_MM, below) for item in words.items]
        sheets.append(extra_sheet(placement, page, [*_half_sheet(placement, group), *beside]))
    return tuple(sheets)


def _half_sheet(placement: Placement, rows: tuple[Stride, ...]) -> list[Item]:
    step = stride_mm(placement.plan.units)
    items: list[Item] = []
    for k, row in enumerate(rows):
        items.append(_stride(placement, row, _FRAME_MM, k * ROW_MM, step))
    return items


def _stride(placement: Placement, row: Stride, x: float, y: float, step: float) -> Group:
    units = placement.plan.units
    base = y + 8.6
    items: list[Item] = [
        rectangle((x, y, x + step, y + ROW_MM), Pen(0.2, (2.4, 1.6))),
        line((x, base), (x + row.length_mm, base), pen=LINE),
        line((x, base - 4.0), (x, base + 4.0), pen=HEAVY),
        line((x + row.length_mm, base - 4.0), (x + row.length_mm, base + 4.0), pen=HEAVY),
    ]
    begins = placement.ends[0] if row.n == 1 else f"from {both_ways(row.from_mm, units)[0]}"
    items.append(Words(x + 1.2, y + 3.4, f"stride {row.n}: {begins}", 2.6, "start", 0.0, "semibold"))
    is_last = abs(row.from_mm + row.length_mm - placement.laps.line.length_mm) < 1e-6
    ends = placement.ends[1] if is_last else f"go on with stride {row.n + 1} here"
    items.append(Words(x + max(row.length_mm, 60.0) - 1.2, y + 3.4, ends, 2.6, "end", 0.0, "semibold"))
    for number, at in row.marks:
        first, second = both_ways(at, units)
        way: Align = "start" if at < _NEAR_END_MM else "end" if at > row.length_mm - _NEAR_END_MM else "middle"
        beside = -0.9 if way == "end" else 0.9
        label = x + at + {"start": 0.8, "middle": 0.0, "end": -0.8}[way]
        items += [
            line((x + at, base - 2.2), (x + at, base + 2.2), pen=FINE),
            Circle(x + at, base, 0.3, INK, "centre"),
            Words(x + at + beside, base - 0.9, str(number), 3.6, "end" if way == "end" else "start", 0.0, "bold"),
            Words(label, base + 5.6, first, 2.6, way, 0.0, "semibold"),
            Words(label, base + 9.0, second, 2.4, way),
        ]
    return Group(f"stride-{row.n}", f"stride {row.n}, {begins}", tuple(items))


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    return strip_sheets(drawn.placement, drawn.failures)


EXTRA = Extra("strip", "running distances, and a strip to step along with", 50, *switched("strip"), sheets=_sheets)
