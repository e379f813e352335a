"""A picture of what a drawing holds, with the numbers of its lines on them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.extents import union
from closures.drawing.ink.shapes import Circle, Item, Path, Pen, Words, mapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.curve import Curve
    from closures.drawing.ink.shapes import Box
    from closures.edges.listing import Candidate, Listing

# The longer side of the picture, in mm of its own; the numbers on it have the size of print.
_SIDE_MM = 240.0
_BORDER_MM = 12.0
_FIGURE_MM = 4.2
_TAG_MM = 3.1

_LISTED = Pen(0.5)
_CLOSED = Pen(0.35, grey=0.25)
_TAG = Pen(0.2, fill=1.0)
_POINT = Pen(0.3, fill=0.75)

# Points that a line was read from: how large they are drawn, and how many of a line at most.
_POINT_MM, _MOST_POINTS = 0.8, 150

# Between the lines of two pages, in mm of the drawing.
_PAGE_GAP_MM = 30.0

# Where along a line its number may stand, in the order in which places are tried.
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.28, 0.72)


def edge_picture(listing: Listing, most: int) -> tuple[float, float, tuple[Item, ...]]:
    """Draw the lines of a drawing with their numbers, fitted to a picture.

    A line of points or short strokes is drawn as the curve that it is read as, with its points.

    Args:
        listing: what the drawing holds.
        most: how many lines are drawn and numbered, the longest first.

    Returns:
        Width and height of the picture in mm, and what is on it.
    """
    shown = listing.candidates[:most]
    asides = _asides(shown)
    boxes = [_moved_aside(one.box_mm, asides[one.page]) for one in shown] or [(0.0, 0.0, 1.0, 1.0)]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    scale = (_SIDE_MM - 2 * _BORDER_MM) / max(x1 - x0, y1 - y0, 1e-3)
    dx, dy = _BORDER_MM - x0 * scale, _BORDER_MM - y0 * scale
    lines: list[Item] = []
    tags: list[Item] = []
    taken: list[tuple[float, float]] = []
    for n, one in enumerate(shown, 1):
        read = one.as_read()
        curve = read.curve
        shift = (dx + asides[one.page] * scale, dy)
        # Every so many of the points only, so that they do not hide the curve.
        for x, y in read.points[:: max(1, len(read.points) // _MOST_POINTS)]:
            lines.append(Circle(x * scale + shift[0], y * scale + shift[1], _POINT_MM, _POINT))
        lines.append(Path(mapped(curve.path(), scale, scale, *shift), _LISTED if one.is_open else _CLOSED))
        x, y = _free_place(curve, scale, shift, taken)
        taken.append((x, y))
        size = _FIGURE_MM if n < 10 else _FIGURE_MM * 0.8
        tags += [Circle(x, y, _TAG_MM, _TAG), Words(x, y + size * 0.33, str(n), size, "middle", weight="semibold")]
    points: list[Item] = [
        Circle(point.x_mm * scale + dx, point.y_mm * scale + dy, 1.0, _POINT) for point in listing.points[:most]
    ]
    width, height = ((high - low) * scale + 2 * _BORDER_MM for low, high in ((x0, x1), (y0, y1)))
    return width, height, (*lines, *points, *tags)


def _asides(shown: Sequence[Candidate]) -> dict[str, float]:
    """How far the lines of each page are moved to the right in mm, so that no page lies on another."""
    pages: dict[str, Box] = {}
    for one in shown:
        pages[one.page] = union([one.box_mm, *([pages[one.page]] if one.page in pages else [])])
    asides, right = {}, 0.0
    for n, page in enumerate(sorted(pages, key=lambda page: (len(page), page))):
        x0, _, x1, _ = pages[page]
        asides[page] = right - x0 if n else 0.0
        right = x1 + asides[page] + _PAGE_GAP_MM
    return asides


def _moved_aside(box: Box, by: float) -> Box:
    return (box[0] + by, box[1], box[2] + by, box[3])


def _free_place(
    curve: Curve, scale: float, shift: tuple[float, float], taken: list[tuple[float, float]]
) -> tuple[float, float]:
    """The place on a line that is furthest from the numbers that stand already."""
    best, most = (0.0, 0.0), -1.0
    for share in _SHARES:
        px, py = curve.point_at(share * curve.length_mm)
        x, y = px * scale + shift[0], py * scale + shift[1]
        away = min((abs(x - tx) + abs(y - ty) for tx, ty in taken), default=1e9)
        if away > most + 1e-9:
            best, most = (x, y), away
        if away > 4 * _TAG_MM:
            return x, y
    return best
