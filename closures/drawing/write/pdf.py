"""Pages as PDF. Nothing else in this package knows pikepdf.

Shapes are written as PDF operators, in mm with y down under one matrix to a page. Lettering is a
font of our own outlines inside the file (a Type 3 font, ISO 32000-1, 9.6.5), so that it prints
alike everywhere and its words can still be searched, read aloud and copied.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from closures.drawing.ink.extents import box_of, grown, is_apart
from closures.drawing.ink.lettering import glyph
from closures.drawing.ink.numbers import number
from closures.drawing.ink.shapes import Box, Circle, Group, Item, Layers, Path, Words
from closures.drawing.paper.printed import Printed, printed_pages
from closures.drawing.write.operators import Type, operators_of, outlined, path_of

if TYPE_CHECKING:
    from closures.catalogue.values import Paper
    from closures.drawing.ink.shapes import Weight
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.printer import Correction

POINTS_PER_MM = 72.0 / 25.4


def write_pdf(sheets: Sequence[Sheet], paper: Paper, correction: Correction | None = None) -> bytes:
    """Write sheets on as many pages as they need, in the order given.

    Args:
        sheets: the laps' sheets, over lap first.
        paper: the paper; a roll gives one page as long as is needed.
        correction: how pages are stretched for one printer, None for pages of true size.

    Returns:
        The file, the same on every run.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    layers = next((sheet.layers for sheet in sheets if sheet.layers is not None), None)
    book = _Book(layers)
    printed: list[Printed] = []
    for sheet in sheets:
        inked = book.inked(sheet.drawing)
        pages = printed_pages(sheet, paper, printed, correction)
        printed += pages
        for page in pages:
            book.add(page, f"{sheet.name} {page.name}", inked)
    return book.saved(f"{sheets[0].title}: marking templates" if sheets else "")


def write_printed(pages: Sequence[Printed], title: str) -> bytes:
    """Write pages that are already set, such as those that hold words and figures only.

    Args:
        pages: in order.
        title: of the file.

    Returns:
        The file, the same on every run.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    book = _Book(None)
    for page in pages:
        book.add(page, page.name, ())
    return book.saved(title)


_Inked = tuple[Box, bool, bytes, str]
"""Where something is drawn, whether it is lettering, its operators, and the layer it lies in."""


class _Book:
    """A file in the making."""

    def __init__(self, layers: Layers | None) -> None:
        import pikepdf

        self.letters = Type()
        self.pdf = pikepdf.new()
        self.resources = self.pdf.make_indirect(pikepdf.Dictionary())
        self.labels: list[Any] = []
        # The rules are the same on all pages of a size.
        self.shared: dict[tuple[float, float], Any] = {}
        self.marked = {} if layers is None else _add_layers(self.pdf, self.resources, layers)

    def inked(self, drawing: Iterable[Item]) -> tuple[_Inked, ...]:
        """Write a drawing once, to be shown on as many pages as it takes."""
        return tuple(
            (grown(box_of(item), 1.0), _is_of_words(item), self._ops_in(item, layer), layer)
            for item, layer in _layered(drawing)
        )

    def _ops_in(self, item: Path | Circle | Words, layer: str) -> bytes:
        # Some readers keep the first drawing of a letter of a font; where that lay in a layer that was not
        # shown, they keep nothing, and the letter is missing from then on. So layers hold outlines.
        if layer in self.marked and isinstance(item, Words):
            return outlined(item)
        return operators_of(item, self.letters)

    def add(self, page: Printed, label: str, inked: Sequence[_Inked]) -> None:
        """Add a page with its part of a drawing."""
        import pikepdf

        size = (page.width_mm * page.stretch[0], page.height_mm * page.stretch[1])
        if size not in self.shared:
            self.shared[size] = self.pdf.make_stream(_start(page) + _all_ops(page.rules, self.letters))
        own = _all_ops(page.furniture, self.letters) + _drawing(page, inked, self.marked)
        self.labels += [len(self.pdf.pages), pikepdf.Dictionary(P=pikepdf.String(label))]
        self.pdf.add_blank_page()
        added = self.pdf.pages[-1].obj
        added.MediaBox = pikepdf.Array([0, 0, *(_points(side) for side in size)])
        added.Contents = pikepdf.Array([self.shared[size], self.pdf.make_stream(own)])
        added.Resources = self.resources

    def saved(self, title: str) -> bytes:
        """Finish the file."""
        import pikepdf

        fonts = {f"/{name}": _font(self.pdf, members) for name, members in self.letters.fonts.items()}
        self.resources.Font = pikepdf.Dictionary(fonts)
        _describe(self.pdf, title, self.labels)
        file = io.BytesIO()
        self.pdf.save(file, deterministic_id=True)
        return file.getvalue()


def _describe(pdf: Any, title: str, labels: list[Any]) -> None:
    from pikepdf import Array, Dictionary, Name, String

    pdf.Root.ViewerPreferences = Dictionary(
        PrintScaling=Name("/None"),
        Enforce=Array([Name("/PrintScaling")]),
        PickTrayByPDFSize=True,
        DisplayDocTitle=True,
    )
    pdf.Root.Lang = String("en")
    pdf.Root.PageLabels = Dictionary(Nums=Array(labels))
    if title:
        pdf.docinfo["/Title"] = String(title)


def _points(mm: float) -> Any:
    from decimal import Decimal

    return Decimal(f"{mm * POINTS_PER_MM:.5f}").normalize()


def _start(page: Printed) -> bytes:
    across, down = (POINTS_PER_MM * factor for factor in page.stretch)
    return f"{across:.10f} 0 0 -{down:.10f} 0 {page.height_mm * down:.6f} cm\n".encode()


def _drawing(page: Printed, inked: Sequence[_Inked], marked: Mapping[str, str]) -> bytes:
    x0, y0, x1, y1 = page.window
    own = _own_part(page)
    head = (
        f"q 1 0 0 1 {number(page.shift[0])} {number(page.shift[1])} cm "
        f"{number(x0)} {number(y0)} {number(x1 - x0)} {number(y1 - y0)} re W n\n"
    )
    shown = [(layer, ops) for box, is_words, ops, layer in inked if not is_apart(box, own if is_words else page.window)]
    parts = [_in_layer(b"".join(ops for _, ops in run), marked.get(layer)) for layer, run in groupby(shown, _first)]
    return head.encode() + b"".join(parts) + b"Q\n"


def _is_of_words(item: Path | Circle | Words) -> bool:
    return isinstance(item, Words) or (isinstance(item, Path) and item.frames_words)


def _first(pair: tuple[str, bytes]) -> str:
    return pair[0]


def _in_layer(ops: bytes, mark: str | None) -> bytes:
    """Mark content as optional (ISO 32000-1, 8.11.3.2), or leave it as it is."""
    return ops if mark is None else f"/OC /{mark} BDC\n".encode() + ops + b"EMC\n"


def _layered(items: Iterable[Item], layer: str = "") -> Iterable[tuple[Path | Circle | Words, str]]:
    """List what is drawn, each with the layer that it lies in."""
    for item in items:
        if isinstance(item, Group):
            yield from _layered(item.items, item.layer or layer)
        else:
            yield item, layer


def _add_layers(pdf: Any, resources: Any, layers: Layers) -> dict[str, str]:
    """Add optional content groups (ISO 32000-1, 8.11): a reader shows one layer, or all of them.

    Content belongs to a membership that shows where its own group is on or the one of all. No usage is
    told, so that a printer prints what the screen shows.

    Returns:
        The name under which each layer's content is marked.
    """
    from pikepdf import Array, Dictionary, Name, String

    groups = {
        name: pdf.make_indirect(Dictionary(Type=Name("/OCG"), Name=String(name)))
        for name in (*layers.names, layers.every)
    }
    every = groups[layers.every]
    resources.Properties = Dictionary()
    marked = {}
    for k, name in enumerate(layers.names):
        member = Dictionary(Type=Name("/OCMD"), OCGs=Array([groups[name], every]), P=Name("/AnyOn"))
        resources.Properties[f"/L{k}"] = pdf.make_indirect(member)
        marked[name] = f"L{k}"
    listed = list(groups.values())
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array(listed),
        D=Dictionary(
            Name=String("Sizes"),
            BaseState=Name("/ON"),
            ON=Array([groups[layers.shown]]),
            OFF=Array([group for name, group in groups.items() if name != layers.shown]),
            Order=Array(listed),
            RBGroups=Array([Array(listed)]),
        ),
    )
    # A reader that opens the list of layers with the file shows what there is to choose.
    pdf.Root.PageMode = Name("/UseOC")
    return marked


def _own_part(page: Printed) -> Box:
    """The part of a page that no other page is laid on: the beginning of a word elsewhere is of no use there."""
    x0, y0, x1, y1 = page.window
    for join in page.tile.joins if page.tile else ():
        if join.side == "right":
            x1 = min(x1, join.at_mm)
        elif join.side == "bottom":
            y1 = min(y1, join.at_mm)
    return (x0, y0, x1, y1)


def _all_ops(items: Iterable[Item], letters: Type) -> bytes:
    return b"".join(operators_of(item, letters) for item, _ in _layered(items))


def _font(pdf: Any, members: Sequence[tuple[str, Weight]]) -> Any:
    from pikepdf import Array, Dictionary, Name

    glyphs = [glyph(char, weight) for char, weight in members]
    names = [f"/u{ord(char):04X}" for char, _ in members]
    outlines = {}
    for name, shape in zip(names, glyphs, strict=True):
        box = " ".join(map(str, shape.box))
        paint = f"{path_of(shape.commands)}f" if shape.commands else ""
        outlines[name] = pdf.make_stream(f"{shape.advance} 0 {box} d1 {paint}".encode())
    return pdf.make_indirect(
        Dictionary(
            Type=Name("/Font"),
            Subtype=Name("/Type3"),
            FontBBox=Array([0, 0, 0, 0]),
            FontMatrix=Array([0.001, 0, 0, 0.001, 0, 0]),
            Resources=Dictionary(),
            CharProcs=Dictionary(outlines),
            Encoding=Dictionary(Type=Name("/Encoding"), Differences=Array([1, *(Name(name) for name in names)])),
            FirstChar=1,
            LastChar=len(members),
            Widths=Array([shape.advance for shape in glyphs]),
            ToUnicode=pdf.make_stream(_to_unicode([char for char, _ in members])),
        )
    )


def _to_unicode(chars: Sequence[str]) -> bytes:
    """Map codes to letters (ISO 32000-1, 9.10.3), at most 100 to a block as that asks."""
    rows = [f"<{code:02X}> <{char.encode('utf-16-be').hex().upper()}>" for code, char in enumerate(chars, 1)]
    blocks = [rows[k : k + 100] for k in range(0, len(rows), 100)]
    body = "".join(f"{len(block)} beginbfchar\n{chr(10).join(block)}\nendbfchar\n" for block in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CMapName /Letters def\n/CMapType 2 def\n"
        f"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n{body}"
        "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode()
