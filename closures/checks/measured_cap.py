"""A rule on the measure of a closure: is what was measured near what its size is?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.errors import CatalogueError
from closures.said import to_both

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener
    from closures.checks.checked import Checked

_RULE = "measured cap"
_OURS = "our own rule"
_MOST_UNLIKE = 1.25
"""So many times what was measured may be its size or its size it: our own rule. Caps of one size differ from pack to
pack by less, and the next size but one lies beyond it."""


def check_measured_cap(checked: Checked) -> list[Finding]:
    """Is a cap that was measured, new or of the closures that a swap takes off, near what its size is?"""
    closure, old = checked.placement.plan.closure, checked.placement.plan.swap
    found = [_unlike(checked, closure.kind, closure.size, closure.cap_mm, "")]
    if old is not None:
        found.append(_unlike(checked, old.kind, old.size, old.cap_mm, "old "))
    return [Finding(_RULE, "warn", to_both(text), _OURS) for text in found if text]


def _unlike(checked: Checked, kind: str, size: str, cap_mm: float | None, which: str) -> str:
    listed = None if cap_mm is None else _listed(checked, kind, size)
    if cap_mm is None or listed is None or listed.cap is None:
        return ""
    low, high = sorted((cap_mm, listed.cap_mm))
    if high <= _MOST_UNLIKE * low:
        return ""
    return (
        f"The {which}{listed.kind} was measured {checked.show(cap_mm)} across, and one of size {listed.size} is "
        f"{checked.show(listed.cap_mm)} ({listed.cap.provenance.text}). All room is reckoned with what was measured: "
        "measure the largest part again, and see that the size is the one on the pack."
    )


def _listed(checked: Checked, kind: str, size: str) -> Fastener | None:
    """The size as it is listed, or None where it is no size of the lists."""
    try:
        return checked.catalogue.fastener(kind, size)
    except CatalogueError:
        return None
