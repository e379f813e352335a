"""The words on a lap's drawing: labels of marks, anchors and zones, and the lettering of the band."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways, corner_figure, lettered_along
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import INK, LINE, Item, Pen, arrow
from closures.drawing.sheets.labels import NAME_MM, Label, Line, place_label
from closures.drawing.sheets.marks import look_of, reach_mm
from closures.drawing.sheets.view import Spot, View

if TYPE_CHECKING:
    from closures.placing.marking import LapMark
    from closures.placing.meeting import PlacedAnchor, PlacedZone
    from closures.placing.placement import Placement

_LABEL_GAP_MM = 3.0
_STRIP_WORDS_EVERY_MM = 170.0
_CORNER_MM = 7.0
_STRIDE_MM = 6.0


def mark_label(mark: LapMark, spot: Spot, reach: float, units: str) -> Label:
    first, second = both_ways(mark.along_mm, units)
    lines = (Line(first, weight="semibold"), Line(second))
    least = max(spot.to_inner_mm, reach) + _LABEL_GAP_MM
    return Label(str(mark.n), lines, spot.at, spot.inward, reach + 0.8, least)


def letter_anchor(view: View, anchor: PlacedAnchor, placement: Placement, room: Room) -> tuple[Item, ...]:
    along = view.lap.along(anchor.along_mm)
    spot = view.spot_on_line(along)
    reach = reach_mm(look_of(placement.fastener, view.lap.name, None))
    near = [m for m in placement.on(view.lap.name) if abs(m.along_mm - along) < reach]
    lines = (
        Line(anchor.name, NAME_MM, "semibold"),
        Line(" · ".join(both_ways(along, placement.plan.units)), 2.8),
    )
    start = reach + 0.8 if near else 0.0
    label = Label("", lines, spot.at, spot.to_edge, start, max(spot.to_edge_mm, reach) + 4.0, diamond=True)
    return place_label(label, room)


def letter_zone(view: View, zone: PlacedZone, placement: Placement, room: Room) -> tuple[Item, ...]:
    items: list[Item] = []
    for start, end in zone.stretches_mm:
        spot = view.spot((max(0.0, start) + min(view.row_mm, end)) / 2)
        low, high = (both_ways(view.lap.along(value), placement.plan.units)[0] for value in (start, end))
        lines = (Line("keep clear", 2.8), Line(zone.name, NAME_MM, "semibold"), Line(f"{low} to {high}", 2.8))
        least = spot.to_edge_mm + 4.2
        items += place_label(Label("", lines, spot.at, spot.to_edge, least, least), room)
    return tuple(items)


def letter_ends(view: View, room: Room) -> tuple[Item, ...]:
    first, last = view.spot(0.0), view.spot(view.row_mm)
    towards_first = (-first.along[0], -first.along[1])
    shaft = arrow(first.moved(-3.0, 0.0), first.moved(-14.0, 0.0), LINE)
    room.take_strip(first.moved(-3.0, 0.0), first.moved(-14.0, 0.0), 1.4)
    named = (Line(view.laps.garment.ends[0], NAME_MM, "semibold"),)
    items = [*shaft, *place_label(Label("", named, first.at, towards_first, 16.5, 16.5), room)]
    named = (Line(view.laps.garment.ends[1], NAME_MM, "semibold"),)
    return (*items, *place_label(Label("", named, last.at, last.along, 4.0, 4.0), room))


def letter_band(view: View, words: Sequence[str], reach: float, room: Room) -> tuple[Item, ...]:
    """Letter the band, with the corner that shows a wrong flip, so that a strip cut out still tells.

    Of the wordings given, the first that finds room is used. It stands behind the marks or, where
    leaders leave no room there, between the marks and the edge.
    """

    def behind(spot: Spot) -> tuple[float, float]:
        return spot.to_inner_mm / 2, spot.to_inner_mm

    def before(spot: Spot) -> tuple[float, float]:
        return -(spot.to_edge_mm + reach) / 2, spot.to_edge_mm - reach

    # Every wording is tried at the same places, and finding a place on a curve costs the most.
    spot = cache(view.spot)
    for text in words:
        for lane in (behind, before):
            items = _letter_band_in(view, spot, lane, text, room)
            if items:
                return items
    return ()


def _letter_band_in(
    view: View,
    spot_at: Callable[[float], Spot],
    lane: Callable[[Spot], tuple[float, float]],
    words: str,
    room: Room,
) -> tuple[Item, ...]:
    pen = INK if view.lap.name == "over" else Pen(0.5, fill=1.0)
    items: list[Item] = []
    last = -_STRIP_WORDS_EVERY_MM
    for k in range(math.ceil(view.row_mm / _STRIDE_MM)):
        along = _STRIDE_MM * k
        if along - last < _STRIP_WORDS_EVERY_MM:
            continue
        spot = spot_at(along)
        placed = letter_band_at(spot, *lane(spot), words, pen, room)
        if placed:
            items += placed
            last = along
    return tuple(items)


def letter_band_at(spot: Spot, depth: float, clear: float, words: str, pen: Pen, room: Room) -> tuple[Item, ...]:
    size, corner = min(3.2, 0.5 * clear), min(_CORNER_MM, 0.7 * clear)
    width = width_of(words, size, "semibold")
    whole = width + corner + 2.5
    start, end = spot.moved(-whole / 2, depth), spot.moved(whole / 2, depth)
    if size < 2.0 or not room.is_free_strip(start, end, corner / 2 + 0.4):
        return ()
    room.take_strip(start, end, corner / 2 + 0.4)
    back = (-spot.along[0], -spot.along[1])
    flag = corner_figure(spot.moved(-(whole - corner) / 2, depth), back, spot.to_edge, corner, pen)
    middle = spot.moved((corner + 2.5) / 2, depth)
    return (flag, lettered_along(words, middle, spot.along, size, "semibold"))


def letter_edge(view: View, room: Room) -> tuple[Item, ...]:
    """Name the finished edge beside it, again and again along a long one."""
    length = view.row_mm
    text, size = "finished edge", 2.8
    half = width_of(text, size) / 2 + 0.5
    items: list[Item] = []
    last = -_STRIP_WORDS_EVERY_MM
    for k in range(math.ceil(length / _STRIDE_MM)):
        along = half + _STRIDE_MM * k
        if along - last < _STRIP_WORDS_EVERY_MM or along + half > length:
            continue
        feet = [view.spot(s).edge_at for s in (along - half, along + half)]
        spot = view.spot(along)
        way = (feet[1][0] - feet[0][0], feet[1][1] - feet[0][1])
        span = math.hypot(*way)
        if span < half:
            continue
        x, y = spot.moved(0.0, -spot.to_edge_mm - 2.6)
        ux, uy = way[0] / span * half, way[1] / span * half
        if room.is_free_strip((x - ux, y - uy), (x + ux, y + uy), 1.4):
            room.take_strip((x - ux, y - uy), (x + ux, y + uy), 1.4)
            items.append(lettered_along(text, (x, y), way, size, "regular"))
            last = along
    return tuple(items)
