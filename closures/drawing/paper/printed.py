"""A page as it is printed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Item, Point

LONGEST_PAGE_MM = 5000.0
"""PDF pages go to 14,400 units of 1/72 in, 5080 mm (ISO 32000-1, annex C)."""


@frozen
class Printed:
    """A page as it is printed.

    Attributes:
        name: what its reader shows as its number.
        width_mm, height_mm: the paper.
        rules: the rules, the same on every page of a size.
        items: everything else, in mm from the paper's top left corner.
        stretch: what the page is multiplied by, across and down, to make up for a printer; width and
            height are those before it.
        shows: what lies on it, in words.
    """

    name: str
    width_mm: float
    height_mm: float
    rules: tuple[Item, ...]
    items: tuple[Item, ...]
    stretch: Point = (1.0, 1.0)
    shows: str = ""
