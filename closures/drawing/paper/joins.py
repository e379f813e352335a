"""What is drawn where parts of a strip meet, where one is broken off, and at its ends.

The rings of a join stand at the same two places of the garment on both parts, so that laying ring on ring lays the
parts as they lie on the garment.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of
from closures.drawing.ink.figures import lettered_along
from closures.drawing.ink.lettering import ink_of, width_of
from closures.drawing.ink.shapes import CUT, FINE, LINE, Circle, Group, Item, Pen, Point, Weight, Words, line, strokes
from closures.drawing.paper.breaks import BEYOND_MM
from closures.drawing.paper.join_places import CLEAR_MM, OVERLAP_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.room import Room
    from closures.drawing.paper.join_places import Thing
    from closures.drawing.paper.parts import Part
    from closures.drawing.sheets.view import Spot

RING_MM = 1.8
RING_ARM_MM = 3.0
RING_OFF_MM = 3.8
"""From the band's border to the middle of a ring."""

LEAST_BETWEEN_RINGS_MM = 30.0
"""Nearer to each other they would leave the angle to chance."""

JOIN_MARGIN_MM = 6.0
"""What a part has before the line on which it is trimmed."""

_LINES_ON_MM = 5.5
_WORDS_AT_MM = 9.6
_ZIGZAG_MM, _SECOND_MM = 3.0, 1.6
# The second stroke leans out by its own shift as well: words stay off both.
_OFF_BREAK_MM = _ZIGZAG_MM + _SECOND_MM + 1.4
_BREAK_LEAD = 1.25
_OFF_CROSS_MM, _OFF_RING_MM = 0.4, 0.25
"""From the box of a letter to the arms and to the ring that it stands by; a corner of the box holds little ink."""

_STEP_OUT_MM = 0.1


def lines_end_mm() -> float:
    """How far the band's lines go on under the next part; beyond them stand the words that it covers."""
    return _LINES_ON_MM


def ring_depths(spot: Spot) -> tuple[float, float]:
    """How deep both rings of a join stand, from the closing line inwards: beyond the edge, and beyond the band."""
    edge = -(spot.to_edge_mm + RING_OFF_MM)
    return (edge, max(spot.to_inner_mm + RING_OFF_MM, edge + LEAST_BETWEEN_RINGS_MM))


def draw_join_after(spot: Spot, letter: str, words: Sequence[str], size_mm: float, room: Room) -> Group:
    """Draw the end of a part on which another is laid: the line, the rings, and what is laid there."""
    depths = ring_depths(spot)
    items: list[Item] = [line(spot.moved(0.0, depths[0] - 2.2), spot.moved(0.0, depths[1] + 2.2), pen=FINE)]
    for depth, out in zip(depths, (-1.0, 1.0), strict=True):
        items += _ring(spot, depth, letter, (-1.0, out), size_mm, room)
    text = _fitting(words, size_mm, depths[1] - depths[0] + 2 * RING_ARM_MM)
    items.append(_across(spot, _WORDS_AT_MM, sum(depths) / 2, text, size_mm))
    _take(spot, -RING_ARM_MM - 2.6, OVERLAP_MM, depths, room)
    return Group(f"join-{letter}", f"join {letter}: {text}", tuple(items))


def draw_join_before(spot: Spot, letter: str, words: Sequence[str], size_mm: float, room: Room) -> Group:
    """Draw the beginning of a part that is laid on another: the line to trim on, the rings, and where it is laid."""
    depths = ring_depths(spot)
    items: list[Item] = [line(spot.moved(0.0, depths[0] - 3.2), spot.moved(0.0, depths[1] + 3.2), pen=CUT)]
    for depth, out in zip(depths, (-1.0, 1.0), strict=True):
        items += _ring(spot, depth, letter, (1.0, out), size_mm, room)
    text = _fitting(words, size_mm, depths[1] - depths[0] - 2 * RING_ARM_MM)
    items.append(_across(spot, -3.2, sum(depths) / 2, text, size_mm))
    _take(spot, -JOIN_MARGIN_MM, RING_ARM_MM + 2.6, depths, room)
    return Group(f"join-{letter}", f"join {letter}: {text}", tuple(items))


def words_on_top(strips: Sequence[str], number: int, letter: str, count: int) -> tuple[str, ...]:
    """Say which part is laid here, the fullest wording first.

    Args:
        strips: what the strip is called, from its full name to shorter ones.
        number: which part is laid here.
        letter: the letter of the rings.
        count: how many parts the strip has.
    """
    shorter = (f"{strip} {number} on top" for strip in strips)
    full = f"{strips[0]} {number} of {count} goes on top here"
    return (
        f"{full}: ring {letter} on ring {letter}",
        full,
        f"{strips[0]} {number} on top here",
        *shorter,
        f"{number} on top",
    )


def words_laid_on(strips: Sequence[str], number: int, letter: str, is_lap: bool) -> tuple[str, ...]:
    """Say on which part this one is laid, the fullest wording first; the last fits between rings that stand nearest.

    Args:
        strips: what the strip is called, from its full name to shorter ones.
        number: which part this one is laid on.
        letter: the letter of the rings.
        is_lap: whether the strip is a lap or an end of a strap, whose shortest name always fits.
    """
    full = f"cut on this line, lay on {strips[0]} {number}"
    shorter = (f"cut, {way} {strip} {number}" for strip in strips for way in ("lay on", "on"))
    # A number alone tells nobody on which lap's part; that the dashed line is cut on, the cover tells as well.
    alone = (f"on {strips[-1]} {number}",) if is_lap else (f"cut, lay on {number}", f"cut, on {number}")
    return (f"{full}: ring {letter} on ring {letter}", full, *shorter, *alone)


def _fitting(words: Sequence[str], size_mm: float, span_mm: float) -> str:
    """Choose the fullest wording that is no wider; the last where none is."""
    return next((row for row in words if width_of(row, size_mm) <= span_mm), words[-1])


def _take(spot: Spot, low: float, high: float, depths: tuple[float, float], room: Room) -> None:
    """Keep words out of the whole overlap, and on the part's own side out of the rings."""
    own = (low, 0.0) if high > -low else (0.0, high)
    overlap = (0.0, high) if high > -low else (low, 0.0)
    half = RING_ARM_MM + 0.4
    for start, end, span in ((*overlap, (depths[0] - 3.0, depths[1] + 3.0)),):
        middle = (start + end) / 2
        room.take_strip(spot.moved(middle, span[0]), spot.moved(middle, span[1]), (end - start) / 2)
    kept = -1.0 if high > -low else 1.0
    middle = (depths[0] + depths[1]) / 2
    room.cut(spot.moved(0.0, middle), (kept * spot.along[0], kept * spot.along[1]), (depths[1] - depths[0]) / 2)
    for depth in depths:
        # A strip goes on past both its ends by half its width: the number of a mark beside the ring finds its way out.
        start = own[0] + half if own[0] < 0 else own[0]
        end = own[1] - half if own[1] > 0 else own[1]
        room.take_strip(spot.moved(start, depth), spot.moved(end, depth), half)


def _ring(spot: Spot, depth: float, letter: str, side: Point, size_mm: float, room: Room) -> tuple[Item, ...]:
    """Draw a ring with its letter, off the strip between two arms and on the part's own side, where it stays in sight.

    There it takes little room along the strip: between marks that stand close there is no more.
    """
    x, y = spot.moved(0.0, depth)
    arms = ((RING_ARM_MM, 0.0), (0.0, RING_ARM_MM))
    cross = strokes(((spot.moved(-u, depth - v), spot.moved(u, depth + v)) for u, v in arms), FINE)
    off = _off_ring(letter, size_mm, spot, side)
    lx, ly = spot.moved(off[0], depth + off[1])
    low, high = ink_of(letter, "bold")
    name = Words(lx, ly + (low + high) / 2 * size_mm, letter, size_mm, "middle", 0.0, "bold")
    # A tail as that of a g, and every larger letter, hangs out of the room that the ring takes.
    room.take(box_of(name))
    return (cross, Circle(x, y, RING_MM, LINE, "ring"), name)


def _off_ring(letter: str, size_mm: float, spot: Spot, side: Point) -> Point:
    """How far from a ring's middle that of its letter's ink stands, along the strip and across, clear of arms and ring.

    The letter stands level however the strip leans: its corners then reach towards the cross, and it goes further out.
    """
    low, high = ink_of(letter, "bold")
    half_w, half_h = width_of(letter, size_mm, "bold") / 2, (high - low) * size_mm / 2
    (ax, ay), (bx, by) = spot.along, spot.inward
    along = max(1.5 + 0.3 * size_mm, half_w * abs(ax) + half_h * abs(ay) + _OFF_CROSS_MM)
    across = max(1.3 + 0.36 * size_mm, half_w * abs(bx) + half_h * abs(by) + _OFF_CROSS_MM)
    while True:
        x, y = (along * side[0] * a + across * side[1] * b for a, b in ((ax, bx), (ay, by)))
        if math.hypot(max(abs(x) - half_w, 0.0), max(abs(y) - half_h, 0.0)) >= RING_MM + _OFF_RING_MM:
            return side[0] * along, side[1] * across
        across += _STEP_OUT_MM


def _across(spot: Spot, along_mm: float, depth: float, text: str, size_mm: float, weight: Weight = "regular") -> Words:
    """Letter words across the strip."""
    return lettered_along(text, spot.moved(along_mm, depth), spot.inward, size_mm, weight)


def spare_at_breaks(size_mm: float, border_mm: float) -> tuple[float, float]:
    """By how much a part takes less than is reckoned for all of them, where it begins and where it ends with a break.

    Args:
        size_mm: of the words at a break, which stand in two rows.
        border_mm: what is reckoned beyond them; before a part the margin of a join is.
    """
    spare = BEYOND_MM["break"] - _break_reach_mm(size_mm, 2)
    return (spare + JOIN_MARGIN_MM - border_mm, spare)


def _break_reach_mm(size_mm: float, rows: int) -> float:
    """How far rows of words reach beyond a break."""
    return _OFF_BREAK_MM + 0.4 + _BREAK_LEAD * size_mm * rows


def draw_break(
    spot: Spot, is_after: bool, rows: Sequence[tuple[str, Weight]], size_mm: float, room: Room
) -> tuple[Group, float]:
    """Draw the zigzag where a strip is broken off, with what is left out lettered beyond it.

    Returns:
        The shapes, and how far they reach beyond the break.
    """
    z, way = _ZIGZAG_MM, 1.0 if is_after else -1.0
    low, high = -spot.to_edge_mm - 3.0, spot.to_inner_mm + 3.0
    middle = (low + high) / 2
    places = ((0.0, low), (0.0, middle - z), (z, middle - z / 2), (-z, middle + z / 2), (0.0, middle + z), (0.0, high))
    zigzag = [
        line(*(spot.moved(a + way * shift, b) for a, b in places), pen=pen)
        for shift, pen in ((0.0, LINE), (_SECOND_MM, FINE))
    ]
    for stroke in zigzag:
        room.take_path(stroke.commands)
    off, step, reach = _OFF_BREAK_MM, _BREAK_LEAD * size_mm, _break_reach_mm(size_mm, len(rows))
    items: list[Item] = [*zigzag]
    ordered = rows if is_after == _reads_outwards(spot) else list(reversed(rows))
    told = [
        _across(spot, way * (off + step * (k + 0.5)), middle, text, size_mm, weight)
        for k, (text, weight) in enumerate(ordered)
    ]
    items.append(Group("", "", tuple(told)))
    half = max([(high - low) / 2, *(width_of(text, size_mm, weight) / 2 for text, weight in rows)])
    at = way * reach / 2
    room.take_strip(spot.moved(at, middle - half), spot.moved(at, middle + half), reach / 2 + 1.0)
    group = Group(f"break-{'after' if is_after else 'before'}", " ".join(text for text, _ in rows), tuple(items))
    return group, reach


def _reads_outwards(spot: Spot) -> bool:
    """Whether rows lettered across the strip follow each other along it, rather than against it."""
    # Lettering across runs the readable way up: its rows follow to the right of upright reading.
    words = lettered_along("x", (0.0, 0.0), spot.inward, 1.0, "regular")
    down = math.radians(words.angle_deg + 90.0)
    return math.cos(down) * spot.along[0] + math.sin(down) * spot.along[1] > 0


def draw_end(
    corners: Sequence[Point],
    spot: Spot,
    is_last: bool,
    name: str,
    size_mm: float,
    room: Room,
    ink: Sequence[Point] = (),
) -> Words:
    """Name an end of the strip beyond its corners, lettered across; without corners beyond the closing line.

    The ink of a mark, as a slit that runs past the cloth, may reach further out: the name stands beyond that as well.
    """
    way = 1.0 if is_last else -1.0
    points = (*corners, *ink)
    past = (way * ((x - spot.at[0]) * spot.along[0] + (y - spot.at[1]) * spot.along[1]) for x, y in points)
    reach = max(past, default=0.0)
    middle = (spot.to_inner_mm - spot.to_edge_mm) / 2 if corners else 0.0
    words = _across(spot, way * (max(0.0, reach) + 1.6 + 0.4 * size_mm), middle, name, size_mm, "semibold")
    half = width_of(name, size_mm, "semibold") / 2
    at = way * (max(0.0, reach) + 1.6 + 0.4 * size_mm)
    room.take_strip(spot.moved(at, middle - half), spot.moved(at, middle + half), 0.6 * size_mm)
    return words


def tight_joins(things: Sequence[Thing], part: Part) -> tuple[str, ...]:
    """The letters of those joins of a part that lie nearer to a thing than is kept where there is room."""
    joins = ((part.letter_before, part.low_mm), (part.letter_after, part.high_mm))
    return tuple(
        letter
        for letter, place in joins
        if letter and any(max(one.low_mm - place, place - one.high_mm) < CLEAR_MM - 1e-6 for one in things)
    )


BORDER = Pen(0.2, (1.6, 1.6), grey=0.35)
"""Round a piece, to cut it out of its page before taping."""
