"""What stands in the column beside the drawing: squares, the corner, and blocks of words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import corner_figure, lettered_along
from closures.drawing.ink.lettering import fitted_size, width_of, wrapped
from closures.drawing.ink.rigid import enlarged
from closures.drawing.ink.shapes import INK, LINE, Box, Item, Pen, Point, Words, arrow, line, moved
from closures.drawing.ink.type_scale import USUAL_TYPE
from closures.drawing.paper.frame import COLUMN_MM, Frame
from closures.drawing.paper.gauges import INCH_MM, square_2_in, square_50_mm
from closures.drawing.sheets.signs import sign_of
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet_text import Orientation

_TEXT_MM = USUAL_TYPE.figure
_LEADING_MM = 1.26 * _TEXT_MM
_HEADING_MM = USUAL_TYPE.text
_BLOCK_GAP_MM = 3.0
_SIGNS_IN_BLOCK = 5
_SAMPLE_MM = 12.5
_SIGN_ROOM_MM = 13.0
# Along either side of the corner, about the middle of its arrow.
_WAY_MM = 32.0
_NAME_MM = 12.2


@frozen
class Block:
    """A part of the column, drawn from its own top left corner."""

    height_mm: float
    items: tuple[Item, ...]


def squares(
    frame: Frame, orientation: Orientation | None, is_over: bool, ways: tuple[str, str], grown: float = 1.0
) -> tuple[Item, ...]:
    """Draw both squares, the corner in the second where the page shows a lap; letters may be larger than usual."""
    x, y = frame.square_2_in_at
    void = wrapped("void unless this square measures 2 in", 3.7 * grown, 2 * INCH_MM - 4.0, "semibold")
    inside: tuple[Item, ...] = tuple(
        Words(x + INCH_MM, y + 24.0 + 4.4 * grown * i, row, 3.7 * grown, "middle", 0.0, "semibold")
        for i, row in enumerate(void)
    )
    if orientation is not None:
        inside = _corner_and_arrows((x + INCH_MM, y + INCH_MM), orientation, is_over, ways, grown)
    return (square_50_mm(*frame.square_50_at, grown), square_2_in(x, y, inside, grown))


def corner_block(orientation: Orientation, ways: tuple[str, str]) -> Block:
    """Say what the corner in the 2 in square is for."""
    at = f"As at mark {orientation.mark}, the" if orientation.mark else "The"
    text = f"{at} corner points to the {ways[1]} and the {ways[0]}, on the cloth as on this page."
    rows = wrapped(text, _TEXT_MM, COLUMN_MM)
    return Block(_LEADING_MM * len(rows) - 1.0, _rows(rows, 0.0, 2.1))


def _corner_and_arrows(
    centre: Point, orientation: Orientation, is_solid: bool, ways: tuple[str, str], grown: float
) -> tuple[Item, ...]:
    (fx, fy), (ex, ey) = orientation.to_first_end, orientation.to_edge

    def at(f: float, e: float) -> Point:
        return (centre[0] + f * fx + e * ex, centre[1] + f * fy + e * ey)

    corner = corner_figure(at(-3.0, -3.0), (fx, fy), (ex, ey), 22.0, INK if is_solid else Pen(0.9, fill=1.0))
    # Along the side next to the first end an arrow runs to the edge, and the other way about.
    to_edge = arrow(at(10.6, -14.0), at(10.6, 16.0), LINE)
    to_first = arrow(at(-14.0, 10.6), at(16.0, 10.6), LINE)
    name = "over" if is_solid else "under"
    name_mm = fitted_size(name, 3.6 * grown, _NAME_MM, "bold")
    # Long words end before the other arrow.
    sizes = [fitted_size(text, 3.2 * grown, _WAY_MM, "semibold") for text in ways]
    back = [8.8 - width_of(text, size, "semibold") / 2 for text, size in zip(ways, sizes, strict=True)]
    x, y = at(1.6, 1.6)
    word = Words(x, y + 1.1 * name_mm / 3.6, name, name_mm, "middle", 0.0, "bold", 1.0 if is_solid else 0.0)
    return (
        corner,
        word,
        *to_edge,
        *to_first,
        lettered_along(ways[1], at(10.6 + 2.8 * grown, min(-2.5, back[1])), (ex, ey), sizes[1], "semibold"),
        lettered_along(ways[0], at(min(-4.5, back[0]), 10.6 + 2.8 * grown), (fx, fy), sizes[0], "semibold"),
    )


def _rows(rows: Iterable[str], x: float, base: float) -> tuple[Words, ...]:
    return tuple(Words(x, base + _LEADING_MM * i, row, _TEXT_MM) for i, row in enumerate(rows))


def words_block(heading: str, paragraphs: Sequence[str]) -> Block:
    """Set a heading with paragraphs under it."""
    items: list[Item] = [Words(0.0, 2.6, heading, _HEADING_MM, "start", 0.0, "bold")]
    base = 2.6 + 4.2
    for paragraph in paragraphs:
        rows = wrapped(paragraph, _TEXT_MM, COLUMN_MM)
        items += _rows(rows, 0.0, base)
        base += _LEADING_MM * len(rows) + 0.8
    return Block(base - _LEADING_MM, tuple(items))


def samples_block(heading: str, samples: Sequence[tuple[Pen, str]]) -> Block:
    """Show the line of every size beside its name, in two columns."""
    items: list[Item] = [Words(0.0, 2.6, heading, _HEADING_MM, "start", 0.0, "bold")]
    half = (len(samples) + 1) // 2
    for k, (pen, name) in enumerate(samples):
        x, base = (COLUMN_MM / 2 + 1.0) * (k // half), 7.4 + (_LEADING_MM + 0.5) * (k % half)
        items.append(line((x, base - 1.0), (x + _SAMPLE_MM, base - 1.0), pen=pen))
        room = COLUMN_MM / 2 - _SAMPLE_MM - 2.5
        size = fitted_size(name, _TEXT_MM, room, "semibold")
        items.append(Words(x + _SAMPLE_MM + 1.5, base, name, size, "start", 0.0, "semibold"))
    return Block(7.4 + (_LEADING_MM + 0.5) * (half - 1), tuple(items))


def key_blocks(kinds: Sequence[str], tallest_mm: float, own_words: Sequence[tuple[str, str]] = ()) -> tuple[Block, ...]:
    """Explain the signs that a sheet uses, in one block or in as many as the room's height asks for.

    Args:
        kinds: names of the signs.
        tallest_mm: the room's height.
        own_words: of some signs, what is said in place of the usual words.
    """
    words = dict(own_words)
    whole = _key_block(kinds, words)
    if whole.height_mm <= tallest_mm:
        return (whole,)
    groups = [kinds[k : k + _SIGNS_IN_BLOCK] for k in range(0, len(kinds), _SIGNS_IN_BLOCK)]
    return tuple(_key_block(group, words) for group in groups)


def _key_block(kinds: Sequence[str], own_words: Mapping[str, str]) -> Block:
    items: list[Item] = [Words(0.0, 2.6, "Key", _HEADING_MM, "start", 0.0, "bold")]
    base = 7.4
    for kind in kinds:
        sign, words = sign_of(kind)
        words = own_words.get(kind, words)
        items += [moved(item, 0.0, base - 1.0) for item in sign]
        rows = wrapped(words, _TEXT_MM, COLUMN_MM - _SIGN_ROOM_MM)
        items += _rows(rows, _SIGN_ROOM_MM, base)
        base += _LEADING_MM * len(rows) + 0.9
    return Block(base - _LEADING_MM, tuple(items))


def flow(blocks: Sequence[Block], regions: Sequence[Box]) -> tuple[tuple[Item, ...], tuple[Block, ...]]:
    """Set blocks one under the other, region after region, each in the first that has room for it.

    Returns:
        The items set, and the blocks that found no room, in order.
    """
    items: list[Item] = []
    waiting = list(blocks)
    for x, top, _, bottom in regions:
        y = top
        for block in tuple(waiting):
            if y + block.height_mm <= bottom:
                items += [moved(item, x, y) for item in block.items]
                y += block.height_mm + _BLOCK_GAP_MM
                waiting.remove(block)
    return tuple(items), tuple(waiting)


def larger(blocks: Sequence[Block], by: float) -> tuple[Block, ...]:
    """The blocks of a column that is wider by as much as its letters are larger; lines stay as they are dashed."""
    return tuple(Block(by * one.height_mm, tuple(enlarged(item, by) for item in one.items)) for one in blocks)


def stacked_mm(blocks: Sequence[Block]) -> float:
    """How much room blocks take one under the other."""
    return sum(_BLOCK_GAP_MM + block.height_mm for block in blocks)
