"""The head of a page: the title of the plan, every word of it, beside the number of the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import Words
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Point
    from closures.drawing.ink.type_scale import TypeScale

_ROW = 1.2
"""From row to row, in times the letters."""

_LOW_MM = 1.6
"""From the foot of a row up to the line that its letters stand on."""

_LEAST_BESIDE_MM, _OFF_RIGHT_MM = 30.0, 6.0
_MOST_ROWS = 2
"""Of a title in its own letters on a sheet on which no words begin: on every sheet more of them would cost sheets."""


@frozen
class Head:
    """What stands at the head of a page.

    Attributes:
        rows: the title; the first beside the number of the sheet, the others under both.
        size_mm: its letters.
        right_mm: the letters of the number of the sheet.
        first_mm: how deep the first row is.
    """

    rows: tuple[str, ...]
    size_mm: float
    right_mm: float
    first_mm: float

    @property
    def deep_mm(self) -> float:
        """How deep all rows are."""
        return self.first_mm + _ROW * self.size_mm * (len(self.rows) - 1)

    def words(self, at: Point, to_mm: float, right: str) -> tuple[Words, ...]:
        """Letter it from a top left corner to a right side, and the words that stand there."""
        x, y = at
        base = y + self.first_mm - _LOW_MM
        rows = [
            Words(x, base + _ROW * self.size_mm * k, row, self.size_mm, "start", 0.0, "bold")
            for k, row in enumerate(self.rows)
        ]
        return (*rows, Words(to_mm, base, right, self.right_mm, "end", 0.0, "semibold"))


def head_of(title: str, right: str, room_mm: float, scale: TypeScale, is_first: bool = False) -> Head:
    """Set a title: in its own letters, or where that takes too many rows in small ones, never shortened.

    Args:
        title: the plan's.
        right: what stands at the right, as wide as it comes.
        room_mm: how wide the head is.
        scale: the sizes of lettering.
        is_first: of the cover and of the first sheet of words after the strips: in its own letters however many
            rows that takes.
    """
    beside = max(_LEAST_BESIDE_MM, room_mm - width_of(right, scale.text, "semibold") - _OFF_RIGHT_MM)
    rows = wrapped(title, scale.title, beside, "bold") or ("",)
    # A second row in large letters costs sheets.
    if is_first or len(rows) <= (1 if scale.grown > 1.0 else _MOST_ROWS):
        return Head(rows, scale.title, scale.text, _ROW * scale.title)
    words, size = " ".join(title.split()), scale.figure
    first = wrapped(words, size, beside, "bold")[0]
    rest = wrapped(words[len(first) :].lstrip(), size, room_mm, "bold")
    return Head((first, *rest), size, scale.text, _ROW * scale.text)
