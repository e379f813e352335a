"""Cutting a drawing into pages: arithmetic on rectangles."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

from closures.drawing.ink.extents import is_apart
from closures.drawing.ink.shapes import Box, Point
from closures.drawing.paper.cuts import Stake, cut_axis, windows

RING_REACH_MM = 4.5
_NOTE_MM = (17.0, 4.0)

Side = Literal["top", "bottom", "left", "right"]


@dataclass(frozen=True, slots=True)
class Join:
    """One side of a page that meets another page.

    Attributes:
        letter: the same on both pages, and on no other join.
        side: of this page.
        at_mm: the join's line, x or y on the sheet.
        other: the name of the page it meets.
        rings: where the registration rings stand, on the sheet.
        note: the middle of a place just beyond the line where a few words meet nothing drawn,
            None where there is none.
    """

    letter: str
    side: Side
    at_mm: float
    other: str
    rings: tuple[Point, ...]
    note: Point | None


@dataclass(frozen=True, slots=True)
class Tile:
    """A part of the drawing that goes on one page.

    Attributes:
        name: column letter and row number, A1 at the top left of the first drawing of a file.
        column, row: from 0.
        window: the part, on the sheet, overlap and all.
        joins: the sides that meet other pages.
        near: marks that lie too near to a join of this page.
    """

    name: str
    column: int
    row: int
    window: Box
    joins: tuple[Join, ...]
    near: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Where a drawing is cut, both ways.

    Attributes:
        cells: by column and row, the parts that hold something drawn.
        across, down: the joins' lines.
        near: the marks too near to a join.
        room: width and height that one page holds.
    """

    cells: dict[tuple[int, int], Box]
    across: tuple[float, ...]
    down: tuple[float, ...]
    near: frozenset[int]
    room: tuple[float, float]


def cut_grid(
    box: Box,
    room: tuple[float, float],
    stakes: Sequence[tuple[Stake, Stake]],
    words: Sequence[Box],
    pieces: Sequence[Box],
) -> Grid:
    """Cut a drawing both ways.

    Args:
        box: the room that the drawing takes on its sheet.
        room: width and height that one page holds.
        stakes: the marks, across and down.
        words: the boxes of its lettering.
        pieces: the boxes of all its strokes; a part that holds none needs no page.
    """
    across = cut_axis(box[0], box[2], room[0], [x for x, _ in stakes], [(w[0], w[2]) for w in words])
    down = cut_axis(box[1], box[3], room[1], [y for _, y in stakes], [(w[1], w[3]) for w in words])
    cells = {
        (i, j): (x0, y0, x1, y1)
        for i, (x0, x1) in enumerate(windows(box[0], box[2], across.lines))
        for j, (y0, y1) in enumerate(windows(box[1], box[3], down.lines))
    }
    used = {place: window for place, window in cells.items() if any(not is_apart(window, piece) for piece in pieces)}
    chosen = used if _hangs_together(used) else cells
    return Grid(chosen, across.lines, down.lines, frozenset((*across.near, *down.near)), room)


def _hangs_together(cells: Collection[tuple[int, int]]) -> bool:
    """Tell whether every page can be reached from every other across joins."""
    left = set(cells)
    waiting = [left.pop()] if left else []
    while waiting:
        i, j = waiting.pop()
        beside = {(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)} & left
        left -= beside
        waiting += beside
    return not left


def tiles_of(
    grid: Grid, stakes: Sequence[tuple[Stake, Stake]], pieces: Sequence[Box], before: Sequence[Tile] = ()
) -> tuple[Tile, ...]:
    """Name the parts of a grid and join them, row by row within each column.

    Args:
        grid: where the drawing is cut.
        stakes: its marks.
        pieces: the boxes of what is drawn.
        before: the tiles of other drawings in the same file; none of their names is given again.
    """
    columns = len({tile.name.rstrip("0123456789") for tile in before})
    letters = len({join.letter for tile in before for join in tile.joins})
    joined = _joins(grid, pieces, columns, letters)
    return tuple(
        Tile(_name(place, columns), *place, window, tuple(joined[place]), _near_on(window, stakes, grid.near))
        for place, window in grid.cells.items()
    )


def _near_on(window: Box, stakes: Sequence[tuple[Stake, Stake]], near: frozenset[int]) -> tuple[int, ...]:
    return tuple(
        x.n for x, y in stakes if x.n in near and window[0] <= x.at <= window[2] and window[1] <= y.at <= window[3]
    )


def _name(place: tuple[int, int], columns: int) -> str:
    column, row = place
    return f"{_letter(column + columns).upper()}{row + 1}"


def _letter(k: int) -> str:
    letter = chr(ord("a") + k % 26)
    return letter if k < 26 else f"{_letter(k // 26 - 1)}{letter}"


def _joins(grid: Grid, pieces: Sequence[Box], columns: int, letters: int) -> dict[tuple[int, int], list[Join]]:
    used, across, down, room = grid.cells, grid.across, grid.down, grid.room
    joined: dict[tuple[int, int], list[Join]] = {place: [] for place in used}
    count = letters
    for (i, j), window in used.items():
        for other, line, sides in (
            ((i + 1, j), across[i : i + 1], ("right", "left")),
            ((i, j + 1), down[j : j + 1], ("bottom", "top")),
        ):
            if other in used and line:
                # Rings may stand beside the drawing, anywhere on the tile that both pages share.
                k = 0 if sides[0] == "bottom" else 1
                span = (window[k], window[k] + room[k])
                rings = _rings(span, line[0], sides[0], pieces)
                note = _note(span, line[0], sides[0], rings, pieces)
                letter = _letter(count)
                count += 1
                joined[(i, j)].append(Join(letter, _side(sides[0]), line[0], _name(other, columns), rings, note))
                joined[other].append(Join(letter, _side(sides[1]), line[0], _name((i, j), columns), rings, None))
    return joined


def _side(name: str) -> Side:
    sides: dict[str, Side] = {"top": "top", "bottom": "bottom", "left": "left", "right": "right"}
    return sides[name]


def _rings(span: tuple[float, float], line: float, side: str, pieces: Sequence[Box]) -> tuple[Point, ...]:
    """Choose two places on a join, near its ends, where a ring and its letter meet nothing drawn."""
    is_level = side == "bottom"
    low, high = span[0] + RING_REACH_MM + 0.5, span[1] - RING_REACH_MM - 0.5

    def point(along: float) -> Point:
        return (along, line) if is_level else (line, along)

    def is_free(along: float) -> bool:
        (x, y), r = point(along), RING_REACH_MM + 1.2
        spot = (x - r, y - r, x + r, y + r)
        return all(is_apart(spot, piece) for piece in near)

    k = 1 if is_level else 0
    reach = RING_REACH_MM + 1.0
    near = [p for p in pieces if p[k] < line + reach and p[k + 2] > line - reach]
    steps = range(int(high - low) + 1)
    last = next((high - step for step in steps if is_free(high - step)), high)
    first = next((low + step for step in steps if low + step < last - 20.0 and is_free(low + step)), low)
    return (point(first), point(last))


def _note(
    span: tuple[float, float], line: float, side: str, rings: Sequence[Point], pieces: Sequence[Box]
) -> Point | None:
    """Find room in the overlap for a few words that run along the join, anywhere on the tile."""
    is_level = side == "bottom"
    low, high = span
    half, deep = _NOTE_MM[0] / 2, _NOTE_MM[1]
    reach = RING_REACH_MM
    k = 1 if is_level else 0
    beside = [piece for piece in pieces if piece[k] < line + deep and piece[k + 2] > line]
    taken = [*beside, *((x - reach, y - reach, x + reach, y + reach) for x, y in rings)]
    for step in range(int(high - low - 2 * half)):
        middle = low + half + step
        spot = (
            (middle - half, line + 0.3, middle + half, line + deep)
            if is_level
            else (line + 0.3, middle - half, line + deep, middle + half)
        )
        if all(is_apart(spot, piece) for piece in taken):
            return ((spot[0] + spot[2]) / 2, (spot[1] + spot[3]) / 2)
    return None
