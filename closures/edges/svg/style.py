"""What style says of where things lie: read where it is plain, refused where it would be missed.

The reader of drawings is given a style attribute that was worked out here: it knows no media, takes every word
for a measure, and of several rules not the one that counts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from closures.errors import DrawingError
from closures.frozen import frozen

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# What is kept (CSS Transforms 1; SVG 2, chapter 11).
_KEPT = ("transform", "display", "visibility", "transform-origin")

# What moves things in another way (CSS Transforms 2, section 6; Motion Path 1; CSS Transforms 1, section 8).
_MOVES = {"translate", "rotate", "scale", "zoom", "transform-box", "offset", "offset-path"}

# Measures that style may give a shape (SVG 2, chapters 7 and 9).
_MEASURES = {"d", "cx", "cy", "r", "rx", "ry", "x", "y", "width", "height"}

# What may be as large as it likes: it is no line of a piece.
_NO_SHAPES = {"svg", ":root", "text", "tspan", "image", "foreignobject", "html", "body"}

# A rule by name, class or id, or of everything.
_SIMPLE_SELECTOR = re.compile(r"\*|[\w-]+|[\w-]*\.[\w-]+|#[\w-]+")

_FUNCTION = re.compile(r"\s*([a-zA-Z]+)\(([^()]*)\)\s*")
_NUMBER = re.compile(r"([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)([a-zA-Z%]*)")
_PX = {"px": 1.0, "in": 96.0, "mm": 96 / 25.4, "cm": 96 / 2.54, "q": 96 / 101.6, "pt": 96 / 72, "pc": 16.0}
_DEGREES = {"deg": 1.0, "rad": 180 / math.pi, "grad": 0.9, "turn": 360.0}
# Functions of style, what they take, and how they are written as an attribute.
_FUNCTIONS = {
    "translate": (_PX, "translate({0},{1})"), "translateX": (_PX, "translate({0},0)"),
    "translateY": (_PX, "translate(0,{0})"), "rotate": (_DEGREES, "rotate({0})"),
    "skewX": (_DEGREES, "skewX({0})"), "skewY": (_DEGREES, "skewY({0})"),
    "scale": ({"": 1.0}, "scale({0},{1})"), "scaleX": ({"": 1.0}, "scale({0},1)"),
    "scaleY": ({"": 1.0}, "scale(1,{0})"), "matrix": ({"": 1.0}, "matrix({0},{1},{2},{3},{4},{5})"),
}  # fmt: skip


def declared(style: str) -> dict[str, str]:
    """The properties that a style attribute or the body of a rule sets, by their names in small letters."""
    found = {}
    for one in _without_notes(style).split(";"):
        name, colon, value = one.partition(":")
        if colon:
            found[name.strip().lower()] = value.strip()
    return found


def says_where(style: str) -> bool:
    """Whether a style attribute has a say in where or whether a thing is drawn."""
    return bool({*_KEPT, *_MOVES, *_MEASURES}.intersection(declared(style))) if style else False


@frozen
class Sheet:
    """What the style sheets of a drawing say of where things lie.

    Attributes:
        rules: those that move or hide, by their simple selectors: which is stronger, and what it sets.
        where: the drawing's name, for messages.
    """

    rules: dict[str, list[tuple[tuple[int, int], dict[str, str]]]]
    where: str

    @classmethod
    def of(cls, texts: Iterable[str], where: str) -> Sheet:
        """Read style sheets, in their order.

        Raises:
            DrawingError: a rule moves or measures in a way that is not read.
        """
        rules: dict[str, list[tuple[tuple[int, int], dict[str, str]]]] = {}
        for n, (selectors, body, is_conditional) in enumerate(rule for text in texts for rule in _rules_of(text)):
            found = declared(body)
            each = [one.strip() for one in selectors.split(",")]
            is_simple = all(_SIMPLE_SELECTOR.fullmatch(one) for one in each) and not is_conditional
            is_odd = _MOVES.intersection(found) or (not is_simple and "transform" in found)
            measured = any(one.lower() not in _NO_SHAPES for one in each) and _MEASURES.intersection(found)
            if is_odd or measured:
                raise _not_read(f"the style rule '{selectors[:40]}'", where)
            kept = {name: found[name] for name in _KEPT if name in found}
            for one in each if is_simple and kept else ():
                # Of equals the later wins (Selectors 3, section 9; CSS Cascade 3, section 6.4).
                rules.setdefault(one.removeprefix("*") or "*", []).append(((_weight(one), n), kept))
        return cls(rules, where)

    def style_of(self, element: Element) -> str:
        """All that style says of where an element lies and whether it is drawn, as a style attribute.

        Raises:
            DrawingError: it moves or measures in a way that is not read.
        """
        told: dict[str, str] = {}
        for found in self._of(element):
            told |= found
        own = declared(element.attrib.get("style", ""))
        odd = sorted({*_MOVES, *_MEASURES}.intersection(own))
        if odd:
            raise _not_read(f"style, '{odd[0]}: {own[odd[0]][:30]}',", self.where)
        return _plain(told | own, self.where)

    def moves(self, element: Element) -> bool:
        """Whether style moves an element."""
        own = declared(element.attrib.get("style", ""))
        ruled = any("transform" in found for found in self._of(element))
        return ruled or bool({"transform", *_MOVES}.intersection(own))

    def _of(self, element: Element) -> list[dict[str, str]]:
        """What the rules that are meant for an element set, the weakest first."""
        tag = element.tag.rpartition("}")[2]
        names = [f".{one}" for one in dict.fromkeys(element.attrib.get("class", "").split())]
        selectors = ["*", tag, f"#{element.attrib.get('id', '')}", *names, *(tag + name for name in names)]
        found = [rule for selector in selectors for rule in self.rules.get(selector, ())]
        return [kept for _, kept in sorted(found, key=lambda rule: rule[0])]


def _weight(selector: str) -> int:
    if selector.startswith("#"):
        return 100
    tag, _, name = selector.partition(".")
    return (10 if name else 0) + (1 if tag not in ("", "*") else 0)


def _plain(found: dict[str, str], where: str) -> str:
    told = []
    for name in _KEPT:
        value = found.get(name)
        if value is None:
            continue
        if name == "transform" and value.lower() != "none":
            value = _as_attribute(value, where)
        elif value.lower().endswith("important"):
            value = value.partition("!")[0].strip()
        told.append(f"{name}:{value}")
    return ";".join(told)


def _as_attribute(value: str, where: str) -> str:
    """A transform of style in the words of the attribute (CSS Transforms 1, sections 6 and 7)."""
    told, place = [], 0
    while place < len(value):
        match = _FUNCTION.match(value, place)
        kind = _FUNCTIONS.get(match[1]) if match else None
        numbers = [] if match is None or kind is None else [_taken(one, kind[0]) for one in match[2].split(",")]
        if match is None or kind is None or None in numbers:
            raise _not_read(f"style, 'transform: {value[:40]}',", where)
        least = kind[1].count("{")
        if match[1] in ("translate", "scale") and len(numbers) == 1:
            numbers.append(numbers[0] if match[1] == "scale" else 0.0)
        if len(numbers) != least:
            raise _not_read(f"style, 'transform: {value[:40]}',", where)
        told.append(kind[1].format(*map(repr, numbers)))
        place = match.end()
    return " ".join(told)


def _taken(word: str, units: dict[str, float]) -> float | None:
    match = _NUMBER.fullmatch(word.strip())
    if match is None:
        return None
    unit, number = match[2].lower(), float(match[1])
    if not math.isfinite(number):
        return None
    if unit in units:
        return number * units[unit]
    # Nothing but zero is a length or an angle without a unit.
    return 0.0 if unit == "" and number == 0 else None


def _rules_of(css: str) -> Iterator[tuple[str, str, bool]]:
    """The rules of a style sheet: selectors, body, and whether they hold only on some conditions.

    In one pass, however broken it is.
    """
    above: list[str] = []
    head = body = ""
    for part in re.split(r"([{}])", _without_notes(css)):
        if part == "{":
            above.append(head)
            head = ""
        elif part == "}":
            if above:
                name = above.pop().rpartition(";")[2].strip()
                if body.strip() and not name.startswith("@"):
                    yield name, body, any(one.rpartition(";")[2].strip().startswith("@") for one in above)
            head = body = ""
        else:
            head = body = part


def _without_notes(css: str) -> str:
    parts = css.split("/*")
    return parts[0] + "".join(part.partition("*/")[2] for part in parts[1:])


def _not_read(what: str, where: str) -> DrawingError:
    return DrawingError(
        f"{what} moves, hides or measures things in a way that is not read",
        where=where,
        mend="Save the drawing as plain SVG, with transforms on the elements.",
    )
