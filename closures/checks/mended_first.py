"""What every page of work begins with where a check failed: what mends it comes before all that is done."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.checks.finding import Finding
    from closures.placing.placement import Placement

_MEND = "Have it mended, and the sheets printed anew, before anything is cut, sewn or pierced"
BEFORE_ALL = f"{_MEND}: the report says how."
"""What a cover says after what failed."""
IN_REPORT = f"A check failed. {_MEND}: what mends it may change the pieces as well."
"""What the order of work begins with in a report, below the checks."""

RIDGE_FIRST = (
    "Look at the ridge first, before the bands are cut: allowances of the finished edge end under parts, and can be "
    "neither trimmed clear of them nor laid another way. What the check of ridges asks for, a smaller closure or one "
    "set further away, may want other bands and sheets."
)
"""What pages of work begin with where nothing failed, and those allowances are in no figure: our own rule."""


def mended_first(placement: Placement, findings: Sequence[Finding], opening: str = "") -> str:
    """Say what comes before all work on a row that fails a check; nothing of one that fails none, or is held back.

    Of what is held back the pages have no work, and say what is done in its place.

    Args:
        placement: the row.
        findings: what the rules say of it.
        opening: its name among those of a garment.
    """
    if placement.is_withheld or all(one.result != "fail" for one in findings):
        return ""
    where = f" of {opening}" if opening else " of this plan"
    return (
        f"A check{where} failed; the cover and the report say which. {_MEND} for these closures: what mends it may "
        "change the pieces as well."
    )
