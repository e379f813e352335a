"""The outline of a letter as fonts write it: moves, lines and curves by how far each goes from where the last ended.

Source: Adobe Technical Note 5177, The Type 2 Charstring Format.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.drawing.ink.font_file import Index
    from closures.drawing.ink.shapes import Command

# Operators (5177, chapter 4). Arithmetic and flexes, which the fonts of this package have none of, are not among them.
_STEMS, _MASKS = (1, 3, 18, 23), (19, 20)
_CALL_OWN, _CALL_SHARED, _RETURN, _END = 10, 29, 11, 14
_MOVE, _MOVE_ACROSS, _MOVE_UP = 21, 22, 4
_LINES, _LINES_ACROSS_FIRST, _LINES_UP_FIRST = 5, 6, 7
_CURVES, _CURVES_LINE, _LINES_CURVE = 8, 24, 25
_CURVES_UP, _CURVES_ACROSS, _CURVES_UP_FIRST, _CURVES_ACROSS_FIRST = 26, 27, 30, 31


def whole_number(data: bytes, first: int, at: int) -> tuple[int, int]:
    """Read a whole number whose first byte is 28 or 32 to 254; what follows that stands at `at`.

    Returns:
        The number, and where what follows it begins.
    """
    if first == 28:
        return int.from_bytes(data[at : at + 2], signed=True), at + 2
    if first < 247:
        return first - 139, at
    if first < 251:
        return (first - 247) * 256 + data[at] + 108, at + 1
    return -(first - 251) * 256 - data[at] - 108, at + 1


class Outline:
    """An outline in the making.

    Attributes:
        commands: what is drawn, in font units, y up.
    """

    def __init__(self, data: bytes, own: Index, shared: Index) -> None:
        self.commands: list[Command] = []
        self._data, self._own, self._shared = data, own, shared
        self._x = self._y = 0.0
        self._stems = 0
        self._numbers: list[float] = []

    def draw(self, at: int, end: int) -> None:
        """Draw what stands from one byte of the file to another.

        Raises:
            ValueError: it holds what no font of this package does.
        """
        data, numbers = self._data, self._numbers
        while at < end:
            code = data[at]
            at += 1
            if code == 255:
                numbers.append(int.from_bytes(data[at : at + 4], signed=True) / 65536)
                at += 4
            elif code >= 32 or code == 28:
                number, at = whole_number(data, code, at)
                numbers.append(number)
            elif code in (_CALL_OWN, _CALL_SHARED):
                index = self._own if code == _CALL_OWN else self._shared
                self.draw(*index.span(int(numbers.pop()) + _bias(index.count)))
            elif code == _RETURN:
                return
            elif code in _STEMS or code in _MASKS:
                # Two numbers to a stem, before the first of all the advance as well; a mask has a bit for each.
                self._stems += len(numbers) // 2
                at += (self._stems + 7) // 8 if code in _MASKS else 0
                numbers.clear()
            elif code == _END:
                self._close()
                return
            else:
                self._go(code, numbers)
                numbers.clear()

    def _go(self, code: int, told: Sequence[float]) -> None:
        """Move or draw by an operator and its numbers."""
        if code == _MOVE:
            self._move(told[-2], told[-1])
        elif code == _MOVE_ACROSS:
            self._move(told[-1], 0)
        elif code == _MOVE_UP:
            self._move(0, told[-1])
        elif code == _LINES:
            self._lines(told)
        elif code in (_LINES_ACROSS_FIRST, _LINES_UP_FIRST):
            for k, by in enumerate(told):
                self._line(by, 0) if (k % 2 == 0) == (code == _LINES_ACROSS_FIRST) else self._line(0, by)
        elif code in (_CURVES, _CURVES_LINE):
            whole = len(told) - len(told) % 6
            self._curves(told[:whole])
            self._lines(told[whole:])
        elif code == _LINES_CURVE:
            self._lines(told[:-6])
            self._curves(told[-6:])
        elif code in (_CURVES_UP, _CURVES_ACROSS):
            self._curves_one_way(told, code == _CURVES_ACROSS)
        elif code in (_CURVES_UP_FIRST, _CURVES_ACROSS_FIRST):
            self._curves_in_turn(told, code == _CURVES_ACROSS_FIRST)
        else:
            raise ValueError(f"a letter of the font is drawn by an operator that is not known here: {code}")

    def _curves_one_way(self, told: Sequence[float], is_across: bool) -> None:
        """Curves that begin and end across, or up; the first may begin aslant."""
        odd = len(told) % 4
        aslant = told[0] if odd else 0
        for k in range(odd, len(told), 4):
            a, b, c, d = told[k : k + 4]
            self._curve(*((a, aslant, b, c, d, 0) if is_across else (aslant, a, b, c, 0, d)))
            aslant = 0

    def _curves_in_turn(self, told: Sequence[float], is_across: bool) -> None:
        """Curves that begin across and end up, and the other way round, in turn; the last may end aslant."""
        last = len(told) - len(told) % 4 - 4
        for k in range(0, last + 1, 4):
            a, b, c, d = told[k : k + 4]
            aslant = told[-1] if k == last and len(told) % 4 else 0
            self._curve(*((a, 0, b, c, aslant, d) if is_across else (0, a, b, c, d, aslant)))
            is_across = not is_across

    def _lines(self, told: Sequence[float]) -> None:
        for k in range(0, len(told), 2):
            self._line(told[k], told[k + 1])

    def _curves(self, told: Sequence[float]) -> None:
        for k in range(0, len(told), 6):
            self._curve(*told[k : k + 6])

    def _move(self, dx: float, dy: float) -> None:
        self._close()
        self._x += dx
        self._y += dy
        self.commands.append(("M", round(self._x), round(self._y)))

    def _line(self, dx: float, dy: float) -> None:
        self._x += dx
        self._y += dy
        self.commands.append(("L", round(self._x), round(self._y)))

    def _curve(self, ax: float, ay: float, bx: float, by: float, cx: float, cy: float) -> None:
        x1, y1 = self._x + ax, self._y + ay
        x2, y2 = x1 + bx, y1 + by
        self._x, self._y = x2 + cx, y2 + cy
        points = (x1, y1, x2, y2, self._x, self._y)
        self.commands.append(("C", *map(round, points)))

    def _close(self) -> None:
        """End a subpath: all are closed."""
        if self.commands:
            self.commands.append(("Z",))


def _bias(count: int) -> int:
    """What is added to the number of a subroutine, so that short ones reach the most (5177, 4.7)."""
    return 107 if count < 1240 else 1131 if count < 33900 else 32768
