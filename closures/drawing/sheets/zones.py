"""Clear zones: stretches of the band where no closure may sit, hatched, with their names on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import grown
from closures.drawing.ink.figures import both_ways, lettered_along
from closures.drawing.ink.hatch import hatched
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import FINE, HATCH, LINE, PAPER, Group, Item, line, polygon, rectangle, strokes
from closures.drawing.sheets.labels import Label, Line, block_size, place_label, set_block, wrapped_lines

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.ink.shapes import Box, Point
    from closures.drawing.paper.parts import Part
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot, View

_HATCH_STEP_MM = 2.6
# Zones that overlap are told apart by the slant of their strokes.
_SLANTS_DEG = (45.0, -45.0, 20.0, -20.0)
_BRACKET_MM = 2.4


@dataclass(frozen=True, slots=True)
class DrawnZone:
    """A zone as it lies on a part: its strokes, and its label.

    Attributes:
        group: the strokes, None where the part shows nothing of the zone.
        label: what is said of it, and where.
        inside: the label set on the zone itself; empty where it finds no room there.
    """

    group: Group | None
    label: Label | None = None
    inside: tuple[Item, ...] = ()

    def words(self, room: Room) -> tuple[Item, ...]:
        """Set the label: on the zone, or beside it on the side of the edge."""
        if self.inside:
            return self.inside
        return () if self.label is None else place_label(self.label, room)


def draw_zone(subject: Subject, view: View, part: Part, index: int, room: Room) -> DrawnZone:
    """Draw what a part shows of a zone, and note that it is taken."""
    zone = subject.placement.zones[index]
    groups: list[Item] = []
    label: Label | None = None
    inside: tuple[Item, ...] = ()
    for low_mm, high_mm in zone.stretches_mm:
        stretch = (subject.lap.along(max(0.0, low_mm)), subject.lap.along(high_mm))
        low, high = max(part.low_mm, stretch[0]), min(part.high_mm, stretch[1])
        if high - low < 0.5:
            continue
        spots = _spots(view, low, high)
        groups += _strokes(spots, index, room, stretch[0] >= part.low_mm, stretch[1] <= part.high_mm)
        label = _label(subject, zone.name, stretch, spots, _bracket_mm(index))
        inside = _set_inside(label, spots, room)
        for spot in spots:
            room.take_strip(spot.edge_at, spot.moved(0.0, spot.to_inner_mm), 1.6)
    if not groups:
        return DrawnZone(None)
    return DrawnZone(
        Group(f"clear-{_slug(zone.name)}", f"keep clear: {zone.name}", tuple(groups), tag="Figure"), label, inside
    )


def _spots(view: View, low: float, high: float) -> list[Spot]:
    low, high = max(0.0, low), min(view.lap.line.length_mm, high)
    count = min(60, max(1, math.ceil((high - low) / 4.0)))
    return [view.spot_on_line(low + (high - low) * i / count) for i in range(count + 1)]


def _strokes(spots: list[Spot], index: int, room: Room, is_first: bool, is_last: bool) -> list[Item]:
    edge_side = [spot.edge_at for spot in spots]
    inner_side = [spot.moved(0.0, spot.to_inner_mm) for spot in spots]
    slant = _SLANTS_DEG[index % len(_SLANTS_DEG)]
    fill = strokes(hatched((*edge_side, *reversed(inner_side)), _HATCH_STEP_MM, slant), HATCH)
    shown = [k for k, drawn in ((0, is_first), (-1, is_last)) if drawn]
    borders = [line(edge_side[k], inner_side[k], pen=FINE) for k in shown]
    off = _bracket_mm(index)
    bracket = [spot.moved(0.0, -spot.to_edge_mm - off) for spot in spots]
    serifs = [spots[k].moved(0.0, -spots[k].to_edge_mm - off + 1.2) for k in (0, -1)]
    bar = line(*(serifs[:1] if is_first else []), *bracket, *(serifs[1:] if is_last else []), pen=LINE)
    room.take_path(bar.commands)
    return [fill, *borders, bar]


def _bracket_mm(index: int) -> float:
    """How far off the finished edge a zone's bracket stands: those of zones that overlap beside each other."""
    return _BRACKET_MM + 1.6 * (index % 3)


def _label(subject: Subject, name: str, stretch: tuple[float, float], spots: list[Spot], off_mm: float) -> Label:
    middle = spots[len(spots) // 2]
    low, high = (both_ways(max(0.0, value), subject.units)[0] for value in stretch)
    lines = (
        *wrapped_lines(f"keep clear: {name}", subject.type.name, "semibold"),
        Line(f"{low} to {high}", subject.type.figure),
    )
    return Label("", 0.0, lines, middle.at, middle.to_edge, middle.to_edge_mm + off_mm)


def _set_inside(label: Label, spots: list[Spot], room: Room) -> tuple[Item, ...]:
    """Set the label on white paper within the zone, beside the closing line, along or across, where there is room."""
    width, height = block_size(label)
    middle = spots[len(spots) // 2]
    long = math.dist(spots[0].at, spots[-1].at) - 3.0
    for depth in (middle.to_inner_mm, -middle.to_edge_mm):
        deep = abs(depth) - 3.0
        at = middle.moved(0.0, depth / 2)
        if width <= long and height <= deep and abs(middle.along[0]) >= abs(middle.along[1]):
            x, y = at
            box: Box = (x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            if room.is_free(box):
                room.take(box)
                return (rectangle(grown(box, 0.9), PAPER), _block(set_block(label, box)))
        rows = [
            Line(row, line.size_mm, line.weight)
            for line in label.lines
            for row in wrapped(line.text, line.size_mm, deep, line.weight)
        ]
        step = 1.12 * label.lines[-1].size_mm
        if len(rows) * step <= long and all(width_of(row.text, row.size_mm, row.weight) <= deep for row in rows):
            return _set_across(middle, at, rows, step, deep, room)
    return ()


def _set_across(spot: Spot, at: Point, rows: list[Line], step: float, deep: float, room: Room) -> tuple[Item, ...]:
    items: list[Item] = []
    for k, row in enumerate(rows):
        words = lettered_along(row.text, (0.0, 0.0), spot.inward, row.size_mm, row.weight)
        down = math.radians(words.angle_deg + 90.0)
        shift = step * (k - (len(rows) - 1) / 2)
        place = (at[0] + shift * math.cos(down), at[1] + shift * math.sin(down))
        items.append(lettered_along(row.text, place, spot.inward, row.size_mm, row.weight))
    half, reach = step * len(rows) / 2 + 0.8, deep / 2 + 0.8
    (ax, ay), (nx, ny) = spot.along, spot.inward
    corners = [
        (at[0] + u * ax * half + v * nx * reach, at[1] + u * ay * half + v * ny * reach)
        for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    room.take_strip((at[0] - half * ax, at[1] - half * ay), (at[0] + half * ax, at[1] + half * ay), reach)
    return (polygon(corners, PAPER), _block(items))


def _block(rows: Sequence[Item]) -> Group:
    """Hold the rows of a label together: on a page that is turned they are turned as one, so that their order stays."""
    return Group("", "", tuple(rows))


def _slug(name: str) -> str:
    kept = "".join(char if char.isascii() and char.isalnum() else "-" for char in name.lower())
    return "-".join(part for part in kept.split("-") if part) or "zone"
