"""What stands beside a field as an example, in the unit that the page is read in."""

from __future__ import annotations

import re
from functools import lru_cache

from closures.lengths import format_mm, parse_length_mm

_INCHES = re.compile(r"(?<![\w./])(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?) in\b")
# An example need be no truer than a tape is read; what is smaller than a finger keeps its tenths.
_WHOLE_FROM_MM = 10.0


@lru_cache(maxsize=1024)
def in_mm(text: str) -> str:
    """Tell every length in inches of a text in millimetres.

    Args:
        text: an example, or what is usual.

    Returns:
        The same with its lengths in mm.

    >>> in_mm("5/8 in, or 1/2 in to 3/4 in")
    '16 mm, or 13 mm to 19 mm'
    """
    return _INCHES.sub(lambda found: _metric(found[0]), text)


def _metric(inches: str) -> str:
    mm = parse_length_mm(inches, "in")
    return format_mm(mm, 0 if mm >= _WHOLE_FROM_MM else 1)
