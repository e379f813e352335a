"""Measuring at the table: a picture and a few words for each thing that tells whether a front gapes."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.shapes import (
    CUT,
    FINE,
    HEAVY,
    LINE,
    PAPER,
    Circle,
    Path,
    Pen,
    Words,
    arrow,
    line,
    moved,
    polygon,
    rectangle,
)
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.words import Chapter, ChapterPart, Picture, Section
from closures.drawing.write.svg import write_shapes
from closures.jobs.gape.asking import BY_COMMAND, measures_for
from closures.jobs.gape.known import coupon_pitch_mm

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.drawing.ink.shapes import Item
    from closures.jobs.gape.asking import Measure

_PICTURE_MM = 30.0
_PICTURE_WIDTH_MM = 88.0
"""No wider than a column of words; half as wide again, with large letters, still no wider than a page of them."""

_SLOPE_DEG = 41.5
_ON_PAPER = ("scale", "opens", "bias", "overhang", "coupon")
_CLOTH = Pen(0.5)


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    """Tell and draw how each thing is measured."""
    parts: list[ChapterPart] = []
    sheets = drawn.placement.plan.sheets
    in_this_set = "it lies among these sheets" if sheets is not None and sheets.pull_coupon else BY_COMMAND
    is_record = drawn.placement.sets_nothing
    # No coupon is printed, and none is worth making, where what is to be tried is on the garment already.
    has_coupon = coupon_pitch_mm(drawn.placement) > 0 and not is_record
    measures = [_on_the_garment(one) if is_record else one for one in measures_for(drawn.placement)]
    measures = [one for one in measures if has_coupon or one.name != "coupon"]
    for measure in sorted(measures, key=lambda one: _ON_PAPER.index(one.name)):
        write = "Write down what you read, with its unit: whoever places the row reckons with it."
        how = (step.replace(BY_COMMAND, in_this_set) for step in measure.how)
        parts.append(Section(measure.title, (*how, write)))
        items = tuple(_picture(measure))
        parts.append(Picture(items, (_PICTURE_WIDTH_MM, _PICTURE_MM), f"How it is done: {measure.title}."))
    return (Chapter("Measuring at the table: will it gape, will it hold", tuple(parts)),)


def _on_the_garment(measure: Measure) -> Measure:
    """How it is measured where all closures stay: what opens one is read on one of those."""
    if measure.name != "opens":
        return measure
    how = ("Take one of the closures that stay, on the garment.", *measure.how[1:])
    return replace(measure, title=measure.title.replace("on the trial coupon", "on one that stays"), how=how)


def measure_picture(measure: Measure) -> bytes:
    """Draw one of the pictures by itself, as an SVG."""
    items = [moved(item, 4.0, 4.0) for item in _picture(measure)]
    return write_shapes(measure.title, _PICTURE_WIDTH_MM, _PICTURE_MM + 8.0, items)


def _picture(measure: Measure) -> list[Item]:
    return _scale(is_alone=True) if measure.name == "scale" and measure.is_alone else _PICTURES[measure.name]()


def _label(x: float, y: float, text: str) -> Words:
    return Words(x, y, text, USUAL_TYPE.figure)


def _scale(is_alone: bool = False) -> list[Item]:
    """Two laps from the front, one drawn by a scale until the lines meet; above and below it the row is closed."""
    items: list[Item] = [
        rectangle((0.0, 2.0, 30.0, 28.0), _CLOTH),
        rectangle((14.0, 2.0, 60.0, 28.0), Pen(0.5, fill=1.0)),
        line((22.0, 2.0), (22.0, 28.0), pen=CUT),
    ]
    neighbours = () if is_alone else ((6.0, False), (24.0, False))
    for y, is_open in ((15.0, True), *neighbours):
        items.append(Circle(22.0, y, 1.8, PAPER if is_open else Pen(0.35, fill=0.0)))
        items.append(Circle(22.0, y, 1.8, LINE))
    items += [*arrow((36.0, 15.0), (25.0, 15.0), HEAVY), rectangle((36.0, 11.5, 54.0, 18.5), Pen(0.35, fill=1.0))]
    items += [Words(45.0, 16.2, "120 g", USUAL_TYPE.figure, "middle", 0.0, "semibold")]
    items += [_label(62.5, 16.0, "open: draw until"), _label(62.5, 19.6, "the lines meet")]
    items += [_label(62.5, y + 1.0, "closed") for y, _ in neighbours]
    return items


def _overhang() -> list[Item]:
    """A strip pushed over an edge until its tip touches a slope of 41.5 degrees."""
    edge_x, edge_y, run = 27.0, 5.0, 28.0
    slope = math.tan(math.radians(_SLOPE_DEG))
    foot = edge_y + run * slope
    tip = (edge_x + 22.0, edge_y + 22.0 * slope - 0.6)
    block = polygon(((0.0, edge_y), (edge_x, edge_y), (edge_x + run, foot), (0.0, foot)), LINE)
    bent = ("C", edge_x + 11.0, edge_y - 1.0, edge_x + 17.0, edge_y + 6.5, *tip)
    strip = Path((("M", 4.0, edge_y - 1.2), ("L", edge_x, edge_y - 1.2), bent), _CLOTH)
    return [
        block,
        strip,
        rectangle((8.0, edge_y - 5.0, edge_x, edge_y - 1.6), FINE),
        _label(edge_x + 20.5, edge_y + 8.0, "the strip of the finished band"),
        _label(7.0, edge_y + 16.0, "41.5 degrees"),
        _label(9.0, edge_y - 2.4, "ruler"),
        _label(edge_x + run + 2.0, foot - 3.6, "its tip touches: measure"),
        _label(edge_x + run + 2.0, foot, "what hangs over"),
    ]


def _bias() -> list[Item]:
    """A bias strip with a small weight."""
    items: list[Item] = [rectangle((20.0, 0.0, 35.0, 24.0), _CLOTH)]
    for k in range(-1, 6):
        y = k * 5.0
        low, high = max(y, 0.0), min(y + 15.0, 24.0)
        if high > low:
            items.append(line((20.0 + low - y, low), (20.0 + high - y, high), pen=FINE))
    items += [line((14.0, 4.0), (41.0, 4.0), pen=CUT), line((14.0, 20.0), (41.0, 20.0), pen=CUT)]
    items += [*arrow((27.5, 24.0), (27.5, 29.5), HEAVY)]
    items += [
        _label(44.0, 5.0, "mark"),
        _label(44.0, 21.0, "mark, 100 mm away before"),
        _label(44.0, 28.5, "25 g, all across"),
    ]
    return items


def _opens() -> list[Item]:
    """A closed snap drawn open square to the cloth and sideways."""
    items: list[Item] = []
    for x, sideways in ((14.0, False), (58.0, True)):
        items += [
            line((x - 12.0, 18.0), (x + 12.0, 18.0), pen=_CLOTH),
            line((x - 12.0, 14.5), (x + 12.0, 14.5), pen=_CLOTH),
        ]
        items += [rectangle((x - 4.0, 18.0, x + 4.0, 20.0), LINE), rectangle((x - 4.0, 12.5, x + 4.0, 14.5), LINE)]
        items += arrow((x, 12.0), (x, 3.0), HEAVY) if not sideways else arrow((x + 12.0, 14.5), (x + 24.0, 14.5), HEAVY)
        items.append(_label(x - 12.0, 26.0, "along the cloth" if sideways else "square to the cloth"))
    return items


def _coupon() -> list[Item]:
    """The pull coupon hung from a table's edge."""
    items: list[Item] = [
        rectangle((0.0, 2.0, 30.0, 5.0), LINE),
        line((30.0, 2.0), (30.0, 12.0), pen=_CLOTH),
        Path((("M", 30.0, 12.0), ("C", 30.5, 13.0, 34.0, 14.0, 33.5, 16.0)), _CLOTH),
        line((29.2, 10.0), (29.2, 26.0), pen=_CLOTH),
        Circle(29.6, 12.0, 1.2, Pen(0.35, fill=0.0)),
        *arrow((29.2, 26.0), (29.2, 30.0), HEAVY),
        _label(2.0, 9.5, "table"),
        _label(37.0, 16.5, "the free edge stands off: the lift"),
        _label(37.0, 28.5, "weights, spread by a rod"),
    ]
    return items


_PICTURES: dict[str, Callable[[], list[Item]]] = {
    "scale": _scale,
    "overhang": _overhang,
    "bias": _bias,
    "opens": _opens,
    "coupon": _coupon,
}

EXTRA = Extra(
    "measuring",
    "how to measure at the table whether it gapes and holds",
    28,
    *switched("measuring"),
    chapters=_chapters,
    for_closing=True,
)
