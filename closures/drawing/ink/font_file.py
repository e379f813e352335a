"""An OpenType font as a file: which letters it has, how wide they are, and their outlines.

Read as the formats tell it (ISO/IEC 14496-22, Open Font Format; Adobe Technical Notes 5176 and 5177, CFF and Type 2
charstrings). What sheets are lettered with is a few dozen letters of three faces, and a library that reads every font
takes longer to begin than to draw a sheet. A test holds every letter of the faces against such a library.
"""

from __future__ import annotations

from struct import unpack_from
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.shapes import Command

# Operators of the dictionaries of CFF (Technical Note 5176, tables 9 and 23).
_CHARSTRINGS, _PRIVATE, _SUBRS = 17, 18, 19


class FontFile:
    """One face.

    Args:
        data: the bytes of the file; one whose outlines are CFF, as those of this package are.

    Attributes:
        letters: the number of the glyph of each letter that it has.
    """

    def __init__(self, data: bytes) -> None:
        self._data = data
        count = unpack_from(">H", data, 4)[0]
        rows = (unpack_from(">4sLLL", data, 12 + 16 * k) for k in range(count))
        tables = {tag.decode("latin-1"): offset for tag, _, offset, _ in rows}
        self.letters = _letters(data, tables["cmap"])
        self._widths, self._wide = tables["hmtx"], unpack_from(">H", data, tables["hhea"] + 34)[0]
        cff = tables["CFF "]
        at = _index(data, cff + data[cff + 2])[-1][1]
        tops = _index(data, at)
        top = _dictionary(data, *tops[0])
        strings = _index(data, tops[-1][1])
        self._shared = _index(data, (strings or tops)[-1][1])
        self._glyphs = _index(data, cff + int(top[_CHARSTRINGS][0]))
        size, begin = (int(value) for value in top[_PRIVATE])
        private = _dictionary(data, cff + begin, cff + begin + size)
        self._own = _index(data, cff + begin + int(private[_SUBRS][0])) if _SUBRS in private else []

    def advance(self, number: int) -> int:
        """How far the next letter stands from a glyph, in font units."""
        width: int = unpack_from(">H", self._data, self._widths + 4 * min(number, self._wide - 1))[0]
        return width

    def outline(self, number: int) -> tuple[Command, ...]:
        """The outline of a glyph in font units, y up: closed subpaths of M, L, C and Z."""
        return _Outline(self._data, self._own, self._shared).of(self._glyphs[number])


Span = tuple[int, int]


def _letters(data: bytes, table: int) -> dict[int, int]:
    """Read the widest map of letters to glyphs: of all of Unicode, or of its first plane."""
    count = unpack_from(">H", data, table + 2)[0]
    maps = {
        unpack_from(">HH", data, table + 4 + 8 * k): table + unpack_from(">L", data, table + 8 + 8 * k)[0]
        for k in range(count)
    }
    at = next(maps[key] for key in ((3, 10), (0, 4), (3, 1), (0, 3)) if key in maps)
    found: dict[int, int] = {}
    if unpack_from(">H", data, at)[0] == 12:
        for k in range(unpack_from(">L", data, at + 12)[0]):
            first, last, glyph = unpack_from(">LLL", data, at + 16 + 12 * k)
            found |= {letter: glyph + letter - first for letter in range(first, last + 1)}
        return found
    segments = unpack_from(">H", data, at + 6)[0] // 2
    ends, starts, deltas, offsets = (
        unpack_from(f">{segments}H", data, at + 14 + 2 * k * segments + (2 if k else 0)) for k in range(4)
    )
    for k, (first, last) in enumerate(zip(starts, ends, strict=True)):
        for letter in range(first, min(last, 0xFFFE) + 1):
            glyph = letter
            if offsets[k]:
                place = at + 16 + 6 * segments + 2 * k + offsets[k] + 2 * (letter - first)
                glyph = unpack_from(">H", data, place)[0]
            if glyph or not offsets[k]:
                found[letter] = (glyph + deltas[k]) % 0x10000
    return found


def _index(data: bytes, at: int) -> list[Span]:
    """Read where each object of an INDEX begins and ends; an empty one is told by its own end alone."""
    count = unpack_from(">H", data, at)[0]
    if not count:
        return [(at + 2, at + 2)]
    size = data[at + 2]
    base = at + 2 + (count + 1) * size
    places = [int.from_bytes(data[at + 3 + k * size : at + 3 + (k + 1) * size]) for k in range(count + 1)]
    return [(base + places[k], base + places[k + 1]) for k in range(count)]


def _dictionary(data: bytes, at: int, end: int) -> dict[int, list[float]]:
    """Read the whole numbers of a DICT by their operators; reals, which none of those asked for is, are passed over."""
    found: dict[int, list[float]] = {}
    numbers: list[float] = []
    while at < end:
        byte = data[at]
        if byte <= 21:
            key = byte if byte != 12 else 1200 + data[at + 1]
            at += 1 if byte != 12 else 2
            found[key], numbers = numbers, []
        elif byte == 29:
            numbers.append(unpack_from(">l", data, at + 1)[0])
            at += 5
        elif byte == 30:
            while 0xF not in divmod(data[at + 1], 16):
                at += 1
            numbers.append(0.0)
            at += 2
        else:
            value, at = _number(data, at)
            numbers.append(value)
    return found


def _number(data: bytes, at: int) -> tuple[float, int]:
    """Read a number of a DICT or a charstring, and where what follows it begins."""
    byte = data[at]
    if byte == 28:
        return unpack_from(">h", data, at + 1)[0], at + 3
    if byte <= 246:
        return byte - 139, at + 1
    if byte <= 250:
        return (byte - 247) * 256 + data[at + 1] + 108, at + 2
    if byte <= 254:
        return -(byte - 251) * 256 - data[at + 1] - 108, at + 2
    return unpack_from(">l", data, at + 1)[0] / 65536, at + 5


class _Outline:
    """One charstring on its way to an outline."""

    def __init__(self, data: bytes, own: Sequence[Span], shared: Sequence[Span]) -> None:
        self.data, self.own, self.shared = data, own, shared
        self.stack: list[float] = []
        self.x = self.y = 0.0
        self.stems = 0
        self.is_open = False
        self.commands: list[Command] = []

    def of(self, span: Span) -> tuple[Command, ...]:
        self._run(span)
        self._close()
        return tuple(self.commands)

    def _run(self, span: Span) -> None:
        at, end = span
        while at < end:
            byte = self.data[at]
            if byte == 28 or byte >= 32:
                value, at = _number(self.data, at)
                self.stack.append(value)
                continue
            at += 1
            if byte in (10, 29):
                subrs = self.own if byte == 10 else self.shared
                bias = 107 if len(subrs) < 1240 else 1131 if len(subrs) < 33900 else 32768
                self._run(subrs[int(self.stack.pop()) + bias])
            elif byte == 11:
                return
            elif byte in (1, 3, 18, 23, 19, 20):
                self.stems += len(self.stack) // 2
                self.stack = []
                at += (self.stems + 7) // 8 if byte in (19, 20) else 0
            elif byte == 12:
                self._flex(self.data[at])
                at += 1
            else:
                self._draw(byte)

    def _draw(self, operator: int) -> None:
        values, self.stack = self.stack, []
        if operator in (21, 22, 4):
            self._close()
            dx, dy = values[-2:] if operator == 21 else (values[-1], 0.0) if operator == 22 else (0.0, values[-1])
            self.is_open = True
            self._step("M", dx, dy)
        elif operator in (5, 25):
            curve = len(values) - 6 if operator == 25 else len(values)
            for k in range(0, curve, 2):
                self._step("L", *values[k : k + 2])
            self._curves(values[curve:])
        elif operator in (6, 7):
            for k, value in enumerate(values):
                self._step("L", *((value, 0.0) if (k + operator) % 2 == 0 else (0.0, value)))
        elif operator in (8, 24):
            line = len(values) - 2 if operator == 24 else len(values)
            self._curves(values[:line])
            if operator == 24:
                self._step("L", *values[line:])
        elif operator in (26, 27):
            across = values.pop(0) if len(values) % 4 else 0.0
            for k in range(0, len(values), 4):
                a, b, c, d = values[k : k + 4]
                self._curves((across, a, b, c, 0.0, d) if operator == 26 else (a, across, b, c, d, 0.0))
                across = 0.0
        elif operator in (30, 31):
            for k in range(0, len(values) - 3, 4):
                a, b, c, d = values[k : k + 4]
                last = values[-1] if len(values) - k == 5 else 0.0
                is_level = (k // 4 + operator) % 2 == 1
                self._curves((a, 0.0, b, c, last, d) if is_level else (0.0, a, b, c, d, last))
        elif operator != 14:
            raise ValueError(f"a charstring holds the operator {operator}")

    def _flex(self, operator: int) -> None:
        values, self.stack = self.stack, []
        if operator == 35:
            self._curves(values[:12])
        elif operator == 34:
            a, b, c, d, e, f, g = values
            self._curves((a, 0.0, b, c, d, 0.0, e, 0.0, f, -c, g, 0.0))
        elif operator == 36:
            a, b, c, d, e, f, g, h, i = values
            self._curves((a, b, c, d, e, 0.0, f, 0.0, g, h, i, -(b + d + h)))
        else:
            raise ValueError(f"a charstring holds the operator 12 {operator}")

    def _curves(self, values: Sequence[float]) -> None:
        for k in range(0, len(values), 6):
            points: list[int] = []
            for n in range(k, k + 6, 2):
                self.x, self.y = self.x + values[n], self.y + values[n + 1]
                points += (round(self.x), round(self.y))
            self.commands.append(("C", *points))

    def _step(self, name: str, dx: float, dy: float) -> None:
        self.x, self.y = self.x + dx, self.y + dy
        self.commands.append((name, round(self.x), round(self.y)))

    def _close(self) -> None:
        if self.is_open:
            self.commands.append(("Z",))
            self.is_open = False
