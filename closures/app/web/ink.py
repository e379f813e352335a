"""Shapes as parts of a web page: the classes are coloured by the page's own style sheet, light or dark."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from html import escape
from typing import TYPE_CHECKING

from closures.drawing.ink.numbers import number
from closures.drawing.ink.shapes import Circle, Group, Path, Words

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.drawing.ink.shapes import Command, Item, Point


# Between parts of a picture that change each for itself: a redraw reads those that differ, and nothing else.
SEAM = "<!--|-->"


def tag(name: str, inside: str = "", **attributes: object) -> str:
    """Write an element; `_` in a name stands for `-`, a trailing one is dropped, None is left out."""
    written = "".join(
        [
            f' {_written(key)}="{number(value, 2) if isinstance(value, float) else _escaped(str(value))}"'
            for key, value in attributes.items()
            if value is not None
        ]
    )
    return f"<{name}{written}>{inside}</{name}>"


# A picture says most of its texts many times, and the next one says them again.
_escaped = lru_cache(maxsize=1 << 12)(escape)


@lru_cache(maxsize=256)
def _written(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def words(text: str, at: Point, size_mm: float, class_: str, anchor: str = "start", turn_deg: float = 0.0) -> str:
    """Write words, their middle line through a place."""
    x, y = at
    turn = f"rotate({_text(turn_deg)} {_text(x)} {_text(y)})" if turn_deg else None
    return tag(
        "text",
        escape(text),
        x=x,
        y=y,
        dy="0.35em",
        font_size=size_mm,
        text_anchor=anchor,
        class_=class_,
        transform=turn,
    )


@lru_cache(maxsize=1 << 10)
def room_for(text: str) -> float:
    """How wide bold words are at most, as a multiple of their size.

    Our own rule: half the letters of usual sans serifs take 0.6 and less, capitals, m and w up to 0.9; which of them a
    browser has is not known here.
    """
    return sum(0.9 if sign.isupper() or sign in "mw" else 0.63 for sign in text)


def steady(root: Point, inside: str) -> str:
    """Hang something at a place of the picture so that it keeps its size where the picture comes closer.

    Args:
        root: the place, which moves with the picture.
        inside: what hangs there, drawn about the origin.
    """
    x, y = root
    return tag("g", inside, class_="steady", transform=f"translate({_text(float(x))} {_text(float(y))})")


def steady_words(text: str, root: Point, at: Point, size_mm: float, class_: str, anchor: str = "start") -> str:
    """Write words that keep their size, and their distance on the screen from the place where they hang."""
    return steady(root, words(text, (at[0] - root[0], at[1] - root[1]), size_mm, class_, anchor))


def path_data(commands: Iterable[Command]) -> str:
    """Write drawing commands as path data."""
    return "".join(f"{name}{' '.join(_text(float(v)) for v in values)}" for name, *values in commands)


def through(points: Iterable[Point], *, closed: bool = False) -> str:
    """Write a path from point to point."""
    return "M" + "L".join(f"{_text(x)} {_text(y)}" for x, y in points) + ("Z" if closed else "")


def between(one: Curve, other: Curve) -> str:
    """Write the area between two curves that run the same way."""
    back = path_data(other.reversed().path())
    return f"{path_data(one.path())}L{back[1:]}Z"


def shape(item: Item) -> str:
    """Write a shape of the drawing; what it is made of becomes its class."""
    if isinstance(item, Group):
        return "".join(map(shape, item.items))
    if isinstance(item, Circle):
        kind = item.role or ("paper" if item.pen.fill == 1.0 else "ink")
        return tag("circle", cx=item.x, cy=item.y, r=item.r, class_=kind)
    if isinstance(item, Path):
        heavy = "stroke heavy" if item.pen.width_mm >= 0.5 else "stroke"
        return tag("path", d=path_data(item.commands), class_=heavy)
    if isinstance(item, Words):
        return words(item.text, (item.x, item.y), item.size_mm, "words", item.align, item.angle_deg)
    raise TypeError(f"{item!r} is not a shape")


def _text(value: object) -> str:
    # A hundredth of a mm is finer than any screen shows, and a redraw is sent as often as a hand moves.
    return number(value, 2) if isinstance(value, float) else str(value)


def reach(at: Point) -> str:
    """What a pointer hits of something small: the style sheet gives it its size on the screen at any closeness."""
    return tag("circle", cx=at[0], cy=at[1], r=0.1, class_="reach")
