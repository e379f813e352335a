"""The one place where a figure is rounded: as it is written into a file."""

from __future__ import annotations

import math
from functools import lru_cache

from closures.errors import OutputError

DECIMALS = 4
"""A tenth of a micrometre: far finer than any printer, and within what positions promise."""

RING_DECIMALS = 6
"""Of what is round on a page. Parts are laid on each other by rings, and what those are out turns all that follows:
with four places marks came to lie 0.08 mm out at the ends of 8.5 m, with six 0.001 mm."""


# Three of four figures of a set of sheets were written before: on the other face, on another page, in SVG and in PDF.
@lru_cache(maxsize=1 << 14)
def number(value: float, decimals: int = DECIMALS) -> str:
    """Write a figure with at most so many decimals, never as -0 or with an exponent.

    Args:
        value: the figure.
        decimals: at least one.

    Raises:
        OutputError: the figure is not finite.
    """
    if not math.isfinite(value):
        raise OutputError(f"a drawing holds the figure {value}", mend="Please report this plan as a fault.")
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
