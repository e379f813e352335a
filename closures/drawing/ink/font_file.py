"""Letters out of an OpenType file whose outlines are cubic.

Each is looked up where it stands in the file: a job needs some hundred of two thousand, and a package that knows all
about fonts takes longer to import than they take to read.

Sources: OpenType 1.9 (the tables `cmap`, `hhea` and `hmtx`); Adobe Technical Note 5176, The Compact Font Format.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from closures.drawing.ink.charstring import Outline, whole_number
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Command

# Platform and encoding of the map of all letters, not only of those of two bytes.
_ALL_OF_UNICODE = (3, 10)
# Keys of dictionaries (5176, tables 9 and 23).
_CHAR_STRINGS, _PRIVATE, _SUBRS = 17, 18, 19


@frozen
class Index:
    """Pieces of a file that stand one after the other (5176, chapter 5).

    Attributes:
        data: the file.
        count: how many pieces there are.
        offsets: where their offsets stand.
        width: how many bytes each offset has.
    """

    data: bytes
    count: int
    offsets: int = 0
    width: int = 0

    @property
    def end(self) -> int:
        """Where what follows begins."""
        return self._offset(self.count)

    def span(self, k: int) -> tuple[int, int]:
        """Where a piece begins and ends."""
        return self._offset(k), self._offset(k + 1)

    def _offset(self, k: int) -> int:
        at = self.offsets + k * self.width
        # Counted from the byte before the first piece.
        return self.offsets + (self.count + 1) * self.width - 1 + int.from_bytes(self.data[at : at + self.width])


class FontFile:
    """A font, read from its file as it is asked.

    Attributes:
        data: the file.
    """

    def __init__(self, data: bytes) -> None:
        self.data = data
        entries = range(12, 12 + 16 * self._number(4), 16)
        tables = {data[at : at + 4]: self._number(at + 8, 4) for at in entries}
        self._widths, self._wide = tables[b"hmtx"], self._number(tables[b"hhea"] + 34)
        self._starts, self._groups = self._letters_of(tables[b"cmap"])
        cff = tables[b"CFF "]
        names = self._index(cff + data[cff + 2])
        tops = self._index(names.end)
        strings = self._index(tops.end)
        top = self._dictionary(*tops.span(0))
        size, private = top[_PRIVATE]
        own = self._dictionary(cff + private, cff + private + size)
        self._outlines = self._index(cff + top[_CHAR_STRINGS][0])
        self._shared = self._index(strings.end)
        self._own = self._index(cff + private + own[_SUBRS][0]) if _SUBRS in own else Index(data, 0)

    def __contains__(self, char: str) -> bool:
        """Whether the font draws a letter."""
        return self._glyph(char) != 0

    def advance(self, char: str) -> int:
        """How far the next letter stands from this one, in font units."""
        return self._number(self._widths + 4 * min(self._glyph(char), self._wide - 1))

    def outline(self, char: str) -> tuple[Command, ...]:
        """The outline of a letter: closed subpaths of M, L, C and Z, in font units, y up."""
        outline = Outline(self.data, self._own, self._shared)
        outline.draw(*self._outlines.span(self._glyph(char)))
        return tuple(outline.commands)

    def _number(self, at: int, width: int = 2) -> int:
        return int.from_bytes(self.data[at : at + width])

    def _glyph(self, char: str) -> int:
        """The number of a letter's outline, 0 where there is none."""
        code = ord(char)
        group = bisect_right(self._starts, code) - 1
        first, last, glyph = self._groups[group] if group >= 0 else (0, -1, 0)
        return glyph + code - first if code <= last else 0

    def _letters_of(self, cmap: int) -> tuple[list[int], list[tuple[int, int, int]]]:
        """Which letters there are, in groups of which each has the first, the last and the outline of the first."""
        for at in range(cmap + 4, cmap + 4 + 8 * self._number(cmap + 2), 8):
            table = cmap + self._number(at + 4, 4)
            if (self._number(at), self._number(at + 2)) == _ALL_OF_UNICODE and self._number(table) == 12:
                rows = range(table + 16, table + 16 + 12 * self._number(table + 12, 4), 12)
                groups = [(self._number(k, 4), self._number(k + 4, 4), self._number(k + 8, 4)) for k in rows]
                return [first for first, _, _ in groups], groups
        raise ValueError("the font does not tell its letters by their numbers in Unicode")

    def _index(self, at: int) -> Index:
        count = self._number(at)
        return Index(self.data, count, at + 3, self.data[at + 2]) if count else Index(self.data, 0, at + 3, 0)

    def _dictionary(self, at: int, end: int) -> dict[int, list[int]]:
        """Keys of one byte with their whole numbers (5176, chapter 4); others are passed over."""
        found: dict[int, list[int]] = {}
        numbers: list[int] = []
        while at < end:
            first = self.data[at]
            at += 1
            if first <= 21:
                at += first == 12
                if first != 12:
                    found[first] = numbers
                numbers = []
            elif first == 30:
                # Decimals in halves of bytes, of which the last is 15.
                while self.data[at] & 15 != 15:
                    at += 1
                at += 1
                numbers.append(0)
            elif first == 29:
                numbers.append(int.from_bytes(self.data[at : at + 4], signed=True))
                at += 4
            else:
                number, at = whole_number(self.data, first, at)
                numbers.append(number)
        return found
