"""What a part of a page says of the strip that it belongs to, read from its words in their order."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from itertools import pairwise

_LAP = r"(OVER|UNDER) (?:LAP|END)\b"
_NAMED = re.compile(rf"(?:(.+), )?{_LAP}")


def name_among(words: Sequence[str], openings: Collection[str]) -> tuple[str, str] | None:
    """Find the opening, empty where none is named, and ``over`` or ``under``; None where no words tell it.

    Args:
        words: of one part, row by row as they were drawn.
        openings: the names, in capitals, of those that share the pages: one may be broken into rows anywhere.
    """
    text = " ".join(words)
    for opening in sorted(openings, key=len, reverse=True):
        if found := re.search(rf"(?<!\S){re.escape(opening)}, {_LAP}", text):
            return (opening, found[1].lower())
    # A name in two rows is parted behind its comma.
    parted = [f"{one} {other}" for one, other in pairwise(words) if one.endswith(",")]
    for row in (*parted, *words):
        if found := _NAMED.match(row):
            return (found[1] or "", found[2].lower())
    return None
