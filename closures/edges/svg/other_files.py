"""Files that are given in place of an SVG: what each seems to be, told by how it begins, and what to do with it."""

from __future__ import annotations

import io
import re
import zipfile

_TRACE = (
    "follow the edge on it: "
    "trace = { through = [[120, 340], [180, 2210]], dpi = 300 } under [edge], with px of its own."
)
OVER_A_PICTURE = (
    "Draw the edge over it as a line, in your drawing program; or save the picture itself as PNG or JPEG and " + _TRACE
)
"""What to do with an SVG that holds a picture and nothing drawn."""
EXPORT = (
    "Open it in your drawing program, save a copy or export it as plain SVG with its size in mm, or as PDF, and name "
    "that file."
)
"""What to do with a drawing that is kept in a way that cannot be read."""
_DRAWING = f"{EXPORT} Whoever sent it to you can do that too."
_OFFICE = (
    "Lines that were drawn in it: print it to a PDF, and name that. A picture in it: save the picture itself as PNG or "
    f"JPEG, and {_TRACE}"
)
_PHOTO = f"Save it as PNG or JPEG, or share it so, and {_TRACE}"
_PAGE = "Where you loaded it, choose to download or save the file itself, not the page that shows it."
_ITSELF = "Name the drawing itself, as it is called in its folder."
_AS_POINTS = (
    "this is a table, not a drawing",
    'Name it under [edge], as in points = "measured.csv", in place of a drawing.',
)
_OTHER_FILES = (
    (rb"\{\\rtf|\xd0\xcf\x11\xe0", "this is a word processor's or another office file, not a drawing", _OFFICE),
    (
        rb"\x1f\x8b",
        "this is a packed SVG (.svgz) or another packed file",
        "In your drawing program save it as plain SVG, not compressed.",
    ),
    (rb"%!PS|%!|\xc5\xd0\xd3\xc6", "this is a drawing kept as PostScript (.eps, .ai, .ps), not as SVG", _DRAWING),
    (rb"RIFF....CDR", "this is a drawing that only the program opens which made it (.cdr)", _DRAWING),
    (rb"....ftyp(?:qt|isom|mp4|m4v|3gp|avc1)", "this is a film, not a drawing", _ITSELF),
    (rb"....ftyp", "this is a photo as a phone keeps it (.heic, .avif), and that is not read", _PHOTO),
    (
        rb"RIFF....WEBP|II\*\x00|MM\x00\*|GIF8|8BPS|gimp xcf|\xff\x4f\xff\x51|....jP  ",
        "this is a picture of a kind that is not read",
        _PHOTO,
    ),
    (rb"RIFF|ID3|OggS", "this is a sound, a film or another file of that make, not a drawing", _ITSELF),
    (
        rb"AC10\d\d",
        "this is a DWG, not an SVG",
        "In your drawing program save it as DXF in text (ASCII), and name that file.",
    ),
    (rb"\x01\x00\x00\x00.{36} EMF|\xd7\xcd\xc6\x9a", "this is an office drawing (.emf, .wmf), not an SVG", _DRAWING),
    (rb"(?:IN|PU|PA|SP\d)\s*;|\x1b[%.]", "this is a file for a plotter or a cutter (.plt), not an SVG", _DRAWING),
    (rb"MZ|\x7fELF|\xca\xfe\xba\xbe", "this is a program, not a drawing", _ITSELF),
    (rb"\[InternetShortcut\]|\[Desktop Entry\]", "this is a link to the drawing, not the drawing", _PAGE),
    (rb"<!doctype html|<html", "this is a web page, not an SVG drawing", _PAGE),
    (rb"\{|\[\s*[{\"]", "this is a text for programs (JSON), not an SVG drawing", _ITSELF),
    (rb"#|\[\[?[a-z]{1,20}\]|[a-z_]{1,20} {0,9}=", "this is a text such as a plan, not a drawing", _ITSELF),
    # Cells of words or figures in a row, of two rows or more; in a code of two bytes a letter too.
    (rb"[^<\r\n]{0,200}[,;\t][^<\r\n]{0,200}\r?\n[^<\r\n]{0,200}[,;\t]", *_AS_POINTS),
    (rb"\xff\xfe[^<]\x00|\xfe\xff\x00[^<]", *_AS_POINTS),
)
"""How files begin that are given in place of a drawing, what they are, and what to do."""

_LOOKED_AT = 4096
_SHOWN_NAMES = 500
"""So many names in a packed file are looked at for a drawing."""


def other_than_svg(data: bytes) -> tuple[str, str] | None:
    """Say what a file is that is no SVG, and what to do; None where its beginning does not tell."""
    begin = data[: 4 * _LOOKED_AT].lstrip(b"\xef\xbb\xbf \t\r\n")
    if data and not data.strip(b"\0 \t\r\n"):
        what = "the file holds nothing but zeros: its copying or loading was broken off"
        return what, "Copy it anew from where it came from, or save the drawing again."
    if begin.startswith(b"PK\x03\x04"):
        return _packed(data)
    return next(
        ((what, mend) for begins, what, mend in _OTHER_FILES if re.match(begins, begin, re.IGNORECASE | re.DOTALL)),
        None,
    )


def unlike_any(data: bytes, reason: str) -> tuple[str, str]:
    """Say of a file that cannot be read as SVG, and begins like nothing that is known, what it seems to be.

    Args:
        data: the bytes of the file.
        reason: where it has a fault, such as `` in line 12``.
    """
    head = data[:_LOOKED_AT]
    if b"<svg" in head or b"<\x00s\x00v\x00g" in head:
        return f"this is not an SVG drawing that can be read: it has a fault{reason}", _AGAIN
    if any(sign < 32 and sign not in b"\t\r\n\f" for sign in head):
        return "this is not an SVG drawing, nor any file that is known here", _DRAWING
    if head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        return "this is marked-up text, but not an SVG drawing", _DRAWING
    return "this is a text, not an SVG drawing", f"{_ITSELF} If it is all you have: {EXPORT[0].lower()}{EXPORT[1:]}"


_AGAIN = f"Was it changed by hand, or cut off? {EXPORT}"


def _packed(data: bytes) -> tuple[str, str]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = archive.namelist()[:_SHOWN_NAMES]
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return "this is a packed or a word processor's file that is cut off", "Copy it anew from where it came from."
    held = [name for name in names if name.lower().endswith((".svg", ".dxf", ".pdf"))]
    if held:
        what = f"this is a packed folder (.zip) that holds {held[0].rsplit('/', 1)[-1]!r}"
        return what, "Unpack it, and name the drawing that comes out."
    if any(name.startswith(("word/", "xl/", "ppt/")) or name == "content.xml" for name in names):
        return "this is a word processor's or another office file, not a drawing", _OFFICE
    return "this is a packed file: a drawing that only the program opens which made it, or a packed folder", _DRAWING
