"""How a page is divided: a rule across, a rule down, a head, squares, words, and the tile for the drawing.

Printers leave up to 10 mm along the paper's edge unprinted, so nothing needed stands there. The
squares stand in a column beside the tile or, for drawings that run across, on a shelf below it.
"""

from __future__ import annotations

from closures.drawing.ink.shapes import Box, Point
from closures.drawing.paper.gauges import INCH_MM, RULE_FIGURE_MM, SQUARE_MM, rule_deep_mm
from closures.frozen import frozen

EDGE_MM = 10.0
STRIP_MM = 10.0
COLUMN_MM = 2 * INCH_MM
LEAST_RULE_MM = 150.0
SQUARES_GAP_MM = 3.0
_LONGEST_RULE_MM = 500.0
_HEAD_MM, _LARGE_HEAD_MM = 15.0, 31.5
"""Of two rows beside each other, and where letters are larger of four, one under the other."""

_FAILURE_MM = 8.5
_GAP_MM = 2.0
_TILE_GAP_MM = 5.0
_SHELF_INSET_MM = 4.0
_REGION_GAP_MM = 6.0
_RULE_END_MM = 7.0


@frozen
class Frame:
    """A page of paper and what goes where on it, in mm from its top left corner.

    Attributes:
        width_mm, height_mm: the paper.
        corner: the square where the page's letter stands.
        zero: where both rules begin.
        across_mm, down_mm: their lengths.
        head: the title and what else stands in the strip below the rule.
        failure: the strip for failed checks, None where there is none.
        square_50_at, square_2_in_at: the top left corners of the squares.
        regions: the room for blocks of words, to be filled in order.
        tile: the room for the drawing.
    """

    width_mm: float
    height_mm: float
    corner: Box
    zero: Point
    across_mm: float
    down_mm: float
    head: Box
    failure: Box | None
    square_50_at: Point
    square_2_in_at: Point
    regions: tuple[Box, ...]
    tile: Box


def frame_of(width_mm: float, height_mm: float, has_failures: bool, shelf: bool = False, grown: float = 1.0) -> Frame:
    """Divide a page, its squares in a column on the left or on a shelf at the bottom; for letters so much larger."""
    zero = EDGE_MM + rule_deep_mm(grown * RULE_FIGURE_MM) + _GAP_MM
    column = grown * COLUMN_MM
    left, right, bottom = zero + (_SHELF_INSET_MM if shelf else 0.0), width_mm - EDGE_MM, height_mm - EDGE_MM
    head = (left, zero, right, zero + (_LARGE_HEAD_MM if grown > 1.0 else _HEAD_MM))
    # Larger letters are wrapped into more rows.
    failure = (left, head[3], right, head[3] + grown**2 * _FAILURE_MM) if has_failures else None
    body = (failure or head)[3]
    side = 2 * INCH_MM
    if shelf:
        first, second = (left + 0.5, bottom - side), (left + 0.5 + SQUARE_MM + SQUARES_GAP_MM, bottom - side)
        start = second[0] + side + _REGION_GAP_MM
        count = max(0, int((right - start + _REGION_GAP_MM) / (COLUMN_MM + _REGION_GAP_MM)))
        starts = [start + k * (COLUMN_MM + _REGION_GAP_MM) for k in range(count)]
        regions = tuple((x, bottom - side, x + COLUMN_MM, bottom) for x in starts)
        tile = (left, body + _TILE_GAP_MM, right, bottom - side - _TILE_GAP_MM)
    else:
        first, second = (left, body + 2.0), (left, body + 2.0 + SQUARE_MM + SQUARES_GAP_MM)
        regions = ((left, second[1] + side + 1.5, left + column, bottom),)
        tile = (left + column + _TILE_GAP_MM, body + _TILE_GAP_MM, right, bottom)
    corner = (EDGE_MM, EDGE_MM, EDGE_MM + STRIP_MM, EDGE_MM + STRIP_MM)
    across, down = _rule_length(right - zero, grown), _rule_length(bottom - zero, grown)
    return Frame(width_mm, height_mm, corner, (zero, zero), across, down, head, failure, first, second, regions, tile)


def _rule_length(room_mm: float, grown: float) -> float:
    """The whole centimetres that fit, with room for the name of the unit at the end."""
    return min(_LONGEST_RULE_MM, 10.0 * int((room_mm - grown * _RULE_END_MM) / 10.0))


def frame_around(drawing_mm: Point, words_mm: float, has_failures: bool, grown: float = 1.0) -> Frame:
    """Make the page that just holds a drawing whole, with a column beside it.

    Args:
        drawing_mm: width and height of the drawing.
        words_mm: height that the blocks of words take.
        has_failures: whether the strip for failed checks is needed.
        grown: how much larger than usual letters are.
    """
    trial = frame_of(1000.0, 1000.0, has_failures, grown=grown)
    width = max(trial.tile[0] + drawing_mm[0], trial.zero[0] + LEAST_RULE_MM + 20.0) + EDGE_MM
    height = max(trial.tile[1] + drawing_mm[1], trial.regions[0][1] + words_mm) + EDGE_MM
    return frame_of(_tenth(width), _tenth(height), has_failures, grown=grown)


def _tenth(mm: float) -> float:
    """Round up to a tenth of a millimetre, so that the size of the paper is a short number."""
    return -(-mm * 10.0 // 1.0) / 10.0
