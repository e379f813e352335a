"""The drawing of one lap: its band, its closing line, its marks, and the words on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, grown, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.hatch import hatched
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import CLOSING, FINE, HATCH, HEAVY, LINE, Group, Item, Path, Point, line, strokes
from closures.drawing.sheets.labels import place_label
from closures.drawing.sheets.lap_words import (
    letter_anchor,
    letter_band,
    letter_edge,
    letter_ends,
    letter_zone,
    mark_label,
)
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.drawing.sheets.old_marks import draw_old, letter_old
from closures.drawing.sheets.view import Spot, View

if TYPE_CHECKING:
    from closures.jobs.swap.swap import Swap
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.meeting import PlacedZone
    from closures.placing.placement import Placement

_LABEL_GAP_MM = 3.0
_HATCH_STEP_MM = 2.2
_STRIP_WORDS_EVERY_MM = 170.0
_CORNER_MM = 7.0


@dataclass(frozen=True, slots=True)
class Course:
    """Which way the first end and the edge lie at one place of the closing line.

    Attributes:
        at: the place.
        to_first_end, to_edge: unit directions.
        mark: the number of the mark there, 0 where there is none.
    """

    at: Point
    to_first_end: Point
    to_edge: Point
    mark: int


@dataclass(frozen=True, slots=True)
class KeepClear:
    """A mark that must not come near a join: its number, centre, and centre to rim in mm.

    Where the number alone does not tell which mark is meant, `name` does.
    """

    n: int
    x: float
    y: float
    rim_mm: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class LapDrawing:
    """A lap, drawn in the frame of the garment or, turned over, in that frame with x -> -x."""

    items: tuple[Item, ...]
    edge: Path
    keep_clear: tuple[KeepClear, ...]
    course: tuple[Course, ...]


def draw_lap(
    placement: Placement,
    view: View,
    lap_words: Sequence[str],
    buttonhole: Buttonhole | None,
    swap: Swap | None = None,
) -> LapDrawing:
    """Draw one lap of a placement.

    Args:
        placement: the row and its garment.
        view: which lap, and which face.
        lap_words: what is lettered on the band itself, the fullest wording first.
        buttonhole: the buttonhole of a button, None for other closures.
        swap: the closures that were there before, None where there were none.
    """
    room = Room()
    edge = Path(view.path(view.lap.edge), HEAVY)
    band = _draw_band(view, room)
    room.take_path(edge.commands)
    zones = [_draw_zone(view, zone, room) for zone in placement.zones]
    old = () if swap is None else draw_old(swap, view, room)
    marks, labels, clear = _draw_marks(placement, view, buttonhole, room)
    line_path = Path(view.path(view.lap.line), CLOSING)
    room.take_path(line_path.commands)
    words: list[Item] = [*labels]
    words += letter_band(view, lap_words, reach_mm(look_of(placement.fastener, view.lap.name, None)), room)
    for anchor in placement.anchors:
        words += letter_anchor(view, anchor, placement, room)
    for zone in placement.zones:
        words += letter_zone(view, zone, placement, room)
    words += letter_ends(view, room)
    words += () if swap is None else letter_old(swap, view, room)
    words += letter_edge(view, room)
    items: tuple[Item, ...] = (
        *(item for zone in zones for item in zone),
        Group("band", f"{view.lap.name} lap, the band and its closing line", (*band, line_path, edge)),
        Group("words", "numbers and names", tuple(words)),
        *marks,
        *old,
    )
    return LapDrawing(items, edge, clear, course_of(placement, view))


def _draw_band(view: View, room: Room) -> tuple[Item, ...]:
    lap = view.lap
    inner = lap.inner or view.lap.line
    ends = [
        (view.point(*lap.edge.start), view.point(*inner.start)),
        (view.point(*lap.edge.end), view.point(*inner.end)),
    ]
    items: list[Item] = [line(*pair, pen=LINE) for pair in ends]
    if lap.inner is not None:
        items.append(Path(view.path(lap.inner), FINE))
    for item in items:
        if isinstance(item, Path):
            room.take_path(item.commands)
    return tuple(items)


def _draw_zone(view: View, zone: PlacedZone, room: Room) -> tuple[Item, ...]:
    groups: list[Item] = []
    for k, (start, end) in enumerate(zone.stretches_mm, 1):
        spots = _spots(view, start, end)
        edge_side = [spot.edge_at for spot in spots]
        inner_side = [spot.moved(0.0, spot.to_inner_mm) for spot in spots]
        for spot, foot in zip(spots, inner_side, strict=True):
            room.take_strip(spot.edge_at, foot, 2.0)
        fill = strokes(hatched((*edge_side, *reversed(inner_side)), _HATCH_STEP_MM, 45.0), HATCH)
        borders = [line(a, b, pen=FINE) for a, b in ((edge_side[0], inner_side[0]), (edge_side[-1], inner_side[-1]))]
        bracket = [spot.moved(0.0, -spot.to_edge_mm - 2.4) for spot in spots]
        serifs = [spot.moved(0.0, -spot.to_edge_mm - 1.2) for spot in (spots[0], spots[-1])]
        bar = line(serifs[0], *bracket, serifs[1], pen=LINE)
        room.take_path(bar.commands)
        groups.append(Group(f"clear-{_slug(zone.name)}-{k}", f"keep clear: {zone.name}", (fill, *borders, bar)))
    return tuple(groups)


def _spots(view: View, start_mm: float, end_mm: float) -> list[Spot]:
    low, high = max(0.0, start_mm), min(view.row_mm, end_mm)
    count = min(60, max(1, math.ceil((high - low) / 4.0)))
    return [view.spot(low + (high - low) * i / count) for i in range(count + 1)]


def _slug(name: str) -> str:
    kept = "".join(char if char.isascii() and char.isalnum() else "-" for char in name.lower())
    return "-".join(part for part in kept.split("-") if part) or "zone"


def _draw_marks(
    placement: Placement, view: View, buttonhole: Buttonhole | None, room: Room
) -> tuple[list[Item], list[Item], tuple[KeepClear, ...]]:
    look = look_of(placement.fastener, view.lap.name, buttonhole)
    carried = placement.on(view.lap.name)
    spots = [view.spot_of(mark) for mark in carried]
    groups: list[Item] = []
    for mark, spot in zip(carried, spots, strict=True):
        stand = Stand(*spot.at, spot.along, spot.to_edge)
        figures = ", ".join(both_ways(mark.along_mm, placement.plan.units))
        group = draw_mark(view.lap.name, mark.n, f"mark {mark.n}: {figures} from the {placement.ends[0]}", stand, look)
        groups.append(group)
        room.take(box_of(group))
    labels: list[Item] = []
    for mark, spot in zip(carried, spots, strict=True):
        label = mark_label(mark, spot, reach_mm(look), placement.plan.units)
        labels += place_label(label, room)
    clear = tuple(KeepClear(mark.n, *spot.at, max(look.rim_mm, 2.5)) for mark, spot in zip(carried, spots, strict=True))
    return groups, labels, clear


def course_of(placement: Placement, view: View) -> tuple[Course, ...]:
    """Which way the first end and the edge lie at every mark."""
    found = []
    for mark in placement.on(view.lap.name):
        (tx, ty), (ix, iy) = mark.tangent, view.lap.inward(mark.tangent)
        found.append(Course(view.point(*mark.at), view.direction(-tx, -ty), view.direction(-ix, -iy), mark.n))
    return tuple(found)


def extent_of(drawing: LapDrawing) -> tuple[float, float, float, float]:
    """Find the box of a drawing with a little white round it."""
    return grown(union(box_of(item) for item in drawing.items), 2.0)
