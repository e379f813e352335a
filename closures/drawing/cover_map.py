"""A small picture of a lap as the garment was drawn: its marks, and which part of it lies on which sheet."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, union
from closures.drawing.ink.lettering import wrapped
from closures.drawing.ink.rigid import UNTURNED
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import INK, Circle, Item, Path, Pen, Point, Words, line, mapped, moved
from closures.drawing.paper.words import Picture
from closures.drawing.sheets.labels import Label, Line, place_label, target_of

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.paper.booklet import Templates
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot
    from closures.placing.placement import LapMark

_WIDE_MM, _TALL_MM = 41.0, 72.0
# Two maps one above the other, with the names around them, stand in one column of the smallest paper at home.
_TALLEST_ALONE_MM = 88.0
_GAP_MM = 2.0
_COLUMN_MM, _WORTH_IT = 89.0, 1.1
"""The usual column is that of A4; what is a twentieth wider, on Letter, is drawn as on that."""
_WORDS_MM = 15.0
_LEAST_BETWEEN_MM = 5.0
_SAME_PLACE_MM = 1.0
# A join runs out of the band by less than the words beside it stand off: they may lie beside its end.
_PAST_BAND_MM = 0.7
_ROWS_OF_PART = 3.0
_FAR_SIDE = 1.5
# From as many parts on, the names of those of a bent strip stand outside its bend, where they part; within they meet.
_MANY_PARTS, _BENT_RAD = 5, 1.0
_EDGE, _INNER, _JOIN, _BORDER = Pen(0.6), Pen(0.25), Pen(0.35), Pen(0.25, (1.2, 0.8))


def lap_maps(
    subjects: Sequence[Subject],
    templates: Templates,
    first: int,
    scale: TypeScale,
    tall_mm: float = _TALL_MM,
    column_mm: float = 0.0,
) -> tuple[Picture, ...]:
    """Draw the maps of both laps side by side as one picture, or each alone where they are too wide for that.

    Args:
        subjects: the laps.
        templates: what lies on which page.
        first: the number of the sheet with the first of them.
        scale: the sizes of lettering.
        tall_mm: how tall the drawing of a lap is at most, unless its parts need more.
        column_mm: how wide the column is in which they stand; in a wider one than usual they are drawn larger.
    """
    larger = column_mm / _COLUMN_MM
    larger = larger if larger >= _WORTH_IT else 1.0
    wide, tall = larger * _WIDE_MM, larger * min(tall_mm, _TALL_MM)
    maps = [_lap_map(subject, templates, first, scale, wide, tall) for subject in subjects]
    heading = "The row, and which part is on which sheet"
    if any(one.size_mm[0] > wide + 1.0 for one in maps):
        maps = [_lap_map(subject, templates, first, scale, wide, tall, is_alone=True) for subject in subjects]
        return tuple(replace(one, heading="" if k else heading) for k, one in enumerate(maps))
    items: list[Item] = []
    x = 0.0
    for one in maps:
        items += [moved(item, x, 0.0) for item in one.items]
        x += max(wide, one.size_mm[0]) + _GAP_MM
    box = union(box_of(item) for item in items)
    return (Picture(tuple(items), (box[2], box[3]), " ".join(one.text for one in maps), heading, may_grow=False),)


def _lap_map(
    subject: Subject,
    templates: Templates,
    first: int,
    scale: TypeScale,
    wide_mm: float,
    tall_mm: float,
    is_alone: bool = False,
) -> Picture:
    """Draw the map of one lap.

    Args:
        subject: the lap.
        templates: what lies on which page.
        first: the number of the sheet with the first of them.
        scale: the sizes of lettering.
        wide_mm: how wide it is at most, the words beside it among that; across, or alone, twice as wide.
        tall_mm: how tall it is at most, unless its parts need more.
        is_alone: the other lap's map does not stand beside it.
    """
    # What is on which sheet is the strip: of a piece that reaches far beyond it only the finished edge is shown beside.
    subject = replace(subject, is_strip=True, known={})
    view, lap, edge = subject.view(UNTURNED), subject.lap, subject.whole_lap.edge
    inner = lap.inner or lap.line
    lines = [(inner, _INNER), (edge, _EDGE), *([(lap.edge, _BORDER)] if subject.is_cut_off else [])]
    curves = [Path(view.path(curve), pen) for curve, pen in lines]
    box = union(box_of(curve) for curve in curves)
    across, down = box[2] - box[0], box[3] - box[1]
    # Every part has its name and its sheet beside it, one under the other: many parts want a longer map.
    parts = sum(1 for laid in templates.laying.pieces if laid.piece.strip == subject.strip)
    tall = max(tall_mm, _ROWS_OF_PART * scale.figure * parts)
    tall = min(tall, _TALLEST_ALONE_MM * scale.grown) if is_alone else tall
    room_mm = 2 * (wide_mm - _WORDS_MM) if is_alone else wide_mm - _WORDS_MM
    k = min(room_mm / max(across, 1.0), tall / max(down, 1.0), 0.5)
    if across > down:
        k = min(2 * wide_mm / max(across, 1.0), 0.4 * _TALL_MM / max(down, 1.0), 0.5)

    def at(point: Point) -> Point:
        return (k * point[0], k * point[1])

    room = Room()
    items: list[Item] = []
    for curve in curves:
        small = Path(mapped(curve.commands, k, k, 0.0, 0.0), curve.pen)
        items.append(small)
        room.take_path(small.commands)
    for one, other in ((lap.edge.start, inner.start), (lap.edge.end, inner.end)):
        end = line(at(view.point(*one)), at(view.point(*other)), pen=_INNER)
        items.append(end)
        room.take_path(end.commands)
    joins = _joins(subject, templates, at, k)
    items += joins
    for join in joins:
        room.take_path(join.commands)
    size = scale.figure
    marks = subject.placement.all_on(subject.name)
    middle = view.spot_on_line(subject.length_mm / 2)
    # Numbers stand on the side that lies near, so that no leader runs over the band and what else lies on it.
    is_far = middle.to_edge_mm > _FAR_SIDE * middle.to_inner_mm
    turn_rad = (lap.edge.length_mm - inner.length_mm) / max(middle.to_edge_mm + middle.to_inner_mm, _SAME_PLACE_MM)
    if parts >= _MANY_PARTS and abs(turn_rad) > _BENT_RAD:
        is_far = turn_rad > 0.0
    of_row = {mark.n for mark in subject.placement.on(subject.name)}
    numbered = _numbered(marks, of_row, k)
    for mark in marks:
        x, y = place = at(view.spot_of(mark).at)
        items.append(Circle(x, y, 0.6, INK))
        ink = (x - 0.7, y - 0.7, x + 0.7, y + 0.7)
        target = target_of(place, view.spot_of(mark).to_edge, 0.6, 0.7, ink)
        # A mark that gets no number needs no way out: kept free, it would send numbers over to the names of the parts.
        has_number = any(one is mark for _, one in numbered)
        room.take_target(target if has_number else replace(target, way_out=None))
    for numbers, mark in numbered:
        spot = view.spot_of(mark)
        out, reach = _side(spot, is_far)
        # Where marks stand beside the row, each has its number beside its dot: out of the band it could be any's.
        is_near = mark.n not in of_row or (subject.placement.beside and k * reach > 2.0 * size)
        away = 0.7 if is_near else k * reach
        number = Label("", 0.0, (Line(numbers, size, "semibold"),), at(spot.at), out, away, kind="mark")
        items += place_label(number, room)
    for laid in templates.laying.pieces:
        piece = laid.piece
        if piece.strip == subject.strip and piece.along_mm is not None:
            spot = view.spot_on_line((piece.along_mm[0] + piece.along_mm[1]) / 2)
            rows = (Line(piece.part_name, size, "semibold"), Line(f"sheet {first + laid.page}", size))
            out, reach = _side(spot, not is_far)
            items += place_label(Label("", 0.0, rows, at(spot.at), out, k * reach), room)
    for along, name in zip((0.0, subject.length_mm), subject.ends, strict=True):
        spot = view.spot_on_line(along)
        way = spot.along if along else (-spot.along[0], -spot.along[1])
        items += place_label(Label("", 0.0, (Line(name, size),), at(spot.at), way, 1.0), room)
    whole = union(box_of(item) for item in items)
    moved_items = tuple(moved(item, -whole[0], -whole[1]) for item in items)
    text = f"The {subject.name} lap, small: {len(marks)} marks. " + "; ".join(
        f"{laid.piece.name} on sheet {first + laid.page}"
        for laid in templates.laying.pieces
        if laid.piece.strip == subject.strip
    )
    side = f" lap, {lap.whose}" if lap.whose else " lap"
    heading = [
        Words(0.0, -1.6 - 1.2 * size * k, row, size, weight="bold")
        for k, row in enumerate(reversed(wrapped(f"{subject.name.capitalize()}{side}", size, wide_mm, "bold")))
    ]
    drawn = (*heading, *moved_items)
    box = union(box_of(item) for item in drawn)
    items = [moved(item, 0.0, -box[1]) for item in drawn]
    return Picture(tuple(items), (box[2], box[3] - box[1]), f"{text}.", may_grow=False)


def _numbered(marks: Sequence[LapMark], of_row: Collection[int], k: float) -> list[tuple[str, LapMark]]:
    """The marks that get a number: of each column as many as find room, what lies on one place with one label."""
    places: dict[Point, list[LapMark]] = {}
    for mark in marks:
        near = (place for place in places if math.dist(place, mark.at) < _SAME_PLACE_MM)
        places.setdefault(next(near, mark.at), []).append(mark)
    told: list[tuple[str, LapMark]] = []
    last = {True: -math.inf, False: -math.inf}
    for there in places.values():
        first = there[0]
        if k * abs(first.along_mm - last[first.n in of_row]) >= _LEAST_BETWEEN_MM:
            told.append((", ".join(str(mark.n) for mark in there), first))
            last[first.n in of_row] = first.along_mm
    return told


def _side(spot: Spot, is_inward: bool) -> tuple[Point, float]:
    """The way out of the band on one side, and how far it is."""
    return (spot.inward, spot.to_inner_mm) if is_inward else (spot.to_edge, spot.to_edge_mm)


def _joins(subject: Subject, templates: Templates, at, k: float) -> list[Path]:  # type: ignore[no-untyped-def]
    view = subject.view(UNTURNED)
    items: list[Path] = []
    for laid in templates.laying.pieces:
        piece = laid.piece
        if piece.strip != subject.strip or piece.along_mm is None:
            continue
        for along in piece.along_mm:
            if 0.0 < along < subject.length_mm:
                spot = view.spot_on_line(along)
                past = _PAST_BAND_MM / k
                ends = (spot.moved(0.0, -spot.to_edge_mm - past), spot.moved(0.0, spot.to_inner_mm + past))
                items.append(line(at(ends[0]), at(ends[1]), pen=_JOIN))
    return items
