"""Which kind of file a drawing is, and how large it is: opened only once its scale is known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from closures.edges.pieces import join_pieces
from closures.errors import DrawingError

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing
    from closures.plan.edge import EdgeWish

FileKind = Literal["svg", "dxf", "pdf", "picture"]

# A drawing whose known length is off by more than this share was scaled on its way, as printers do.
_PROVED = 0.005

# How a picture begins: PNG, JPEG, TIFF (both orders), WebP.
_PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*", b"RIFF")


@dataclass(frozen=True, slots=True)
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
    if data.startswith(_PICTURES):
        return "picture"
    head = data[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith((b"AutoCAD Binary DXF", b"AC10")) or head.split(b"\n", 1)[0].strip() in (b"0", b"999"):
        return "dxf"
    return "svg"


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
        raise DrawingError(
            "this is a picture, and has no lines that can be named",
            where=where,
            mend="Follow the edge on it: trace = { through = [[120, 340], [180, 2210]], dpi = 300 } under [edge].",
        )
    if kind == "pdf":
        from closures.edges.pdf.pages import PdfDrawing

        return PdfDrawing(data, where, unit_mm, wish.tiles, wish.joins)
    _refuse_pages(wish, where)
    if kind == "dxf":
        from closures.edges.dxf.drawing import DxfDrawing

        return DxfDrawing(data, where, unit_mm, wish.layers)
    from closures.edges.svg.drawing import SvgDrawing

    return SvgDrawing(data, where, unit_mm)


def open_to_scale(data: bytes, where: str, wish: EdgeWish) -> Opened:
    """Open a drawing at the scale that it says, that the plan says, or that a known length shows.

    Raises:
        DrawingError: as for `open_drawing`; or the known length is not found, or disagrees with the scale.
    """

    def at(unit_mm: float | None) -> Drawing:
        return open_drawing(data, where, wish, unit_mm)

    if wish.known is None:
        if wish.unit_mm is None and kind_of(data, where) == "pdf":
            raise DrawingError(
                "the scale of a page is not proved",
                where=where,
                mend='Name a printed test square or ruler: known = { path = "page 1, 4", length = "50 mm" } under '
                "[edge]. `closures edges` lists what is there.",
            )
        return Opened(at(wish.unit_mm), ())
    from closures.edges.svg.exact import NoSizeError

    try:
        drawing = at(wish.unit_mm)
    except NoSizeError:
        measured = _measure(at(1.0), wish.known.path)
        unit = wish.known.length_mm / measured
        return Opened(at(unit), (f"Scale: a unit of the drawing is {unit:.5g} mm, by {wish.known.path}.",))
    return Opened(drawing, (_proved(drawing, wish, at),))


def _proved(drawing: Drawing, wish: EdgeWish, at: Callable[[float], Drawing]) -> str:
    known = wish.known
    if known is None:
        return ""
    measured = _measure(drawing, known.path)
    share = measured / known.length_mm
    if abs(share - 1) > _PROVED:
        unit = known.length_mm / _measure(at(1.0), known.path)
        raise DrawingError(
            f'"{known.path}" measures {measured:.2f} mm, {share:.1%} of the {known.length_mm:g} mm that it should be',
            where=drawing.where,
            mend=f'The drawing is not to scale. Is the length right? Then write scale = "{unit:.8g} mm".',
        )
    return f'Scale: proved, "{known.path}" measures {measured:.2f} mm for {known.length_mm:g} mm.'


def _measure(drawing: Drawing, name: str) -> float:
    """The length of an open line, or the side of a square."""
    chains = join_pieces(drawing.lines(name))
    where = f'{drawing.where}, "{name}"'
    if len(chains) != 1:
        raise DrawingError(
            f"these are {len(chains)} lines, and a known length is one", where=where, mend="Name one of them."
        )
    chain = chains[0]
    if math.dist(chain[0].start, chain[-1].end) > 1e-3 * sum(segment.length_mm for segment in chain):
        return sum(segment.length_mm for segment in chain)
    boxes = [segment.box for segment in chain]
    across = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    down = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    if abs(across / down - 1 if down else 1.0) > _PROVED:
        raise DrawingError(
            f"it is {across:.2f} across and {down:.2f} mm down: it is no square, or is scaled unevenly",
            where=where,
            mend="Name an open line, or a square, whose length you know.",
        )
    return (across + down) / 2


def _refuse_pages(wish: EdgeWish, where: str) -> None:
    if wish.tiles is not None or wish.joins:
        raise DrawingError("this drawing has no pages to lay together", where=where, mend="Leave tiles and joins out.")
