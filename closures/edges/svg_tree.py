"""A drawing as a tree of elements: read with care, measured, and cut down to one shape."""

from __future__ import annotations

import difflib
import math
import re
from copy import deepcopy
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.errors import DrawingError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

SVG = "{http://www.w3.org/2000/svg}"
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")

# A pattern piece is some hundred kB; what is larger is a picture, not a pattern.
_MOST_BYTES = 20_000_000

# Elements inside elements: drawing programs stay under 30, and deeper ones could exhaust the stack.
_MOST_DEPTH = 200

# Absolute units of CSS (CSS Values and Units 3, section 6.2), in mm. A bare number is a px.
MM_IN_UNIT = {
    "": 25.4 / 96, "px": 25.4 / 96, "mm": 1.0, "cm": 10.0, "q": 0.25,
    "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6,
}  # fmt: skip

_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-zA-Z%]*)\s*")
_GEOMETRY = {
    "line": ("x1", "y1", "x2", "y2"),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "use": ("x", "y"),
}
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_SIMPLE_SELECTOR = re.compile(r"\*|[\w-]+|[\w-]*\.[\w-]+|#[\w-]+")


# Transforms and the numbers they take (SVG 2, section 8.5); the reader of shapes passes over others.
_TRANSFORM = re.compile(r"[\s,]*(\w+)\s*\(([^()]*)\)[\s,]*")
_NUMBERS_TAKEN = {
    "matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scale:
    """Millimetres to one user unit of the drawing, across and down."""

    x: float
    y: float


class Tree:
    """The elements of one drawing, found by id.

    Args:
        data: the bytes of the file.
        where: its name, for messages.

    Raises:
        DrawingError: it is too large, not SVG, holds a DOCTYPE, or does not say its size.
    """

    def __init__(self, data: bytes, where: str) -> None:
        self.where = where
        self.root = _parsed(data, where)
        if self.root.tag not in (f"{SVG}svg", "svg"):
            raise DrawingError(
                "this is not an SVG drawing", where=where, mend="Save the drawing as plain SVG."
            )
        self.parents: dict[Element, Element] = {}
        self.by_id: dict[str, list[Element]] = {}
        waiting = [(self.root, 1)]
        while waiting:
            element, depth = waiting.pop()
            if depth > _MOST_DEPTH:
                raise DrawingError(
                    f"elements lie more than {_MOST_DEPTH} deep in each other",
                    where=where,
                    mend="Save the drawing as plain SVG.",
                )
            if "id" in element.attrib:
                self.by_id.setdefault(element.attrib["id"], []).append(element)
            for child in element:
                self.parents[child] = element
                waiting.append((child, depth + 1))
        self.scale = _scale_of(self.root, where)

    def element(self, name: str) -> Element:
        """Find the one element with an id.

        Raises:
            DrawingError: there is none, or more than one.
        """
        found = self.by_id.get(name, [])
        if len(found) == 1:
            return found[0]
        if found:
            raise DrawingError(
                f"{len(found)} elements have the id", where=self.at(name), mend="Give each its own id."
            )
        shapes = [i for i, es in self.by_id.items() if _tag(es[0]) in (*SHAPES, "g", "use")]
        low = {i.lower(): i for i in shapes}
        near = [low[i] for i in difflib.get_close_matches(name.lower(), list(low), 3, 0.5)]
        listed = near or sorted(shapes)[:5]
        mend = "Nearest: " if near else "It holds: "
        raise DrawingError(
            "nothing in the drawing has this id",
            where=self.at(name),
            mend=f"{mend}{', '.join(listed)}." if listed else "Give the line an id in the drawing.",
        )

    def at(self, name: str) -> str:
        """The place of an id, for messages."""
        return f'{self.where}, id "{name}"'

    def alone(self, name: str) -> tuple[Element, Element]:
        """Cut the drawing down to one element as it is drawn.

        Returns:
            A new root, in user units, that draws nothing else; and the shape inside it.

        Raises:
            DrawingError: the id names nothing, or something that is not one shape.
        """
        element = self.element(name)
        if _tag(element) not in (*SHAPES, "g", "use", "a"):
            raise DrawingError(
                f"this is a <{_tag(element)}>, not a line",
                where=self.at(name),
                mend="Name a path, line or polyline.",
            )
        element = self._drawn_by(name, element)
        referred: list[Element] = []
        shape = self._only_shape(name, element, referred)
        kept = _made_exact(deepcopy(element), self.at(name))
        for ancestor in self._above(element):
            if ancestor is self.root:
                break
            kept = _within(_as_group(ancestor, self.at(name)), kept)
        root = _within(_bare(self.root), kept)
        # The scale is applied to the finished points, so that the drawing's own (0, 0) stays.
        for key in ("viewBox", "x", "y"):
            root.attrib.pop(key, None)
        root.attrib |= {"width": "1000", "height": "1000"}
        for n, style in enumerate(one for one in self.root.iter() if _tag(one) == "style"):
            self._refuse_hard_style(style.text or "")
            root.insert(n, deepcopy(style))
        if referred:
            defs = _bare(self.root)
            defs.tag, defs.attrib = f"{SVG}defs", {}
            defs.extend([_made_exact(deepcopy(one), self.at(name)) for one in referred])
            root.append(defs)
        return root, shape

    def _drawn_by(self, name: str, element: Element) -> Element:
        """The element itself, or where it waits among definitions the one <use> that draws it."""
        above = self._above(element)
        if any(_tag(one) in ("defs", "symbol") for one in above):
            uses = [one for one in self.root.iter() if _tag(one) == "use" and _target(one) == name]
            if len(uses) != 1:
                raise DrawingError(
                    f"this is a definition that {len(uses) or 'no'} <use> elements draw",
                    where=self.at(name),
                    mend="Name the <use> element that draws it.",
                )
            element = uses[0]
            above = self._above(element)
        bad = next((one for one in above if _tag(one) in _NOT_DRAWN), None)
        if bad is not None:
            raise DrawingError(
                f"this lies in a <{_tag(bad)}> and is not drawn",
                where=self.at(name),
                mend="Name a line that is drawn.",
            )
        return element

    def _above(self, element: Element) -> list[Element]:
        above: list[Element] = []
        while element in self.parents:
            element = self.parents[element]
            above.append(element)
        return above

    def _only_shape(self, name: str, element: Element, referred: list[Element]) -> Element:
        """Follow groups and uses to the one shape that an element draws."""
        seen: set[Element] = set()
        while _tag(element) not in SHAPES:
            if element in seen:
                raise DrawingError(
                    "a <use> leads back to itself", where=self.at(name), mend="Draw the line itself."
                )
            seen.add(element)
            if _tag(element) == "use":
                target = _target(element)
                element = self.element(target)
                referred.append(element)
                if _tag(element) == "symbol" and "viewBox" in element.attrib:
                    raise DrawingError(
                        "it uses a symbol with a viewBox", where=self.at(name), mend="Unlink the clone."
                    )
                continue
            inside = [one for one in element if _tag(one) in (*SHAPES, "g", "use", "a")]
            if len(inside) != 1:
                within = [one for one in element.iter() if one is not element]
                ids = [one.attrib["id"] for one in within if "id" in one.attrib]
                raise DrawingError(
                    f"this is a group of {len(inside)} things, not one line",
                    where=self.at(name),
                    mend=f"Name one of: {', '.join(ids[:5])}." if ids else "Give the line itself an id.",
                )
            element = inside[0]
        return element

    def _refuse_hard_style(self, css: str) -> None:
        """Refuse transforms by rules that are not simply by name, class or id: they would be missed."""
        for selectors, body in _RULE.findall(re.sub(r"/\*.*?\*/", "", css, flags=re.S)):
            simple = all(_SIMPLE_SELECTOR.fullmatch(one.strip()) for one in selectors.split(","))
            if "transform" in body and not simple:
                raise DrawingError(
                    f"the style rule '{selectors.strip()}' moves things in a way that is not read",
                    where=self.where,
                    mend="Save the drawing as plain SVG, with transforms on the elements.",
                )


_NOT_DRAWN = ("defs", "symbol", "clipPath", "mask", "pattern", "marker")
SHAPES = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")


def _parsed(data: bytes, where: str) -> Element:
    from xml.etree import ElementTree

    if len(data) > _MOST_BYTES:
        raise DrawingError(
            f"the drawing is {len(data) / 1e6:.0f} MB, more than {_MOST_BYTES // 1_000_000}",
            where=where,
            mend="Save the pattern piece alone, without pictures.",
        )

    class Builder(ElementTree.TreeBuilder):
        def doctype(self, name: str, pubid: str | None, system: str | None) -> None:
            raise DrawingError(
                "the drawing has a DOCTYPE, which could hide other text",
                where=where,
                mend="Delete the line that begins with <!DOCTYPE, or save the drawing as plain SVG.",
            )

    parser = ElementTree.XMLParser(target=Builder())
    try:
        parser.feed(data)
        root: Element = parser.close()
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        raise DrawingError(
            f"this is not an SVG drawing ({error})", where=where, mend="Save the drawing as plain SVG."
        ) from None
    return root


def _scale_of(root: Element, where: str) -> Scale:
    """The scale that width, height and viewBox of the root tell (SVG 2, section 8.2)."""
    sizes = []
    for key in ("width", "height"):
        text = root.attrib.get(key, "")
        match = _LENGTH.fullmatch(text)
        unit = match[2].lower() if match else "%"
        if match is None or unit not in MM_IN_UNIT or not 0 < float(match[1]) < math.inf:
            found = f'its {key} is "{text}"' if text else f"it has no {key}"
            raise DrawingError(
                f"the drawing does not say how large it is: {found}",
                where=where,
                mend='Give the <svg> element its true size, such as width="210mm" height="297mm".',
            )
        sizes.append(float(match[1]) * MM_IN_UNIT[unit])
    if "viewBox" not in root.attrib:
        return Scale(MM_IN_UNIT["px"], MM_IN_UNIT["px"])
    text = root.attrib["viewBox"]
    try:
        box = [float(word) for word in text.replace(",", " ").split()]
    except ValueError:
        box = []
    if len(box) != 4 or not all(map(math.isfinite, box)) or not (box[2] > 0 and box[3] > 0):
        raise DrawingError(
            f'viewBox="{text}" is not four numbers', where=where, mend="Write x, y, width and height."
        )
    x, y = sizes[0] / box[2], sizes[1] / box[3]
    fit = root.attrib.get("preserveAspectRatio", "xMidYMid meet").split()
    if fit[:1] == ["none"]:
        return Scale(x, y)
    both = max(x, y) if fit[-1:] == ["slice"] else min(x, y)
    return Scale(both, both)


def _made_exact(element: Element, where: str) -> Element:
    """Write lengths with units as exact numbers of user units, and defaults in full.

    The reader of shapes takes 0.0393701 for 1/25.4, and lets an attribute that is not written be
    inherited from an ancestor.
    """
    for one in element.iter():
        _refuse_odd_transform(one, where)
        keys = _GEOMETRY.get(_tag(one), ())
        for key in keys:
            text = one.attrib.get(key)
            if text is None or text == "auto":
                if key not in ("rx", "ry") or _tag(one) == "ellipse":
                    one.attrib[key] = "0"
                continue
            one.attrib[key] = repr(_user_units(text, key, where))
    return element


def _refuse_odd_transform(element: Element, where: str) -> None:
    text = element.attrib.get("transform", "")
    place = 0
    while place < len(text.rstrip()):
        match = _TRANSFORM.match(text, place)
        numbers = match[2].replace(",", " ").split() if match else []
        taken = _NUMBERS_TAKEN.get(match[1], ()) if match else ()
        if match is None or len(numbers) not in taken or not all(map(_LENGTH.fullmatch, numbers)):
            raise DrawingError(
                f'transform="{text[:40]}" cannot be read',
                where=where,
                mend="Apply the transforms in the drawing program, or save as plain SVG.",
            )
        place = match.end()


def _user_units(text: str, key: str, where: str) -> float:
    match = _LENGTH.fullmatch(text)
    unit = match[2].lower() if match else ""
    if match is None or unit not in MM_IN_UNIT or not math.isfinite(float(match[1])):
        raise DrawingError(
            f'{key}="{text}" is not a length that can be read here',
            where=where,
            mend="Write a number, with mm, cm, in, pt or px after it or nothing.",
        )
    return float(match[1]) * (MM_IN_UNIT[unit] / MM_IN_UNIT["px"])


def _bare(element: Element) -> Element:
    """An element without its children."""
    copied: Element = type(element)(element.tag, dict(element.attrib))
    return copied


def _as_group(element: Element, where: str) -> Element:
    """An ancestor without its children; a nested <svg> with no viewBox only moves what it holds."""
    _refuse_odd_transform(element, where)
    copied = _bare(element)
    if _tag(element) == "svg":
        if "viewBox" in element.attrib:
            raise DrawingError(
                "this lies in an <svg> within the <svg> that has a viewBox of its own",
                where=where,
                mend="Save the drawing as plain SVG.",
            )
        x, y = (_user_units(element.attrib.get(key, "0"), key, where) for key in ("x", "y"))
        own = element.attrib.get("transform", "")
        copied.tag, copied.attrib = f"{SVG}g", {"transform": f"{own} translate({x!r},{y!r})"}
    return copied


def _within(outer: Element, inner: Element) -> Element:
    outer.append(inner)
    return outer


def _tag(element: Element) -> str:
    tag = element.tag
    return tag.rsplit("}", 1)[-1] if isinstance(tag, str) else ""


def _target(use: Element) -> str:
    return next((use.attrib[key][1:] for key in _HREFS if key in use.attrib), "")
