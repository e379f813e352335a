"""The drawing of one end of a strap, or of a part of it: its finished edge, cut line and fold, its marks, its words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve import Curve, Line, parallel
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import CLOSING, FOLD, HEAVY, LINE, Group, Item, Path, Words, line
from closures.drawing.paper.joins import (
    draw_break,
    draw_join_after,
    draw_join_before,
    lines_end_mm,
    words_laid_on,
    words_on_top,
)
from closures.drawing.paper.parts import Part
from closures.drawing.sheets.astray import is_astray, leader_of
from closures.drawing.sheets.labels import Label, place_label, target_of
from closures.drawing.sheets.lanes import letter_rows
from closures.drawing.sheets.lettered import Lettered
from closures.drawing.sheets.marks import Stand, draw_mark
from closures.drawing.sheets.sheet_text import KeepClear, LapDrawing, Orientation
from closures.drawing.sheets.strap_words import (
    break_rows,
    letter_allowance,
    letter_far_end,
    letter_lower_edge,
    letter_names,
    letter_tip,
    mark_labels,
    untold,
)
from closures.placing.strap.outline import end_outline

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Command, Point
    from closures.drawing.sheets.strap_view import End
    from closures.plan.strap import TipShape

_FAR_MM = 60.0
# Of an outline that bends round a tip: words in an allowance of a few mm stand close by it.
_FINELY_MM = 0.5


def whole_end(end: End) -> Part:
    """The part that is all of an end that is drawn."""
    return Part(0.0, end.depth_mm, "end", "end")


def draw_end(end: End, part: Part, rows: Sequence[Lettered]) -> LapDrawing:
    """Draw one end of a strap, or a part of it.

    Args:
        end: the end.
        part: from where to where, measured from the tip.
        rows: what is lettered on the cloth.
    """
    room = Room()
    is_last = part.after == "end"
    edge, outline = _draw_outline(end)
    middle = line(end.at(0.0, 0.0), end.at(end.depth_mm, 0.0), pen=CLOSING)
    ends = _draw_ends(end, part, room)
    for item in outline:
        if isinstance(item, Path):
            room.take_path(item.commands, _FINELY_MM)
    carried = [mark for mark in end.carried() if part.low_mm <= (mark.from_tip_mm or 0.0) <= part.high_mm]
    groups: list[Item] = []
    ways = [sorted(labels, key=lambda one: not one.head) for labels in mark_labels(end, carried)]
    for mark, label in zip(carried, ways[-1], strict=True):
        stand = Stand(*end.view.point(*mark.at), (0.0, 1.0), end.to_tip)
        title = f"mark {mark.n}: {mark.from_tip_mm or 0.0:.1f} mm from the {end.lap.name} end's tip"
        group = draw_mark(end.lap.name, mark.n, title, stand, end.subject.look)
        groups.append(replace(group, tag="Figure"))
        look = end.subject.look
        rim = look.rim_mm if look.is_round else 0.0
        room.take_target(target_of(label.at, label.away, rim, label.reach_mm, box_of(group)))
    room.take_path(middle.commands)
    words: list[Item] = [*(letter_tip(end, room) if part.low_mm <= 0.0 else ())]
    numbered, cut_off, labels, room = _number_marks(end, ways, room)
    words += numbered
    if is_last and not end.left_out_mm:
        words += letter_far_end(end, room)
    kept = [row for row in rows if row.weight == "bold"]
    named, left = letter_names(kept, end, part, room)
    words += named
    lower = letter_lower_edge(end, part, room, is_beyond=False)
    words += letter_allowance(end, part, room)
    rest = (*left, *(row for row in rows if row not in kept))
    words += letter_rows(rest, end.spot, part.low_mm, part.high_mm, room)
    words += lower or letter_lower_edge(end, part, room, is_beyond=True)
    shapes: tuple[Item, ...] = (*outline, middle)
    title = f"{end.lap.name} end of the {end.strap.piece}"
    items: tuple[Item, ...] = (
        Group("strap", title, shapes, clip=_clip(end, part), tag="Figure"),
        *ends,
        Group("words", "numbers and names", tuple(words)),
        *groups,
    )
    rim = max(end.subject.look.rim_mm, 2.5)
    clear = tuple(KeepClear(m.n, *end.view.point(*m.at), rim) for m in carried)
    course = tuple(Orientation(end.view.point(*m.at), end.to_tip, (0.0, -1.0), m.n) for m in carried)
    names = ("its name" if row.sign else "which face is up" for row in left if row.size_mm == end.subject.type.text)
    numbers = (f"number{'s' if len(cut_off) > 1 else ''} {', '.join(sorted(cut_off, key=int))}",) if cut_off else ()
    return LapDrawing(items, edge, clear, course, (*numbers, *names), untold(ways[-1], labels))


def _number_marks(
    end: End, ways: Sequence[Sequence[Label]], room: Room
) -> tuple[list[Item], tuple[str, ...], Sequence[Label], Room]:
    """Number the marks in the first way that leaves no figure by another mark, and most numbers within the edge.

    Returns:
        The words, which numbers stand outside, the labels, and the room with the words in it.
    """
    tried: list[tuple[int, tuple[str, ...], Sequence[Label], Room, list[Item]]] = []
    for labels in ways:
        trial = room.copy()
        items: list[Item] = []
        outside: list[str] = []
        leaders: list[tuple[Point, Point]] = []
        astray = 0
        for label in labels:
            placed = place_label(label, trial)
            items += placed
            head = [one for one in placed if isinstance(one, Words) and one.text == label.head]
            outside += [label.head for one in head if not end.holds(box_of(one))]
            leader = leader_of(placed)
            astray += is_astray(label, placed, leaders, trial)
            leaders += [leader] if leader else []
        tried.append((astray, tuple(outside), labels, trial, items))
        if not outside and not astray:
            break
    _, cut_off, labels, taken, words = min(tried, key=lambda one: (one[0], len(one[1])))
    return words, cut_off, labels, taken


def _clip(end: End, part: Part) -> tuple[tuple[float, float], ...]:
    """The corners of what a part shows; none where it is the whole end."""
    if part.before != "join" and part.after != "join":
        return ()
    low = part.low_mm if part.before == "join" else -_FAR_MM
    high = part.high_mm + lines_end_mm() if part.after == "join" else end.depth_mm + _FAR_MM
    up, down = -end.upper_mm - _FAR_MM, end.lower_mm + _FAR_MM
    return (end.at(low, up), end.at(high, up), end.at(high, down), end.at(low, down))


def _draw_ends(end: End, part: Part, room: Room) -> list[Item]:
    size = end.subject.type.figure
    items: list[Item] = []
    if part.before == "join":
        words = words_laid_on((end.name, end.lap.name), part.number - 1, part.letter_before, is_lap=True)
        items.append(draw_join_before(end.outer_spot(part.low_mm), part.letter_before, words, size, room))
    if part.after == "join":
        words = words_on_top((end.name, end.lap.name), part.number + 1, part.letter_after, part.count)
        items.append(draw_join_after(end.outer_spot(part.high_mm), part.letter_after, words, size, room))
    elif end.left_out_mm:
        items.append(draw_break(end.outer_spot(end.depth_mm), True, break_rows(end), size, room)[0])
    return items


def _draw_outline(end: End) -> tuple[Path, tuple[Item, ...]]:
    """Draw the finished edge and the cut line as far as the end goes; both tips where it is whole."""
    strap = end.strap
    own: TipShape = strap.ends if end.lap.name == "over" else "square"
    far: TipShape = "square" if end.lap.name == "over" else strap.ends
    drawn = [(end.tip.at[0], 1 if end.tip.inwards[0] < 0 else -1, own, end.allowance_mm)]
    length = end.depth_mm
    if not end.left_out_mm:
        length = strap.finished_mm / 2
        far_x = end.tip.at[0] + end.tip.inwards[0] * strap.finished_mm
        drawn.append((far_x, -drawn[0][1], far, end.far_allowance_mm))
    items: list[Item] = []
    commands: list[Command] = []
    for at_x, way, shape, allowance in drawn:
        curve, _ = end_outline(at_x, 1 if way > 0 else -1, strap.width_mm, length, shape, strap.corner_mm)
        finished = end.view.path(curve)
        commands += finished
        if strap.fold:
            # The outline runs from its upper long side round the tip to its lower one.
            is_upper = strap.fold == "upper edge"
            parted = curve.segments[0].length_mm if is_upper else curve.length_mm - curve.segments[-1].length_mm
            above, below = curve.stretch(0.0, parted), curve.stretch(parted, curve.length_mm)
            items.append(Path(end.view.path(above), FOLD if is_upper else HEAVY))
            items.append(Path(end.view.path(below), HEAVY if is_upper else FOLD))
        else:
            items.append(Path(finished, HEAVY))
        if (allowance or strap.allowance_mm) and (shape == "square" or strap.allowance_mm):
            items.append(Path(end.view.path(_cut_line(end, at_x, way, length, shape, allowance)), LINE))
    return Path(tuple(commands), HEAVY), tuple(items)


def _cut_line(end: End, at_x: float, way: int, length: float, shape: TipShape, allowance: float) -> Curve:
    """The line to cut on: beyond the tip by that end's allowance, and by the strap's along the sides."""
    side, half, fold = end.strap.allowance_mm, end.half, end.strap.fold
    if shape != "rounded":
        far = -length
        if shape == "square":
            lower = [(allowance, half + side), (far, half + side)]
        else:
            # The cut line of a right-angled point lies side * sqrt 2 further out; it is blunted at the
            # allowance, so that the strap takes no more than its cut length.
            blunt, turn = side * (math.sqrt(2.0) - 1.0), side * math.sqrt(2.0) - side - half
            lower = [(side, blunt), (turn, half + side), (far, half + side)]
        upper = [(out, -down) for out, down in reversed(lower)]
        if fold:
            upper = [(allowance if shape == "square" else side * math.sqrt(2.0) - half, -half), *upper[-1:]]
            upper = upper[:1] if shape == "square" else upper
        # Both long sides are alike but for the fold.
        down_way = -1 if fold == "lower edge" else 1
        corners = [(at_x + way * out, down_way * down) for out, down in (*upper, *lower)]
        return Curve(tuple(Line(a, b) for a, b in pairwise(corners)))
    # Walking from the upper side round the tip, cloth lies on the right hand where the tip points right.
    curve, _ = end_outline(at_x, 1 if way > 0 else -1, end.strap.width_mm, length, shape, end.strap.corner_mm)
    outer = parallel(curve, -way * side, "cut line")
    if not fold:
        return outer
    if fold == "lower edge":
        return outer.stretch(0.0, outer.crossings_of_level(half)[-1])
    return outer.stretch(outer.crossings_of_level(-half)[0], outer.length_mm)
