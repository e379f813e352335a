"""Stretches of a long strip that hold nothing and are left out, their length written, and what stands between them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from closures.drawing.paper.join_places import OVERLAP_MM
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.drawing.paper.join_places import Thing

BREAK_TAIL_MM = 22.0
"""How far a strip goes on beyond a thing before it is broken off: enough to lie well on the cloth."""

LEAST_LEFT_OUT_MM = 40.0

Edge = Literal["end", "join", "break"]
BEYOND_MM: dict[Edge, float] = {"end": 0.0, "join": OVERLAP_MM, "break": 18.0}
"""How far a part is drawn beyond what it ends with: the overlap, or the words at a break, large ones too."""


Gap = tuple[float, float]
"""From where to where along the line is left out."""


@frozen
class Section:
    """A stretch between breaks.

    Attributes:
        low, high: from and to along the line, in mm.
        before, after: what it begins and ends with.
        left_out, left_out_before: what the breaks after and before it leave out, in mm; 0 without one.
    """

    low: float
    high: float
    before: Edge
    after: Edge
    left_out: float = 0.0
    left_out_before: float = 0.0

    @property
    def drawn_to(self) -> float:
        """To where its last part is drawn."""
        return self.high + BEYOND_MM[self.after]

    @property
    def drawn_from(self) -> float:
        """From where its first part is drawn."""
        return self.low - (BEYOND_MM["break"] if self.before == "break" else 0.0)


def gaps_of(things: Sequence[Thing]) -> list[Gap]:
    """The stretches before things that hold nothing, but for what is kept round these; some are less than nothing."""
    gaps: list[Gap] = []
    reached = 0.0
    for thing in sorted(things, key=lambda thing: thing.low_mm):
        gaps.append((reached + (BREAK_TAIL_MM if reached else 0.0), thing.low_mm - BREAK_TAIL_MM))
        reached = max(reached, thing.high_mm)
    # At the first end a stretch is kept: all is measured from there.
    return [(BREAK_TAIL_MM, gaps[0][1]), *gaps[1:]]


def breaks_of(things: Sequence[Thing], length_mm: float, fits: Callable[[float, float], bool]) -> list[list[Gap]]:
    """Leave out stretches that hold nothing and are longer than a page, and the tail or not.

    Args:
        things: what lies on the strip, at least one.
        length_mm: of the strip.
        fits: whether a part from here to there fits a page.
    """
    reached = max(0.0, *(thing.high_mm for thing in things))
    kept = [
        (a, b)
        for a, b in gaps_of(things)
        if b - a >= LEAST_LEFT_OUT_MM and not fits(a - BREAK_TAIL_MM, b + BREAK_TAIL_MM)
    ]
    tail = (reached + BREAK_TAIL_MM, length_mm)
    tails = [()] if tail[1] - tail[0] < LEAST_LEFT_OUT_MM else [(), (tail,)]
    if len(tails) == 2 and not fits(reached, length_mm):
        tails = tails[1:]
    return [[*kept, *more] for more in tails]


def sections_of(length_mm: float, gaps: Sequence[Gap]) -> tuple[Section, ...]:
    """What stands between stretches that are left out, on a strip so long."""
    found: list[Section] = []
    low, left_before = 0.0, 0.0
    before: Edge = "end"
    for a, b in gaps:
        found.append(Section(low, a, before, "break", b - a, left_before))
        low, before, left_before = b, "break", b - a
        if b >= length_mm:
            return tuple(found)
    return (*found, Section(low, length_mm, before, "end", 0.0, left_before))
