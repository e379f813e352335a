"""Files that are given in place of an SVG: what each is, told by how it begins, and what to do with it."""

from __future__ import annotations

import re

_SAVE_AS_SVG = "Open it in the program that made it, save or export the drawing as plain SVG, and name that file."
OVER_A_PICTURE = (
    "Draw the edge over it as a line, in the program that made it; or save the picture itself as PNG or JPEG and "
    "follow the edge on it: trace = { through = [[120, 340], [180, 2210]], dpi = 300 } under [edge]."
)
"""What to do with an SVG that holds a picture and nothing drawn."""
_AS_POINTS = (
    "this is a table, not a drawing",
    'Name it under [edge], as in points = "measured.csv", in place of a drawing.',
)
_OTHER_FILES = (
    (rb"PK\x03\x04|\xd0\xcf\x11\xe0|\{\\rtf", "this is a packed or a word processor's file, not an SVG", _SAVE_AS_SVG),
    (rb"\x1f\x8b", "this is a packed SVG (.svgz) or another packed file", "Save it as plain SVG, not compressed."),
    (rb"%!PS|\xc5\xd0\xd3\xc6", "this is PostScript (EPS, AI), not an SVG", _SAVE_AS_SVG),
    (
        rb"RIFF....WEBP|II\*\x00|MM\x00\*|GIF8|....ftyp",
        "this is a picture of a kind that is not read",
        "Save it as PNG or JPEG.",
    ),
    (
        rb"RIFF",
        "this is a sound, a film or another file of that make, not a drawing",
        "Name the drawing itself, as it is called in its folder.",
    ),
    (rb"AC10\d\d", "this is a DWG, not an SVG", "Save it as DXF in text (ASCII), and name that file."),
    (
        rb"#|\[\[?[a-z]{1,20}\]|[a-z_]{1,20} {0,9}=",
        "this is a text such as a plan, not a drawing",
        "Name the drawing itself, as it is called in its folder.",
    ),
    # Cells of words or figures in a row, of two rows or more; in a code of two bytes a letter too.
    (rb"[^<\r\n]{0,200}[,;\t][^<\r\n]{0,200}\r?\n[^<\r\n]{0,200}[,;\t]", *_AS_POINTS),
    (rb"\xff\xfe[^<]\x00|\xfe\xff\x00[^<]", *_AS_POINTS),
)
"""How files begin that are given in place of a drawing, what they are, and what to do."""


def other_than_svg(data: bytes) -> tuple[str, str] | None:
    """Say what a file is that is no SVG, and what to do; None where its beginning does not tell."""
    begin = data.lstrip()
    return next(((what, mend) for begins, what, mend in _OTHER_FILES if re.match(begins, begin, re.IGNORECASE)), None)
