"""The sheet of markers that is laid into a photo, as a page."""

from __future__ import annotations

from closures.drawing.ink.shapes import FINE, INK, Item, Words, rectangle
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.printed import Printed
from closures.edges.scan.markers import FIELDS, PAPERS_MM, SIDE_MM, black_fields, markers_on

_FIELD_MM = SIDE_MM / FIELDS
_SQUARE_MM = 50.0

_ADVICE = (
    "Print at 100 %, and measure the square: 50 mm across and down, or the photo is worth nothing.",
    "Lay the sheet flat on the table and the piece across its middle, both on one level.",
    "Leave at least half of the markers free, on all sides. Take the photo from straight above.",
)


def marker_page(paper: str) -> Printed:
    """Set the page.

    Args:
        paper: key of a paper in `PAPERS_MM`.

    Raises:
        DrawingError: the package that brings the markers is not installed.
    """
    width, height = PAPERS_MM[paper]
    items: list[Item] = []
    for marker in markers_on(paper):
        for i, j in black_fields(marker.number):
            x, y = marker.x_mm + i * _FIELD_MM, marker.y_mm + j * _FIELD_MM
            items.append(rectangle((x, y, x + _FIELD_MM, y + _FIELD_MM), INK))
    left, top = (width - _SQUARE_MM) / 2, height / 2 - _SQUARE_MM / 2
    items.append(rectangle((left, top, left + _SQUARE_MM, top + _SQUARE_MM), FINE))
    items.append(Words(width / 2, top + 26.0, "50 mm", 6.0, "middle", weight="bold"))
    items += [Words(width / 2, top + 62.0 + 5.0 * n, row, USUAL_TYPE.figure, "middle") for n, row in enumerate(_ADVICE)]
    items.append(Words(width / 2, top - 8.0, f"Marker sheet, {paper.upper()}", 5.0, "middle", weight="semibold"))
    return Printed("1", width, height, (), tuple(items), shows=f"marker sheet, {paper.upper()}")
