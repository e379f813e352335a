"""What a plan says of the drawing that its edge is in, as frozen values, in mm.

Terms: a *stretch* is the part of a longer line between two places; a *tile* is one page of a
pattern that was cut into pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class LevelPlace:
    """Where a line lies at a level.

    Attributes:
        level_mm: straight down from the level zero where the plan gives one, else from the drawing's own zero.
        which: the crossing meant where there are several, 1 for the uppermost as the line was drawn.
    """

    level_mm: float
    which: int | None = None


PlaceWish = str | tuple[float, float] | LevelPlace
"""A place on a line: an id in the drawing, a point (across, down) in mm, or a level."""


@dataclass(frozen=True, slots=True)
class KnownWish:
    """Something in the drawing whose length is known.

    Attributes:
        path: the name of an open line, or of a printed test square.
        length_mm: the length of the line, or of a side of the square.
    """

    path: str
    length_mm: float


@dataclass(frozen=True, slots=True)
class TilesWish:
    """Pages that lie beside each other in rows, read like text.

    Attributes:
        columns, rows: how many pages across and down.
        overlap_mm: how far a page's printed part reaches over the next one's.
        margin_mm: what is left free on every side of a page.
        first: the page that lies at the upper left, counted from 1.
    """

    columns: int
    rows: int
    overlap_mm: float = 0.0
    margin_mm: float = 0.0
    first: int = 1


@dataclass(frozen=True, slots=True)
class JoinWish:
    """Two points of one page that lie on two points of another.

    Attributes:
        page, onto: the page that is laid, and the one that it is laid on.
        at: the two points (across, down) on ``page``, in mm.
        there: the same two points on ``onto``.
    """

    page: int
    onto: int
    at: tuple[tuple[float, float], ...]
    there: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class TraceWish:
    """An edge that is followed on a scan or a photo.

    Attributes:
        through: places on the edge, in pixels across and down from the upper left, first end first.
        dpi: pixels to the inch of a flatbed scan; None for a photo.
        sheet: paper of the marker sheet that lies in a photo; None for a scan.
        follow: a dark line, or the border between light and dark.
    """

    through: tuple[tuple[float, float], ...]
    dpi: float | None = None
    sheet: str | None = None
    follow: Literal["line", "border"] = "line"
