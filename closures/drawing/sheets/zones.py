"""Clear zones: stretches of the band where no closure may sit, hatched, with their names on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import grown
from closures.drawing.ink.figures import both_ways, lettered_along
from closures.drawing.ink.hatch import hatched
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import FINE, HATCH, LINE, PAPER, Group, Item, Path, line, polygon, rectangle, strokes
from closures.drawing.sheets.labels import Label, Line, block_size, place_label, set_block, wrapped_lines
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.ink.shapes import Box, Point
    from closures.drawing.paper.parts import Part
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot, View

_HATCH_STEP_MM = 2.6
# Zones that overlap are told apart by the slant of their strokes.
_SLANTS_DEG = (45.0, -45.0, 20.0, -20.0)
_BRACKET_MM, _FURTHER_MM, _FURTHEST_MM = 2.4, 0.8, 18.0
# What is left of a bracket beside a ring, and what of the paper beside its stroke stays white.
_LEAST_BRACKET_MM, _OFF_BRACKET_MM = 3.0, 0.9
_SERIF_MM = 1.2
# How far out and to either side a label is tried, and from where on its bracket.
_OUT_MM, _ASIDE_MM, _TRY_MM = 60.0, 30.0, 2.0
_FROM = (0.5, 0.3, 0.7, 0.15, 0.85, 0.02, 0.98)
_GAP_MM, _NO_LEADER_MM, _OFF_WORDS_MM = 1.4, 3.0, 0.6
# Of its size, how far a name stands from words before and after it in their row; our own rule.
_READ_ON = 0.6
_WAY_OUT_MM = 40.0
# What a label on its zone leaves free of it, and how far apart its rows stand when they run across.
_INSIDE_MM, _ROW = 3.0, 1.12


@frozen
class DrawnZone:
    """A zone as it lies on a part: its strokes, and its label.

    Attributes:
        group: the strokes, None where the part shows nothing of the zone.
        label: what is said of it, and where.
        inside: the label set on the zone itself; empty where it finds no room there.
        bracket: places along its bracket, outside the edge.
    """

    group: Group | None
    label: Label | None = None
    inside: tuple[Item, ...] = ()
    bracket: tuple[Point, ...] = ()

    @property
    def is_beside(self) -> bool:
        """Whether its label stands beside the band."""
        return self.label is not None and not self.inside


def draw_zone(subject: Subject, view: View, part: Part, index: int, room: Room) -> DrawnZone:
    """Draw what a part shows of a zone, and note that it is taken."""
    zone = subject.placement.zones[index]
    groups: list[Item] = []
    label: Label | None = None
    inside: tuple[Item, ...] = ()
    bracket: tuple[Point, ...] = ()
    for low_mm, high_mm in zone.stretches_mm:
        stretch = (subject.lap.along(max(0.0, low_mm)), subject.lap.along(high_mm))
        low, high = max(part.low_mm, stretch[0]), min(part.high_mm, stretch[1])
        if high - low < 0.5:
            continue
        spots = _spots(view, low, high)
        ends = (stretch[0] >= part.low_mm, stretch[1] <= part.high_mm)
        off, shown = _bracket(_spots(view, low, high, 1.0), ends, _bracket_mm(index), room)
        bracket = tuple(spot.moved(0.0, -spot.to_edge_mm - off) for spot in shown)
        groups += _strokes(spots, index, ends)
        groups.append(_bar(shown, bracket, off, ends, room))
        label = _label(subject, zone.name, stretch, shown, off)
        inside = _set_inside(label, spots, room)
        for spot in spots:
            room.take_strip(spot.edge_at, spot.moved(0.0, spot.to_inner_mm), 1.6)
    if not groups:
        return DrawnZone(None)
    return DrawnZone(
        Group(f"clear-{_slug(zone.name)}", f"keep clear: {zone.name}", tuple(groups), tag="Figure"),
        label,
        inside,
        bracket,
    )


def beside_mm(subject: Subject, spot: Spot, along_mm: float) -> float:
    """About how far beyond the edge labels of zones reach at a place: of those that find no room on their zone."""
    reach = 0.0
    for index, zone in enumerate(subject.placement.zones):
        for stretch in zone.stretches_mm:
            low, high = (subject.lap.along(max(0.0, at)) for at in stretch)
            if not low <= along_mm <= high:
                continue
            label = _label(subject, zone.name, stretch, (spot,), _bracket_mm(index))
            deep = max(spot.to_inner_mm, spot.to_edge_mm) - _INSIDE_MM
            rows = sum(len(wrapped(row.text, row.size_mm, deep, row.weight)) for row in label.lines)
            if rows * _ROW * label.lines[-1].size_mm > high - low - _INSIDE_MM:
                reach = max(reach, _bracket_mm(index) + _GAP_MM + block_size(label)[1])
    return reach


def letter_zones(zones: Sequence[DrawnZone], room: Room) -> list[Item]:
    """Set the labels of a part's zones, each on its zone or beside its own bracket."""
    items = [item for zone in zones for item in zone.inside]
    waiting = [zone for zone in zones if zone.is_beside]
    for k, zone in enumerate(waiting):
        others = [place for other in waiting if other is not zone for place in other.bracket]
        items += _set_beside(zone, waiting[k + 1 :], others, room)
    return items


def _set_beside(zone: DrawnZone, later: Sequence[DrawnZone], others: Sequence[Point], room: Room) -> tuple[Item, ...]:
    """Set a label outside the edge, its leader from its own bracket, across no other bracket, word or leader.

    A label set first leaves a way out to those of the brackets beside it.
    """
    if zone.label is None:
        return ()
    label = zone.label
    width, height = block_size(label)
    ax, ay = label.away
    support = abs(ax) * width / 2 + abs(ay) * height / 2
    outs = [_TRY_MM * k for k in range(int(_OUT_MM / _TRY_MM))]
    asides = [side * _TRY_MM * k for k in range(int(_ASIDE_MM / _TRY_MM)) for side in ((1.0, -1.0) if k else (1.0,))]
    tries = sorted((out + 0.45 * abs(aside), out, aside) for out in outs for aside in asides)
    # Words that follow others in their row this close would be read on from those.
    apart_mm = _READ_ON * label.lines[-1].size_mm
    ways = [(x, y) for x, y in _places_of(zone.bracket) if _is_way(x, y, label.away, room, _GAP_MM)]
    for more_mm in (apart_mm, 0.0):
        for _, out, aside in tries:
            for x, y in ways:
                far = _GAP_MM + support + out
                at = (x + far * ax - aside * ay, y + far * ay + aside * ax)
                box: Box = (at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2)
                alone = (box[0] - more_mm, box[1], box[2] + more_mm, box[3])
                if not (room.is_free(alone) and room.keeps(box) and _leaves_ways(box, later, room)):
                    continue
                leader = _leader_to(box, (x, y), label.away, others, room)
                if leader is not None:
                    room.take(box)
                    if leader:
                        room.take_leader(*leader)
                    return (*([line(*leader, pen=FINE)] if leader else []), *set_block(label, box))
    return place_label(label, room)


def _leader_to(
    box: Box, start: Point, away: Point, others: Sequence[Point], room: Room
) -> tuple[Point, Point] | tuple[()] | None:
    """The leader from a place on a bracket to words in a box; empty where they need none, None where none is good."""
    (x, y), (ax, ay) = start, away
    end = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
    long = math.dist(start, end)
    if long <= _NO_LEADER_MM:
        return None if any(_off(box, place) < 2 * long for place in others) else ()
    ux, uy = (end[0] - x) / long, (end[1] - y) / long
    tip = (end[0] - _OFF_WORDS_MM * ux, end[1] - _OFF_WORDS_MM * uy)
    # A leader that leans along the brackets would be read as one of them.
    is_upright = ux * ax + uy * ay > 0.7
    return (start, tip) if is_upright and room.is_free_strip((x + 0.7 * ux, y + 0.7 * uy), tip, 0.3) else None


def _off(box: Box, place: Point) -> float:
    """How far a place lies from a box."""
    x0, y0, x1, y1 = box
    return math.hypot(max(x0 - place[0], place[0] - x1, 0.0), max(y0 - place[1], place[1] - y1, 0.0))


def _places_of(bracket: Sequence[Point]) -> list[Point]:
    """Where on a bracket a leader may end, its middle first."""
    return [bracket[round(share * (len(bracket) - 1))] for share in _FROM]


def _is_way(x: float, y: float, away: Point, room: Room, long: float) -> bool:
    """Whether straight out from a place on a bracket nothing stands."""
    ax, ay = away
    return room.is_free_strip((x + 0.7 * ax, y + 0.7 * ay), (x + long * ax, y + long * ay), 0.3)


def _leaves_ways(box: Box, later: Sequence[DrawnZone], room: Room) -> bool:
    """Whether a label leaves every bracket that has none yet a place from which a leader goes straight out."""
    x0, y0, x1, y1 = grown(box, 1.0)
    for zone in later:
        if zone.label is None:
            continue
        ax, ay = zone.label.away
        steps = range(int(_WAY_OUT_MM))
        if not any(
            _is_way(x, y, (ax, ay), room, 2 * _GAP_MM)
            and not any(x0 < x + k * ax < x1 and y0 < y + k * ay < y1 for k in steps)
            for x, y in _places_of(zone.bracket)
        ):
            return False
    return True


def _spots(view: View, low: float, high: float, step_mm: float = 4.0) -> list[Spot]:
    low, high = max(0.0, low), min(view.lap.line.length_mm, high)
    count = min(240, max(1, math.ceil((high - low) / step_mm)))
    return [view.spot_on_line(low + (high - low) * i / count) for i in range(count + 1)]


def _strokes(spots: list[Spot], index: int, ends: tuple[bool, bool]) -> list[Item]:
    edge_side = [spot.edge_at for spot in spots]
    inner_side = [spot.moved(0.0, spot.to_inner_mm) for spot in spots]
    slant = _SLANTS_DEG[index % len(_SLANTS_DEG)]
    fill = strokes(hatched((*edge_side, *reversed(inner_side)), _HATCH_STEP_MM, slant), HATCH)
    shown = [k for k, drawn in zip((0, -1), ends, strict=True) if drawn]
    return [fill, *(line(edge_side[k], inner_side[k], pen=FINE) for k in shown)]


def _bar(spots: Sequence[Spot], bracket: Sequence[Point], off: float, ends: tuple[bool, bool], room: Room) -> Path:
    """Draw a bracket, with a serif at each end that is the zone's own."""
    serifs = [spots[k].moved(0.0, -spots[k].to_edge_mm - off + _SERIF_MM) for k in (0, -1)]
    bar = line(*(serifs[:1] if ends[0] else []), *bracket, *(serifs[1:] if ends[1] else []), pen=LINE)
    room.take_path(bar.commands)
    return bar


def _bracket(spots: list[Spot], ends: tuple[bool, bool], least_mm: float, room: Room) -> tuple[float, list[Spot]]:
    """How far off the edge a bracket stands, and what is shown of it: it keeps off rings, letters and brackets.

    Where the zone goes on beyond a join the bracket may stop short of the ring there; where the zone itself ends it
    stands far enough out to reach that end.
    """
    reach = _OFF_BRACKET_MM
    for k in range(int(_FURTHEST_MM / _FURTHER_MM)):
        off = least_mm + _FURTHER_MM * k
        places = [spot.moved(0.0, -spot.to_edge_mm - off) for spot in spots]
        free = [room.is_free((x - reach, y - reach, x + reach, y + reach), 0.2) for x, y in places]
        run = _longest_run(free)
        shown = spots[run[0] : run[1]]
        is_whole = (run[0] == 0 or not ends[0]) and (run[1] == len(spots) or not ends[1])
        whole_mm = math.dist(places[0], places[-1])
        if len(shown) > 1 and is_whole:
            long = math.dist(places[run[0]], places[run[1] - 1])
            if long >= min(_LEAST_BRACKET_MM, whole_mm) - 1e-6:
                return off, shown
    return least_mm, spots


def _longest_run(free: Sequence[bool]) -> tuple[int, int]:
    """From where to before where the longest run of what is free goes."""
    best, start = (0, 0), 0
    for k, one in enumerate((*free, False)):
        if not one:
            best = max(best, (start, k), key=lambda run: run[1] - run[0])
            start = k + 1
    return best


def _bracket_mm(index: int) -> float:
    """How far off the finished edge a zone's bracket stands: those of zones that overlap beside each other."""
    return _BRACKET_MM + 1.6 * (index % 3)


def _label(subject: Subject, name: str, stretch: tuple[float, float], spots: Sequence[Spot], off_mm: float) -> Label:
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
    long = math.dist(spots[0].at, spots[-1].at) - _INSIDE_MM
    for depth in (middle.to_inner_mm, -middle.to_edge_mm):
        deep = abs(depth) - _INSIDE_MM
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
        step = _ROW * label.lines[-1].size_mm
        if len(rows) * step <= long and all(width_of(row.text, row.size_mm, row.weight) <= deep for row in rows):
            found = _set_across(middle, at, rows, step, deep, room)
            if found:
                return found
    return ()


def _set_across(spot: Spot, at: Point, rows: list[Line], step: float, deep: float, room: Room) -> tuple[Item, ...]:
    """Set rows across the band on white paper; nothing where that would cover something."""
    items: list[Item] = []
    for k, row in enumerate(rows):
        words = lettered_along(row.text, (0.0, 0.0), spot.inward, row.size_mm, row.weight)
        down = math.radians(words.angle_deg + 90.0)
        shift = step * (k - (len(rows) - 1) / 2)
        place = (at[0] + shift * math.cos(down), at[1] + shift * math.sin(down))
        items.append(lettered_along(row.text, place, spot.inward, row.size_mm, row.weight))
    half, reach = step * len(rows) / 2 + 0.8, deep / 2 + 0.8
    (ax, ay), (nx, ny) = spot.along, spot.inward
    ends = ((at[0] - half * ax, at[1] - half * ay), (at[0] + half * ax, at[1] + half * ay))
    # Of zones that lie on each other the first has its words there.
    if not room.is_free_strip(*ends, deep / 2):
        return ()
    corners = [
        (at[0] + u * ax * half + v * nx * reach, at[1] + u * ay * half + v * ny * reach)
        for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    room.take_strip(*ends, reach)
    return (polygon(corners, PAPER), _block(items))


def _block(rows: Sequence[Item]) -> Group:
    """Hold the rows of a label together: on a page that is turned they are turned as one, so that their order stays."""
    return Group("", "", tuple(rows))


def _slug(name: str) -> str:
    kept = "".join(char if char.isascii() and char.isalnum() else "-" for char in name.lower())
    return "-".join(part for part in kept.split("-") if part) or "zone"
