"""The signs of a key: each drawn small, about the middle of a room 14 mm wide, with what it means."""

from __future__ import annotations

import math

from closures.drawing.ink.figures import corner_figure
from closures.drawing.ink.shapes import (
    CLOSING,
    CUT,
    FINE,
    FOLD,
    HATCH,
    HEAVY,
    INK,
    LINE,
    RIM_NOT_CUT,
    Circle,
    Item,
    Path,
    Pen,
    line,
    polygon,
    strokes,
)
from closures.drawing.sheets.marks import FOOT, STAYS_RADIUS_MM
from closures.drawing.sheets.old_marks import CUT_LINE, OLD, OLD_SLIT, STRUCK, lens, slanted

_HOLE = Pen(0.35, fill=1.0)
_CROSS = (((0.0, 0.0), (10.0, 0.0)), ((5.0, -2.0), (5.0, 2.0)))
_ZIGZAG = ((4.5, -2.2), (4.5, -1.2), (5.5, -0.6), (3.5, 0.6), (4.5, 1.2), (4.5, 2.2))
CORNER = "corner"
"""The sign of what every strip bears, so that one that lies turned over shows it."""
_SIGNS: dict[str, tuple[tuple[Item, ...], str]] = {
    "edge": ((line((0.0, 0.0), (10.0, 0.0), pen=HEAVY),), "finished edge"),
    CORNER: (
        (corner_figure((4.0, 0.6), (-1.0, 0.0), (0.0, -1.0), 4.0), line((0.0, -2.2), (10.0, -2.2), pen=HEAVY)),
        "points to the edge and the first end",
    ),
    "inner": ((line((0.0, 0.0), (10.0, 0.0), pen=FINE),), "inner line of the band"),
    "border": ((line((0.0, 0.0), (10.4, 0.0), pen=CUT),), "border of a strip, no edge"),
    "cut": ((line((0.0, 0.0), (10.0, 0.0), pen=LINE),), "cut line"),
    "fold": ((line((0.0, 0.0), (12.0, 0.0), pen=FOLD),), "fold"),
    "break": (
        tuple(line(*((x + s, y) for x, y in _ZIGZAG), pen=pen) for s, pen in ((0.0, LINE), (1.0, FINE))),
        "broken off, by the length told",
    ),
    "middle": ((line((0.0, 0.0), (10.3, 0.0), pen=CLOSING),), "middle line of the strap"),
    "line": ((line((0.0, 0.0), (10.3, 0.0), pen=CLOSING),), "closing line"),
    "mark": (
        (strokes(_CROSS, FINE), Circle(5.0, 0.0, 0.25, INK)),
        "mark: at the dot",
    ),
    "stays": (
        (Circle(5.0, 0.0, 2.0, LINE), Circle(5.0, 0.0, STAYS_RADIUS_MM, FINE)),
        "is there and stays: make no mark",
    ),
    "stays, no rim": ((Circle(5.0, 0.0, STAYS_RADIUS_MM, FINE),), "its closure stays: make no mark"),
    "nest edge": ((line((0.0, 0.0), (12.0, 0.0), pen=Pen(0.6)),), "finished edge, of the base"),
    "nest line": ((line((0.0, 0.0), (12.0, 0.0), pen=Pen(0.24)),), "closing line, of the base"),
    "nest mark": (
        (strokes(_CROSS, FINE), Circle(5.0, 0.0, 0.9, Pen(0.18, fill=1.0)), Circle(5.0, 0.0, 0.3, INK)),
        "mark: your size only",
    ),
    "rim": ((Circle(5.0, 0.0, 1.7, RIM_NOT_CUT),), "rim of the part, not cut"),
    "hole": ((Circle(5.0, 0.0, 1.5, _HOLE),), "hole, true size"),
    "buttonhole": (
        (
            line((1.0, 0.0), (9.0, 0.0), pen=Pen(0.5)),
            strokes((((x, -1.2), (x, 1.2)) for x in (1.0, 9.0)), Pen(0.5)),
        ),
        "buttonhole, true length",
    ),
    "slits": (
        (strokes((((3.0, v), (7.0, v)) for v in (-1.0, 1.0)), Pen(0.5)),),
        "slits: mark through the washer",
    ),
    "stitch": ((Circle(3.5, 0.0, 0.4, INK), Circle(6.5, 0.0, 0.4, INK)), "where stitches go"),
    "stitch ring": ((Circle(5.0, 0.0, 1.2, LINE),), "ring, where stitches go"),
    "loop": (
        (
            line((0.0, 0.0), (10.0, 0.0), pen=HEAVY),
            Path((("M", 3.2, 0.0), ("C", 2.6, -2.8, 7.4, -2.8, 6.8, 0.0)), LINE),
            strokes((((x, 0.0), (x, 1.6)) for x in (3.2, 6.8)), FOOT),
            line((5.0, 0.8), (5.0, 2.6), pen=FINE),
        ),
        "loop past the edge; short ticks: its feet",
    ),
    "loop on one foot": (
        (
            line((0.0, 0.0), (10.0, 0.0), pen=HEAVY),
            Path((("M", 5.0, 0.0), ("C", 2.4, -3.2, 7.6, -3.2, 5.0, 0.0)), LINE),
            line((5.0, 0.8), (5.0, 2.6), pen=FINE),
        ),
        "loop past the edge; tick: its feet",
    ),
    "anchor": (
        (
            line((0.0, 0.4), (10.0, 0.4), pen=HEAVY),
            line((5.0, -1.6), (5.0, 2.4), pen=LINE),
        ),
        "anchor: tick on the edge, its name",
    ),
    "clear": (
        (strokes((((x, 1.3), (x + 2.6, -1.3)) for x in (0.0, 2.2, 4.4, 6.6)), HATCH),),
        "keep clear",
    ),
}

_BULGE_MM = 1.5
_SQUARE = ((3.0, -2.0), (7.0, -2.0), (7.0, 2.0), (3.0, 2.0))
OLD_SIGNS: dict[str, tuple[tuple[Item, ...], str]] = {
    "old buttonhole": (
        (lens((1.0, 0.0), (9.0, 0.0), _BULGE_MM, OLD_SLIT), line((1.0, 0.0), (9.0, 0.0), pen=FINE)),
        "old buttonhole, cut",
    ),
    "kept buttonhole": (
        (lens((1.0, 0.0), (9.0, 0.0), _BULGE_MM, OLD_SLIT), line((1.0, 0.0), (9.0, 0.0), pen=FINE)),
        "buttonhole that stays",
    ),
    "struck buttonhole": (
        (lens((1.0, 0.0), (9.0, 0.0), _BULGE_MM, OLD), slanted((1.0, 0.0), (9.0, 0.0))),
        "struck out: do not cut",
    ),
    "old hole": (
        (polygon((((5 + 2 * math.cos(a)), 2 * math.sin(a)) for a in (math.pi / 3 * k for k in range(6))), OLD_SLIT),),
        "old hole",
    ),
    "old part": ((polygon(_SQUARE, OLD),), "old part, comes off"),
    "struck part": (
        (polygon(_SQUARE, OLD), strokes(((_SQUARE[0], _SQUARE[2]), (_SQUARE[1], _SQUARE[3])), STRUCK)),
        "struck out: no part here",
    ),
    "pattern cut": (
        (line((0.0, -1.2), (10.0, -1.2), pen=CUT_LINE), line((0.0, 1.2), (10.0, 1.2), pen=CUT_LINE)),
        "pattern made longer",
    ),
}


def sign_of(kind: str) -> tuple[tuple[Item, ...], str]:
    """The drawing of a sign, and its meaning."""
    return _SIGNS.get(kind) or OLD_SIGNS[kind]
