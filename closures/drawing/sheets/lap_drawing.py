"""The drawing of one lap, whole or a part of it: its band, its closing line, its marks, and the words on them.

A part is drawn afresh, not cut out of the whole: its lines are exact stretches of the lap's own curves, and its words
are set after it was cut, so that no join runs through one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of, boxes_of_words, grown, meets, union
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import CLOSING, CUT, FINE, HEAVY, LINE, Group, Item, Path, line
from closures.drawing.paper.joins import (
    draw_break,
    draw_end,
    draw_join_after,
    draw_join_before,
    lines_end_mm,
)
from closures.drawing.paper.parts import Part
from closures.drawing.sheets.astray import leader_of
from closures.drawing.sheets.labels import place_label, target_of
from closures.drawing.sheets.lanes import letter_rows
from closures.drawing.sheets.lap_words import break_rows, join_words, letter_anchor, mark_labels
from closures.drawing.sheets.lettered import Lettered
from closures.drawing.sheets.marks import Stand, draw_mark
from closures.drawing.sheets.old_marks import draw_old, letter_old
from closures.drawing.sheets.sheet_text import KeepClear, LapDrawing, Orientation
from closures.drawing.sheets.view import Spot
from closures.drawing.sheets.zones import DrawnZone, draw_zone, letter_zones

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.drawing.ink.shapes import Point
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import View
    from closures.placing.placement import LapMark, Placement

_REPEAT_MM = 240.0
_BESIDE_EDGE_MM, _HALF_LANES_MM = 80.0, 10.0


def whole_part(subject: Subject) -> Part:
    """The part that is the whole lap."""
    return Part(0.0, subject.length_mm, "end", "end")


def draw_lap(subject: Subject, view: View, part: Part, rows: Sequence[Lettered]) -> LapDrawing:
    """Draw a lap, or a part of it.

    Args:
        subject: the lap.
        view: how it is turned and moved.
        part: from where to where, and what it begins and ends with.
        rows: what is lettered along the strip.
    """
    room = Room()
    placement = subject.placement
    lines = _Lines(subject, view, part)
    marks = [mark for mark in placement.all_on(subject.name) if _is_on(subject.foot_mm(mark), part)]
    groups = _draw_marks(subject, view, marks, room)
    ends = _draw_ends(subject, view, part, room, groups)
    for path in (*lines.band, lines.edge):
        room.take_path(path.commands)
    old = () if subject.swap is None else draw_old(subject.swap, view, room, (part.low_mm, part.high_mm))
    closing = tuple(Path(view.path(one), CLOSING) for one in lines.lines)
    for path in closing:
        room.take_path(path.commands)
    zones = [draw_zone(subject, view, part, k, room) for k in range(len(placement.zones))]
    words: list[Item] = []
    # Of two marks at one place the inner one's leader runs over the outer one's rim, which is filled.
    over_marks: list[Item] = []
    for label in mark_labels(subject, view, marks):
        (over_marks if label.shares_its_place else words).extend(place_label(label, room))
    named, room = _letter_names(subject, view, part, zones, room)
    words += named
    words += (
        ()
        if subject.swap is None
        else letter_old(subject.swap, view, room, (part.low_mm, part.high_mm), subject.type.figure)
    )
    if subject.is_piece_whole:
        words += _letter_far_edge(subject, view, [row for row in rows if row.near_edge], room)
        rows = [row for row in rows if not row.near_edge]
    words += _letter_strip(view, part, rows, room)
    items: tuple[Item, ...] = (
        *(zone.group for zone in zones if zone.group is not None),
        Group("band", _band_title(subject, part), (*lines.band, *closing, lines.edge), tag="Figure"),
        *ends,
        Group("words", "numbers and names", tuple(words)),
        *groups,
        *([Group("words-over-marks", "numbers of marks at one place", tuple(over_marks))] if over_marks else ()),
        *old,
    )
    clear = tuple(KeepClear(mark.n, *view.point(*mark.at), max(subject.look_at(mark.n).rim_mm, 2.5)) for mark in marks)
    return LapDrawing(items, lines.edge, clear, orientations_of(placement, view))


def _is_on(along_mm: float, part: Part) -> bool:
    return part.low_mm - 1e-6 <= along_mm <= part.high_mm + 1e-6


class _Lines:
    """The lines of a part, as exact stretches of the lap's own curves."""

    def __init__(self, subject: Subject, view: View, part: Part) -> None:
        self._lap, self._part = subject.lap, part
        self._high = min(part.high_mm + (lines_end_mm() if part.after == "join" else 0.0), subject.length_mm)
        self.lines = self._on_cloth()
        # Only the finished edge is bold, by which a sheet is laid on the cloth.
        self.edge = Path(view.path(self._stretch(self._lap.edge)), CUT if subject.is_cut_off else HEAVY)
        # The cloth of a piece has other outlines than lines between the ends of its edge and those of a closing line.
        is_band = not subject.is_piece_whole
        inner = self._lap.inner if is_band else None
        band: list[Path] = [] if inner is None else [Path(view.path(self._stretch(inner)), FINE)]
        far = inner or self._lap.line
        if part.before == "end" and is_band:
            band.append(line(view.point(*self._lap.edge.start), view.point(*far.start), pen=LINE))
        if part.after == "end" and is_band:
            band.append(line(view.point(*self._lap.edge.end), view.point(*far.end), pen=LINE))
        if subject.is_cut_off:
            # Past this line no cloth lies, whatever the strip's border says.
            within = subject.whole_lap.edge_within(part.low_mm, self._high)
            band += [Path(view.path(stretch), HEAVY) for stretch in within]
        self.band = tuple(band)

    def _on_cloth(self) -> tuple[Curve, ...]:
        """The closing line, and beside it the stretch of a stand that has a line of its own."""
        own, *front = self._lap.lines_on_cloth
        if self._lap.stand is None or not front or self._part.low_mm >= self._lap.stand.height_mm:
            return (self._stretch(self._lap.line),)
        seam, low = self._lap.stand.height_mm, self._part.low_mm
        of_stand = own.stretch(low, min(seam, self._high))
        return (of_stand, front[0].stretch(0.0, self._high - seam)) if self._high > seam else (of_stand,)

    def _stretch(self, curve: Curve) -> Curve:
        """The stretch of a curve beside the part; whole at the lap's own ends, whatever their shape."""
        is_first, is_last = self._part.before == "end", self._part.after == "end"
        if is_first and is_last:
            return curve
        low, high = self._part.low_mm, self._high
        if curve is not self._lap.line:
            low = curve.nearest(self._lap.line.point_at(low)).along_mm
            high = curve.nearest(self._lap.line.point_at(high)).along_mm
        low, high = 0.0 if is_first else low, curve.length_mm if is_last else high
        return curve.stretch(low, max(high, low + 0.01))


def _draw_ends(subject: Subject, view: View, part: Part, room: Room, marks: Sequence[Group]) -> list[Item]:
    """Draw what the part begins and ends with: a join, a break, or the lap's own end with its name beyond all marks."""
    size = subject.type.figure
    low, high = view.spot_on_line(part.low_mm), view.spot_on_line(part.high_mm)
    lap = subject.lap
    items: list[Item] = []
    inner = lap.inner or lap.line
    first, last = subject.ends
    if part.before == "join":
        items.append(draw_join_before(low, part.letter_before, join_words(subject, part, False), size, room))
    elif part.before == "break":
        items.append(draw_break(low, False, break_rows(subject, part, False), size, room)[0])
    else:
        corners = () if subject.is_piece_whole else (view.point(*lap.edge.start), view.point(*inner.start))
        items.append(draw_end(corners, low, False, first, subject.type.name, room, _ink_by(low, marks)))
    if part.after == "join":
        items.append(draw_join_after(high, part.letter_after, join_words(subject, part, True), size, room))
    elif part.after == "break":
        items.append(draw_break(high, True, break_rows(subject, part, True), size, room)[0])
    else:
        corners = () if subject.is_piece_whole else (view.point(*lap.edge.end), view.point(*inner.end))
        items.append(draw_end(corners, high, True, last, subject.type.name, room, _ink_by(high, marks)))
    return items


def _ink_by(spot: Spot, marks: Sequence[Group]) -> tuple[Point, ...]:
    """The corners of the ink of the mark nearest to an end."""
    boxes = [box_of(group) for group in marks]
    near = min(boxes, key=lambda box: math.dist(spot.at, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)), default=None)
    return () if near is None else tuple((x, y) for x in near[0::2] for y in near[1::2])


def _letter_names(
    subject: Subject, view: View, part: Part, zones: Sequence[DrawnZone], room: Room
) -> tuple[list[Item], Room]:
    """Name anchors, then clear zones; zones first where a name would stand in the way of a zone's leader.

    Returns:
        The names, and the room with them in it.
    """
    anchors = [one for one in subject.placement.anchors if _is_on(subject.lap.along(one.along_mm), part)]
    if not anchors or not any(zone.is_beside for zone in zones):
        names = [item for anchor in anchors for item in letter_anchor(subject, view, anchor, room)]
        return [*names, *letter_zones(zones, room)], room
    first = room.copy()
    names = [item for anchor in anchors for item in letter_anchor(subject, view, anchor, first)]
    items = letter_zones(zones, first)
    if not _runs_through(items, names):
        return [*names, *items], first
    # Figures of a name close beside a zone's would be read on from those.
    for apart_mm in (subject.type.figure / 2, 0.0):
        trial = room.copy()
        items = letter_zones(zones, trial)
        for x0, y0, x1, y1 in boxes_of_words(items):
            trial.take((x0 - apart_mm, y0, x1 + apart_mm, y1))
        names = [item for anchor in anchors for item in letter_anchor(subject, view, anchor, trial)]
        if not _runs_through(names, items):
            break
    return [*items, *names], trial


def _runs_through(items: Sequence[Item], words: Sequence[Item]) -> bool:
    """Whether a leader among items runs through any of the words."""
    leaders = [stroke for stroke in map(leader_of, ([item] for item in items)) if stroke is not None]
    return any(meets(stroke, box) for stroke in leaders for box in boxes_of_words(words))


def _draw_marks(subject: Subject, view: View, marks: Sequence[LapMark], room: Room) -> list[Group]:
    groups = []
    anchors = {mark.n: mark.anchor for mark in subject.placement.marks}
    for mark in marks:
        spot = view.spot_of(mark)
        figures = ", ".join(both_ways(mark.along_mm, subject.units))
        name = f", {anchors[mark.n]}" if anchors.get(mark.n) else ""
        stays = ", stays" if mark.n in subject.placement.staying else ""
        title = f"mark {mark.n}{stays}{name}: {figures} from the {subject.ends[0]}"
        group = draw_mark(
            subject.name, mark.n, title, Stand(*spot.at, spot.along, spot.to_edge), subject.look_at(mark.n)
        )
        group = replace(group, tag="Figure")
        groups.append(group)
        look = subject.look_at(mark.n)
        rim = look.rim_mm if look.is_round else 0.0
        reach = subject.inward_at(mark.n) or subject.reaches_at(mark.n)[0]
        target = target_of(spot.at, spot.inward, rim, reach, box_of(group))
        if look.style == "buttonhole" and look.buttonhole is not None:
            way = look.buttonhole.way_in(spot.along, spot.inward)
            target = replace(target, round_slit_mm=look.rim_mm, slit=way)
        room.take_target(target)
    return groups


def _letter_strip(view: View, part: Part, rows: Sequence[Lettered], room: Room) -> tuple[Item, ...]:
    """Letter the strip, once for each stretch that is about a page long."""
    count = max(1, round((part.high_mm - part.low_mm) / _REPEAT_MM))
    step = (part.high_mm - part.low_mm) / count
    items: list[Item] = []
    for k in range(count):
        low = part.low_mm + step * k
        items += letter_rows(rows, view.spot_on_line, low, low + step, room, inside_only=k > 0)
    return tuple(items)


def _letter_far_edge(subject: Subject, view: View, rows: Sequence[Lettered], room: Room) -> tuple[Item, ...]:
    """Name an edge that lies far from the closing line beside itself: no long arrow is taken for a line."""
    edge, line_ = subject.lap.edge, subject.lap.line
    low, high = sorted(edge.nearest(end).along_mm for end in (line_.start, line_.end))
    if high - low < _BESIDE_EDGE_MM:
        low, high = 0.0, edge.length_mm

    def spot_at(along_mm: float) -> Spot:
        point, tangent = edge.point_at(along_mm), edge.tangent_at(along_mm)
        inward = subject.lap.inward(tangent)
        at = (point[0] + _HALF_LANES_MM * inward[0], point[1] + _HALF_LANES_MM * inward[1])
        return Spot(
            view.point(*at), view.direction(*tangent), view.direction(*inward), view.point(*point), _HALF_LANES_MM,
            _HALF_LANES_MM,
        )  # fmt: skip

    return letter_rows(rows, spot_at, low, high, room)


def _band_title(subject: Subject, part: Part) -> str:
    if part.count == 1 and part.before == part.after == "end":
        what = "the edge and the" if subject.is_piece_whole else "the band and its"
        return f"{subject.name} lap, {what} closing line"
    low, high = (both_ways(mm, subject.units)[0] for mm in (part.low_mm, part.high_mm))
    return f"{subject.name} lap, part {part.number} of {part.count}: the band from {low} to {high} along"


def orientations_of(placement: Placement, view: View) -> tuple[Orientation, ...]:
    """Which way the first end and the edge lie at every mark."""
    found = []
    for mark in placement.on(view.lap.name) or placement.marks:
        tx, ty = mark.tangent
        ix, iy = view.lap.inward(mark.tangent)
        at = (mark.x_mm, mark.y_mm)
        found.append(Orientation(view.point(*at), view.direction(-tx, -ty), view.direction(-ix, -iy), mark.n))
    return tuple(found)


def extent_of(drawing: LapDrawing) -> tuple[float, float, float, float]:
    """Find the box of a drawing with a little white round it."""
    return grown(union(box_of(item) for item in drawing.items), 2.0)


def spots_between(view: View, start_mm: float, end_mm: float, step_mm: float = 4.0) -> list[Spot]:
    """Places of the closing line, no further apart than the step."""
    length = view.lap.line.length_mm
    low, high = max(0.0, start_mm), min(length, end_mm)
    count = min(400, max(1, math.ceil((high - low) / step_mm)))
    return [view.spot_on_line(low + (high - low) * i / count) for i in range(count + 1)]
