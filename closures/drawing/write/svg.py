"""Sheets as SVG. Nothing else in this package knows svgwrite."""

from __future__ import annotations

import sys
import threading
from functools import lru_cache
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

from closures.drawing.ink.lettering import EM, glyph, set_glyphs, start_of, width_of
from closures.drawing.ink.numbers import number
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Pen, Words
from closures.drawing.paper.whole_sheet import whole_furniture
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.shapes import Weight
    from closures.drawing.sheets.sheet import Sheet


# Beside their weights, for whoever works on: dark enough to stay lines on a printer that has no colour.
_COLOURS = {"lines": "#7a0019", "marks": "#00307a"}

# By these a common drawing program keeps groups as layers with names; to others they say nothing.
_LAYERS = "http://www.inkscape.org/namespaces/inkscape"


# Modules that svgwrite imports for checks that are switched off here and for fonts from the web, and what it takes of
# them. To compile the patterns of those checks costs three times what the rest of it does.
_CHECKS, _WEB = "svgwrite.data.svgparser", "urllib.request"
_LEFT_OUT = {
    _CHECKS: ("is_valid_transferlist", "is_valid_pathdata", "is_valid_animation_timing"),
    _WEB: ("urlopen",),
}
_IMPORTING = threading.Lock()


def _svgwrite() -> Any:
    """Import svgwrite, and with it what it seldom needs only once that is called."""
    with _IMPORTING:
        if "svgwrite" not in sys.modules:
            # Another thread may want the module of the web just now, and must find it whole.
            names = (_CHECKS, _WEB) if threading.active_count() == 1 else (_CHECKS,)
            stand_ins = {name: _called_later(name) for name in names if name not in sys.modules}
            sys.modules.update(stand_ins)
            try:
                import svgwrite
            except ImportError:
                pass  # Another version of it, which takes more of them: it has them whole, below.
            finally:
                for name in stand_ins:
                    sys.modules.pop(name, None)
        import svgwrite

        return svgwrite


def _called_later(name: str) -> ModuleType:
    """A module in place of another: each of its functions imports that one when it is called."""

    def later(function: str) -> Any:
        return lambda *given: getattr(import_module(name), function)(*given)

    module = ModuleType(name)
    for function in _LEFT_OUT[name]:
        setattr(module, function, later(function))
    return module


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
            kinds["marks" if name.startswith((f"{sheet.lap}-", "old-", "words-over-marks")) else "lines"].append(item)
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
    drawing = _svgwrite().Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False, lang="en"
    )
    drawing.set_desc(title=title)
    if is_on_paper:
        drawing.add(drawing.rect((0, 0), (width_mm, height_mm), fill="white"))
    if has_layers:
        drawing.attribs["xmlns:inkscape"] = _LAYERS
    for item in items:
        element = _element(drawing, item, _Style(_COLOURS.get(getattr(item, "id", ""), _BLACK), has_live_text))
        if has_layers and isinstance(item, Group):
            _keep_as_layer(element, item)
            for part, drawn in zip(item.items, element.elements[-len(item.items) :], strict=False):
                if isinstance(part, Group) and part.layer:
                    _keep_as_layer(drawn, part)
        drawing.add(element)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{drawing.tostring()}\n'.encode()


def _keep_as_layer(element: Any, group: Group) -> None:
    element.attribs |= {"inkscape:groupmode": "layer", "inkscape:label": group.title}


_BLACK = "#000000"
_FAMILY = "'Source Sans Pro', 'Source Sans 3', sans-serif"


@frozen
class _Style:
    """What black is drawn in, and whether words are text."""

    colour: str = _BLACK
    has_live_text: bool = False

    def of(self, share: float) -> str:
        """The colour of a grey, 0 black to 1 white."""
        return self.colour if share == 0.0 else _grey(share)


class _Ready:
    """An element that is written already; several drawings may hold it."""

    def __init__(self, xml: Any) -> None:
        self.xml = xml

    def get_xml(self) -> Any:
        """Give what svgwrite asks of its elements."""
        return self.xml


# The rules are hundreds of strokes and words, and the same on most sheets of a run.
@lru_cache(maxsize=32)
def _rule(item: Group) -> Any:
    return _group(_svgwrite().Drawing(debug=False), item, _Style()).get_xml()


def _element(drawing: Any, item: Item, style: _Style) -> Any:
    if isinstance(item, Group):
        # With text in place of outlines a rule is another; else it is the same on most sheets.
        is_ready = item.id.startswith("rule-") and not style.has_live_text
        return _Ready(_rule(item)) if is_ready else _group(drawing, item, style)
    if isinstance(item, Words):
        return _live(drawing, item, style) if style.has_live_text else _lettering(drawing, item, style)
    if isinstance(item, Circle):
        shape = drawing.circle(**_ink(item.pen, style))
        shape.attribs.update(cx=number(item.x), cy=number(item.y), r=number(item.r))
        if item.role:
            shape.attribs["class"] = item.role
        return shape
    return drawing.path(d=_path_data(item), **_ink(item.pen, style))


def _group(drawing: Any, item: Group, style: _Style) -> Any:
    group = drawing.g(id=item.id, **({"class_": "layer"} if item.layer else {}))
    if item.clip:
        border = drawing.clipPath(id=f"{item.id}-clip")
        border.add(drawing.polygon([(round(x, 4), round(y, 4)) for x, y in item.clip]))
        group.add(border)
        group.attribs["clip-path"] = f"url(#{item.id}-clip)"
    group.set_desc(title=item.title)
    for part in item.items:
        group.add(_element(drawing, part, style))
    return group


def _path_data(path: Path) -> str:
    return "".join([f"{name}{' '.join([number(float(value)) for value in values])}" for name, *values in path.commands])


def _ink(pen: Pen, style: _Style) -> dict[str, str]:
    ink = {"fill": "none" if pen.fill is None else style.of(pen.fill)}
    if pen.width_mm:
        ink |= {"stroke": style.of(pen.grey), "stroke_width": number(pen.width_mm)}
    if pen.dash_mm:
        ink["stroke_dasharray"] = " ".join(number(part) for part in pen.dash_mm)
    return ink


def _grey(share: float) -> str:
    level = round(255 * share)
    return f"#{level:02x}{level:02x}{level:02x}"


def _lettering(drawing: Any, words: Words, style: _Style) -> Any:
    """Set words as outlines in font units, so that whole numbers stay whole, and keep them as a title."""
    left, _ = start_of(words)
    scale = number(words.size_mm / EM * 1e4)
    turn = f" rotate({number(words.angle_deg)})" if words.angle_deg else ""
    start = f" translate({number(left)})" if left else ""
    place = f"translate({number(words.x)} {number(words.y)}){turn}{start} scale({scale}e-4 -{scale}e-4)"
    group = drawing.g(transform=place, class_="words")
    group.set_desc(title=words.text)
    group.add(drawing.path(d=_line_of_type(words.text, words.weight), fill=style.of(words.grey)))
    return group


def _live(drawing: Any, words: Words, style: _Style) -> Any:
    """Set words as text, in a group with the same title as outlines have."""
    turn = f" rotate({number(words.angle_deg)})" if words.angle_deg else ""
    group = drawing.g(transform=f"translate({number(words.x)} {number(words.y)}){turn}", class_="words")
    group.set_desc(title=words.text)
    text = drawing.text(words.text, insert=(0, 0), font_family=_FAMILY, font_size=number(words.size_mm))
    # Another font is drawn as wide as the outlines would be, so that words meet nothing.
    text.attribs["textLength"] = number(width_of(words.text, words.size_mm, words.weight))
    text.attribs["lengthAdjust"] = "spacingAndGlyphs"
    text.attribs["text-anchor"] = words.align
    text.attribs["font-weight"] = {"regular": "400", "semibold": "600", "bold": "700"}[words.weight]
    text.attribs["fill"] = style.of(words.grey)
    group.add(text)
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
