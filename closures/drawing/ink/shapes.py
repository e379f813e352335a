"""What a drawing is made of, in millimetres, knowing no file format.

x runs to the right and y down. Meaning is carried by width, dash and shape, never by colour,
so that a black and white printer loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Literal

from closures.frozen import frozen

Point = tuple[float, float]
Box = tuple[float, float, float, float]
Command = tuple[str | float, ...]
Align = Literal["start", "middle", "end"]
Weight = Literal["regular", "semibold", "bold"]


@frozen
class Pen:
    """How a shape is inked.

    Attributes:
        width_mm: width of the stroke, 0 for none.
        dash_mm: lengths drawn and left out in turn, empty for a whole line.
        grey: the stroke, 0 black to 1 white.
        fill: the inside, 0 black to 1 white, None for none.
    """

    width_mm: float
    dash_mm: tuple[float, ...] = ()
    grey: float = 0.0
    fill: float | None = None


HEAVY = Pen(0.7)
LINE = Pen(0.35)
FINE = Pen(0.22)
CLOSING = Pen(0.25, (7.0, 1.6, 0.9, 1.6))
CUT = Pen(0.25, (2.4, 1.6))
FOLD = Pen(0.5, (0.8, 1.4))
"""Dotted, so that it is taken for none of the dashed lines beside it."""
RIM = Pen(0.25, fill=1.0)
RIM_NOT_CUT = Pen(0.25, (1.2, 0.9), fill=1.0)
HATCH = Pen(0.2, grey=0.3)
FRAME = Pen(0.18, grey=0.45)
INK = Pen(0.0, fill=0.0)
PAPER = Pen(0.0, fill=1.0)


@frozen
class Path:
    """A path of ``("M", x, y)``, ``("L", x, y)``, ``("C", x1, y1, x2, y2, x, y)`` and ``("Z",)``.

    Attributes:
        commands: as above.
        pen: how it is inked.
        frames_words: it is the frame round words, and is of no use where these are not shown.
    """

    commands: tuple[Command, ...]
    pen: Pen
    frames_words: bool = False


@frozen
class Circle:
    """A circle; `role` becomes the class by which other programs find it, such as ``centre``."""

    x: float
    y: float
    r: float
    pen: Pen
    role: str = ""


@frozen
class Words:
    """A line of lettering.

    Attributes:
        x, y: the end of the baseline that `align` names, or its middle.
        text: the words.
        size_mm: the size of the type, one em; capitals are 0.66 of it.
        align: which part of the baseline lies at x, y.
        angle_deg: turn about x, y; positive turns the line clockwise, as y runs down.
        weight: the weight of the type.
        grey: 0 black to 1 white.
    """

    x: float
    y: float
    text: str
    size_mm: float
    align: Align = "start"
    angle_deg: float = 0.0
    weight: Weight = "regular"
    grey: float = 0.0


@frozen
class Group:
    """Shapes that belong together.

    Attributes:
        id: single on its sheet.
        title: what they are, in words.
        items: from the lowest.
        layer: the layer they lie in, which a reader can show or hide; empty where they always show.
        clip: the corners of a figure outside which nothing of them is drawn; none where they are drawn whole.
        tag: what they are in a document that is read aloud, such as ``Figure`` or ``P``; empty where what
            holds them says it.
    """

    id: str
    title: str
    items: tuple[Item, ...]
    layer: str = ""
    clip: tuple[Point, ...] = ()
    tag: str = ""


@frozen
class Layers:
    """The layers of a drawing, each of which a reader can show or hide; all show as the file opens.

    Attributes:
        names: in the order of a list.
        title: what they are together.
    """

    names: tuple[str, ...]
    title: str


Item = Path | Circle | Words | Group


def line(*points: Point, pen: Pen) -> Path:
    """Draw straight from point to point."""
    (x, y), *rest = points
    return Path((("M", x, y), *(("L", px, py) for px, py in rest)), pen)


def polygon(points: Iterable[Point], pen: Pen) -> Path:
    """Draw a closed figure through the points."""
    (x, y), *rest = points
    return Path((("M", x, y), *(("L", px, py) for px, py in rest), ("Z",)), pen)


def rectangle(box: Box, pen: Pen) -> Path:
    """Draw the outline of a box."""
    x0, y0, x1, y1 = box
    return polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pen)


def strokes(segments: Iterable[tuple[Point, Point]], pen: Pen) -> Path:
    """Draw many separate straight strokes as one path."""
    commands: list[Command] = []
    for (x0, y0), (x1, y1) in segments:
        commands += [("M", x0, y0), ("L", x1, y1)]
    return Path(tuple(commands), pen)


def arrow(tail: Point, tip: Point, pen: Pen, head_mm: float = 3.2) -> tuple[Item, ...]:
    """Draw an arrow; its solid head ends exactly at the tip."""
    (x0, y0), (x1, y1) = tail, tip
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    bx, by = x1 - head_mm * ux, y1 - head_mm * uy
    half = 0.38 * head_mm
    head = polygon(((x1, y1), (bx - half * uy, by + half * ux), (bx + half * uy, by - half * ux)), INK)
    return (line(tail, (bx, by), pen=pen), head)


def mapped(commands: Iterable[Command], sx: float, sy: float, dx: float, dy: float) -> tuple[Command, ...]:
    """Map the points of a path by x -> sx * x + dx and y -> sy * y + dy."""
    result: list[Command] = []
    for name, *numbers in commands:
        turned = [(sy * float(v) + dy) if i % 2 else (sx * float(v) + dx) for i, v in enumerate(numbers)]
        result.append((name, *turned))
    return tuple(result)


def moved(item: Item, dx: float, dy: float) -> Item:
    """Move a shape by (dx, dy)."""
    if isinstance(item, Path):
        return replace(item, commands=mapped(item.commands, 1.0, 1.0, dx, dy))
    if isinstance(item, Group):
        clip = tuple((x + dx, y + dy) for x, y in item.clip)
        return replace(item, items=tuple(moved(part, dx, dy) for part in item.items), clip=clip)
    return replace(item, x=item.x + dx, y=item.y + dy)


def mirrored(item: Item, ox: float) -> Item:
    """Turn a shape over by x -> ox - x; words change place and side but stay readable."""
    if isinstance(item, Path):
        return replace(item, commands=mapped(item.commands, -1.0, 1.0, ox, 0.0))
    if isinstance(item, Group):
        clip = tuple((ox - x, y) for x, y in item.clip)
        return replace(item, items=tuple(mirrored(part, ox) for part in item.items), clip=clip)
    if isinstance(item, Words):
        other: dict[Align, Align] = {"start": "end", "middle": "middle", "end": "start"}
        return replace(item, x=ox - item.x, align=other[item.align], angle_deg=-item.angle_deg)
    return replace(item, x=ox - item.x)
