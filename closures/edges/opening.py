"""Which kind of file a drawing is, and how large it is: opened only once its scale is known."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import PurePath
from typing import TYPE_CHECKING, Literal

from closures.edges.pieces import join_pieces
from closures.errors import DrawingError, in_section
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing
    from closures.plan.drawing import KnownWish
    from closures.plan.edge import EdgeWish

FileKind = Literal["svg", "dxf", "pdf", "picture"]

# A drawing whose known length is off by more than this share was scaled on its way, as printers do.
_PROVED = 0.005
# A tape laid along a pattern by hand comes within this.
_TAPED = 0.02

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
    mend = f"{saved} the edge on it: trace = {{ through = [[120, 340], [180, 2210]], dpi = 300 }} under [edge]."
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
        return Opened(drawing, () if wish.unit_mm is None else _told_otherwise(drawing, wish, at))
    from closures.edges.svg.exact import NoSizeError

    try:
        drawing = at(wish.unit_mm)
        is_told = wish.unit_mm is not None or not is_svg or not _pixels(drawing)
    except NoSizeError:
        is_told = False
    if is_told:
        return Opened(drawing, (_proved(drawing, wish, at),))
    plain = at(1.0)
    unit = wish.known.length_mm / _measure(plain, wish.known.path)
    _refuse_odd_scale(plain, wish, unit)
    odd = _odd_unit(plain, wish.known, unit) if is_svg else ""
    return Opened(at(unit), (f"Scale: a unit of the drawing is {unit:.5g} mm, by {wish.known.path}.{odd}",))


def _told_otherwise(drawing: Drawing, wish: EdgeWish, at: Callable[[float | None], Drawing]) -> tuple[str, ...]:
    """Say what the drawing itself tells of its size, where the scale that the plan tells is another."""
    try:
        own = at(None)
        if _pixels(own):  # in px or without a unit it tells no size
            return ()
    except DrawingError:
        return ()
    by_itself = dict(_named_lengths(own, wish))
    both = [(name, mm, by_itself[name]) for name, mm in _named_lengths(drawing, wish) if by_itself.get(name)]
    if not both or abs(both[0][1] / both[0][2] - 1) <= _PROVED:
        return ()
    name, taken, told = both[0]
    whole = "" if wish.begins is None else "all of "
    return (
        f'Scale: {whole}"{name}" is {_both(taken)} by the scale that the plan tells, and {_both(told)} by the size '
        "that the drawing tells of itself. Lay a tape on the piece: where the drawing is right, leave scale out.",
    )


def _odd_unit(plain: Drawing, known: KnownWish, unit_mm: float) -> str:
    """What to say of a unit that no program draws in: its length may be mistyped; empty for a usual one."""
    pixels = _pixels(plain)
    to_unit = 1.0 if pixels is None else pixels[2]
    usual = {name: mm * to_unit for name, mm in _UNITS_MM.items()}
    if any(abs(unit_mm / mm - 1) <= _TAPED for mm in usual.values()):
        return ""
    told = _measure(plain, known.path)
    likely = [(name, mm) for name, mm in usual.items() if _EDGES_MM[0] <= told * mm <= _EDGES_MM[1]][:3]
    words = " or ".join(f"{_both(told * mm)} in {name}" for name, mm in likely)
    would = f": {known.path} would be {words}" if words else ""
    return (
        f" No drawing program has such a unit{would}. Was {_both(known.length_mm)} measured "
        "along that very line? A print that was scaled, or a tracing, comes out so."
    )


def _pixels(drawing: Drawing) -> tuple[float, float, float] | None:
    found: tuple[float, float, float] | None = getattr(drawing, "pixels", None)
    return found


def ask_for_scale(plain: Drawing, wish: EdgeWish) -> None:
    """Ask for the scale of a drawing that tells no size, or one in px or with no unit: guessed, it may be a third out.

    Args:
        plain: the drawing, a unit of it read as a mm.
        wish: the lines that the plan names, whose lengths are told at either scale.

    Raises:
        DrawingError: with the two likely answers in figures.
    """
    pixels = _pixels(plain)
    if pixels is None:
        return
    width, height, to_unit = pixels
    is_unsized = getattr(plain, "is_unsized", False)
    ways = [(f"at {per_inch} to the inch", 25.4 / per_inch) for per_inch in (96, 72)]
    answers = []
    for way, px in [*ways, *([("in mm", 1.0)] if is_unsized else [])]:
        page = _paper_in_words(width * px, height * px)
        whole = "" if wish.begins is None else "all of "
        lines = "".join(
            f', {whole}"{name}" {_both(length * to_unit * px)}' for name, length in _named_lengths(plain, wish)
        )
        answers.append(f'{way} the page is {page}{lines}: scale = "{_as_scale(px * to_unit)}"')
    raise DrawingError(
        f"the drawing does not say how large it is: its viewBox, {width:g} by {height:g}, may have any unit"
        if is_unsized
        else f"its size, {width:g} by {height:g}, is told in px or without a unit, and a px may be 1/96 or 1/72 in",
        where=plain.where,
        mend=f"Lay a tape on the piece, and write under [edge] the scale that fits: {'; or '.join(answers)}. A "
        'ruler or test square does it too: known = { path = "ruler", length = "2 in" }.',
    )


def _named_lengths(plain: Drawing, wish: EdgeWish) -> list[tuple[str, float]]:
    found = []
    for name in wish.names[:2]:
        try:
            found.append((name, sum(line.length_mm for line in plain.lines(name))))
        except DrawingError:
            continue
    return found


def _both(mm: float) -> str:
    from closures.lengths import format_inches, format_mm

    return f"{format_mm(mm)} ({format_inches(mm)})"


# Sheets that pieces are drawn on (ISO 216; ANSI/ASME Y14.1), the shorter side first.
_SHEETS = (
    ("A4", 210.0, 297.0), ("A3", 297.0, 420.0), ("A2", 420.0, 594.0), ("A1", 594.0, 841.0), ("A0", 841.0, 1189.0),
    ("Letter", 215.9, 279.4), ("Tabloid", 279.4, 431.8),
)  # fmt: skip
_SHEET_WITHIN_MM = 1.0


def _paper_in_words(width_mm: float, height_mm: float) -> str:
    short, long = sorted((width_mm, height_mm))
    for name, one, other in _SHEETS:
        if abs(short - one) <= _SHEET_WITHIN_MM and abs(long - other) <= _SHEET_WITHIN_MM:
            return name
    return f"{width_mm:.0f} by {height_mm:.0f} mm"


# What drawing programs count in, in mm: CSS px and points, and the plain units.
_UNITS_MM = {
    "px of 96 to the inch": 25.4 / 96, "points": 25.4 / 72, "mm": 1.0, "tenths of a mm": 0.1, "cm": 10.0,
    "inches": 25.4, "hundredths of a mm": 0.01, "px of 90 to the inch": 25.4 / 90,
}  # fmt: skip
_SAME_UNIT = 1e-5
"""A share far below what a tape tells: a unit measured as 0.99999998 mm is 1 mm."""


def _as_scale(unit_mm: float) -> str:
    usual = next((one for one in _UNITS_MM.values() if abs(unit_mm / one - 1) <= _SAME_UNIT), unit_mm)
    return f"{usual:.8g} mm"


# From a baby's flap to a long coat: our own rule.
_EDGES_MM = (60.0, 2500.0)


def _refuse_odd_scale(plain: Drawing, wish: EdgeWish, unit: float) -> None:
    """Refuse a known length that gives no usual scale, where another line in the drawing gives one."""
    pixels = _pixels(plain)
    if pixels is None or wish.known is None:
        return
    usual = [25.4 / per_inch * pixels[2] for per_inch in (96, 72)]
    if any(abs(unit / one - 1) <= _PROVED for one in usual):
        return
    for per_inch, one in zip((96, 72), usual, strict=True):
        other = _line_of(plain, wish.known.length_mm / one)
        if other is not None:
            raise DrawingError(
                f'by "{wish.known.path}" a unit would be {unit:.4g} mm, which is no usual scale; "{other}" is '
                f"{_both(wish.known.length_mm)} long at {per_inch} px to the inch",
                where=plain.where,
                mend=f'Is "{other}" what you measured? Then write path = "{other}" in known. Else write '
                f'scale = "{_as_scale(unit)}".',
            )


def _line_of(drawing: Drawing, length: float) -> str | None:
    """The name of a line, or of a square by its side, that is so long."""
    for line in drawing.all_lines():
        box = line.box
        across, down = box[2] - box[0], box[3] - box[1]
        is_square = line.is_closed and abs(across - down) <= _PROVED * length
        measured = across if is_square else (line.length_mm if not line.is_closed else 0.0)
        if abs(measured - length) <= _PROVED * length:
            return line.name
    return None


def _proved(drawing: Drawing, wish: EdgeWish, at: Callable[[float], Drawing]) -> str:
    known = wish.known
    if known is None:
        return ""
    measured = _measure(drawing, known.path)
    share = measured / known.length_mm
    if abs(share - 1) > _PROVED:
        unit = known.length_mm / _measure(at(1.0), known.path)
        other = _line_of(drawing, known.length_mm)
        fits = "" if other is None else f' "{other}" measures {known.length_mm:g} mm: is that the one you meant?'
        raise DrawingError(
            f'"{known.path}" measures {measured:.2f} mm, {share:.1%} of the {known.length_mm:g} mm that it should be',
            where=drawing.where,
            mend=f"The drawing is not to scale, or this is another line.{fits} Is the length right? Then write "
            f'scale = "{_as_scale(unit)}".',
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
