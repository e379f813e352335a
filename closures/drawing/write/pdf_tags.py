"""The tree of a file's elements: what is read, in which order, and what is said about pictures (ISO 32000-1, 14.7)."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.drawing.paper.printed import Printed
    from closures.drawing.write.pdf_content import Node

_POINTS_PER_MM = 72.0 / 25.4


class Tree:
    """The tree in the making: a section for each page."""

    def __init__(self, pdf: Any) -> None:
        from pikepdf import Array, Dictionary, Name

        self._pdf = pdf
        self.root = pdf.make_indirect(Dictionary(Type=Name("/StructTreeRoot")))
        self.document = self._new("Document", self.root)
        self.root.K = Array([self.document])
        self.document.K = Array([])
        self._parents: list[Any] = []

    def _new(self, tag: str, parent: Any) -> Any:
        from pikepdf import Dictionary, Name

        return self._pdf.make_indirect(Dictionary(Type=Name("/StructElem"), S=Name(f"/{tag}"), P=parent))

    def add_page(self, obj: Any, nodes: Sequence[Node], page: Printed) -> None:
        """Add the elements of one page."""
        from pikepdf import Array, String

        section = self._new("Sect", self.document)
        section.T = String(page.shows or f"sheet {page.name}")
        self.document.K.append(section)
        marked: dict[int, Any] = {}
        section.K = Array(self._elements(nodes, section, obj, page, marked))
        obj.StructParents = len(self._parents)
        self._parents.append(Array([marked[k] for k in range(len(marked))]))

    def _elements(
        self, nodes: Sequence[Node], parent: Any, obj: Any, page: Printed, marked: dict[int, Any]
    ) -> list[Any]:
        """Make elements; rows that follow one another become one table."""
        found: list[Any] = []
        for is_row, run in groupby(nodes, key=lambda node: node.tag == "TR"):
            members = list(run)
            if not is_row:
                found += [self._element(node, parent, obj, page, marked) for node in members]
                continue
            table = self._new("Table", parent)
            from pikepdf import Array

            table.K = Array([self._element(node, table, obj, page, marked) for node in members])
            found.append(table)
        return found

    def _element(self, node: Node, parent: Any, obj: Any, page: Printed, marked: dict[int, Any]) -> Any:
        from pikepdf import Array, Dictionary, Name, String

        element = self._new(node.tag, parent)
        element.Pg = obj
        if node.tag == "Figure":
            element.Alt = String(node.text)
            if node.box is not None:
                element.A = Dictionary(O=Name("/Layout"), Placement=Name("/Block"), BBox=Array(_box(node, page)))
        elif node.text:
            element.T = String(node.text)
        if node.marked is not None:
            element.K = node.marked
            marked[node.marked] = element
        else:
            element.K = Array(self._elements(node.children, element, obj, page, marked))
            if node.tag == "TR":
                _scope(element)
        return element

    def finish(self, title: str) -> None:
        """Hang the tree into the file."""
        from pikepdf import Array, Dictionary, String

        numbers = [value for k, one in enumerate(self._parents) for value in (k, self._pdf.make_indirect(one))]
        self.root.ParentTree = self._pdf.make_indirect(Dictionary(Nums=Array(numbers)))
        self.root.ParentTreeNextKey = len(self._parents)
        self.document.T = String(title)
        self._pdf.Root.StructTreeRoot = self.root
        self._pdf.Root.MarkInfo = Dictionary(Marked=True)


def _scope(row: Any) -> None:
    """A heading cell beside plain cells names its row, one among heading cells its column."""
    from pikepdf import Dictionary, Name

    has_cells = any(cell.S == "/TD" for cell in row.K)
    for cell in row.K:
        if cell.S == "/TH":
            cell.A = Dictionary(O=Name("/Table"), Scope=Name("/Row" if has_cells else "/Column"))


def _box(node: Node, page: Printed) -> list[float]:
    """The room of an element in the page's own units, from its lower left corner."""
    if node.box is None:
        return []
    x0, y0, x1, y1 = node.box
    across, down = (_POINTS_PER_MM * factor for factor in page.stretch)
    high = page.height_mm
    return [round(value, 2) for value in (x0 * across, (high - y1) * down, x1 * across, (high - y0) * down)]
