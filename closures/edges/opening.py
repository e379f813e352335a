"""Which kind of file a drawing is: opened only once its scale is known."""

from __future__ import annotations

import re
from pathlib import PurePath
from typing import TYPE_CHECKING, Literal

from closures.edges.scale import (
    ask_for_scale,
    measure,
    odd_unit,
    pixels_of,
    proved,
    refuse_odd_scale,
    refuse_other_figure,
    told_otherwise,
)
from closures.errors import DrawingError, in_section
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing
    from closures.plan.edge import EdgeWish

FileKind = Literal["svg", "dxf", "pdf", "picture"]

_BY_ENDING = {
    ".dxf": "a DXF", ".pdf": "a PDF", ".png": "a PNG picture", ".jpg": "a JPEG picture", ".jpeg": "a JPEG picture",
    ".gif": "a GIF picture", ".bmp": "a BMP picture", ".tif": "a TIFF picture", ".tiff": "a TIFF picture",
    ".webp": "a WebP picture",
}  # fmt: skip
"""Kinds of drawings by the endings of their names."""

# How a picture begins that an edge can be followed on: PNG, JPEG.
_FOLLOWED = (b"\x89PNG", b"\xff\xd8\xff")
# How other pictures begin: TIFF (both orders), GIF; WebP, one of several kinds that begin with RIFF and a size, and BMP
# by its four reserved bytes.
_PICTURES = (*_FOLLOWED, b"II*\x00", b"MM\x00*", b"GIF8")
_WEBP_OR_BMP = re.compile(rb"RIFF.{4}WEBP|BM.{4}\x00{4}", re.DOTALL)


@frozen
class Opened:
    """A drawing at its scale.

    Attributes:
        drawing: its lines and points in mm.
        notes: what the user should know of its scale.
    """

    drawing: Drawing
    notes: tuple[str, ...]


def kind_of(data: bytes, where: str) -> FileKind:
    """Tell by how a file begins what kind of drawing it is.

    Args:
        data: the bytes of the file.
        where: its name, for messages.

    Raises:
        DrawingError: it is empty.
    """
    if not data.strip():
        raise DrawingError("the file is empty", where=where, mend="Save the drawing again.")
    if b"%PDF-" in data[:1024]:
        return "pdf"
    if data.startswith(_PICTURES) or _WEBP_OR_BMP.match(data):
        return "picture"
    head = data[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith(b"AutoCAD Binary DXF") or head.split(b"\n", 1)[0].strip() in (b"0", b"999"):
        return "dxf"
    return "svg"


def not_of_lines(data: bytes, where: str) -> DrawingError:
    """Say that a picture has no lines, and what to do: only PNG and JPEG can be followed.

    Args:
        data: the bytes of the picture.
        where: its name, for messages.
    """
    saved = "Follow" if data.startswith(_FOLLOWED) else "Save it as PNG or JPEG, and follow"
    mend = (
        f"{saved} the edge on it: trace = {{ through = [[120, 340], [180, 2210]], dpi = 300 }} under [edge], with "
        "px of its own."
    )
    return DrawingError("this is a picture, and has no lines that can be named", where=where, mend=mend)


def open_drawing(data: bytes, where: str, wish: EdgeWish, unit_mm: float | None) -> Drawing:
    """Open a drawing of any kind.

    Args:
        data: the bytes of the file.
        where: its name, for messages.
        wish: what the plan calls its layers, and how its pages lie.
        unit_mm: how long a unit of the drawing is; None to take it from the drawing.

    Raises:
        DrawingError: it cannot be read, does not say its scale, or is a picture.
    """
    kind = kind_of(data, where)
    if kind == "picture":
        raise not_of_lines(data, where)
    if wish.layers and kind != "dxf":
        raise DrawingError(
            "layers tells what the layers of a DXF are called, and this is none",
            where=in_section("edge", "layers"),
            mend="Leave layers out. Layers of cloth are told by [[layer]].",
        )
    if kind == "pdf":
        from closures.edges.pdf.pages import PdfDrawing

        return PdfDrawing(data, where, unit_mm, wish.tiles, wish.joins)
    _refuse_pages(wish, where)
    if kind == "dxf":
        from closures.edges.dxf.drawing import DxfDrawing

        return DxfDrawing(data, where, unit_mm, wish.layers)
    from closures.edges.svg.drawing import SvgDrawing
    from closures.edges.svg.exact import NotSvgError

    try:
        return SvgDrawing(data, where, unit_mm)
    except NotSvgError:
        called = _BY_ENDING.get(PurePath(where).suffix.casefold())
        if called is None:
            raise
        what = f"this is called {called}, and is none that can be read"
        raise DrawingError(what, where=where, mend="Save or export it anew: it may be cut off.") from None


def open_to_scale(data: bytes, where: str, wish: EdgeWish) -> Opened:
    """Open a drawing at the scale that it says, that the plan says, or that a known length shows.

    Raises:
        DrawingError: as for `open_drawing`; or the known length is not found, or disagrees with the scale.
    """

    def at(unit_mm: float | None) -> Drawing:
        return open_drawing(data, where, wish, unit_mm)

    is_svg = kind_of(data, where) == "svg"
    if wish.known is None:
        if wish.unit_mm is None and kind_of(data, where) == "pdf":
            raise DrawingError(
                "the scale of a page is not proved",
                where=where,
                mend='Name a printed test square or ruler: known = { path = "page 1, 4", length = "50 mm" } under '
                "[edge]. `closures edges` lists what is there.",
            )
        if wish.unit_mm is None and is_svg:
            ask_for_scale(at(1.0), wish)
        drawing = at(wish.unit_mm)
        return Opened(drawing, () if wish.unit_mm is None else told_otherwise(drawing, wish, at))
    from closures.edges.svg.exact import NoSizeError

    try:
        drawing = at(wish.unit_mm)
        is_told = wish.unit_mm is not None or not is_svg or not pixels_of(drawing)
    except NoSizeError:
        is_told = False
    if is_told:
        return Opened(drawing, (proved(drawing, wish, at),))
    plain = at(1.0)
    unit = wish.known.length_mm / measure(plain, wish.known.path)
    refuse_odd_scale(plain, wish, unit)
    refuse_other_figure(plain, wish.known, unit)
    odd = odd_unit(plain, wish.known, unit) if is_svg else ""
    return Opened(at(unit), (f"Scale: a unit of the drawing is {unit:.5g} mm, by {wish.known.path}.{odd}",))


def _refuse_pages(wish: EdgeWish, where: str) -> None:
    if wish.tiles is not None or wish.joins:
        raise DrawingError("this drawing has no pages to lay together", where=where, mend="Leave tiles and joins out.")
