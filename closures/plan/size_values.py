"""What a plan says of its sizes and of one wearer, as frozen values, in mm.

Terms: the *base* is the size that was drawn; a *step* is the way from one size to the next; to *grade*
is to move each control point of the base by so much a step; a *move* is (across, down).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Move = tuple[float, float]
Hold = Literal["count", "pitch", "best"]
Laid = Literal["as drawn", "first end"]


@dataclass(frozen=True, slots=True)
class BySize:
    """A figure that differs from size to size: a table, or a step from the base's own figure.

    Attributes:
        table: size and figure; empty where a step is given.
        step: how much is added with every step, None where a table is given.
    """

    table: tuple[tuple[str, Any], ...] = ()
    step: Any = None

    def of(self, name: str) -> Any:
        """The figure of a size in the table, None where it holds none."""
        return dict(self.table).get(name)


@dataclass(frozen=True, slots=True)
class SizesWish:
    """The sizes of a pattern.

    Attributes:
        names: the sizes, smallest first.
        base: the one that was drawn, whose figures stand in the other sections.
        path, under, line, level_zero: ids in the drawing in which ``{size}`` stands for the name.
        points: measured points of each size.
        grade: how far the edge moves a step: at its first and its last end, or at every control point.
        steps: how many steps each size lies from the base; empty where neighbours are one step apart.
        hold: what stays the same across the sizes.
        level, along: anchors and where they lie in each size.
        clear: clear zones and where they lie in each size.
        first, last: first end to first centre, last centre to last end.
        width, inset: finished width of the band, finished edge to closing line; of both laps where they are alike.
        laid: how the sizes lie on each other on the nested sheet.
    """

    names: tuple[str, ...]
    base: str
    path: str | None = None
    under: str | None = None
    line: str | None = None
    level_zero: str | None = None
    points: tuple[tuple[str, tuple[Move, ...]], ...] = ()
    grade: tuple[Move, ...] = ()
    steps: tuple[float, ...] = ()
    hold: Hold = "count"
    level: tuple[tuple[str, BySize], ...] = ()
    along: tuple[tuple[str, BySize], ...] = ()
    clear: tuple[tuple[str, BySize], ...] = ()
    first: BySize | None = None
    last: BySize | None = None
    width: BySize | None = None
    inset: BySize | None = None
    laid: Laid = "as drawn"

    def steps_to(self, name: str) -> float:
        """How many steps a size lies above the base; negative below it."""
        if self.steps:
            return self.steps[self.names.index(name)]
        return float(self.names.index(name) - self.names.index(self.base))


@dataclass(frozen=True, slots=True)
class LongerWish:
    """A pattern made longer at a named line, as the wearer needs it.

    Attributes:
        line: what the line is called.
        level_mm: its level on the printed pattern.
        by_mm: how much longer; shorter where it is negative.
    """

    line: str
    level_mm: float
    by_mm: float


@dataclass(frozen=True, slots=True)
class FitWish:
    """What differs from the printed pattern for one wearer.

    Attributes:
        size: the size that is cut, None where the plan has one size only.
        bust_level_mm, waist_level_mm: the wearer's own, measured like the plan's levels, after any change of
            length; they win over everything else.
        bust_girth_mm: round the bust, from which the bust level is reckoned where it was not measured.
        neck_mm: level of the pit of the neck, from which a reckoned bust level is measured.
        longer: changes of length.
    """

    size: str | None = None
    bust_level_mm: float | None = None
    waist_level_mm: float | None = None
    bust_girth_mm: float | None = None
    neck_mm: float = 0.0
    longer: tuple[LongerWish, ...] = ()
