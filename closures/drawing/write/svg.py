"""Sheets as SVG. Nothing else in this package knows svgwrite."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from closures.drawing.ink.lettering import EM, glyph, set_glyphs, start_of
from closures.drawing.ink.numbers import number
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Pen, Words
from closures.drawing.paper.whole_sheet import whole_furniture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.shapes import Weight
    from closures.drawing.sheets.sheet import Sheet


def write_svg(sheet: Sheet) -> bytes:
    """Write a whole sheet, 1:1, in user units of 1 mm.

    Args:
        sheet: a lap's sheet.

    Returns:
        The file, the same on every run. Mark n is the group ``over-n`` or ``under-n`` and holds
        a circle of class ``centre``.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    _, rules, items = whole_furniture(sheet.box, sheet.text, sheet.orientations, sheet.lap == "over")
    frame = Group("frame", "title, squares and what the signs mean", items)
    shapes = (*rules, frame, Group("lap", sheet.text.lap_words, sheet.drawing))
    run = f" — run {sheet.text.run}" if sheet.text.run else ""
    return write_shapes(f"{sheet.title}: {sheet.text.lap_words}{run}", *sheet.size_mm, shapes)


def write_shapes(
    title: str, width_mm: float, height_mm: float, items: Sequence[Item], is_on_paper: bool = True
) -> bytes:
    """Write shapes on white paper, 1:1, in user units of 1 mm.

    Args:
        title: what the drawing is, for those who cannot see it.
        width_mm, height_mm: of the paper.
        items: from the lowest.
        is_on_paper: draw the paper as a white ground; a cutting machine would take its border for a cut.

    Returns:
        The file, the same on every run.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    import svgwrite

    width, height = number(width_mm), number(height_mm)
    drawing = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False, lang="en"
    )
    drawing.set_desc(title=title)
    if is_on_paper:
        drawing.add(drawing.rect((0, 0), (width_mm, height_mm), fill="white"))
    for item in items:
        is_rule = isinstance(item, Group) and item.id.startswith("rule-")
        drawing.add(_Ready(_rule(item)) if is_rule else _element(drawing, item))
    return f'<?xml version="1.0" encoding="utf-8"?>\n{drawing.tostring()}\n'.encode()


class _Ready:
    """An element that is written already; several drawings may hold it."""

    def __init__(self, xml: Any) -> None:
        self.xml = xml

    def get_xml(self) -> Any:
        """Give what svgwrite asks of its elements."""
        return self.xml


# The rules are hundreds of strokes and words, and the same on most sheets of a run.
@lru_cache(maxsize=32)
def _rule(item: Item) -> Any:
    import svgwrite

    return _element(svgwrite.Drawing(debug=False), item).get_xml()


def _element(drawing: Any, item: Item) -> Any:
    if isinstance(item, Group):
        group = drawing.g(id=item.id, **({"class_": "layer"} if item.layer else {}))
        if item.clip:
            border = drawing.clipPath(id=f"{item.id}-clip")
            border.add(drawing.polygon([(round(x, 4), round(y, 4)) for x, y in item.clip]))
            group.add(border)
            group.attribs["clip-path"] = f"url(#{item.id}-clip)"
        group.set_desc(title=item.title)
        for part in item.items:
            group.add(_element(drawing, part))
        return group
    if isinstance(item, Words):
        return _lettering(drawing, item)
    if isinstance(item, Circle):
        shape = drawing.circle(**_ink(item.pen))
        shape.attribs.update(cx=number(item.x), cy=number(item.y), r=number(item.r))
        if item.role:
            shape.attribs["class"] = item.role
        return shape
    return drawing.path(d=_path_data(item), **_ink(item.pen))


def _path_data(path: Path) -> str:
    return "".join(f"{name}{' '.join(number(float(value)) for value in values)}" for name, *values in path.commands)


def _ink(pen: Pen) -> dict[str, str]:
    ink = {"fill": "none" if pen.fill is None else _grey(pen.fill)}
    if pen.width_mm:
        ink |= {"stroke": _grey(pen.grey), "stroke_width": number(pen.width_mm)}
    if pen.dash_mm:
        ink["stroke_dasharray"] = " ".join(number(part) for part in pen.dash_mm)
    return ink


def _grey(share: float) -> str:
    level = round(255 * share)
    return f"#{level:02x}{level:02x}{level:02x}"


def _lettering(drawing: Any, words: Words) -> Any:
    """Set words as outlines in font units, so that whole numbers stay whole, and keep them as a title."""
    left, _ = start_of(words)
    scale = number(words.size_mm / EM * 1e4)
    turn = f" rotate({number(words.angle_deg)})" if words.angle_deg else ""
    start = f" translate({number(left)})" if left else ""
    place = f"translate({number(words.x)} {number(words.y)}){turn}{start} scale({scale}e-4 -{scale}e-4)"
    group = drawing.g(transform=place, class_="words")
    group.set_desc(title=words.text)
    group.add(drawing.path(d=_line_of_type(words.text, words.weight), fill=_grey(words.grey)))
    return group


# Most words of a sheet stand on every other one as well.
@lru_cache(maxsize=1024)
def _line_of_type(text: str, weight: Weight) -> str:
    return "".join(_outline(char, weight, at) for at, char, _ in set_glyphs(text, weight))


@lru_cache(maxsize=8192)
def _outline(char: str, weight: Weight, at: int) -> str:
    parts: list[str] = []
    for name, *values in glyph(char, weight).commands:
        places = [int(value) + (at if k % 2 == 0 else 0) for k, value in enumerate(values)]
        parts.append(str(name) + " ".join(map(str, places)))
    return "".join(parts)
