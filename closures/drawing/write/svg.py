"""Sheets as SVG, written straight into text.

Attributes stand in the order of their names, as canonical XML has them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import EM, glyph, set_glyphs, start_of, width_of
from closures.drawing.ink.numbers import number
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Pen, Words
from closures.drawing.paper.whole_sheet import whole_furniture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.shapes import Weight
    from closures.drawing.sheets.sheet import Sheet


# Beside their weights, for whoever works on: dark enough to stay lines on a printer that has no colour.
_COLOURS = {"lines": "#7a0019", "marks": "#00307a"}

# By these a common drawing program keeps groups as layers with names; to others they say nothing.
_LAYERS = "http://www.inkscape.org/namespaces/inkscape"


def write_svg(sheet: Sheet, has_live_text: bool = False) -> bytes:
    """Write a whole sheet, 1:1, in user units of 1 mm.

    Args:
        sheet: a lap's sheet.
        has_live_text: words are text that can be changed, in whatever font is there, in place of outlines.

    Returns:
        The file, the same on every run. Mark n is the group ``over-n`` or ``under-n`` and holds
        a circle of class ``centre``.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    _, rules, items = whole_furniture(sheet.box, sheet.text, sheet.orientations, sheet.lap == "over")
    frame = Group("frame", "title, squares and what the signs mean", items)
    rulers = Group("rulers", "rulers", tuple(rules))
    # Groups at the top are layers. A nest is in layers already, a size to each, which lie within that of its lap.
    laps = (Group("lap", sheet.text.lap_words, sheet.drawing),) if sheet.layers is not None else _layered(sheet)
    shapes = (rulers, frame, *laps)
    run = f" — run {sheet.text.run}" if sheet.text.run else ""
    title = f"{sheet.title}: {sheet.text.lap_words}{run}"
    return write_shapes(title, *sheet.size_mm, shapes, has_live_text=has_live_text, has_layers=True)


def _layered(sheet: Sheet) -> tuple[Group, ...]:
    """The drawing of a lap by what is done with it: left free, cut and laid on, read, marked."""
    kinds: dict[str, list[Item]] = {"keep-clear": [], "lines": [], "words": [], "marks": []}
    for item in sheet.drawing:
        name = item.id if isinstance(item, Group) else ""
        if isinstance(item, Words):
            kinds["words"].append(item)
        elif name == "words" and isinstance(item, Group):
            kinds["words"] += item.items
        elif name.startswith("clear-"):
            kinds["keep-clear"].append(item)
        else:
            kinds["marks" if name.startswith((f"{sheet.lap}-", "old-")) else "lines"].append(item)
    titles = {
        "keep-clear": "stretches to keep clear",
        "lines": f"{sheet.text.lap_words}: edge, band and closing line",
        "words": "numbers and names",
        "marks": "marks, holes and buttonholes",
    }
    return tuple(Group(kind, titles[kind], tuple(items)) for kind, items in kinds.items() if items)


def write_shapes(
    title: str,
    width_mm: float,
    height_mm: float,
    items: Sequence[Item],
    is_on_paper: bool = True,
    has_live_text: bool = False,
    has_layers: bool = False,
) -> bytes:
    """Write shapes on white paper, 1:1, in user units of 1 mm.

    Args:
        title: what the drawing is, for those who cannot see it.
        width_mm, height_mm: of the paper.
        items: from the lowest.
        is_on_paper: draw the paper as a white ground; a cutting machine would take its border for a cut.
        has_live_text: words are text in place of outlines.
        has_layers: the groups at the top are layers to go on working with.

    Returns:
        The file, the same on every run.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    width, height = number(width_mm), number(height_mm)
    paper = {
        "baseProfile": "full",
        "height": f"{height}mm",
        "version": "1.1",
        "viewBox": f"0 0 {width} {height}",
        "width": f"{width}mm",
        "lang": "en",
        "xmlns": "http://www.w3.org/2000/svg",
        "xmlns:ev": "http://www.w3.org/2001/xml-events",
        "xmlns:xlink": "http://www.w3.org/1999/xlink",
    }
    if has_layers:
        paper["xmlns:inkscape"] = _LAYERS
    parts = [_title(title), _tag("defs")]
    if is_on_paper:
        ground = {"fill": "white", "height": str(height_mm), "width": str(width_mm), "x": "0", "y": "0"}
        parts.append(_tag("rect", ground))
    for item in items:
        style = _Style(_COLOURS.get(getattr(item, "id", ""), _BLACK), has_live_text)
        parts.append(_element(item, style, 2 if has_layers else 0))
    drawn = _tag("svg", paper, "".join(parts))
    return f'<?xml version="1.0" encoding="utf-8"?>\n{drawn}\n'.encode()


def _tag(name: str, attributes: dict[str, str] | None = None, content: str = "") -> str:
    told = "".join(f' {key}="{_quoted(value)}"' for key, value in sorted((attributes or {}).items()))
    return f"<{name}{told}>{content}</{name}>" if content else f"<{name}{told} />"


def _title(text: str) -> str:
    return _tag("title", content=_escaped(text))


# A path has thousands of figures in it and nothing to escape: it is looked through once, and not three times changed.
_TO_ESCAPE = re.compile(r"[&<>]")
_TO_QUOTE = re.compile(r'[&<>"\r\n\t]')


def _escaped(text: str) -> str:
    if _TO_ESCAPE.search(text) is None:
        return text
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _quoted(text: str) -> str:
    if _TO_QUOTE.search(text) is None:
        return text
    text = _escaped(text).replace('"', "&quot;")
    return text.replace("\r", "&#13;").replace("\n", "&#10;").replace("\t", "&#09;")


_BLACK = "#000000"
_FAMILY = "'Source Sans Pro', 'Source Sans 3', sans-serif"


@dataclass(frozen=True, slots=True)
class _Style:
    """What black is drawn in, and whether words are text."""

    colour: str = _BLACK
    has_live_text: bool = False

    def of(self, share: float) -> str:
        """The colour of a grey, 0 black to 1 white."""
        return self.colour if share == 0.0 else _grey(share)


# The rules are hundreds of strokes and words, and the same on most sheets of a run.
@lru_cache(maxsize=32)
def _rule(item: Group) -> str:
    return _group(item, _Style(), 0)


def _element(item: Item, style: _Style, layers: int = 0) -> str:
    """Write an item; of so many levels of groups from here the first is a layer, and below it those that are told."""
    if isinstance(item, Group):
        # With text in place of outlines a rule is another; else it is the same on most sheets.
        is_ready = item.id.startswith("rule-") and not style.has_live_text and not layers
        return _rule(item) if is_ready else _group(item, style, layers)
    if isinstance(item, Words):
        return _live(item, style) if style.has_live_text else _lettering(item, style)
    if isinstance(item, Circle):
        role = {"class": item.role} if item.role else {}
        place = {"cx": number(item.x), "cy": number(item.y), "r": number(item.r)}
        return _tag("circle", _ink(item.pen, style) | place | role)
    return _tag("path", _ink(item.pen, style) | {"d": _path_data(item)})


def _group(item: Group, style: _Style, layers: int) -> str:
    told = {"id": item.id} if item.id else {}
    if item.layer:
        told["class"] = "layer"
    if layers == 2 or (layers == 1 and item.layer):
        told |= {"inkscape:groupmode": "layer", "inkscape:label": item.title}
    border = ""
    if item.clip:
        corners = " ".join(f"{round(x, 4)},{round(y, 4)}" for x, y in item.clip)
        border = _tag("clipPath", {"id": f"{item.id}-clip"}, _tag("polygon", {"points": corners}))
        told["clip-path"] = f"url(#{item.id}-clip)"
    below = 1 if layers == 2 else 0
    return _tag("g", told, _title(item.title) + border + "".join(_element(part, style, below) for part in item.items))


def _path_data(path: Path) -> str:
    return "".join(f"{name}{' '.join(number(float(value)) for value in values)}" for name, *values in path.commands)


def _ink(pen: Pen, style: _Style) -> dict[str, str]:
    ink = {"fill": "none" if pen.fill is None else style.of(pen.fill)}
    if pen.width_mm:
        ink |= {"stroke": style.of(pen.grey), "stroke-width": number(pen.width_mm)}
    if pen.dash_mm:
        ink["stroke-dasharray"] = " ".join(number(part) for part in pen.dash_mm)
    return ink


def _grey(share: float) -> str:
    level = round(255 * share)
    return f"#{level:02x}{level:02x}{level:02x}"


def _lettering(words: Words, style: _Style) -> str:
    """Set words as outlines in font units, so that whole numbers stay whole, and keep them as a title."""
    left, _ = start_of(words)
    scale = number(words.size_mm / EM * 1e4)
    turn = f" rotate({number(words.angle_deg)})" if words.angle_deg else ""
    start = f" translate({number(left)})" if left else ""
    place = f"translate({number(words.x)} {number(words.y)}){turn}{start} scale({scale}e-4 -{scale}e-4)"
    drawn = _tag("path", {"d": _line_of_type(words.text, words.weight), "fill": style.of(words.grey)})
    return _tag("g", {"class": "words", "transform": place}, _title(words.text) + drawn)


def _live(words: Words, style: _Style) -> str:
    """Set words as text, in a group with the same title as outlines have."""
    turn = f" rotate({number(words.angle_deg)})" if words.angle_deg else ""
    told = {
        "fill": style.of(words.grey),
        "font-family": _FAMILY,
        "font-size": number(words.size_mm),
        "font-weight": {"regular": "400", "semibold": "600", "bold": "700"}[words.weight],
        # Another font is drawn as wide as the outlines would be, so that words meet nothing.
        "lengthAdjust": "spacingAndGlyphs",
        "text-anchor": words.align,
        "textLength": number(width_of(words.text, words.size_mm, words.weight)),
        "x": "0",
        "y": "0",
    }
    place = {"class": "words", "transform": f"translate({number(words.x)} {number(words.y)}){turn}"}
    return _tag("g", place, _title(words.text) + _tag("text", told, _escaped(words.text)))


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
