"""Lettering as a font inside the file: a Type 3 font of our own outlines (ISO 32000-1, 9.6.5)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from closures.drawing.ink.lettering import glyph
from closures.drawing.write.operators import path_of

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Weight


def font_of(pdf: Any, members: Sequence[tuple[str, Weight]]) -> Any:
    """Make the font of some letters, each with its code and its name.

    Args:
        pdf: the file.
        members: letters and weights in the order of their codes, from 1.
    """
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
