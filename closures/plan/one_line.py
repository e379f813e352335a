"""Values on one line, as people write them: for the options of the command and the fields of the page.

A range is ``1/2 in to 3/4 in``, a list ``13 mm, 33 mm``, a point ``12 mm, 340 mm``. What comes back is what a plan file
would hold, for the reader to judge; nothing is refused here.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from closures.plan.kinds import Kind


def two_of(text: str) -> list[str] | str:
    """Make a list of two of ``a to b``; anything else stays as it is."""
    parts = re.split(r"\s+to\s+", text.strip())
    return parts if len(parts) == 2 else text


def meant(kind: Kind, text: str) -> Any:
    """Find what a text on one line would be in a plan file."""
    shape = kind.shape
    if shape == "whole":
        return int(text) if re.fullmatch(r"-?\d{1,9}", text.strip()) else text
    if shape == "switch":
        return {"yes": True, "true": True, "no": False, "false": False}.get(text.strip().lower(), text)
    if shape == "range":
        ends = two_of(text)
        return {"from": ends[0], "to": ends[1]} if isinstance(ends, list) else ends
    if shape == "stretch":
        return two_of(text)
    if shape == "list":
        return [part.strip() for part in re.split(r",|;|\sto\s", text) if part.strip()]
    if shape == "place":
        parts = [part.strip() for part in text.split(",")]
        return parts if len(parts) == 2 else text
    if shape == "points":
        return [[part.strip() for part in line.split(",")] for line in text.splitlines() if line.strip()]
    return text
