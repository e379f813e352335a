"""Shapes as PDF operators (ISO 32000-1, annex A), in mm with y down; the file around them is `pdf`'s."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import EM, glyph, spelt, start_of
from closures.drawing.ink.numbers import DECIMALS, RING_DECIMALS, number
from closures.drawing.ink.shapes import Circle, Command, Path, Pen, Words

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Weight

_CODES_PER_FONT = 250
_ARCS = 8


class Fonts:
    """The letters used so far: each gets a font and a code in it, in order of first use."""

    def __init__(self) -> None:
        self._places: dict[tuple[Weight, str], tuple[str, int]] = {}
        self._counts: dict[Weight, int] = {}
        self.members: dict[str, list[tuple[str, Weight]]] = {}

    def place(self, weight: Weight, char: str) -> tuple[str, int]:
        """Find the font and the code of a letter."""
        key = (weight, char)
        if key not in self._places:
            count = self._counts.get(weight, 0)
            name = f"{weight[0].upper()}{weight[1]}{count // _CODES_PER_FONT}"
            letters = self.members.setdefault(name, [])
            letters.append((char, weight))
            self._places[key] = (name, len(letters))
            self._counts[weight] = count + 1
        return self._places[key]


def operators_of(item: Path | Circle | Words, letters: Fonts, tail: str = "") -> bytes:
    """Write a shape as operators; its letters are those of `letters`, and a tail parts words from what is read next."""
    if isinstance(item, Words):
        return _lettering(item, letters, tail)
    path = path_of(_circle(item), RING_DECIMALS) if isinstance(item, Circle) else path_of(item.commands)
    return f"{_set_pen(item.pen)}{path}{_paint(item.pen)}\n".encode()


def _set_pen(pen: Pen) -> str:
    parts = [] if pen.fill is None else [f"{number(pen.fill)} g "]
    if pen.width_mm:
        dash = " ".join(number(part) for part in pen.dash_mm)
        parts.append(f"{number(pen.grey)} G {number(pen.width_mm)} w [{dash}] 0 d ")
    return "".join(parts)


def _paint(pen: Pen) -> str:
    if pen.fill is None:
        return "S"
    return "B" if pen.width_mm else "f"


_OPERATORS = {"M": "m", "L": "l", "C": "c", "Z": "h"}


def path_of(commands: Iterable[Command], decimals: int = DECIMALS) -> str:
    """Write the commands of a path as operators."""
    return "".join(
        [
            f"{' '.join([number(float(value), decimals) for value in values])} {_OPERATORS[str(name)]} "
            for name, *values in commands
        ]
    )


def _circle(circle: Circle) -> tuple[Command, ...]:
    """Draw a circle by eight cubics, which keep within 5e-7 of the radius."""
    step = 2.0 * math.pi / _ARCS
    handle = 4.0 / 3.0 * math.tan(step / 4.0) * circle.r
    commands: list[Command] = [("M", circle.x + circle.r, circle.y)]
    for k in range(_ARCS):
        (c0, s0), (c1, s1) = ((math.cos(a), math.sin(a)) for a in (k * step, (k + 1) * step))
        commands.append(
            (
                "C",
                circle.x + circle.r * c0 - handle * s0,
                circle.y + circle.r * s0 + handle * c0,
                circle.x + circle.r * c1 + handle * s1,
                circle.y + circle.r * s1 - handle * c1,
                circle.x + circle.r * c1,
                circle.y + circle.r * s1,
            )
        )
    return (*commands, ("Z",))


def _lettering(words: Words, letters: Fonts, tail: str) -> bytes:
    matrix = " ".join(number(value) for value in _stand(words))
    return f"BT {number(words.grey)} g {matrix} Tm {_shown(words, letters, tail)}ET\n".encode()


def _stand(words: Words) -> tuple[float, float, float, float, float, float]:
    """Where a line of type stands, as a matrix; the page's own turns y down, so type is turned up again."""
    left, _ = start_of(words)
    angle = math.radians(words.angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    return (cos, sin, sin, -cos, words.x + left * cos, words.y + left * sin)


def outlined(words: Words, tail: str = "") -> bytes:
    """Draw words as outlines, with the text beside them for those who search or listen (ISO 32000-1, 14.9.4)."""
    scale, stand = words.size_mm / EM, _stand(words)
    matrix = " ".join(f"{value:.8f}" for value in (*(scale * value for value in stand[:4]), *stand[4:]))
    letters = "".join(_outline(char, words.weight) for char in spelt(words.text))
    text = (spelt(words.text) + tail).encode("utf-16-be").hex().upper()
    return f"/Span <</ActualText <FEFF{text}>>> BDC q {number(words.grey)} g {matrix} cm {letters}Q EMC\n".encode()


@lru_cache(maxsize=512)
def _outline(char: str, weight: Weight) -> str:
    """One letter in font units, and the step to the next."""
    letter = glyph(char, weight)
    drawn = f"{path_of(letter.commands)}f " if letter.commands else ""
    return f"{drawn}1 0 0 1 {letter.advance} 0 cm "


def _shown(words: Words, letters: Fonts, tail: str) -> str:
    runs: list[tuple[str, list[int]]] = []
    for char in spelt(words.text) + tail:
        font, code = letters.place(words.weight, char)
        if not runs or runs[-1][0] != font:
            runs.append((font, []))
        runs[-1][1].append(code)
    size = number(words.size_mm)
    return "".join(f"/{font} {size} Tf <{bytes(codes).hex()}> Tj " for font, codes in runs)
