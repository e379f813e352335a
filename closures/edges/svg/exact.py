"""The exact size of things in a drawing: its scale, lengths with units, transforms, nested frames."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from closures.edges.svg.style import Sheet, declared
from closures.errors import DrawingError
from closures.frozen import frozen

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


class NotSvgError(DrawingError):
    """The file is no SVG, and begins like nothing else that is known."""


class NoSizeError(DrawingError):
    """A drawing that does not say how large it is."""


SVG = "{http://www.w3.org/2000/svg}"

# Absolute units of CSS (CSS Values and Units 3, section 6.2), in mm. A bare number is a px.
MM_IN_UNIT = {
    "": 25.4 / 96, "px": 25.4 / 96, "mm": 1.0, "cm": 10.0, "q": 0.25,
    "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6,
}  # fmt: skip

_LENGTH = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)(?:\s*([a-zA-Z%]+))?\s*")
_PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?")
_GEOMETRY = {
    "line": ("x1", "y1", "x2", "y2"),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "use": ("x", "y"),
}
# A page that stretches what is drawn by more than this share one way, beyond what rounding its size comes to, is a
# slip: our own rule.
_STRETCHED = 0.005
# Transforms and the numbers they take (SVG 2, section 8.5); the reader of shapes passes over others.
_TRANSFORM = re.compile(r"[\s,]*(\w+)\s*\(([^()]*)\)[\s,]*")
_NUMBERS_TAKEN = {
    "matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,),
}  # fmt: skip


@frozen
class Scale:
    """Millimetres to one user unit of the drawing, across and down."""

    x: float
    y: float


def _meant_size(key: str, text: str) -> str:
    """Say what a size was meant to be whose decimals stand behind a comma, or whose unit is written out."""
    decimals = re.fullmatch(r"(\d{1,9}),(\d{1,9}) ?([a-z]{0,12})", text.strip(), re.IGNORECASE)
    if decimals is not None:
        meant = f"{decimals[1]}.{decimals[2]}{decimals[3]}"
        return f'There the decimals stand behind a point, not a comma: {key}="{meant}". '
    unit = re.fullmatch(r"([\d.]{1,12}) ?(millim|centim|inch|zoll|pouce)[a-zè]{0,9}", text.strip(), re.IGNORECASE)
    if unit is None:
        return ""
    short = {"millim": "mm", "centim": "cm"}.get(unit[2].lower(), "in")
    return f'There the unit is written short: {key}="{unit[1]}{short}". '


def scale_of(root: Element, where: str) -> Scale:
    """The scale that width, height and viewBox of the root tell (SVG 2, section 8.2)."""
    sizes = []
    for key in ("width", "height"):
        text = root.attrib.get(key, "")
        match = _LENGTH.fullmatch(text)
        unit = (match[2] or "").lower() if match else "%"
        if match is None or unit not in MM_IN_UNIT or not 0 < float(match[1]) < math.inf:
            found = f'its {key} is "{text}"' if text else f"it has no {key}"
            raise NoSizeError(
                f"the drawing does not say how large it is: {found}",
                where=where,
                mend=_meant_size(key, text) + "Set the size of its page in mm in your drawing program and save it "
                'anew (in the file its true size, such as width="210mm" height="297mm"); or write in the plan, '
                'under [edge], known = { path = "ruler", length = "2 in" } or scale = "1 mm".',
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
        raise DrawingError(f'viewBox="{text}" is not four numbers', where=where, mend="Write x, y, width and height.")
    x, y = sizes[0] / box[2], sizes[1] / box[3]
    fit = root.attrib.get("preserveAspectRatio", "xMidYMid meet").split()
    if fit[:1] == ["none"]:
        if abs(y / x - 1) > _STRETCHED:
            way, share = ("taller", y / x - 1) if y > x else ("wider", x / y - 1)
            raise DrawingError(
                f"its page stretches what is drawn one way, {share:.1%} {way} than it is drawn "
                f'(preserveAspectRatio="none", {sizes[0]:.5g} by {sizes[1]:.5g} mm for {box[2]:g} by {box[3]:g} units)',
                where=where,
                mend="A pattern is never stretched one way only: set the size of its page anew in your drawing "
                f"program. Or, as one of its units is {x:.5g} mm across and {y:.5g} mm down, lay a tape on it; write "
                f'the one that is right in the plan, under [edge], as scale = "{x:.5g} mm".',
            )
        return Scale(x, y)
    both = max(x, y) if fit[-1:] == ["slice"] else min(x, y)
    return Scale(both, both)


def pixels_of(root: Element) -> tuple[float, float, float] | None:
    """The size of a drawing that is told in px or without a unit, which may be 96 or 72 to the inch, or any other.

    Returns:
        Width and height in px, and how many px a user unit is; None where the size is told in mm, in or the like, or
        not at all. A drawing that has a viewBox alone is as many px as that has units.
    """
    if is_unsized(root):
        box = _box_of(root)
        return None if box is None else (*box, 1.0)
    sizes = []
    for key in ("width", "height"):
        match = _LENGTH.fullmatch(root.attrib.get(key, ""))
        if match is None or (match[2] or "").lower() not in ("", "px"):
            return None
        sizes.append(float(match[1]))
    box = _box_of(root)
    return (sizes[0], sizes[1], 1.0 if box is None else min(sizes[0] / box[0], sizes[1] / box[1]))


def is_unsized(root: Element) -> bool:
    """Whether a drawing tells neither width nor height, or in shares of a page alone, as pictures of the web do."""
    return all(root.attrib.get(key, "auto").strip().endswith(("%", "auto")) for key in ("width", "height"))


def _box_of(root: Element) -> tuple[float, float] | None:
    try:
        box = [float(word) for word in root.attrib["viewBox"].replace(",", " ").split()]
    except (KeyError, ValueError):
        return None
    return (box[2], box[3]) if len(box) == 4 and 0 < box[2] < math.inf and 0 < box[3] < math.inf else None


def made_exact(element: Element, sheet: Sheet, where: str) -> Element:
    """Write lengths with units as exact numbers of user units, defaults in full, and style as an attribute.

    The reader of shapes takes 0.0393701 for 1/25.4, and lets an attribute that is not written be
    inherited from an ancestor.
    """
    for one in element.iter():
        refuse_odd_transform(one, where)
        _with_plain_style(one, sheet)
        keys = _GEOMETRY.get(tag_of(one), ())
        for key in keys:
            text = one.attrib.get(key)
            if text is None or text == "auto":
                if key not in ("rx", "ry") or tag_of(one) == "ellipse":
                    one.attrib[key] = "0"
                continue
            one.attrib[key] = repr(_user_units(text, key, where))
    return element


def _with_plain_style(element: Element, sheet: Sheet) -> None:
    """Leave of a copy's style only what moves or hides it."""
    plain = sheet.style_of(element)
    element.attrib.pop("style", None)
    if plain:
        element.attrib["style"] = plain


def refuse_odd_transform(element: Element, where: str) -> None:
    """Refuse a transform that the reader of shapes would pass over."""
    text = element.attrib.get("transform", "")
    place = 0
    while place < len(text.rstrip()):
        match = _TRANSFORM.match(text, place)
        numbers = match[2].replace(",", " ").split() if match else []
        taken = _NUMBERS_TAKEN.get(match[1], ()) if match else ()
        if match is None or len(numbers) not in taken or not all(map(_PLAIN_NUMBER.fullmatch, numbers)):
            raise DrawingError(
                f'transform="{text[:40]}" cannot be read',
                where=where,
                mend="Apply the transforms in the drawing program, or save as plain SVG.",
            )
        place = match.end()


def _user_units(text: str, key: str, where: str) -> float:
    match = _LENGTH.fullmatch(text)
    unit = (match[2] or "").lower() if match else ""
    if match is None or unit not in MM_IN_UNIT or not math.isfinite(float(match[1])):
        raise DrawingError(
            f'{key}="{text}" is not a length that can be read here',
            where=where,
            mend="Write a number, with mm, cm, in, pt or px after it or nothing.",
        )
    return float(match[1]) * (MM_IN_UNIT[unit] / MM_IN_UNIT["px"])


def bare(element: Element) -> Element:
    """An element without its children."""
    copied: Element = type(element)(element.tag, dict(element.attrib))
    return copied


def as_group(element: Element, sheet: Sheet, where: str) -> Element:
    """An ancestor without its children; a nested <svg> moves what it holds, and fits its viewBox."""
    refuse_odd_transform(element, where)
    copied = bare(element)
    _with_plain_style(copied, sheet)
    if tag_of(element) == "svg":
        x, y = (_user_units(element.attrib.get(key, "0"), key, where) for key in ("x", "y"))
        own = declared(copied.attrib.get("style", "")).get("transform") or element.attrib.get("transform", "")
        fitted = _view_box_fit(element, where) if "viewBox" in element.attrib else ""
        copied.tag, copied.attrib = f"{SVG}g", {"transform": f"{own} translate({x!r},{y!r}) {fitted}"}
    return copied


def framed(element: Element, use: Element, where: str) -> Element:
    """What a <use> refers to, with the frame of a symbol or a nested <svg> written as a transform.

    The <use> may give the frame another size (SVG 2, section 5.5).

    Args:
        element: with its measures and its style made exact.
        use: the element that draws it.
        where: the place for messages.
    """
    if tag_of(element) not in ("symbol", "svg") or not {"viewBox", "x", "y"} & set(element.attrib):
        return element
    if {"refX", "refY"} & set(element.attrib):
        raise DrawingError("it uses a symbol with a refX or refY", where=where, mend="Unlink the clone.")
    sized = bare(element)
    sized.tag = f"{SVG}svg"
    # What style moves it by counts in place of the attribute, and outside of the frame.
    if "transform" in declared(sized.attrib.pop("style", "")):
        sized.attrib.pop("transform", None)
    sized.attrib |= {key: use.attrib[key] for key in ("width", "height") if use.attrib.get(key, "auto") != "auto"}
    inner = as_group(sized, Sheet({}, where), where)
    inner.extend(list(element))
    outer = bare(element)
    outer.tag = f"{SVG}g"
    for key in ("viewBox", "x", "y", "width", "height", "transform", "preserveAspectRatio"):
        outer.attrib.pop(key, None)
    outer.append(inner)
    return outer


def _view_box_fit(element: Element, where: str) -> str:
    """The transform that a nested <svg> puts on what it holds (SVG 2, section 8.2)."""
    try:
        x, y, across, down = map(float, element.attrib["viewBox"].replace(",", " ").split())
    except ValueError:
        x = y = across = down = math.nan
    if not all(map(math.isfinite, (x, y))) or not (0 < across < math.inf and 0 < down < math.inf):
        raise DrawingError("a viewBox is not four numbers", where=where, mend="Write x, y, width and height.")
    if not {"width", "height"} <= set(element.attrib):
        raise DrawingError(
            "it is drawn through an inner <svg> or symbol that has a viewBox of its own and no size",
            where=where,
            mend="Save the drawing as plain SVG, or unlink the clone.",
        )
    width, height = (_user_units(element.attrib[key], key, where) for key in ("width", "height"))
    by_x, by_y = width / across, height / down
    words = element.attrib.get("preserveAspectRatio", "xMidYMid meet").split()
    if words[:1] == ["none"]:
        return f"scale({by_x!r},{by_y!r}) translate({-x!r},{-y!r})"
    by = max(by_x, by_y) if words[-1:] == ["slice"] else min(by_x, by_y)
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    align = words[0] if words and re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", words[0]) else "xMidYMid"
    across_free, down_free = width - across * by, height - down * by
    left, top = across_free * shares[align[1:4]], down_free * shares[align[5:8]]
    return f"translate({left!r},{top!r}) scale({by!r}) translate({-x!r},{-y!r})"


def tag_of(element: Element) -> str:
    tag = element.tag
    return tag.rsplit("}", 1)[-1] if isinstance(tag, str) else ""
