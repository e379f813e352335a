"""A rectangle of cloth that is cut by its measures: drawn small, all lengths written, for paper too short for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.extras.piece import grain
from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.figures import both_ways, corner_figure, lettered_along
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import FINE, FOLD, INK, LINE, Item, Pen, Words, arrow, line, rectangle, strokes
from closures.drawing.paper.piece import Piece, piece_of
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box, Weight
    from closures.drawing.ink.type_scale import TypeScale

DRAWN_SMALL = "cut by its measures: drawn small"

_SEAM = Pen(0.3, (3.2, 1.6))
_NOTCH = Pen(0.7)
_LEAST_LONG_MM = 50.0
_LEAST_WIDE_EM = 3.6
_GRAIN_EM, _END_EM = 5.0, 14.0
_ROOMS_EM = (16.0, 18.0, 20.0, 22.0, 24.0, 27.0, 30.0)
"""How long rows may be, the shortest first: longer ones are hard to follow from a table. Our own rule."""

_BESIDE_MM = 3.0
_NOTCH_MM, _LEAST_STEP_MM = 3.0, 2.2
"""How long a notch is drawn, and how far apart two are: as they are cut they would run into one."""
_SEAM_MM = 3.0
_OFF_MM = 2.0
_LEAD = 1.25


@frozen
class Rectangle:
    """A rectangle of cloth as it lies with the face up that its words stand on, its first end to the left.

    Attributes:
        long_mm, wide_mm: along the closing line and across it, with the allowance.
        first_end: what its left end is called.
        edge_above: whether its upper side lies at the finished edge, rather than its lower one.
        sides: what the upper and the lower side are called; empty of what needs no name.
        allowance_mm: how far within every side its seam line lies; 0 of what has none.
        has_fold: whether it is folded in the middle, along its length.
        notches: from the left end, and whether each is cut into the upper side.
        grain_deg: from its length to the lengthwise threads, clockwise as it lies.
    """

    long_mm: float
    wide_mm: float
    first_end: str
    edge_above: bool
    sides: tuple[str, str] = ("", "")
    allowance_mm: float = 0.0
    has_fold: bool = False
    notches: tuple[tuple[float, bool], ...] = ()
    grain_deg: float = 0.0


def measured_piece(
    name: str, head: str, is_solid: bool, shape: Rectangle, rows: Sequence[str], units: str, scale: TypeScale
) -> Piece:
    """Draw a rectangle small, with its measures, and rows of words beside it.

    Args:
        name: of the piece.
        head: its name, as all pieces say it.
        is_solid: whether its corner is solid, as that of what belongs to the over lap is.
        shape: what is to be cut.
        rows: what is said of it besides; the last one tells its sheet.
        units: what is written first.
        scale: the sizes of lettering.
    """
    size = scale.figure
    end = wrapped(shape.first_end, size, _END_EM * size, "semibold")
    named_mm = max(width_of(row, size, "semibold") for row in end)
    beside_mm = max(_GRAIN_EM * size, *(width_of(side, size) for side in shape.sides))
    long = max(_LEAST_LONG_MM * scale.grown, named_mm + beside_mm + 2 * _SEAM_MM + 3 * _OFF_MM)
    # Words keep off a fold, which runs along the middle.
    rows_em = (2 if shape.has_fold else 1) * _LEAD * len(end)
    box = (0.0, 0.0, long, max(_LEAST_WIDE_EM, rows_em) * size + 2 * _SEAM_MM)
    drawing = [rectangle(box, LINE), *_within(box, shape, size), *_lettered(box, shape, size)]
    items = [*drawing, *_measures(box, shape, units, size)]
    _, y0, x1, y1 = union(box_of(item) for item in items)
    told, step = _beside(rows, size, y1 - y0), _LEAD * size
    items += [
        Words(x1 + _BESIDE_MM, y0 + step * k + 0.8 * size, row, size, weight=weight)
        for k, (row, weight) in enumerate(told)
    ]
    items += _headed(head, is_solid, shape.edge_above, max(box_of(item)[2] for item in items), scale)
    long_told, wide_told = (" / ".join(both_ways(mm, units)) for mm in (shape.long_mm, shape.wide_mm))
    text = f"{name.capitalize()}: a rectangle, {long_told} long and {wide_told} wide; it is drawn small."
    return piece_of(name, items, text, by_measures=True)


def _beside(rows: Sequence[str], size: float, high_mm: float) -> list[tuple[str, Weight]]:
    """Break rows so that they are no higher than the drawing beside them, where they need not be too long for that."""
    told: list[tuple[str, Weight]] = []
    for em in _ROOMS_EM:
        told = [(row, "semibold") for one in rows[:-1] for row in wrapped(one, size, em * size, "semibold")]
        told += [(row, "regular") for row in wrapped(rows[-1], size, em * size)]
        if _LEAD * size * len(told) <= high_mm:
            break
    return told


def _headed(head: str, is_solid: bool, edge_above: bool, room_mm: float, scale: TypeScale) -> list[Item]:
    """The name above the drawing, in as many rows as it takes, with its corner, and that it is drawn small."""
    corner, step = 1.2 * scale.text, _LEAD * scale.text
    rows = wrapped(head, scale.text, room_mm - corner - _OFF_MM, "bold")
    after = corner + _OFF_MM + width_of(rows[-1], scale.text, "bold") + scale.text
    if after + width_of(DRAWN_SMALL, scale.figure, "semibold") > room_mm:
        rows, after = (*rows, ""), corner + _OFF_MM
    tops = [-_OFF_MM - step * (len(rows) - 1 - k) for k in range(len(rows))]
    pen, edge = INK if is_solid else Pen(0.5, fill=1.0), (0.0, -1.0 if edge_above else 1.0)
    at = (corner / 2, tops[0] - corner / 2 + 0.2 * scale.figure)
    return [
        corner_figure(at, (-1.0, 0.0), edge, corner, pen),
        *(Words(corner + _OFF_MM, y, row, scale.text, weight="bold") for y, row in zip(tops, rows, strict=True) if row),
        Words(after, tops[-1], DRAWN_SMALL, scale.figure, weight="semibold"),
    ]


def _within(box: Box, shape: Rectangle, size: float) -> list[Item]:
    """The seam line, the fold and the notches."""
    _, _, long, wide = box
    items: list[Item] = []
    if shape.allowance_mm:
        items.append(rectangle((_SEAM_MM, _SEAM_MM, long - _SEAM_MM, wide - _SEAM_MM), _SEAM))
    if shape.has_fold:
        items.append(line((0.0, wide / 2), (long, wide / 2), pen=FOLD))
    cuts = []
    for above in (True, False):
        at = [long * along / shape.long_mm for along, is_above in shape.notches if is_above is above]
        middle = sum(at) / len(at) if at else 0.0
        step = max(_LEAST_STEP_MM, (max(at) - min(at)) / (len(at) - 1)) if len(at) > 1 else 0.0
        places = [middle + (k - (len(at) - 1) / 2) * step for k in range(len(at))]
        cuts += [((x, 0.0), (x, _NOTCH_MM)) if above else ((x, wide), (x, wide - _NOTCH_MM)) for x in places]
    return [*items, strokes(cuts, _NOTCH)] if cuts else items


def _lettered(box: Box, shape: Rectangle, size: float) -> list[Item]:
    """The first end, the grain and the names of both long sides, clear of the notches."""
    _, _, long, wide = box
    left, right = _SEAM_MM + _OFF_MM, long - _SEAM_MM - _OFF_MM
    middle = _SEAM_MM / 2 + wide / 4 if shape.has_fold else wide / 2
    end = wrapped(shape.first_end, size, _END_EM * size, "semibold")
    turn, reach = math.radians(shape.grain_deg), _GRAIN_EM * size
    way = (math.cos(turn), math.sin(turn))
    if turn:
        reach = min(reach, (wide - 2 * _SEAM_MM) / abs(way[1]))
    items = [
        *(
            Words(left, middle + (0.33 + _LEAD * (k - (len(end) - 1) / 2)) * size, row, size, weight="semibold")
            for k, row in enumerate(end)
        ),
        *grain((right - _GRAIN_EM * size / 2, wide / 2 if turn else middle), way, reach, "", size),
    ]
    for name, y in zip(shape.sides, (_SEAM_MM + 1.0 * size, wide - _SEAM_MM - 0.35 * size), strict=True):
        if name:
            items.append(Words(right, y, name, size, "end"))
    return items


def _measures(box: Box, shape: Rectangle, units: str, size: float) -> list[Item]:
    """How long and how wide it is, on lines of measure below and to the right."""
    _, _, long, wide = box
    long_told, wide_told = (" · ".join(both_ways(mm, units)) for mm in (shape.long_mm, shape.wide_mm))
    items: list[Item] = []
    for start, end, told in (
        ((0.0, wide + _OFF_MM), (long, wide + _OFF_MM), long_told),
        ((long + _OFF_MM, wide), (long + _OFF_MM, 0.0), ""),
    ):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        items += [*arrow(middle, start, FINE, 2.0), *arrow(middle, end, FINE, 2.0)]
        if told:
            items.append(lettered_along(told, (middle[0], middle[1] + 0.9 * size), (1.0, 0.0), size, "semibold"))
    first, second = wide_told.split(" · ")
    at = long + _OFF_MM
    # It reads upwards: the longer it is written across, the narrower the words beside it.
    items += [
        lettered_along(told, (at + by * size, wide / 2), (0.0, -1.0), size, "semibold")
        for by, told in ((0.9, first), (0.9 + _LEAD, second))
    ]
    return items


def notches_in_words(shape: Rectangle, units: str) -> tuple[str, ...]:
    """Where the notches are cut, a row for each side that has any."""
    rows = []
    for above, side in zip((True, False), shape.sides, strict=True):
        at = [along for along, is_above in shape.notches if is_above is above]
        if at:
            told = " and ".join(" / ".join(both_ways(along, units)) for along in at)
            named = f", {side}" if side else ""
            rows.append(f"notch{'es' if len(at) > 1 else ''}{named}: {told} from the left end")
    return tuple(rows)
