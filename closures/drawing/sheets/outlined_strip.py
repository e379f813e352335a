"""A pattern piece that runs along a lap, such as a band or its backing, as a long piece that may be cut."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED, along_x
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import Group, Item, Path
from closures.drawing.paper.join_places import OVERLAP_MM, Thing
from closures.drawing.paper.joins import (
    JOIN_MARGIN_MM,
    RING_ARM_MM,
    draw_break,
    draw_join_after,
    draw_join_before,
    lines_end_mm,
    spare_at_breaks,
    words_laid_on,
    words_on_top,
)
from closures.drawing.paper.parts import Part, Strip
from closures.drawing.paper.piece import LongPiece, Piece, piece_of
from closures.drawing.sheets.lanes import STRIDE_MM, letter_rows
from closures.drawing.sheets.lettered import Lettered, in_two_rows
from closures.drawing.sheets.spread import Spread
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.rigid import Rigid
    from closures.drawing.ink.shapes import Point, Weight
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot, View

_BORDER_MM = 1.0
_OUT_MM = 12.0
_BREAKS_FROM_MM = 80.0
"""A shorter stretch of a pattern piece is printed, so that no more is measured than saves paper. Our own rule."""


@frozen
class Outlined:
    """A pattern piece along a lap.

    Attributes:
        name: what it is.
        subject: the lap that it follows, on the face that lies up.
        shapes: its lines, on the unturned view of that face.
        depths: how far it reaches from a place of the closing line, towards the edge and inwards.
        beyond_mm: how far it reaches beyond both ends of the closing line.
        rows: what is lettered along a part.
        dots: what is drawn at places that no join may enter, as seen in a view.
        things: those places.
        opening: of a garment with several openings, the name of this one; else empty.
        without_squares: whether it bears no mark, so that rules alone may prove its pages.
        grain_deg: from the straight line between its ends to its grain, clockwise as the outside of the cloth is seen.
        may_break: whether its sides are straight, so that stretches that hold nothing may be left out.
        shorter: what is drawn in its place on paper that it does not fit in one part.
    """

    name: str
    subject: Subject
    shapes: tuple[Item, ...]
    depths: Callable[[Spot], tuple[float, float]]
    beyond_mm: float
    rows: Callable[[Part], tuple[Lettered, ...]]
    dots: Callable[[View, Part], tuple[Item, ...]]
    things: tuple[Thing, ...]
    opening: str = ""
    without_squares: bool = False
    grain_deg: float = 0.0
    may_break: bool = False
    shorter: Piece | None = None


def outlined_piece(outlined: Outlined) -> LongPiece:
    """Make a pattern piece ready to be cut into parts."""
    subject = outlined.subject
    view = subject.view(UNTURNED)

    @cache
    def spot(along_mm: float) -> Spot:
        return _deepened(view.spot_on_line(along_mm), outlined)

    def strip_for(fits_page: Callable[[Point], bool], more_mm: float) -> Strip:
        @cache
        def sides(along: float) -> tuple[Point, Point]:
            one = spot(along)
            return one.moved(0.0, -one.to_edge_mm), one.moved(0.0, one.to_inner_mm + more_mm)

        spread = Spread(spot, sides, subject.length_mm, RING_ARM_MM)

        @cache
        def size(low: float, high: float) -> Point:
            return _room_of(outlined, spread, low, high)

        @cache
        def fits(low: float, high: float) -> bool:
            return not spread.is_too_long(fits_page, low, high) and fits_page(size(low, high))

        spare = spare_at_breaks(subject.type.figure, _BORDER_MM)
        return Strip(
            subject.length_mm,
            outlined.things,
            size,
            fits,
            outlined.may_break,
            spare_mm=spare,
            breaks_from_mm=_BREAKS_FROM_MM,
        )

    def draw(part: Part) -> Piece:
        return _draw(outlined, spot, part)

    return LongPiece(outlined.name, strip_for, draw, outlined.without_squares, True, outlined.shorter)


def _deepened(spot: Spot, outlined: Outlined) -> Spot:
    edge, inner = outlined.depths(spot)
    return replace(spot, to_edge_mm=edge, to_inner_mm=inner, edge_at=spot.moved(0.0, -edge))


def _room_of(outlined: Outlined, spread: Spread, low: float, high: float) -> Point:
    length = outlined.subject.length_mm
    low, high = max(0.0, low), min(length, high)
    across, down = spread.size(low, high)
    ends = (outlined.beyond_mm + _BORDER_MM if low <= 0.0 else JOIN_MARGIN_MM) + (
        outlined.beyond_mm + _BORDER_MM if high >= length else _BORDER_MM
    )
    return (across + ends, down + 2.0)


def _draw(outlined: Outlined, spot: Callable[[float], Spot], part: Part) -> Piece:
    subject = outlined.subject
    far = min(part.high_mm + OVERLAP_MM, subject.length_mm)
    turn = along_x(spot(part.low_mm).at, spot(far).at)
    view = subject.view(turn)

    def turned(along_mm: float) -> Spot:
        return _deepened(view.spot_on_line(along_mm), outlined)

    room = Room()
    shapes = tuple(turn.item(shape) for shape in outlined.shapes)
    _take_paths(shapes, room)
    ends = _draw_joins(outlined, turned, part, room)
    dots = outlined.dots(view, part)
    for dot in dots:
        room.take(_box_of(dot))
    way = turn.direction(_grain_of(outlined, spot))
    rows = [replace(row, way=way) if row.sign == "grain" else row for row in outlined.rows(part)]
    words, is_named = _lettered(rows, turned, part, room, subject.type.figure)
    of = f" {part.number} of {part.count}" if part.count > 1 else ""
    body = Group(_slug(outlined.name), outlined.name, shapes, clip=_clip(outlined, spot, part, turn))
    return piece_of(
        f"{outlined.name}{of}",
        (body, *ends, *dots, *words),
        f"{outlined.name.capitalize()}{of}.",
        lap=subject.name,
        strip=outlined.name,
        number=part.number,
        count=part.count,
        letters=tuple(letter for letter in (part.letter_before, part.letter_after) if letter),
        breaks="break" in (part.before, part.after),
        cut_off=() if is_named else ("its name",),
    )


def _lettered(
    rows: Sequence[Lettered], spot: Callable[[float], Spot], part: Part, room: Room, small_mm: float
) -> tuple[tuple[Item, ...], bool]:
    """Letter a part's rows, its name, the first, inside the outline on which it is cut: smaller where it must be.

    Returns:
        The words, and whether its name stands inside.
    """
    name, *rest = rows
    smaller = replace(name, size_mm=small_mm, sign="small corner")
    for one, inside_only in ((name, True), (smaller, True), (in_two_rows(smaller), True), (name, False)):
        found = letter_rows((one,), spot, part.low_mm, part.high_mm, room, inside_only)
        if found:
            break
    return (*found, *letter_rows(rest, spot, part.low_mm, part.high_mm, room)), inside_only


def _grain_of(outlined: Outlined, spot: Callable[[float], Spot]) -> Point:
    """The way of a piece's threads on the unturned view: one for all its parts, however it bends between its ends."""
    (x0, y0), (x1, y1) = spot(0.0).at, spot(outlined.subject.length_mm).at
    off = math.radians(-outlined.grain_deg if outlined.subject.is_flipped else outlined.grain_deg)
    angle = math.atan2(y1 - y0, x1 - x0) + off
    return (math.cos(angle), math.sin(angle))


def _box_of(item: Item) -> tuple[float, float, float, float]:
    from closures.drawing.ink.extents import box_of

    return box_of(item)


def _take_paths(items: tuple[Item, ...], room: Room) -> None:
    for item in items:
        if isinstance(item, Path):
            room.take_path(item.commands)
        elif isinstance(item, Group):
            _take_paths(item.items, room)


def _draw_joins(outlined: Outlined, spot: Callable[[float], Spot], part: Part, room: Room) -> list[Item]:
    size = outlined.subject.type.figure
    items: list[Item] = []
    strips = (f"{outlined.opening}, {outlined.name}", outlined.name) if outlined.opening else (outlined.name,)
    if letter := part.letter_before:
        words = words_laid_on(strips, part.number - 1, letter, is_lap=False)
        items.append(draw_join_before(spot(part.low_mm), letter, words, size, room))
    if letter := part.letter_after:
        words = words_on_top(strips, part.number + 1, letter, part.count)
        items.append(draw_join_after(spot(part.high_mm), letter, words, size, room))
    for is_after, edge, place in ((False, part.before, part.low_mm), (True, part.after, part.high_mm)):
        if edge == "break":
            items.append(draw_break(spot(place), is_after, _break_rows(outlined, part, is_after), size, room)[0])
    return items


def _break_rows(outlined: Outlined, part: Part, is_after: bool) -> list[tuple[str, Weight]]:
    """What is said at a break: how much is left out, and to which part its lines run on."""
    left_out = part.left_out_mm if is_after else part.left_out_before_mm
    length = " · ".join(both_ways(left_out, outlined.subject.units))
    other = part.number + (1 if is_after else -1)
    return [(f"left out: {length}", "semibold"), (f"straight on to {other} of {part.count}", "regular")]


def _clip(outlined: Outlined, spot: Callable[[float], Spot], part: Part, turn: Rigid) -> tuple[Point, ...]:
    """The corners of what a part shows of the outlines; none where it shows all."""
    if part.count == 1:
        return ()
    length = outlined.subject.length_mm
    low = part.low_mm
    high = min(length, part.high_mm + lines_end_mm()) if part.after == "join" else part.high_mm
    count = max(1, math.ceil((high - low) / STRIDE_MM))
    spots = [spot(low + (high - low) * k / count) for k in range(count + 1)]
    out = outlined.beyond_mm + _OUT_MM
    edge = [one.moved(0.0, -one.to_edge_mm - _OUT_MM) for one in spots]
    inner = [one.moved(0.0, one.to_inner_mm + _OUT_MM) for one in spots]
    if part.before == "end":
        edge.insert(0, spots[0].moved(-out, -spots[0].to_edge_mm - _OUT_MM))
        inner.insert(0, spots[0].moved(-out, spots[0].to_inner_mm + _OUT_MM))
    if part.after == "end":
        edge.append(spots[-1].moved(out, -spots[-1].to_edge_mm - _OUT_MM))
        inner.append(spots[-1].moved(out, spots[-1].to_inner_mm + _OUT_MM))
    return tuple(turn.point(point) for point in (*edge, *reversed(inner)))


def _slug(name: str) -> str:
    return "-".join("".join(char if char.isalnum() else " " for char in name.lower()).split())
