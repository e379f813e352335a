"""The drawing of one end of a strap: its finished edge, cut line and fold, its marks, and its break.

The strap lies level with its upper edge up. An end is drawn from its tip to a *break* behind its
last mark, where the middle is left out and its length written, or whole to the far tip.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve import Curve, Line, parallel
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.room import Room
from closures.drawing.ink.shapes import CLOSING, FINE, HEAVY, LINE, Group, Item, Path, Pen, Point, line
from closures.drawing.sheets.lap_drawing import Course, KeepClear, LapDrawing
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.drawing.sheets.strap_words import (
    letter_allowance,
    letter_break,
    letter_cloth,
    letter_far_end,
    letter_marks,
    letter_sides,
    letter_tip,
)
from closures.drawing.sheets.view import View
from closures.placing.strap.outline import end_outline

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.drawing.ink.shapes import Command
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Lap, Tip
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap
    from closures.plan.strap import TipShape

WHOLE_UP_TO_MM = 300.0
"""A strap no longer than the long side of paper at home is drawn whole."""

TAIL_MM = 20.0
"""Behind the rim of the last mark, so that the end lies well on the cloth and its words find room."""

_LEAST_BREAK_MM = 40.0
FOLD = Pen(0.5, (9.0, 1.6, 1.6, 1.6))
_ZIGZAG_MM = 3.5


@dataclass(frozen=True, slots=True)
class End:
    """One end of a strap as it is seen.

    Attributes:
        strap: the strap.
        lap: which end.
        view: how it is seen.
        tip: its tip, in the garment's own frame.
        depth_mm: how far it is drawn from the tip.
        left_out_mm: what the break leaves out; 0 where the strap is drawn whole.
        allowance_mm: beyond the tip.
        far_allowance_mm: beyond the far tip.
    """

    strap: Strap
    lap: Lap
    view: View
    tip: Tip
    depth_mm: float
    left_out_mm: float
    allowance_mm: float
    far_allowance_mm: float

    @property
    def half(self) -> float:
        """Half the finished width, in mm."""
        return self.strap.width_mm / 2

    @property
    def upper_mm(self) -> float:
        """From the middle line up to the outermost line drawn."""
        return self.half + (0.0 if self.strap.made == "folded" else self.strap.allowance_mm)

    @property
    def lower_mm(self) -> float:
        """From the middle line down to the outermost line drawn."""
        return self.half + self.strap.allowance_mm

    @property
    def to_tip(self) -> Point:
        """Unit direction towards the tip, as seen."""
        x, y = self.tip.inwards
        return self.view.direction(-x, -y)

    def at(self, inwards_mm: float, down_mm: float) -> Point:
        """See the place so far inwards from the tip and so far below the middle line."""
        x, y = self.tip.at
        return self.view.point(x + inwards_mm * self.tip.inwards[0], y + down_mm)


def make_end(placement: Placement, view: View, whole: bool) -> End:
    """Find how much of an end is drawn.

    Args:
        placement: of a strap.
        view: which end, and how it is seen.
        whole: draw the strap to its far tip whatever its length.

    Raises:
        ValueError: the placement is not of a strap.
    """
    strap, tip = placement.strap, view.lap.tip
    if strap is None or tip is None:
        raise ValueError("only a strap has ends")
    depths: dict[LapName, float] = {lap.name: _depth(placement, lap.name) for lap in placement.laps.both}
    left_out = strap.finished_mm - depths["over"] - depths["under"]
    if whole or strap.finished_mm <= WHOLE_UP_TO_MM or left_out < _LEAST_BREAK_MM:
        depth, left_out = strap.finished_mm, 0.0
    else:
        depth = depths[view.lap.name]
    own, far = strap.allowance_mm, strap.under_allowance_mm
    if view.lap.name == "under":
        own, far = far, own
    return End(strap, view.lap, view, tip, depth, left_out, own, far)


def _depth(placement: Placement, lap: LapName) -> float:
    """A whole number of cm, so that the break is easily measured."""
    strap = placement.strap
    seats = () if strap is None else strap.on(lap)
    far = max(seat.from_tip_mm for seat in seats) + placement.fastener.rim_mm
    if strap is not None and lap == "over" and strap.ends != "square":
        far = max(far, strap.width_mm / 2)
    return 10.0 * math.ceil((far + TAIL_MM) / 10.0 - 1e-9)


def draw_end(placement: Placement, end: End, cloth_words: Sequence[str], buttonhole: Buttonhole | None) -> LapDrawing:
    """Draw one end of a strap.

    Args:
        placement: of the strap.
        end: the end.
        cloth_words: what is lettered on the cloth itself, the fullest wording first.
        buttonhole: the buttonhole of a button, None for other closures.
    """
    room = Room()
    look = look_of(placement.fastener, end.lap.name, buttonhole)
    edge, outline = _draw_outline(end)
    middle = line(end.at(0.0, 0.0), end.at(end.depth_mm, 0.0), pen=CLOSING)
    cross = _draw_break(end) if end.left_out_mm else ()
    for item in (*outline, *cross):
        if isinstance(item, Path):
            room.take_path(item.commands)
    carried = placement.on(end.lap.name)
    groups: list[Item] = []
    for mark in carried:
        stand = Stand(*end.view.point(*mark.at), (0.0, 1.0), end.to_tip)
        title = f"mark {mark.n}: {mark.from_tip_mm or 0.0:.1f} mm from the {end.lap.name} end's tip"
        group = draw_mark(end.lap.name, mark.n, title, stand, look)
        groups.append(group)
        room.take(box_of(group))
    words: list[Item] = []
    words += letter_tip(end, room)
    words += letter_break(end, placement, room) if end.left_out_mm else letter_far_end(end, room)
    words += letter_marks(end, placement, carried, reach_mm(look), room)
    room.take_path(middle.commands)
    words += letter_cloth(end, cloth_words, reach_mm(look), room)
    words += letter_allowance(end, placement.plan.units, room)
    words += letter_sides(end, room)
    items: tuple[Item, ...] = (
        Group("strap", f"{end.lap.name} end of the {end.strap.piece}", (*outline, middle, *cross)),
        Group("words", "numbers and names", tuple(words)),
        *groups,
    )
    clear = tuple(KeepClear(m.n, *end.view.point(*m.at), max(look.rim_mm, 2.5)) for m in carried)
    course = tuple(Course(end.view.point(*m.at), end.to_tip, (0.0, -1.0), m.n) for m in carried)
    return LapDrawing(items, edge, clear, course)


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
        curve, _ = end_outline(at_x, 1 if way > 0 else -1, strap.width_mm, length, shape)
        finished = end.view.path(curve)
        commands += finished
        if strap.made == "folded":
            upper = curve.segments[0].length_mm
            items.append(Path(end.view.path(curve.stretch(0.0, upper)), FOLD))
            items.append(Path(end.view.path(curve.stretch(upper, curve.length_mm)), HEAVY))
        else:
            items.append(Path(finished, HEAVY))
        if (allowance or strap.allowance_mm) and (shape == "square" or strap.allowance_mm):
            items.append(Path(end.view.path(_cut_line(end, at_x, way, length, shape, allowance)), LINE))
    return Path(tuple(commands), HEAVY), tuple(items)


def _cut_line(end: End, at_x: float, way: int, length: float, shape: TipShape, allowance: float) -> Curve:
    """The line to cut on: beyond the tip by that end's allowance, and by the strap's along the sides."""
    side, half = end.strap.allowance_mm, end.half
    folded = end.strap.made == "folded"
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
        if folded:
            upper = [(allowance if shape == "square" else side * math.sqrt(2.0) - half, -half), *upper[-1:]]
            upper = upper[:1] if shape == "square" else upper
        corners = [(at_x + way * out, down) for out, down in (*upper, *lower)]
        return Curve(tuple(Line(a, b) for a, b in pairwise(corners)))
    # Walking from the upper side round the tip, cloth lies on the right hand where the tip points right.
    curve, _ = end_outline(at_x, 1 if way > 0 else -1, end.strap.width_mm, length, shape)
    outer = parallel(curve, -way * side, "cut line")
    if not folded:
        return outer
    return outer.stretch(outer.crossings_of_level(-half)[0], outer.length_mm)


def _draw_break(end: End) -> tuple[Item, ...]:
    """Draw the line across the strap where the middle is left out."""
    d, z = end.depth_mm, _ZIGZAG_MM
    top, bottom = -end.upper_mm - 3.0, end.lower_mm + 3.0
    places = ((0.0, top), (0.0, -z), (z, -z / 2), (-z, z / 2), (0.0, z), (0.0, bottom))
    first = line(*(end.at(d + a, b) for a, b in places), pen=LINE)
    second = line(*(end.at(d + 1.6 + a, b) for a, b in places), pen=FINE)
    return (first, second)
