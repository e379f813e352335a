"""A length that is offered: rounded to what people tell apart towards the side on which it is taken, and tried."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar

from closures.lengths import SAME_MM, format_length

_Made = TypeVar("_Made")

STEP_MM = {"mm": 0.1, "in": 25.4 / 16}
"""What a length for people tells apart: a tenth of a mm, a sixteenth of an inch."""


def up_mm(mm: float, units: str = "mm") -> float:
    """The least length in mm that people tell apart and that is enough."""
    return math.ceil(mm / STEP_MM[units] - SAME_MM) * STEP_MM[units]


def at_least(mm: float, units: str = "mm") -> str:
    """Write the least length that is enough.

    >>> at_least(293.61), at_least(30.0), at_least(25.5, "in")
    ('293.7 mm', '30 mm', '1 1/16 in')
    """
    return format_length(up_mm(mm, units), units)


def at_most(mm: float, units: str = "mm") -> str:
    """Write the greatest length that is not too much.

    >>> at_most(293.69), at_most(30.0), at_most(26.9, "in")
    ('293.6 mm', '30 mm', '1 in')
    """
    return format_length(math.floor(mm / STEP_MM[units] + SAME_MM) * STEP_MM[units], units)


_FURTHEST = 64
"""Steps that a figure is moved further at most, where a curve or a rim makes it need more than the line's figures."""


def nearest_that_passes(make: Callable[[int], _Made | None], passes: Callable[[_Made], bool]) -> _Made | None:
    """Find a change that passes and moves its figures by as few steps as any that does; None where none was found.

    Every step is tried in turn: what passes may be a short stretch between two things in the way.

    Args:
        make: makes the change, so many steps further; None where it cannot be made.
        passes: tries it.
    """
    first = make(0)
    for further in range(_FURTHEST + 1):
        made = make(further)
        if made is None or (further and made == first):
            return None  # it ends there, or nothing in it comes in steps
        if passes(made):
            return made
    return None
