"""Turning and moving shapes without changing their size, as paper is turned on a table."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.ink.shapes import Circle, Command, Group, Item, Path, Point, Words, mapped
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


@frozen
class Rigid:
    """A turn about the origin, then a move: lengths and angles stay, and nothing is mirrored.

    Attributes:
        cos, sin: of the turn; a positive angle turns clockwise, as y runs down.
        dx, dy: the move, in mm.
    """

    cos: float = 1.0
    sin: float = 0.0
    dx: float = 0.0
    dy: float = 0.0

    @property
    def angle_deg(self) -> float:
        """The turn, from -180 to 180 degrees."""
        return math.degrees(math.atan2(self.sin, self.cos))

    def point(self, at: Point) -> Point:
        """Where a point comes to lie."""
        x, y = at
        return (self.cos * x - self.sin * y + self.dx, self.sin * x + self.cos * y + self.dy)

    def back(self, at: Point) -> Point:
        """Where a point lay before."""
        x, y = at[0] - self.dx, at[1] - self.dy
        return (self.cos * x + self.sin * y, self.cos * y - self.sin * x)

    def direction(self, way: Point) -> Point:
        """Which way a direction comes to point."""
        x, y = way
        return (self.cos * x - self.sin * y, self.sin * x + self.cos * y)

    def spans(self, points: Sequence[Point]) -> Point:
        """How wide and how high points lie apart once they are turned."""
        # In plain numbers: this is asked some hundred times for every strip that is cut.
        cos, sin = self.cos, self.sin
        across = [cos * x - sin * y for x, y in points]
        down = [sin * x + cos * y for x, y in points]
        return (max(across) - min(across), max(down) - min(down))

    def then_moved(self, dx: float, dy: float) -> Rigid:
        """The same, moved further."""
        return replace(self, dx=self.dx + dx, dy=self.dy + dy)

    def commands(self, commands: Iterable[Command]) -> tuple[Command, ...]:
        """Place the points of a path."""
        if self == UNTURNED:
            return tuple(commands)
        placed: list[Command] = []
        for name, *rest in commands:
            numbers = [float(value) for value in rest]
            points = [self.point(pair) for pair in zip(numbers[0::2], numbers[1::2], strict=True)]
            placed.append((name, *(value for point in points for value in point)))
        return tuple(placed)

    def item(self, item: Item) -> Item:
        """Place a shape."""
        if isinstance(item, Path):
            return replace(item, commands=self.commands(item.commands))
        if isinstance(item, Group):
            clip = tuple(self.point(corner) for corner in item.clip)
            return replace(item, items=tuple(self.item(part) for part in item.items), clip=clip)
        x, y = self.point((item.x, item.y))
        if isinstance(item, Circle):
            return replace(item, x=x, y=y)
        return replace(item, x=x, y=y, angle_deg=_turned(item, self.angle_deg))


def _turned(words: Words, by_deg: float) -> float:
    angle = words.angle_deg + by_deg
    # Rounded, so that lettering that stands upright does so to the last digit.
    return round((angle + 180.0) % 360.0 - 180.0, 9) if angle else 0.0


UNTURNED = Rigid()
QUARTER = Rigid(0.0, 1.0)
"""A quarter turn clockwise."""


def along_x(start: Point, end: Point) -> Rigid:
    """The turn after which one point lies straight to the right of another; nothing is moved yet."""
    far = math.dist(start, end) or 1.0
    return Rigid((end[0] - start[0]) / far, -(end[1] - start[1]) / far)


def enlarged(item: Item, by: float) -> Item:
    """Draw a shape larger about the origin, its lettering with it, its pens as they are."""
    if isinstance(item, Path):
        return replace(item, commands=mapped(item.commands, by, by, 0.0, 0.0))
    if isinstance(item, Group):
        clip = tuple((by * x, by * y) for x, y in item.clip)
        return replace(item, items=tuple(enlarged(part, by) for part in item.items), clip=clip)
    if isinstance(item, Circle):
        return replace(item, x=by * item.x, y=by * item.y, r=by * item.r)
    return replace(item, x=by * item.x, y=by * item.y, size_mm=by * item.size_mm)
