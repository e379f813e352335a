"""The content of a page as operators, with what each part of it is (ISO 32000-1, 14.6 and 14.8)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from closures.drawing.ink.extents import box_of
from closures.drawing.ink.shapes import Box, Group, Item, Words
from closures.drawing.write.operators import Fonts, operators_of, outlined, path_of

ARTIFACT = "Artifact"
_CELLS = ("TH", "TD")


@dataclass(slots=True)
class Node:
    """An element of the tree of a page.

    Attributes:
        tag: what it is.
        text: what is said about it to those who cannot see it, empty where its words speak for themselves.
        marked: the number of its marked content on the page, None where it holds other elements.
        children: the elements that it holds.
        box: the room that it takes on the page, in mm; None where that says nothing.
    """

    tag: str
    text: str = ""
    marked: int | None = None
    children: list[Node] = field(default_factory=list)
    box: Box | None = None


class Content:
    """The content of one page in the making.

    Attributes:
        nodes: the elements at the top of the page, in reading order.
    """

    def __init__(self, fonts: Fonts, layers: Mapping[str, str]) -> None:
        self._fonts, self._layers = fonts, layers
        self._count = 0
        self.nodes: list[Node] = []

    def artifact(self, items: Iterable[Item], layer: str = "") -> bytes:
        """Write what says nothing to those who listen, such as rulers."""
        ops = b"".join(self._ops(item, layer) for item in items)
        return b"/Artifact BMC\n" + ops + b"EMC\n" if ops else b""

    def tagged(self, items: Sequence[Item]) -> bytes:
        """Write items, each group with a tag as an element; what has none is an artifact."""
        return self._write(items, self.nodes, "")

    def _write(self, items: Sequence[Item], into: list[Node], layer: str) -> bytes:
        parts: list[bytes] = []
        loose: list[Item] = []
        for item in items:
            if isinstance(item, Group) and item.tag != ARTIFACT and _has_tags(item):
                parts += [self.artifact(loose, layer), self._element(item, into, item.layer or layer)]
                loose = []
            else:
                loose.append(item)
        return b"".join([*parts, self.artifact(loose, layer)])

    def _element(self, group: Group, into: list[Node], layer: str) -> bytes:
        if not group.tag:
            return self._wrapped(group, self._write(group.items, into, layer))
        node = Node(group.tag)
        into.append(node)
        if any(isinstance(item, Group) and item.tag != ARTIFACT and _has_tags(item) for item in group.items):
            node.text = group.title
            return self._wrapped(group, self._write(group.items, node.children, layer))
        node.marked = self._count
        self._count += 1
        if group.tag == "Figure":
            node.text, node.box = group.title, box_of(group)
        # What is said about a figure stands in place of its words.
        last = None if group.tag == "Figure" else next(_words_from_the_end(group), None)
        ops = b"".join(self._ops(item, layer, last) for item in group.items)
        return self._wrapped(group, f"/{group.tag} <</MCID {node.marked}>> BDC\n".encode() + ops + b"EMC\n")

    def _wrapped(self, group: Group, ops: bytes) -> bytes:
        """Put a group's content under its clip and in its layer."""
        if group.clip:
            ops = _clip_start(group) + ops + b"Q\n"
        mark = self._layers.get(group.layer)
        return ops if mark is None else f"/OC /{mark} BDC\n".encode() + ops + b"EMC\n"

    def _ops(self, item: Item, layer: str = "", last: Words | None = None) -> bytes:
        """Write an item; rows of words before the last end with a space, or two words were read as one."""
        if isinstance(item, Group):
            inside = b"".join(self._ops(part, item.layer or layer, last) for part in item.items)
            return self._wrapped(item, inside)
        tail = "" if last is None or item is last else " "
        # Some readers keep the first drawing of a letter of a font; where that lay in a layer that was not
        # shown, they keep nothing, and the letter is missing from then on. So layers hold outlines.
        if layer in self._layers and isinstance(item, Words):
            return outlined(item, tail)
        return operators_of(item, self._fonts, tail)


def _words_from_the_end(group: Group) -> Iterator[Words]:
    for item in reversed(group.items):
        if isinstance(item, Group):
            yield from _words_from_the_end(item)
        elif isinstance(item, Words):
            yield item


def _clip_start(group: Group) -> bytes:
    (x, y), *rest = group.clip
    border = path_of([("M", x, y), *(("L", *corner) for corner in rest), ("Z",)])
    return f"q {border}W n\n".encode()


def _has_tags(group: Group) -> bool:
    """Whether a group is an element, or holds one."""
    if group.tag:
        return group.tag != ARTIFACT
    return any(isinstance(item, Group) and _has_tags(item) for item in group.items)
