"""What stands beside a field as an example, in the unit that the page is read in."""

from __future__ import annotations

import re
from functools import lru_cache

from closures.lengths import format_inches, format_mm, parse_length_mm

_INCHES = re.compile(r"(?<![\w./])(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?) in\b")
_METRIC = re.compile(r"(?<![\w./])\d+(?:\.\d+)? [cm]m\b")
_OF_A_DRAWING = ("edge.scale",)
"""Fields whose example is no length of cloth: that a unit of a drawing is a millimetre is said in mm alone."""
# An example need be no truer than a tape is read; what is smaller than a finger keeps its tenths.
_WHOLE_FROM_MM = 10.0
_BY_GAUGE_BELOW_MM = 3.0
_STEPS = ((40.0, 1 / 16), (100.0, 1 / 8), (float("inf"), 1 / 4))
"""Up to which length in mm an example is told to which part of an inch."""


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


@lru_cache(maxsize=1024)
def in_inches(text: str, name: str = "") -> str:
    """Tell every metric length of a text in inches.

    Args:
        text: an example, or what is usual.
        name: the field that it stands beside.

    Returns:
        The same with its lengths in inches.

    >>> in_inches("such as 760 mm"), in_inches("13 mm, 33 mm"), in_inches("0.5 mm to 1.5 mm")
    ('such as 30 in', '1/2 in, 1 5/16 in', '0.02 in to 0.06 in')
    """
    return text if name in _OF_A_DRAWING else _METRIC.sub(lambda found: _imperial(found[0]), text)


def _imperial(metric: str) -> str:
    mm = parse_length_mm(metric, "mm")
    if 0 < mm < _BY_GAUGE_BELOW_MM:
        # What is measured with a gauge has no sixteenth.
        return f"{mm / 25.4:.2f} in"
    step = next(step for most, step in _STEPS if mm < most) * 25.4
    return format_inches(round(mm / step) * step)


def _metric(inches: str) -> str:
    mm = parse_length_mm(inches, "in")
    return format_mm(mm, 0 if mm >= _WHOLE_FROM_MM else 1)
