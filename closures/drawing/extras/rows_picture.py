"""Two rows of one front in one picture: the even one above the calm one, each gap with its gape number."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import CLOSING, FINE, INK, Circle, Group, Words, line, strokes
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.write.svg import write_shapes
from closures.series import how_many

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Weight
    from closures.jobs.gape.calm import Beside
    from closures.jobs.gape.row import Gape
    from closures.placing.placement import Placement

_LINE_MM = 190.0
_LEFT_MM = 10.0
_TOP_MM = 24.0
_ROW_MM = 26.0
_CAP_MM = 1.7


def draw_two_rows(rows: Beside) -> bytes:
    """Draw both rows lying on their side, first end on the left.

    Args:
        rows: the even row and the calm one.

    Returns:
        An SVG; it is a picture to look at, not to scale with the cloth.
    """
    title = f"{rows.even.plan.title}: even, and spaced for calm"
    items: list[Item] = [
        Words(_LEFT_MM, 9.0, title, 4.6, weight="bold"),
        Words(_LEFT_MM, 15.0, "Above each gap the middle of its gape number: computed, and not tried on cloth.", 3.1),
    ]
    each = (("even", rows.even, rows.even_gape), ("calm", rows.calm, rows.calm_gape))
    for n, (name, placement, gape) in enumerate(each):
        items.append(Group(f"row-{name}", f"the {name} row", _row(name, placement, gape, _TOP_MM + _ROW_MM * n)))
    return write_shapes(title, _LEFT_MM + _LINE_MM + 10.0, _TOP_MM + 2 * _ROW_MM, items)


def _row(name: str, placement: Placement, gape: Gape, top: float) -> tuple[Item, ...]:
    scale = _LINE_MM / placement.laps.line.length_mm
    y = top + 12.0
    at = [_LEFT_MM + place * scale for place in placement.spacing.positions_mm]
    worst = gape.worst
    ends = None if worst is None else worst.number
    number = "" if ends is None else f", worst gape number {_digits(ends.low)} to {_digits(ends.high)}"
    items: list[Item] = [
        Words(_LEFT_MM, top + 2.0, f"{name}: {how_many(len(at), 'closure')}{number}", 3.4, weight="semibold"),
        line((_LEFT_MM, y), (_LEFT_MM + _LINE_MM, y), pen=CLOSING),
        strokes((((x, y - 3.0), (x, y + 3.0)) for x in (_LEFT_MM, _LEFT_MM + _LINE_MM)), FINE),
        *(Circle(x, y, _CAP_MM, INK) for x in at),
    ]
    for gap, (low, high) in zip(gape.gaps, pairwise(at), strict=True):
        is_worst = worst is not None and gap.number.middle >= 0.999 * worst.number.middle
        weight: Weight = "bold" if is_worst else "regular"
        items.append(
            Words((low + high) / 2, y - 2.4, _digits(gap.number.middle), USUAL_TYPE.figure, "middle", 0.0, weight)
        )
    for anchor in placement.anchors:
        x = _LEFT_MM + anchor.along_mm * scale
        items += [
            line((x, y + 3.0), (x, y + 6.0), pen=FINE),
            Words(x, y + 9.0, anchor.name, USUAL_TYPE.figure, "middle"),
        ]
    return tuple(items)


def _digits(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}" if value >= 1 else f"{value:.2f}"
