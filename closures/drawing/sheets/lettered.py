"""Rows of words beside a strip, each with the sign before it: an arrow to an end, the grain, the corner of a lap."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import corner_figure, lettered_along
from closures.drawing.ink.lettering import UNBROKEN, counts_kept_whole, width_of, wrapped
from closures.drawing.ink.shapes import INK, LINE, Item, Pen, Weight, Words, arrow
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.sheets.view import Spot

_ARROW_MM = 8.0
_CORNER_MM = 6.0
_HALF_GRAIN_MM = 6.8
# Words are read on from others that stand so near, in times their size; our own rule.
_NEXT_ROW, _NEXT_WORDS, _LEVEL, _AS_STEEP_DEG = 2.5, 2.0, 0.1, 10.0
_NAME_OF_LAP = re.compile(r"\b(OVER|UNDER) (LAP|END)\b")
PARTED_BY = " · "
"""Between what a row says first and what may stand on a row of its own."""


@frozen
class Lettered:
    """A row to be lettered along a strip.

    Attributes:
        text: the words; a line break parts them into two rows, one under the other.
        size_mm, weight: of the type.
        sign: what stands before them: a ``corner`` or ``small corner`` that shows a wrong flip, an arrow to the
            ``first end``, to the ``edge``, the ``grain``, or nothing. An arrow ``from words`` to the edge stands
            before none: it starts at the words themselves.
        solid: whether the corner is filled, as it is on the over lap.
        near_edge: whether it belongs beside the finished edge.
        way: unit direction of the grain, which is one for a whole piece; None where it runs with the words.
    """

    text: str
    size_mm: float
    weight: Weight = "semibold"
    sign: str = ""
    solid: bool = True
    near_edge: bool = False
    way: Point | None = None

    @property
    def sign_mm(self) -> float:
        """How much room the sign takes along the strip."""
        ways = {"corner": self.corner_mm + 1.6, "first end": _ARROW_MM + 1.4, "edge": 4.4, "grain": 15.4}
        return ways.get(self.sign.removeprefix("small "), 0.0)

    @property
    def corner_mm(self) -> float:
        """How large its corner is, where it has one: a small one is as high as the words."""
        return _CORNER_MM if self.sign == "corner" else 1.1 * self.size_mm

    @property
    def names_edge(self) -> bool:
        """Whether it names the edge, by an arrow to it."""
        return self.sign in ("edge", "from words")

    @property
    def lines(self) -> tuple[str, ...]:
        """Its words, row by row."""
        return tuple(self.text.split("\n"))

    @property
    def width_mm(self) -> float:
        """How much room the row takes along the strip."""
        return self.sign_mm + max(width_of(line, self.size_mm, self.weight) for line in self.lines)

    @property
    def half_more_mm(self) -> float:
        """Half of what rows after the first add to its height."""
        return 0.5 * self.leading_mm * (len(self.lines) - 1)

    @property
    def half_mm(self) -> float:
        """Half its height."""
        # Centred on its capitals, type reaches furthest where its tails hang.
        height = 0.55 * self.size_mm + self.half_more_mm
        return max(height, 0.5 * self.corner_mm if self.sign.endswith("corner") else 0.0)

    @property
    def leading_mm(self) -> float:
        """From row to row."""
        return 1.2 * self.size_mm


def in_two_rows(row: Lettered) -> Lettered:
    """A row's words in two rows of about the same width."""
    words = row.text.split()
    ways = [(" ".join(words[:k]), " ".join(words[k:])) for k in range(1, len(words))]
    both = min(ways, key=lambda way: max(map(len, way)), default=(row.text,))
    return replace(row, text="\n".join(both))


def in_rows_within(row: Lettered, width_mm: float) -> Lettered:
    """A row's words in rows so wide at the most, but for a word that is wider by itself; each saying begins a row.

    The name of a lap stays in one row: by it a piece is told, by those who tape it and by what reads finished pages.
    """
    text = _NAME_OF_LAP.sub(rf"\1{UNBROKEN}\2", counts_kept_whole(row.text))
    longest = max((width_of(word, row.size_mm, row.weight) for word in text.split(" ")), default=0.0)
    room = max(width_mm - row.sign_mm, longest)
    lines = [line for one in text.split(PARTED_BY) for line in wrapped(one, row.size_mm, room, row.weight)]
    return replace(row, text="\n".join(lines))


def set_row(row: Lettered, spot: Spot, depth: float) -> tuple[Item, ...]:
    """Draw a row, its middle so far inwards from a place; its sign before it, but for an arrow to the edge."""
    half = row.width_mm / 2
    back = (-spot.along[0], -spot.along[1])
    # Words read with the strip's own top up; the sign stands at their beginning.
    way = way_along(spot)
    sign_at = -way * (half - row.sign_mm / 2)
    # The rows follow each other downwards as they are read.
    down = down_inwards(spot)
    middle, count = way * row.sign_mm / 2, len(row.lines)
    words = tuple(
        lettered_along(
            text,
            spot.moved(middle, depth + down * row.leading_mm * (k - (count - 1) / 2)),
            spot.along,
            row.size_mm,
            row.weight,
        )
        for k, text in enumerate(row.lines)
    )
    if row.sign.endswith("corner"):
        pen = INK if row.solid else Pen(0.5, fill=1.0)
        return (corner_figure(spot.moved(sign_at, depth), back, spot.to_edge, row.corner_mm, pen), *words)
    if row.sign == "first end":
        ends = spot.moved(sign_at + _ARROW_MM / 2, depth), spot.moved(sign_at - _ARROW_MM / 2, depth)
        return (*arrow(*ends, LINE, 2.6), *words)
    if row.sign == "grain":
        tail, tips = spot.moved(sign_at, depth), grain_tips(row, spot, depth)
        return (*arrow(tail, tips[0], LINE, 2.4), *arrow(tail, tips[1], LINE, 2.4), *words)
    return words


def is_read_on(words: Words, after: Words) -> bool:
    """Whether words, centred like those that they go on from, stand on the row under them or beside their end."""
    if abs(after.angle_deg - words.angle_deg) > _AS_STEEP_DEG:
        return False
    cos, sin = math.cos(math.radians(words.angle_deg)), math.sin(math.radians(words.angle_deg))
    dx, dy = after.x - words.x, after.y - words.y
    on, down = dx * cos + dy * sin, dy * cos - dx * sin
    halves = [width_of(one.text, one.size_mm, one.weight) / 2 for one in (words, after)]
    if abs(down) <= _LEVEL * words.size_mm:
        return 0.0 < on - sum(halves) <= _NEXT_WORDS * words.size_mm
    return 0.0 < down <= _NEXT_ROW * words.size_mm and abs(on) <= max(halves)


def grain_tips(row: Lettered, spot: Spot, depth: float) -> tuple[Point, Point]:
    """Both ends of the arrow along the grain."""
    x, y = spot.moved(-way_along(spot) * (row.width_mm / 2 - row.sign_mm / 2), depth)
    dx, dy = row.way or spot.along
    return (x - _HALF_GRAIN_MM * dx, y - _HALF_GRAIN_MM * dy), (x + _HALF_GRAIN_MM * dx, y + _HALF_GRAIN_MM * dy)


def down_inwards(spot: Spot) -> float:
    """Whether rows that follow each other go inwards, 1, or out to the edge, -1, as words along a strip are read."""
    return -way_along(spot) * (spot.along[1] * spot.inward[0] - spot.along[0] * spot.inward[1])


def way_along(spot: Spot) -> float:
    """Whether words read with the strip's own top up run along it, 1, or against it, -1."""
    return 1.0 if spot.along[0] > 1e-9 or (abs(spot.along[0]) <= 1e-9 and spot.along[1] < 0) else -1.0
