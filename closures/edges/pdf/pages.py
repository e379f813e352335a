"""The vector pages of a PDF as lines that a plan can name, page by page or laid together."""

from __future__ import annotations

import io
import logging
import math
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from closures.curve import Point
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.edges.affine import Affine
from closures.edges.drawing import MOST_MM, Drawn, DrawnPoint, point_meant
from closures.edges.judged import judged_edge
from closures.edges.pdf.page import PagePath, PageReader
from closures.edges.pieces import chain_with, join_named, one_line
from closures.edges.sampled import ReadLine
from closures.errors import DrawingError, OfDrawing
from closures.frozen import frozen
from closures.lengths import format_both

if TYPE_CHECKING:
    from closures.plan.drawing import JoinWish, TilesWish

# A page unit is 1/72 in where the page says nothing else (ISO 32000-1, section 8.3.2.3).
_MM_OF_UNIT = 25.4 / 72

# The largest home patterns come on some hundred sheets.
_MOST_PAGES = 200

# Two matching points whose distances on both pages differ by more than this do not match.
_MATCH_MM = 1.0

# A line on a page: "page 3, 17", "page 3, chain 17", "page 3, layer size 12", "layer size 12", "page 3".
_NAME = re.compile(r"(?:page\s+(\d{1,5}))?\s*(?:,\s*)?(?:(chain\s+)?(\d{1,6})|layer\s+(.+))?", re.IGNORECASE)


# What a PDF ends with (ISO 32000-1, section 7.5.5), and how far before the last byte readers look for it.
_END = b"%%EOF"
_LOOKED_FOR_END = 4096


@frozen
class _Page:
    """A page, read.

    Attributes:
        number: from 1.
        paths: what is painted on it, in mm where it lies.
        shown: for each path, whether its layers are switched on.
        is_picture: nothing is painted on it but pictures.
    """

    number: int
    paths: tuple[Drawn, ...]
    shown: tuple[bool, ...]
    is_picture: bool


class PdfDrawing:
    """The pages of a PDF.

    Args:
        data: the bytes of the file.
        where: its name, for messages.
        unit_mm: how long a page unit is; None for what the page says, mostly 1/72 in.
        tiles, joins: how the pages lie beside each other; without them each page has its own frame, whose
            (0, 0) is its upper left corner.

    Raises:
        DrawingError: it cannot be opened, is locked, or has too many pages.
    """

    def __init__(
        self,
        data: bytes,
        where: str,
        unit_mm: float | None = None,
        tiles: TilesWish | None = None,
        joins: Sequence[JoinWish] = (),
    ) -> None:
        self.where = where
        self.unit_mm = unit_mm
        self.document = _opened(data, where)
        self.count = len(self.document.pages)
        if not 0 < self.count <= _MOST_PAGES:
            raise DrawingError(
                f"it has {self.count} pages, and at most {_MOST_PAGES} are read",
                where=where,
                mend="Print the pages of the pattern alone to a new PDF.",
            )
        self.tiles = tiles
        self.joins = {join.page: join for join in joins}
        self.read: dict[int, _Page] = {}
        # One reader for all pages: what it may read is shared between them.
        self.reader = PageReader(where, _hidden_layers(self.document), self._layer_of)

    @property
    def notes(self) -> tuple[str, ...]:
        """Which pages are only pictures."""
        pictures = [str(n) for n in range(1, self.count + 1) if self._page(n).is_picture]
        if not pictures:
            return ()
        pages = "page" if len(pictures) == 1 else "pages"
        return (
            f"{pages} {', '.join(pictures[:10])} hold only pictures, without lines: follow the edge on a scan of "
            "the printed page",
        )

    def lines(self, name: str) -> Sequence[Drawn]:
        """The lines that a name stands for: one, a chain of them, or those of a layer or a page."""
        match = _NAME.fullmatch(name.strip())
        if match is None or not name.strip():
            raise DrawingError(
                "no line on a page is named so", where=self._at(name), mend='Write "page 3, 17", as the list shows it.'
            )
        number, chain, nth, layer = match.groups()
        pages = [self._page(int(number))] if number else [self._page(n + 1) for n in range(self.count)]
        if nth and not number and self.count > 1:
            raise DrawingError("there are several pages", where=self._at(name), mend=f'Write "page 1, {nth}".')
        paths = [path for page in pages for path in page.paths]
        if nth:
            if not 0 < int(nth) <= len(paths):
                raise self._none(name, pages)
            path = paths[int(nth) - 1]
            return chain_with(paths, path) if chain else [path]
        if layer:
            paths = [path for path in paths if path.layer.casefold() == layer.strip().casefold()]
        if not paths:
            raise self._none(name, pages)
        return paths

    def point(self, name: str) -> Point:
        """The place that a small shape or a notch was drawn for."""
        return point_meant([self.lines(name)[0].segments], self._at(name))

    def edge(self, name: str, within_mm: float = READ_WITHIN_MM) -> ReadLine:
        """The one open line with this name, its pieces joined where they touch."""
        return judged_edge(one_line(self.lines(name), self._at(name)).segments, self._at(name), within_mm)

    def all_lines(self) -> Iterator[Drawn]:
        """Every line that is shown, page by page, joined with what it touches."""
        for n in range(1, self.count + 1):
            page = self._page(n)
            yield from join_named([path for path, shown in zip(page.paths, page.shown, strict=True) if shown])

    def points(self) -> Iterator[DrawnPoint]:
        """None: nothing on a page says that it is a notch."""
        return iter(())

    def _page(self, number: int) -> _Page:
        if not 0 < number <= self.count:
            raise DrawingError(f"there is no page {number}, only {self.count}", where=self.where)
        if number not in self.read:
            self.read[number] = self._read_page(number)
        return self.read[number]

    def _read_page(self, number: int) -> _Page:
        import pikepdf

        page = self.document.pages[number - 1]
        where = f"{self.where}, page {number}"
        reader = self.reader
        reader.where, reader.images = where, 0
        try:
            contents = page.obj.get("/Contents")
            streams = list(contents) if isinstance(contents, pikepdf.Array) else [contents] if contents else []
            onto = self._laid(number, set()).after(self._own(page))
            found = list(reader.read(iter(streams), page.resources, onto))
        except (pikepdf.PdfError, ValueError, TypeError, AttributeError, KeyError, RuntimeError):
            raise DrawingError(
                "this page is broken, and cannot be read", where=where, mend="Open the file, and print it to a new PDF."
            ) from None
        paths = [path for path in found if _is_near(path)]
        drawn = tuple(Drawn(f"page {number}, {n}", path.segments, path.layer) for n, path in enumerate(paths, 1))
        return _Page(number, drawn, tuple(path.is_shown for path in paths), not paths and reader.images > 0)

    def _own(self, page: Any) -> Affine:
        """From the page's own frame to mm from the upper left corner of what is seen of it."""
        x0, y0, x1, y1 = _box(page)
        unit = self.unit_mm or _MM_OF_UNIT * float(page.obj.get("/UserUnit", 1))
        turn = int(page.obj.get("/Rotate", 0)) % 360
        return {
            0: Affine(unit, 0.0, 0.0, -unit, -x0 * unit, y1 * unit),
            90: Affine(0.0, unit, unit, 0.0, -y0 * unit, -x0 * unit),
            180: Affine(-unit, 0.0, 0.0, unit, x1 * unit, -y0 * unit),
            270: Affine(0.0, -unit, -unit, 0.0, y1 * unit, x1 * unit),
        }.get(turn, Affine(unit, 0.0, 0.0, -unit, -x0 * unit, y1 * unit))

    def _laid(self, number: int, seen: set[int]) -> Affine:
        """Where a page lies among the others."""
        join = self.joins.get(number)
        if join is not None:
            if number in seen:
                raise DrawingError("pages are joined in a ring", where=f"{self.where}, page {number}")
            return self._laid(join.onto, {*seen, number}).after(_matched(join, f"{self.where}, page {number}"))
        tiles = self.tiles
        if tiles is None:
            return Affine()
        nth = number - tiles.first
        if not 0 <= nth < tiles.columns * tiles.rows:
            return Affine()
        first = self.document.pages[min(tiles.first, self.count) - 1]
        x0, y0, x1, y1 = _box(first)
        width, height = (abs(v) for v in _way(self._own(first), x1 - x0, y1 - y0))
        across, down = (side - 2 * tiles.margin_mm - tiles.overlap_mm for side in (width, height))
        if across <= 0 or down <= 0:
            raise DrawingError("margin and overlap leave nothing of a page", where=f"{self.where}, [edge] tiles")
        return Affine(e=across * (nth % tiles.columns), f=down * (nth // tiles.columns))

    def _layer_of(self, properties: Any) -> str | None:
        """The name of the layer that a property list stands for."""
        if properties is None or not hasattr(properties, "get"):
            return None
        if properties.get("/Type") == "/OCMD":
            groups = properties.get("/OCGs")
            if groups is None:
                return None
            single = groups if hasattr(groups, "keys") and "/Name" in groups else next(iter(groups), None)
            return None if single is None else str(single.get("/Name", ""))
        return str(properties["/Name"]) if "/Name" in properties else None

    def _none(self, name: str, pages: Sequence[_Page]) -> DrawingError:
        if all(page.is_picture for page in pages):
            return DrawingError(
                "the page is only a picture, without lines",
                where=self._at(name),
                mend="Print it, scan it, and follow the edge: trace under [edge].",
            )
        count = sum(len(page.paths) for page in pages)
        return DrawingError(
            f"there is no such line; {count} are there", where=self._at(name), mend="`closures edges` lists them."
        )

    def _at(self, name: str) -> str:
        return OfDrawing(f'{self.where}, "{name}"', name)


def _opened(data: bytes, where: str) -> Any:
    import pikepdf

    # From bytes that are here already: nothing is opened in the file system.
    from_bytes = pikepdf.Pdf.open
    # What it says of a broken file is in its own words, and goes past the sentence that says what to do.
    logging.getLogger("pikepdf").setLevel(logging.CRITICAL)
    try:
        document = from_bytes(io.BytesIO(data))
    except pikepdf.PasswordError:
        raise DrawingError(
            "the file is locked with a password", where=where, mend="Open it with its password and save it without."
        ) from None
    except (pikepdf.PdfError, ValueError, RuntimeError):
        if _END not in data[-_LOOKED_FOR_END:]:
            raise _cut_off(where) from None
        raise DrawingError(
            "this is not a PDF that can be read",
            where=where,
            mend="Open it, and save or print it to a new PDF.",
        ) from None
    # One that had to be mended without its end mark may lack lines, and nobody would see which.
    if _END not in data[-_LOOKED_FOR_END:] and document.get_warnings():
        raise _cut_off(where)
    return document


def _cut_off(where: str) -> DrawingError:
    return DrawingError(
        "this PDF ends before its end: it is cut off, as by a broken loading or copying",
        where=where,
        mend="Load or copy it anew from where it came from, or save or print the drawing to a new PDF.",
    )


def _hidden_layers(document: Any) -> set[str]:
    """Names of the layers that are switched off."""
    properties = document.Root.get("/OCProperties")
    try:
        return _switched_off(properties) if properties is not None else set()
    except (AttributeError, TypeError, ValueError, KeyError):
        # What they should be is told by ISO 32000-1, 8.11.4; a file whose are something else has no layers.
        return set()


def _switched_off(properties: Any) -> set[str]:
    usual = properties.get("/D", {})
    if str(usual.get("/BaseState", "/ON")) == "/OFF":
        names = {str(one.get("/Name", "")) for one in properties.get("/OCGs", [])}
        return names - {str(one.get("/Name", "")) for one in usual.get("/ON", [])}
    return {str(one.get("/Name", "")) for one in usual.get("/OFF", [])}


def _box(page: Any) -> tuple[float, float, float, float]:
    """What is seen of a page: a crop box that reaches beyond the sheet ends with it (ISO 32000-1, 14.11.2)."""
    crop, sheet = _corners(page.cropbox), _corners(page.mediabox)
    x0, y0 = max(crop[0], sheet[0]), max(crop[1], sheet[1])
    x1, y1 = min(crop[2], sheet[2]), min(crop[3], sheet[3])
    return (x0, y0, x1, y1) if x0 < x1 and y0 < y1 else sheet


def _corners(box: Any) -> tuple[float, float, float, float]:
    a, b, c, d = (float(value) for value in box)
    return min(a, c), min(b, d), max(a, c), max(b, d)


def _way(onto: Affine, dx: float, dy: float) -> Point:
    return (onto.a * dx + onto.c * dy, onto.b * dx + onto.d * dy)


def _matched(join: JoinWish, where: str) -> Affine:
    """The turn and shift that lays two points on two others, with what they differ halved between the ends."""
    (a0, a1), (b0, b1) = join.at, join.there
    here, there = math.dist(a0, a1), math.dist(b0, b1)
    if abs(here - there) > _MATCH_MM:
        raise DrawingError(
            f"the two points are {format_both(here)} apart here and {format_both(there)} there",
            where=where,
            mend="Name the same two points on both pages.",
        )
    turn = math.atan2(b1[1] - b0[1], b1[0] - b0[0]) - math.atan2(a1[1] - a0[1], a1[0] - a0[0])
    cos, sin = math.cos(turn), math.sin(turn)
    ax, ay = (a0[0] + a1[0]) / 2, (a0[1] + a1[1]) / 2
    bx, by = (b0[0] + b1[0]) / 2, (b0[1] + b1[1]) / 2
    return Affine(cos, sin, -sin, cos, bx - (cos * ax - sin * ay), by - (sin * ax + cos * ay))


def _is_near(path: PagePath) -> bool:
    return max(max(map(abs, (*one.start, *one.end))) for one in path.segments) <= MOST_MM
