"""The words on a strap's end: distances from its tip, what each setting closes at, the length left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways, lettered_along
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import INK, LINE, Item, Path, Pen, Point, Weight, arrow
from closures.drawing.sheets.labels import NAME_MM, Label, Line, place_label
from closures.drawing.sheets.lap_words import letter_band_at
from closures.drawing.sheets.view import Spot

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.sheets.strap_end import End
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement

_SMALL_MM = 2.8
_LEAST_MM = 2.0
_GAP_MM = 3.0
_STEP_MM = 4.0
_ROW_MM = 4.2
BREAK_MM = 5.1
"""How far the break line reaches beyond the place where the middle is left out."""


def letter_marks(
    end: End, placement: Placement, carried: Sequence[LapMark], reach: float, room: Room
) -> tuple[Item, ...]:
    """Number the marks of an end: with the distance from its tip, the height where heights differ, and
    on the under end the length that the strap closes at when the outermost cap sits there."""
    items: list[Item] = []
    for mark in carried:
        units = placement.plan.units
        first, second = both_ways(mark.from_tip_mm or 0.0, units)
        lines = [Line(first, weight="semibold"), Line(second)]
        if end.strap.has_heights:
            lines.append(Line(f"{both_ways(end.half - mark.y_mm, units)[0]} up", _SMALL_MM))
        if end.lap.name == "under" and not end.strap.sizes:
            setting = end.strap.closes_at(mark.from_tip_mm or 0.0, end.half - mark.y_mm)
            if setting is not None and len(end.strap.settings) > 1:
                weight: Weight = "semibold" if setting.is_target else "regular"
                lines.append(Line(f"closes {both_ways(setting.middle_mm, units)[0]}", _SMALL_MM, weight))
        above = mark.y_mm < -1e-6
        away = (0.0, -1.0) if above else (0.0, 1.0)
        outer = end.upper_mm + mark.y_mm if above else end.lower_mm - mark.y_mm
        at = end.view.point(*mark.at)
        label = Label(str(mark.n), tuple(lines), at, away, reach + 0.8, max(outer, reach) + _GAP_MM)
        placed = place_label(label, room)
        items += placed
        leader = placed[0] if placed else None
        if isinstance(leader, Path):
            room.take_path(leader.commands)
    return tuple(items)


def letter_tip(end: End, room: Room) -> tuple[Item, ...]:
    """Point out of the tip."""
    start = -end.allowance_mm - 3.0
    tail, head = end.at(start, 0.0), end.at(start - 9.0, 0.0)
    room.take_strip(tail, head, 1.4)
    x, y = end.at(start - 4.0, -3.4)
    name = lettered_along("tip", (x, y), (1.0, 0.0), NAME_MM, "semibold")
    room.take_strip((x - 3.0, y), (x + 3.0, y), 1.6)
    return (*arrow(tail, head, LINE), name)


def letter_break(end: End, placement: Placement, room: Room) -> tuple[Item, ...]:
    """Write across the break how much is left out, for every size where there are several."""
    strap, units = end.strap, placement.plan.units
    other = "under" if end.lap.name == "over" else "over"
    rows: list[tuple[str, float, Weight]] = [(f"left out, to the {other} end's break:", _SMALL_MM, "regular")]
    if strap.sizes:
        for size in strap.sizes:
            left_out = end.left_out_mm + size.finished_mm - strap.finished_mm
            rows.append((f"{size.name}: {' · '.join(both_ways(left_out, units))}", 3.3, "semibold"))
    else:
        rows.append((" · ".join(both_ways(end.left_out_mm, units)), NAME_MM, "semibold"))
    # Read with the head to the left, whichever way the strap runs, and row after row to the right.
    across = end.depth_mm + BREAK_MM
    outward = 1.0 if end.to_tip[0] < 0 else -1.0
    order = rows if outward > 0 else list(reversed(rows))
    items: list[Item] = []
    for k, (text, size_mm, weight) in enumerate(order):
        x, y = end.at(across + 3.2 + _ROW_MM * k, 0.0)
        items.append(lettered_along(text, (x, y), (0.0, -1.0), size_mm, weight))
        half = width_of(text, size_mm, weight) / 2
        room.take_strip((x, y - half), (x, y + half), 1.6)
    return tuple(items)


def letter_far_end(end: End, room: Room) -> tuple[Item, ...]:
    """Name the far tip of an end that is drawn whole."""
    other = "under" if end.lap.name == "over" else "over"
    away: Point = (-end.to_tip[0], -end.to_tip[1])
    named = (Line(f"{other} end", NAME_MM, "semibold"), Line("on its own sheet", _SMALL_MM))
    return place_label(Label("", named, end.at(end.depth_mm + end.far_allowance_mm, 0.0), away, 3.0, 3.0), room)


def letter_cloth(end: End, words: Sequence[str], reach: float, room: Room) -> tuple[Item, ...]:
    """Letter the cloth, with the corner that shows a wrong flip, where it meets nothing."""
    pen = INK if end.lap.name == "over" else Pen(0.5, fill=1.0)
    lanes = [-(end.half + reach) / 2, (end.half + reach) / 2, -end.half / 2, end.half / 2, 0.0]
    away = (-end.to_tip[0], -end.to_tip[1])
    for text in words:
        for lane in lanes:
            clear = 2 * min(end.half - abs(lane), 10.0)
            for k in range(int(end.depth_mm / _STEP_MM)):
                at = end.at(end.depth_mm - _STEP_MM * k, 0.0)
                spot = Spot(at, away, (0.0, 1.0), at, end.half, end.half)
                items = letter_band_at(spot, lane, clear, text, pen, room)
                if items:
                    return items
    return ()


def letter_allowance(end: End, units: str, room: Room) -> tuple[Item, ...]:
    """Say what lies between the finished edge and the cut line."""
    wide = end.strap.allowance_mm
    items: tuple[Item, ...] = ()
    size = min(2.6, 0.6 * wide)
    if size >= _LEAST_MM:
        shown = both_ways(wide, units)[0]
        for text in (f"seam allowance {shown}, cut on the outer line", f"seam allowance {shown}", shown):
            items = _along_side(end, text, size, end.half + wide / 2, room)
            if items:
                break
    if end.allowance_mm == wide or min(2.6, 0.6 * end.allowance_mm) < _LEAST_MM:
        return items
    turned = f"turn in {both_ways(end.allowance_mm, units)[0]}"
    at = end.at(-end.allowance_mm / 2, 0.0)
    return (*items, lettered_along(turned, at, (0.0, -1.0), 2.6, "regular"))


def letter_sides(end: End, room: Room) -> tuple[Item, ...]:
    """Name both long sides."""
    upper = "upper edge, on the fold" if end.strap.made == "folded" else "upper edge"
    return (
        *_along_side(end, upper, _SMALL_MM, -end.upper_mm - 2.6, room),
        *_along_side(end, "lower edge", _SMALL_MM, end.lower_mm + 2.6, room),
    )


def _along_side(end: End, text: str, size_mm: float, down_mm: float, room: Room) -> tuple[Item, ...]:
    """Set words along the strap at a depth, as near the tip as they meet nothing."""
    half = width_of(text, size_mm) / 2 + 0.6
    for k in range(int((end.depth_mm - 2 * half) / 2.0) + 1):
        x, y = end.at(half + 2.0 * k, down_mm)
        if room.is_free_strip((x - half, y), (x + half, y), size_mm * 0.36):
            room.take_strip((x - half, y), (x + half, y), size_mm * 0.36)
            return (lettered_along(text, (x, y), (1.0, 0.0), size_mm, "regular"),)
    return ()
