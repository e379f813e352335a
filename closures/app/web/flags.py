"""Flags: the names of fixed places and clear stretches beside the picture, and what moves them."""

from __future__ import annotations

import math
from html import escape
from typing import TYPE_CHECKING

from closures.app.web.ink import SEAM, reach, room_for, steady, tag, through, words
from closures.app.web.met import worn_laps
from closures.drawing.sheets.view import View
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.meeting import PlacedAnchor

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.app.job import Answer
    from closures.app.web.moves import Steps
    from closures.drawing.ink.shapes import Box, Point
    from closures.placing.meeting import PlacedZone

_STRIP_STEP_MM = 12.0
_MOST_STRIPS = 40


@frozen
class Flags:
    """Everything drawn for fixed places and clear stretches.

    Attributes:
        under: what lies beneath the marks.
        over: what lies on top, with the handles.
        boxes: the room that the names take.
        reach_mm: how far they reach from the closing line.
    """

    under: str
    over: str
    boxes: tuple[Box, ...]
    reach_mm: float


@frozen
class _Stand:
    """One flag: where it belongs on the line, and where there is room for its name."""

    along_mm: float
    beside_mm: float


def draw_flags(answer: Answer, view: View, em: float, steps: Steps | None = None) -> Flags:
    """Draw the fixed places and the clear stretches of a placement.

    Args:
        answer: the placement.
        view: the over lap, from outside.
        em: size of the lettering, in mm.
        steps: how far a key moves each of them; None where they are no handles.
    """
    placement = answer.placement
    laps = worn_laps(placement)
    beyond = View(laps, laps.under, False)
    drawer = _Drawer(answer, view, beyond, em, steps)
    things: list[tuple[float, PlacedAnchor | PlacedZone, int]] = [
        *((anchor.along_mm, anchor, n) for n, anchor in enumerate(placement.anchors)),
        *((_middle(zone), zone, n) for n, zone in enumerate(placement.zones) if zone.stretches_mm),
    ]
    things.sort(key=lambda thing: thing[0])
    stands = _apart([thing[0] for thing in things], 1.9 * em, laps.line.length_mm)
    under: list[str] = []
    over: list[str] = []
    for (along, thing, n), beside in zip(things, stands, strict=True):
        stand = _Stand(along, beside)
        if isinstance(thing, PlacedAnchor):
            over.append(drawer.anchor(thing, n, stand))
        else:
            under.append(drawer.strip(thing))
            over.append(drawer.zone(thing, n, stand))
    return Flags(SEAM.join(under), SEAM.join(over), tuple(drawer.boxes), drawer.reach_mm)


def _middle(zone: PlacedZone) -> float:
    low, high = zone.stretches_mm[0]
    return (low + high) / 2


def _apart(places: Sequence[float], least: float, length: float) -> list[float]:
    """Move names apart along the line until each has room, those at the far end back onto it."""
    moved: list[float] = []
    for place in places:
        moved.append(max(place, moved[-1] + least) if moved else place)
    for i in range(len(moved) - 1, -1, -1):
        most = length if i == len(moved) - 1 else moved[i + 1] - least
        moved[i] = min(moved[i], max(most, 0.0))
    return moved


class _Drawer:
    """Draws the flags of one placement and keeps the room that they take."""

    def __init__(self, answer: Answer, view: View, beyond: View, em: float, steps: Steps | None) -> None:
        self.steps = steps
        self.placement, self.view, self.beyond, self.em = answer.placement, view, beyond, em
        self.units = self.placement.plan.units
        self.boxes: list[Box] = []
        self.reach_mm = 0.0

    def strip(self, zone: PlacedZone) -> str:
        parts = []
        for low, high in zone.stretches_mm:
            count = min(_MOST_STRIPS, max(1, round((high - low) / _STRIP_STEP_MM)))
            places = [low + (high - low) * i / count for i in range(count + 1)]
            inner, beyond = self._reach((low + high) / 2)
            near = [self._aside(place, inner) for place in places]
            far = [self._aside(place, -beyond) for place in places]
            area = through([*near, *reversed(far)], closed=True)
            parts.append(tag("path", d=area, class_="zone"))
            parts.append(tag("path", d=area, fill="url(#barred)"))
        return "".join(parts)

    def anchor(self, anchor: PlacedAnchor, n: int, stand: _Stand) -> str:
        at, text_at, side = self._places(stand)
        half = 0.55 * self.em
        diamond = through([(-half, 0.0), (0.0, -half), (half, 0.0), (0.0, half)], closed=True)
        inside = (
            tag("path", d=through([self._aside(anchor.along_mm, 0.0), at]), class_="leader")
            + reach(at)
            + steady(
                at,
                tag("circle", r=1.15 * self.em, class_="hold")
                + tag("path", d=diamond, class_="anchor")
                + self._name(anchor.name, at, text_at, side),
            )
        )
        return self._handle(inside, "anchor", n, "whole", anchor.along_mm, anchor.name)

    def zone(self, zone: PlacedZone, n: int, stand: _Stand) -> str:
        low, high = zone.stretches_mm[0]
        at, text_at, side = self._places(stand)
        beyond = -self._reach((low + high) / 2)[1] - 0.6 * self.em
        ends = [self._aside(place, beyond) for place in (low, high)]
        bracket = tag("path", d=through([*ends]), class_="bracket")
        across, up = 0.5 * self.em, 0.35 * self.em
        grip = through([(-across, -up), (across, -up)]) + through([(-across, up), (across, up)])
        whole = (
            tag("path", d=through([self._aside((low + high) / 2, 0.0), at]), class_="leader")
            + reach(at)
            + steady(
                at,
                tag("circle", r=1.15 * self.em, class_="hold")
                + tag("circle", r=0.75 * self.em, class_="knob")
                + tag("path", d=grip, class_="grip")
                + self._name(zone.name, at, text_at, side),
            )
        )
        if len(zone.stretches_mm) > 1:
            return bracket + tag("g", whole, class_="flag")
        handles = [self._handle(whole, "clear", n, "whole", (low + high) / 2, f"{zone.name}, all of it")]
        for place, part, where in ((low, "from", "upper end"), (high, "to", "lower end")):
            half = 0.3 * self.em
            knob = tag("circle", r=0.75 * self.em, class_="hold")
            knob += tag("rect", x=-half, y=-half, width=2 * half, height=2 * half, class_="anchor")
            held = reach(self._aside(place, beyond)) + steady(self._aside(place, beyond), knob)
            handles.append(self._handle(held, "clear", n, part, place, f"{zone.name}, {where}"))
        return bracket + "".join(handles)

    def _handle(self, inside: str, what: str, n: int, part: str, along: float, label: str) -> str:
        if self.steps is None:
            return tag("g", inside, class_="still")
        length = self.placement.laps.as_worn.line.length_mm
        return tag(
            "g",
            inside,
            id=f"handle-{what}-{n}-{part}",
            class_="handle",
            role="slider",
            tabindex=0,
            aria_label=label,
            aria_orientation="vertical",
            aria_valuemin=0,
            aria_valuemax=round(length, 1),
            aria_valuenow=round(along, 1),
            aria_valuetext=f"{format_length(along, self.units)} from the {self.placement.ends[0]}",
            data_what=what,
            data_n=n,
            data_part=part,
            data_along=f"{along:.6f}",
            data_step=f"{self.steps(what, n, part):.6f}",
        )

    def _name(self, name: str, root: Point, at: Point, side: str) -> str:
        shown = name if len(name) <= 24 else f"{name[:22]}…"
        wide = room_for(shown) * self.em
        low = {"start": at[0], "middle": at[0] - wide / 2, "end": at[0] - wide}[side]
        self.boxes.append((low, at[1] - self.em, low + wide, at[1] + self.em))
        hung = (at[0] - root[0], at[1] - root[1])
        return tag("title", escape(name)) + words(shown, hung, self.em, "flag", side)

    def _places(self, stand: _Stand) -> tuple[Point, Point, str]:
        """Where the knob of a flag stands, where its name begins, and which way that runs."""
        reach = self._reach(stand.beside_mm)[1] + 2.0 * self.em
        self.reach_mm = max(self.reach_mm, reach)
        at, text_at = (self._aside(stand.beside_mm, -reach - more) for more in (0.0, 1.1 * self.em))
        way = (text_at[0] - at[0]) / (1.1 * self.em)
        side = "middle" if abs(way) < 0.35 else "start" if way > 0 else "end"
        return at, text_at, side

    def _reach(self, along: float) -> tuple[float, float]:
        """How far the bands reach at a place: the over lap's inwards, the under lap's the other way."""
        along = min(along, self.placement.laps.as_worn.line.length_mm)
        over, under = self.view.spot(along), self.beyond.spot(along)
        return over.to_inner_mm, max(math.dist(over.at, under.at) + under.to_inner_mm, over.to_edge_mm)

    def _aside(self, along: float, inwards: float) -> Point:
        """The place so far inwards from the line, square to it; seen from outside, as the garment is worn."""
        laps = self.placement.laps.as_worn
        along = min(along, laps.line.length_mm)
        return laps.over.moved_in(laps.line.point_at(along), laps.line.tangent_at(along), inwards)
