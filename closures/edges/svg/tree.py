"""A drawing as a tree of elements: read with care, measured, and cut down to one shape."""

from __future__ import annotations

import difflib
import re
from copy import deepcopy
from typing import TYPE_CHECKING

from closures.edges.svg.exact import (
    SVG,
    NotSvgError,
    Scale,
    as_group,
    bare,
    framed,
    made_exact,
    refuse_odd_transform,
    scale_of,
    tag_of,
)
from closures.edges.svg.other_files import OVER_A_PICTURE, other_than_svg, unlike_any
from closures.edges.svg.parsed import parsed
from closures.edges.svg.style import Sheet, says_where
from closures.errors import DrawingError, OfDrawing, typed
from closures.nearest import same_name

if TYPE_CHECKING:
    from collections.abc import Callable
    from xml.etree.ElementTree import Element

_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")

# Where drawing programs keep the name of a layer or a thing, beside its id.
_LABELS = ("{http://www.inkscape.org/namespaces/inkscape}label", "data-name")

# By this a group says that it is a layer, not only things that were put together.
_GROUP_MODE = "{http://www.inkscape.org/namespaces/inkscape}groupmode"

# One of several things with the same label, in the order of the file.
_ONE_OF_SEVERAL = re.compile(r"(.+) (\d{1,4})")

# A thing without a name of its own is named by its number among the shapes, in the order of the file.
_NUMBERED = re.compile(r"shape (\d{1,6})")

# Elements inside elements: drawing programs stay under 30, and deeper ones could exhaust the stack.
_MOST_DEPTH = 200


class Tree:
    """The elements of one drawing, found by id.

    Args:
        data: the bytes of the file.
        where: its name, for messages.
        unit_mm: how long a user unit is, where that is told from outside; None to take it from the drawing.

    Raises:
        DrawingError: it is too large, not SVG, declares entities, or does not say its size.
    """

    def __init__(self, data: bytes, where: str, unit_mm: float | None = None) -> None:
        self.where = where
        self.root = parsed(data, where)
        if self.root.tag not in (f"{SVG}svg", "svg"):
            if other := other_than_svg(data):
                raise DrawingError(other[0], where=where, mend=other[1])
            what, mend = unlike_any(data, "")
            raise NotSvgError(what, where=where, mend=mend)
        self.longest_lines: Callable[[], list[str]] = list  # told by whoever measures them
        self.parents: dict[Element, Element] = {}
        self.by_id: dict[str, list[Element]] = {}
        self.by_label: dict[str, list[Element]] = {}
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
            for label in {element.attrib[key] for key in _LABELS if key in element.attrib}:
                self.by_label.setdefault(label, []).append(element)
            # The last is taken first, so that things with one name are counted in the order of the file.
            for child in reversed(list(element)):
                self.parents[child] = element
                waiting.append((child, depth + 1))
        for label, alike in self.by_label.items():
            # A layer and a line in it are often called alike: the name means the line.
            self.by_label[label] = [one for one in alike if tag_of(one) in (*SHAPES, "use")] or alike
        self.scale = scale_of(self.root, where) if unit_mm is None else Scale(unit_mm, unit_mm)
        self.shapes = [one for one in self.root.iter() if tag_of(one) in (*SHAPES, "use")]
        if not self.shapes and any(tag_of(one) == "image" for one in self.root.iter()):
            raise DrawingError("it holds a picture, and no lines", where=where, mend=OVER_A_PICTURE)
        self.numbers = {one: n for n, one in enumerate(self.shapes, 1)}
        # Looked for once: a drawing of many shapes is gone through for each of them.
        styles = [one for one in self.root.iter() if tag_of(one) == "style"]
        self.sheet = Sheet.of(("".join(one.itertext()) for one in styles), where)
        self._refuse_moved_whole()

    def _refuse_moved_whole(self) -> None:
        """Refuse a drawing whose outermost element is moved: some readers scale it so, some do not."""
        if self.root.attrib.get("transform", "").strip() or self.sheet.moves(self.root):
            raise DrawingError(
                "the whole drawing is moved or scaled by a transform on its <svg>",
                where=self.where,
                mend="Put a group inside it with this transform, or save the drawing as plain SVG.",
            )

    def element(self, name: str) -> Element:
        """Find the one element with an id.

        Raises:
            DrawingError: there is none, or more than one.
        """
        found = self.by_id.get(name) or self.by_label.get(name, [])
        numbered = _NUMBERED.fullmatch(name)
        if not found and numbered and 0 < int(numbered[1]) <= len(self.shapes):
            found = [self.shapes[int(numbered[1]) - 1]]
        one_of = _ONE_OF_SEVERAL.fullmatch(name)
        if not found and one_of and 0 < int(one_of[2]) <= len(self.by_label.get(one_of[1], [])):
            found = [self.by_label[one_of[1]][int(one_of[2]) - 1]]
        if len(found) == 1:
            return found[0]
        if found and name not in self.by_id:
            each = ", ".join(f'"{name} {n}"' for n in range(1, min(len(found), 5) + 1))
            raise DrawingError(
                f"{len(found)} things have this name",
                where=self.at(name),
                mend=f"Name one, in the order of the file: {each}. `closures edges` tells their lengths.",
            )
        if found:
            raise DrawingError(f"{len(found)} elements have the id", where=self.at(name), mend="Give each its own id.")
        spelled = same_name(name, [*self.by_id, *self.by_label])
        if spelled is not None:
            return self.element(spelled)
        named = (*self.by_id.items(), *self.by_label.items())
        shapes = [i for i, es in named if tag_of(es[0]) in (*SHAPES, "g", "use")]
        low = {i.lower(): i for i in shapes}
        near = [low[i] for i in difflib.get_close_matches(name.lower(), list(low), 3, 0.5)]
        # What a person called it, where there is such a name: ids that a program gave tell nobody anything.
        near = list(dict.fromkeys(self.name_of((self.by_id.get(i) or self.by_label[i])[0]) for i in near))
        lines = self.longest_lines()
        held = lines or sorted(shapes)
        near.sort(key=lambda one: one not in lines)
        mend = f"Nearest: {', '.join(near)}." if near else "Give the line an id in the drawing."
        if held and not near:
            more = " and more" if held[5:] else ""
            mend = f"It holds {', '.join(held[:5])}{more}: see closures edges {typed(self.where)}."
        raise DrawingError("nothing in the drawing is called so", where=self.at(name), mend=mend)

    def at(self, name: str) -> str:
        """The place of an id, for messages."""
        return OfDrawing(f'{self.where}, id "{name}"', name)

    def shapes_in(self, name: str) -> list[Element]:
        """The shapes and clones that an element draws: itself, or all those in a group or layer."""
        element = self.element(name)
        if tag_of(element) not in ("g", "a", "svg"):
            return [element]
        return [one for one in element.iter() if tag_of(one) in (*SHAPES, "use") and self.is_drawn(one)]

    def is_drawn(self, element: Element) -> bool:
        """Whether an element is drawn where it stands, not only kept among definitions."""
        return not any(tag_of(one) in _NOT_DRAWN for one in self._above(element))

    def layer_of(self, element: Element) -> str:
        """The name of the innermost layer that an element lies in; where there is none, of the innermost group."""
        groups = [one for one in self._above(element) if tag_of(one) == "g"]
        groups = [one for one in groups if one.attrib.get(_GROUP_MODE) == "layer"] or groups
        names = (next((one.attrib[key] for key in _LABELS if key in one.attrib), one.get("id", "")) for one in groups)
        return next(filter(None, names), "")

    def name_of(self, element: Element) -> str:
        """The name by which an element is found: what a person called it, else its id or its number among the shapes.

        Of several with one label each has the label and its number among them.
        """
        for label in (element.attrib.get(key) for key in _LABELS):
            if not label or label != label.strip() or label in self.by_id:
                continue
            alike = self.by_label.get(label, [])
            return label if len(alike) == 1 else f"{label} {alike.index(element) + 1}"
        name = element.attrib.get("id")
        if name and len(self.by_id[name]) == 1 and name == name.strip():
            return name
        return f"shape {self.numbers[element]}"

    def transforms_of(self, element: Element, where: str = "") -> list[str] | None:
        """What moves a shape that nothing but plain groups and their transforms surrounds, the innermost first.

        Returns:
            The transforms, of a shape other than a path none; or None where style rules, clones, frames or hidden
            groups have a say: then it is read as it is drawn, with all of them.
        """
        chain = [element, *self._above(element)]
        if tag_of(element) not in SHAPES or self.sheet.rules or chain[-1] is not self.root:
            return None
        for one in chain[:-1]:
            if (one is not element and tag_of(one) != "g") or any(key in one.attrib for key in _NOT_PLAIN):
                return None
            if says_where(one.attrib.get("style", "")):
                return None
            refuse_odd_transform(one, where or self.where)
        if any(key in self.root.attrib for key in ("style", *_NOT_PLAIN)):
            return None
        moves = [one.attrib["transform"] for one in chain[:-1] if one.attrib.get("transform", "").strip()]
        return moves if not moves or tag_of(element) == "path" else None

    def alone(self, name: str, element: Element | None = None) -> tuple[Element, Element]:
        """Cut the drawing down to one element as it is drawn.

        Args:
            name: its id, or how it is called in messages.
            element: the element, where it has no id of its own.

        Returns:
            A new root, in user units, that draws nothing else; and the shape inside it.

        Raises:
            DrawingError: the id names nothing, or something that is not one shape.
        """
        element = self.element(name) if element is None else element
        if tag_of(element) not in (*SHAPES, "g", "use", "a"):
            raise DrawingError(
                f"this is a <{tag_of(element)}>, not a line",
                where=self.at(name),
                mend="Name a path, line or polyline.",
            )
        element = self._drawn_by(name, element)
        referred: list[tuple[Element, Element]] = []
        shape = self._only_shape(name, element, referred)
        kept = made_exact(deepcopy(element), self.sheet, self.at(name))
        for ancestor in self._above(element):
            if ancestor is self.root:
                break
            kept = _within(as_group(ancestor, self.sheet, self.at(name)), kept)
        root = _within(bare(self.root), kept)
        # The scale is applied to the finished points, so that the drawing's own (0, 0) stays.
        for key in ("viewBox", "x", "y", "style"):
            root.attrib.pop(key, None)
        root.attrib |= {"width": "1000", "height": "1000"}
        if referred:
            defs = bare(self.root)
            defs.tag, defs.attrib = f"{SVG}defs", {}
            defs.extend(
                [
                    framed(made_exact(deepcopy(one), self.sheet, self.at(name)), use, self.at(name))
                    for one, use in referred
                ]
            )
            root.append(defs)
        return root, shape

    def _drawn_by(self, name: str, element: Element) -> Element:
        """The element itself, or where it waits among definitions the one <use> that draws it."""
        above = self._above(element)
        if any(tag_of(one) in ("defs", "symbol") for one in above):
            uses = [one for one in self.root.iter() if tag_of(one) == "use" and _target(one) == name]
            if len(uses) != 1:
                raise DrawingError(
                    f"this is a definition that {len(uses) or 'no'} <use> elements draw",
                    where=self.at(name),
                    mend="Name the <use> element that draws it.",
                )
            element = uses[0]
            above = self._above(element)
        bad = next((one for one in above if tag_of(one) in _NOT_DRAWN), None)
        if bad is not None:
            raise DrawingError(
                f"this lies in a <{tag_of(bad)}> and is not drawn",
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

    def _only_shape(self, name: str, element: Element, referred: list[tuple[Element, Element]]) -> Element:
        """Follow groups and uses to the one shape that an element draws."""
        seen: set[Element] = set()
        while tag_of(element) not in SHAPES:
            if element in seen:
                raise DrawingError("a <use> leads back to itself", where=self.at(name), mend="Draw the line itself.")
            seen.add(element)
            if tag_of(element) == "use":
                use, element = element, self.element(_target(element))
                referred.append((element, use))
                continue
            inside = [one for one in element if tag_of(one) in (*SHAPES, "g", "use", "a")]
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


# What may hide or move more than a transform does.
_NOT_PLAIN = ("display", "visibility", "transform-origin")
_NOT_DRAWN = ("defs", "symbol", "clipPath", "mask", "pattern", "marker")
SHAPES = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")


def _within(outer: Element, inner: Element) -> Element:
    outer.append(inner)
    return outer


def _target(use: Element) -> str:
    return next((use.attrib[key][1:] for key in _HREFS if key in use.attrib), "")
