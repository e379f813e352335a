"""Whole printed pages: the frame that every page carries, and its part of the drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import pieces_of
from closures.drawing.ink.figures import lettered_along
from closures.drawing.ink.lettering import fitted_size, shortened, width_of
from closures.drawing.ink.shapes import (
    CUT,
    FINE,
    INK,
    LINE,
    Box,
    Circle,
    Item,
    Pen,
    Point,
    Words,
    line,
    rectangle,
    strokes,
)
from closures.drawing.paper.column import (
    Block,
    corner_block,
    flow,
    key_blocks,
    map_block,
    samples_block,
    squares,
    stacked_mm,
    words_block,
)
from closures.drawing.paper.cuts import Stake
from closures.drawing.paper.frame import EDGE_MM, Frame, frame_around, frame_of
from closures.drawing.paper.gauges import SQUARE_MM, rule_across, rule_down
from closures.drawing.paper.pages import RING_REACH_MM, Join, Tile, cut_grid, tiles_of
from closures.drawing.paper.spare_paper import words_beside
from closures.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import Paper
    from closures.drawing.sheets.lap_drawing import Course
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.printer import Correction

_LEAST_TILE_MM = 60.0
_LEAST_FAILURE_MM = 2.7
_MOST_NAMED = 8
LONGEST_PAGE_MM = 5000.0
"""PDF pages go to 14,400 units of 1/72 in, 5080 mm (ISO 32000-1, annex C)."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A page as it is printed.

    Attributes:
        name: its letter and number.
        width_mm, height_mm: the paper.
        rules: the rules, the same on every page of a size.
        furniture: everything else round the drawing, in mm from the paper's top left corner.
        window: the part of the sheet that it shows.
        shift: paper = sheet + shift.
        tile: how it joins its neighbours, None for a whole sheet.
        stretch: what the page is multiplied by, across and down, to make up for a printer; width and
            height are those before it.
    """

    name: str
    width_mm: float
    height_mm: float
    rules: tuple[Item, ...]
    furniture: tuple[Item, ...]
    window: Box
    shift: Point
    tile: Tile | None
    stretch: Point = (1.0, 1.0)


def tile_origin(has_failures: bool) -> Point:
    """Where the drawing begins on a page."""
    tile = frame_of(1000.0, 1000.0, has_failures).tile
    return (tile[0], tile[1])


def whole_frame(sheet: Sheet) -> Frame:
    """Find the page that holds a whole sheet."""
    words = stacked_mm([*_corner_blocks(sheet, sheet.box), *_blocks(sheet, math.inf)])
    size = (sheet.box[2] - sheet.box[0] + 1.0, sheet.box[3] - sheet.box[1] + 1.0)
    return frame_around(size, words, bool(sheet.telling.failures))


def whole_page(sheet: Sheet) -> Printed:
    """Put a sheet on one page that holds it whole."""
    frame = whole_frame(sheet)
    items = squares(frame, _course_near(sheet, sheet.box), sheet.lap == "over", sheet.telling.ways)
    set_blocks, _ = flow([*_corner_blocks(sheet, sheet.box), *_blocks(sheet, math.inf)], frame.regions)
    furniture = (*_corner(sheet, frame, "1:1"), *_head(sheet, frame, "whole sheet, 1:1"), *items, *set_blocks)
    window = (0.0, 0.0, frame.width_mm, frame.height_mm)
    return Printed("", frame.width_mm, frame.height_mm, _rules(frame), furniture, window, (0.0, 0.0), None)


def printed_pages(
    sheet: Sheet, paper: Paper, before: Sequence[Printed] = (), correction: Correction | None = None
) -> tuple[Printed, ...]:
    """Cut a sheet into pages of a paper, held and divided the way that needs the fewest.

    Args:
        sheet: a lap.
        paper: what it is printed on.
        before: the pages that go before in the same file, so that no two pages bear one name.
        correction: how pages are stretched for one printer; they are laid out smaller by as much.

    Raises:
        OutputError: the paper is too small to hold the squares and a part of the drawing.
    """
    pieces = pieces_of(sheet.drawing)
    stakes = [(Stake(m.n, m.x, m.rim_mm), Stake(m.n, m.y, m.rim_mm)) for m in sheet.keep_clear]
    words = sheet.words
    tries = []
    for frame, stretch in _frames(sheet, paper, correction):
        room = (frame.tile[2] - frame.tile[0], frame.tile[3] - frame.tile[1])
        if min(room) >= _LEAST_TILE_MM:
            tries.append((frame, cut_grid(sheet.box, room, stakes, words, pieces), stretch))
    if not tries:
        raise OutputError(f"{paper.name} is too small for a page", mend="Choose a larger paper.")
    frame, grid, stretch = min(tries, key=lambda one: (bool(one[1].near), len(one[1].cells)))
    tiles = tiles_of(grid, stakes, pieces, [page.tile for page in before if page.tile])
    rules = _rules(frame)
    pages: list[Printed] = []
    waiting: tuple[Block, ...] = _blocks(sheet, _tallest_mm(frame), several=len(tiles) > 1)
    for n, tile in enumerate(tiles, 1):
        shift = (frame.tile[0] - tile.window[0], frame.tile[1] - tile.window[1])
        own = [map_block(sheet, tiles, tile, _map_mm(frame))] if n == 1 and len(tiles) > 1 else []
        if tile.near:
            own.insert(0, _near_block(tile, sheet))
        if correction is not None:
            own.insert(0, _correction_block(correction))
        scale = "1:1" if correction is None else correction.short
        items = squares(frame, _course_near(sheet, tile.window), sheet.lap == "over", sheet.telling.ways)
        set_blocks, waiting = flow([*_corner_blocks(sheet, tile.window), *own, *waiting], frame.regions)
        furniture = (
            *_corner(sheet, frame, tile.name),
            *_head(sheet, frame, f"page {tile.name}, {n} of {len(tiles)}, {scale}"),
            *items,
            *set_blocks,
            *(item for join in tile.joins for item in _draw_join(join, tile, frame, shift)),
        )
        pages.append(
            Printed(tile.name, frame.width_mm, frame.height_mm, rules, furniture, tile.window, shift, tile, stretch)
        )
    if not waiting:
        return tuple(pages)
    shown = [(tile, page.shift) for tile, page in zip(tiles, pages, strict=True)]
    beside, _ = words_beside(shown, waiting, frame.tile, pieces)
    return tuple(replace(page, furniture=(*page.furniture, *items)) for page, items in zip(pages, beside, strict=True))


def _frames(sheet: Sheet, paper: Paper, correction: Correction | None) -> tuple[tuple[Frame, Point], ...]:
    """List the ways a page may be held and divided, the most usual first, with what each is stretched by.

    A printer feeds paper by its short side, or a roll by its width, however a page is held.
    """
    failing = bool(sheet.telling.failures)
    upright = (1.0, 1.0) if correction is None else (correction.across, correction.down)
    lying = (upright[1], upright[0])
    if paper.height_mm is None:
        need, longest = whole_frame(sheet), LONGEST_PAGE_MM / max(upright)
        deep, wide = (min(size, longest) for size in (need.height_mm, need.width_mm))
        return (
            (frame_of(paper.width_mm / upright[0], deep, failing), upright),
            (frame_of(wide, paper.width_mm / lying[1], failing), lying),
        )
    short, long = sorted((paper.width_mm, paper.height_mm))
    ways = (short, long, False), (long, short, False), (short, long, True), (long, short, True)
    frames = []
    for width, height, shelf in ways:
        kx, ky = upright if width < height else lying
        frames.append((frame_of(width / kx, height / ky, failing, shelf), (kx, ky)))
    return tuple(frames)


def _map_mm(frame: Frame) -> float:
    """How tall the map of the pages may be, to leave room for words under it."""
    return min(42.0, _tallest_mm(frame) / 2)


def _tallest_mm(frame: Frame) -> float:
    return max((bottom - top for _, top, _, bottom in frame.regions), default=0.0)


def _rules(frame: Frame) -> tuple[Item, ...]:
    return (rule_across(frame.zero, frame.across_mm), rule_down(frame.zero, frame.down_mm))


def _course_near(sheet: Sheet, window: Box) -> Course | None:
    if not sheet.course:
        return None
    x, y = (window[0] + window[2]) / 2, (window[1] + window[3]) / 2
    return min(sheet.course, key=lambda course: math.dist(course.at, (x, y)))


def _blocks(sheet: Sheet, tallest_mm: float, several: bool = False) -> tuple[Block, ...]:
    telling = sheet.telling
    blocks: list[Block] = []
    if several:
        blocks.append(
            words_block(
                "Taping",
                (
                    "Check the squares of every page first. Cut a page on its dashed line, lay it on "
                    "the page before so that rings of one letter fall on each other, and tape.",
                ),
            )
        )
    if telling.check:
        blocks.append(words_block("Check the taped set" if several else "Check", telling.check))
    if telling.samples:
        blocks.insert(0, samples_block("Sizes", telling.samples))
    blocks += [words_block(heading, lines) for heading, lines in telling.blocks]
    if telling.signs:
        blocks += key_blocks(telling.signs, tallest_mm, telling.sign_words)
    return tuple(blocks)


def _corner_blocks(sheet: Sheet, window: Box) -> tuple[Block, ...]:
    course = _course_near(sheet, window)
    return () if course is None else (corner_block(course, sheet.telling.ways),)


def _correction_block(correction: Correction) -> Block:
    lines = (
        f"This page is stretched on purpose for a printer that prints {correction.measured}. On paper from that "
        "printer, at actual size, the squares measure true; from any other they do not.",
    )
    return words_block("For one printer only", lines)


def _near_block(tile: Tile, sheet: Sheet) -> Block:
    names = {mark.n: mark.name or str(mark.n) for mark in sheet.keep_clear}
    named = ", ".join(names[n] for n in tile.near)
    many = len(tile.near) > 1
    subject = f"Marks {named} lie" if many else f"Mark {named} lies"
    if len(tile.near) > _MOST_NAMED:
        subject = f"{len(tile.near)} marks lie"
    text = f"{subject} within 8 mm of a join. Tape before you mark."
    return words_block("Near a join", (text,))


def _corner(sheet: Sheet, frame: Frame, name: str) -> tuple[Item, ...]:
    x0, y0, x1, y1 = frame.corner
    is_solid = sheet.lap == "over"
    box = rectangle((x0, y0, x1 - 0.6, y1 - 0.6), INK if is_solid else Pen(0.6, fill=1.0))
    size = fitted_size(name, 5.6, x1 - x0 - 1.8, "bold")
    x, y = (x0 + x1 - 0.6) / 2, (y0 + y1 - 0.6) / 2 + 0.33 * size
    return (box, Words(x, y, name, size, "middle", 0.0, "bold", 1.0 if is_solid else 0.0))


def _head(sheet: Sheet, frame: Frame, place: str) -> tuple[Item, ...]:
    telling, (x0, y0, x1, y1) = sheet.telling, frame.head
    right = min(x1, x0 + 260.0)
    closure_size = fitted_size(telling.closure, 3.3, 0.46 * (right - x0))
    closure_width = width_of(telling.closure, closure_size)
    room = right - x0 - closure_width - 5.0
    size = max(3.6, fitted_size(telling.title, 5.4, room, "bold"))
    lap_room = right - x0 - width_of(place, 3.3) - 5.0
    lap_size = fitted_size(telling.lap_words, 4.4, lap_room, "bold")
    items: list[Item] = [
        Words(x0, y0 + 5.4, shortened(telling.title, size, room, "bold"), size, "start", 0.0, "bold"),
        Words(right, y0 + 5.4, telling.closure, closure_size, "end"),
        Words(x0, y0 + 11.6, telling.lap_words, lap_size, "start", 0.0, "bold"),
        Words(right, y0 + 11.6, place, 3.3, "end"),
        line((x0, y1 - 0.9), (x1, y1 - 0.9), pen=FINE),
    ]
    if frame.failure is not None:
        items += _failure(telling.failures, frame.failure)
    return tuple(items)


def _failure_words(failures: str, room_mm: float) -> str:
    """Name as many failed checks as there is room for, and count the rest: none is dropped without a word."""
    named = failures.split("; ")
    for count in range(len(named), 0, -1):
        more = f" and {len(named) - count} more" if count < len(named) else ""
        text = f"CHECK FAILED: {'; '.join(named[:count])}{more}. See the report."
        if width_of(text, _LEAST_FAILURE_MM, "bold") <= room_mm:
            break
    return text


def _failure(failures: str, box: Box) -> tuple[Item, ...]:
    room = box[2] - box[0] - 4.0
    text = _failure_words(failures, room)
    size = max(_LEAST_FAILURE_MM, fitted_size(text, 3.8, room, "bold"))
    text = shortened(text, size, room, "bold")
    frame = rectangle((box[0] + 0.4, box[1] + 0.6, box[2] - 0.4, box[3] - 0.8), Pen(0.8))
    return (frame, Words(box[0] + 2.4, (box[1] + box[3]) / 2 + 0.3 * size, text, size, "start", 0.0, "bold"))


def _draw_join(join: Join, tile: Tile, frame: Frame, shift: Point) -> tuple[Item, ...]:
    """Draw a join's line, its rings and what to do there, in the paper's frame."""
    x0, y0, x1, y1 = (value + shift[k % 2] for k, value in enumerate(tile.window))
    at = join.at_mm + (shift[0] if join.side in ("left", "right") else shift[1])
    is_level = join.side in ("top", "bottom")
    rings = [(x + shift[0], y + shift[1]) for x, y in join.rings]
    reach = max(point[0 if is_level else 1] for point in rings) + RING_REACH_MM
    low, high = (x0, max(x1, reach)) if is_level else (y0, max(y1, reach))
    items: list[Item] = [item for centre in rings for item in _ring(centre, join)]
    if join.side in ("bottom", "right"):
        items.append(line(*(((low, at), (high, at)) if is_level else ((at, low), (at, high))), pen=FINE))
        if join.note is not None:
            along = (1.0, 0.0) if is_level else (0.0, 1.0)
            note = (join.note[0] + shift[0], join.note[1] + shift[1])
            items.append(lettered_along(f"lay {join.other} here", note, along, 2.5, "regular"))
        return tuple(items)
    if join.side == "top":
        # The page is cut from side to side, but nothing is drawn through the square that is measured.
        x, y = frame.square_50_at
        gap = (x - 1.0, x + SQUARE_MM + 1.0) if y < at < y + SQUARE_MM else (EDGE_MM + 1.0, EDGE_MM + 1.0)
        items.append(line((EDGE_MM, at), (gap[0], at), pen=CUT))
        items.append(line((gap[1], at), (frame.width_mm - EDGE_MM, at), pen=CUT))
    else:
        items.append(line((at, low), (at, high), pen=CUT))
    taken = [point[0 if is_level else 1] for point in rings]
    places = [low + (high - low) * share for share in (0.5, 0.25, 0.75)]
    middle = max(places, key=lambda place: min((abs(place - one) for one in taken), default=0.0))
    words = f"cut here and lay on {join.other}"
    if is_level:
        items.append(Words(middle, at - 1.2, words, 2.5, "middle"))
    else:
        items.append(Words(at - 1.2, middle, words, 2.5, "middle", -90.0))
    return tuple(items)


def _ring(centre: Point, join: Join) -> tuple[Item, ...]:
    x, y = centre
    cross = strokes((((x - 3.6, y), (x + 3.6, y)), ((x, y - 3.6), (x, y + 3.6))), FINE)
    # The earlier page keeps its letter on its own side of the line, the later one likewise.
    dx, dy = {"bottom": (2.9, -1.6), "top": (2.9, 3.0), "right": (-3.2, -2.0), "left": (3.2, -2.0)}[join.side]
    return (cross, Circle(x, y, 2.0, LINE), Words(x + dx, y + dy, join.letter, 3.0, "middle", 0.0, "bold"))
