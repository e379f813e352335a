"""The bytes of an SVG file read as XML, with care: in the letters that they are in, and nothing that declares text."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from closures.edges.svg.exact import NotSvgError
from closures.edges.svg.other_files import other_than_svg, unlike_any
from closures.errors import DrawingError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# A pattern piece is some hundred kB; what is larger is a picture, not a pattern.
_MOST_BYTES = 20_000_000
# No element found, and a token that is not closed: codes of the reader of XML.
_CUT_OFF = (3, 5)

# How a file begins that says by its bytes in which letters it is; the second pair is "<?" (XML 1.0, appendix F).
_BEGINS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
    (b"<\x00?\x00", "utf-16le"),
    (b"\x00<\x00?", "utf-16be"),
)

# The same of letters of four bytes each, which the reader of XML does not know.
_BEGINS_OF_FOUR = (
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"<\x00\x00\x00", "utf-32-le"),
    (b"\x00\x00\x00<", "utf-32-be"),
)
_MARK = b"\xef\xbb\xbf"


def _in_known_letters(data: bytes) -> bytes:
    """A file in letters of four bytes each, written in those that the reader of XML knows; any other as it is."""
    for begins, letters in _BEGINS_OF_FOUR:
        if data.startswith(begins):
            with suppress(UnicodeDecodeError):
                return _MARK + data.decode(letters).encode()
    return data


def _letters(data: bytes) -> str | None:
    """In which letters a file is by its first bytes, which win over what its first line says; None where that is all.

    Programs that save a file in other letters leave the line as it was.
    """
    return next((letters for begins, letters in _BEGINS if data.startswith(begins)), None)


def parsed(data: bytes, where: str) -> Element:
    """Read a drawing's outermost element.

    Args:
        data: the bytes of the file.
        where: its name, for messages.

    Raises:
        DrawingError: it is too large, no SVG, or declares text of its own.
    """
    from xml.etree import ElementTree

    if len(data) > _MOST_BYTES:
        raise DrawingError(
            f"the drawing is {len(data) / 1e6:.0f} MB, more than {_MOST_BYTES // 1_000_000}",
            where=where,
            mend="Save the pattern piece alone, without pictures.",
        )

    data = _in_known_letters(data)
    if _declares_entities(data):
        raise DrawingError(
            "the drawing's DOCTYPE declares text of its own, which could hide more",
            where=where,
            mend="Delete all from <!DOCTYPE to its ]>, or save the drawing as plain SVG.",
        )
    parser = ElementTree.XMLParser(encoding=_letters(data))
    try:
        parser.feed(data)
        root: Element = parser.close()
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        if other := other_than_svg(data):
            raise DrawingError(other[0], where=where, mend=other[1]) from None
        if b"<svg" in data and isinstance(error, ElementTree.ParseError) and error.code in _CUT_OFF:
            what = "this is not an SVG drawing that is whole: it ends before its last tag, </svg>"
            raise NotSvgError(what, where=where, mend="Save or export it anew: it may be cut off.") from None
        what, mend = unlike_any(data, _line_in_words(error))
        raise NotSvgError(what, where=where, mend=mend) from None
    return root


def _line_in_words(error: Exception) -> str:
    """Where the reader of XML gave up; what it says besides is in its own words."""
    place = getattr(error, "position", None)
    return "" if place is None else f" in line {place[0]}"


class _SeenEnough(Exception):
    """The part of a file that comes before its first element has been read."""


def _declares_entities(data: bytes) -> bool:
    """Tell whether a file has a DOCTYPE with declarations inside it; a bare one, as many programs write, has none."""
    from xml.parsers import expat

    found = False

    def doctype(name: str, system: str | None, public: str | None, has_declarations: int) -> None:
        nonlocal found
        found = bool(has_declarations)

    def element(name: str, attributes: object) -> None:
        raise _SeenEnough

    parser = expat.ParserCreate(_letters(data))
    parser.StartDoctypeDeclHandler = doctype
    parser.StartElementHandler = element
    # What cannot be parsed is told by the reader proper.
    with suppress(_SeenEnough, expat.ExpatError, ValueError, LookupError):
        parser.Parse(data, True)
    return found
