"""How much work something is, counted and not timed: the same on every machine, however busy it is."""

from __future__ import annotations

import sys
from collections.abc import Callable


def calls_of(work: Callable[[], object]) -> int:
    """Count the calls of functions, Python's own and built in, that some work makes.

    What a library does inside one call counts as one, so this holds our own loops, which is where work has grown
    faster than its input.
    """
    count = 0

    def note(frame: object, event: str, argument: object) -> None:
        nonlocal count
        if event in ("call", "c_call"):
            count += 1

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count
