"""What a rule says of a placement."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Result = Literal["pass", "warn", "fail"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer of one rule.

    Attributes:
        rule: the rule's name as users read it, for example ``edge distance``.
        result: pass, warn or fail.
        text: what was found, against what, and what to do, in whole sentences.
        source: where the limit comes from.
        lap: the lap it speaks of, None for both.
        mark: the number of the mark, None for the whole row.
        found_mm: the figure found.
        limit_mm: the figure it is held against.
    """

    rule: str
    result: Result
    text: str
    source: str
    lap: str | None = None
    mark: int | None = None
    found_mm: float | None = None
    limit_mm: float | None = None
