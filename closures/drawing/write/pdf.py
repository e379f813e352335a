"""Pages as PDF. Nothing else in this package but its neighbours here knows pikepdf.

Shapes are written as PDF operators, in mm with y down under one matrix to a page. Lettering is a
font of our own outlines inside the file (a Type 3 font, ISO 32000-1, 9.6.5), so that it prints
alike everywhere and its words can still be searched, read aloud and copied.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from closures.drawing.ink.shapes import Group, Layers
from closures.drawing.paper.printed import Printed
from closures.drawing.write.operators import Fonts
from closures.drawing.write.pdf_content import Content
from closures.drawing.write.pdf_font import font_of
from closures.drawing.write.pdf_tags import Tree

if TYPE_CHECKING:
    from closures.drawing.paper.booklet import Bookmark

POINTS_PER_MM = 72.0 / 25.4


def write_pages(
    pages: Sequence[Printed],
    title: str,
    layers: Layers | None = None,
    bookmarks: Sequence[Bookmark] = (),
    run: str = "",
) -> bytes:
    """Write pages as one file.

    Args:
        pages: in order.
        title: of the file.
        layers: what of it a reader can show or hide.
        bookmarks: what a reader lists beside the pages.
        run: the run mark, empty where there is none.

    Returns:
        The file, the same on every run: tagged, with its language, its title and its reading order.

    Raises:
        OutputError: a figure is not finite, or the lettering's font is not installed.
    """
    book = _Book(layers)
    for page in pages:
        book.add(page)
    return book.saved(title, bookmarks, run)


class _Book:
    """A file in the making."""

    def __init__(self, layers: Layers | None) -> None:
        import pikepdf

        self.fonts = Fonts()
        self.pdf = pikepdf.new()
        self.resources = self.pdf.make_indirect(pikepdf.Dictionary())
        self.labels: list[Any] = []
        self.tree = Tree(self.pdf)
        # The rules are the same on all pages of a size.
        self.shared: dict[tuple[Any, ...], Any] = {}
        self.marked = {} if layers is None else _add_layers(self.pdf, self.resources, layers)

    def add(self, page: Printed) -> None:
        """Add a page."""
        import pikepdf

        size = (page.width_mm * page.stretch[0], page.height_mm * page.stretch[1])
        ruled = (*size, *(rule.title for rule in page.rules if isinstance(rule, Group)))
        if ruled not in self.shared:
            self.shared[ruled] = self.pdf.make_stream(_start(page) + Content(self.fonts, {}).artifact(page.rules))
        self.labels += [len(self.pdf.pages), pikepdf.Dictionary(P=pikepdf.String(page.name))]
        self.pdf.add_blank_page()
        added = self.pdf.pages[-1].obj
        content = Content(self.fonts, self.marked)
        own = content.tagged(page.items)
        added.MediaBox = pikepdf.Array([0, 0, *(_points(side) for side in size)])
        added.Contents = pikepdf.Array([self.shared[ruled], self.pdf.make_stream(own)])
        added.Resources = self.resources
        added.Tabs = pikepdf.Name("/S")
        self.tree.add_page(added, content.nodes, page)

    def saved(self, title: str, bookmarks: Sequence[Bookmark], run: str = "") -> bytes:
        """Finish the file."""
        import pikepdf

        fonts = {f"/{name}": font_of(self.pdf, members) for name, members in self.fonts.members.items()}
        self.resources.Font = pikepdf.Dictionary(fonts)
        self.tree.finish(title)
        _describe(self.pdf, title, self.labels, run)
        if bookmarks:
            with self.pdf.open_outline() as outline:
                outline.root.extend(_outline(mark) for mark in bookmarks)
            if "/PageMode" not in self.pdf.Root:
                self.pdf.Root.PageMode = pikepdf.Name("/UseOutlines")
        file = io.BytesIO()
        # Tagged content and layers ask for 1.5; to enforce a wish of the viewer came with extension level 3 of 1.7.
        # Its metadata names no version that would have to be kept in step: nothing is read for one.
        self.pdf.save(file, deterministic_id=True, force_version=("1.7", 3), fix_metadata_version=False)
        return file.getvalue()


def _outline(mark: Bookmark) -> Any:
    import pikepdf

    item = pikepdf.OutlineItem(mark.title, mark.page, "Fit")
    item.children.extend(_outline(child) for child in mark.children)
    return item


def _describe(pdf: Any, title: str, labels: list[Any], run: str) -> None:
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
        pdf.Root.Metadata = _metadata(pdf, title, run)


def _metadata(pdf: Any, title: str, run: str) -> Any:
    """The title, the run mark and the language where readers look for them (XMP, ISO 16684-1); dates would differ."""
    from html import escape

    import pikepdf

    # Not packed, so that the mark can be read without a library.
    told = [
        ("title", "Alt", f'<rdf:li xml:lang="x-default">{escape(title, quote=False)}</rdf:li>'),
        *([("subject", "Bag", f"<rdf:li>run {run}</rdf:li>")] if run else []),
        ("language", "Bag", "<rdf:li>en</rdf:li>"),
    ]
    rows = "".join(
        f"      <dc:{name}>\n        <rdf:{kind}>\n          {item}\n        </rdf:{kind}>\n      </dc:{name}>\n"
        for name, kind, item in told
    )
    text = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">\n'
        '  <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\n'
        '    <rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" rdf:about="">\n'
        f"{rows}    </rdf:Description>\n  </rdf:RDF>\n</x:xmpmeta>\n\n"
        '<?xpacket end="w"?>\n'
    )
    stream = pdf.make_stream(text.encode())
    stream.Type, stream.Subtype = pikepdf.Name("/Metadata"), pikepdf.Name("/XML")
    return stream


def _points(mm: float) -> Any:
    from decimal import Decimal

    return Decimal(f"{mm * POINTS_PER_MM:.5f}").normalize()


def _start(page: Printed) -> bytes:
    across, down = (POINTS_PER_MM * factor for factor in page.stretch)
    return f"{across:.10f} 0 0 -{down:.10f} 0 {page.height_mm * down:.6f} cm\n".encode()


def _add_layers(pdf: Any, resources: Any, layers: Layers) -> dict[str, str]:
    """Add optional content groups (ISO 32000-1, 8.11): all are shown as the file opens, and all are printed.

    No usage is told, so that a printer prints what the screen shows.

    Returns:
        The name under which each layer's content is marked.
    """
    from pikepdf import Array, Dictionary, Name, String

    groups = [pdf.make_indirect(Dictionary(Type=Name("/OCG"), Name=String(name))) for name in layers.names]
    resources.Properties = Dictionary({f"/L{k}": group for k, group in enumerate(groups)})
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array(groups),
        D=Dictionary(Name=String(layers.title), BaseState=Name("/ON"), ON=Array(groups), Order=Array(groups)),
    )
    # A reader that opens the list of layers with the file shows what there is to choose.
    pdf.Root.PageMode = Name("/UseOC")
    return {name: f"L{k}" for k, name in enumerate(layers.names)}
