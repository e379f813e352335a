"""Lengths in messages, in the units of the plan that they are of."""

from __future__ import annotations

from collections.abc import Callable

from closures.lengths import format_inches, format_mm

Show = Callable[[float], str]
"""Writes a length in mm for people."""


def shown_beside(units: str) -> Show:
    """The way a length is written of which a sixteenth of an inch may hide something: inches with the mm beside them.

    >>> shown_beside("mm")(38.4), shown_beside("in")(38.4)
    ('38.4 mm', '1 1/2 in (38.4 mm)')
    """
    return format_mm if units == "mm" else lambda mm: f"{format_inches(mm)} ({format_mm(mm)})"
