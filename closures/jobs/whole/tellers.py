"""Which openings of a garment tell what, and the words for that."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

Told = Sequence[tuple["Opening", "Plan"]]
"""Every opening with its plan."""


def tellers(told: Told, tells: Callable[[Plan], Any]) -> dict[Any, list[str]]:
    """What is told, each with the openings that tell it."""
    found: dict[Any, list[str]] = {}
    for opening, plan in told:
        if tells(plan) is not None:
            found.setdefault(tells(plan), []).append(opening.name)
    return found


def in_words(found: dict[Any, list[str]], key: str) -> str:
    """Who tells what, as plans write it."""
    parts = []
    for value, names in found.items():
        listed = ", ".join(f'"{one}"' for one in ((value,) if isinstance(value, str) else value))
        parts.append(
            f"{in_a_row(names)} {verb(names, 'tell')} {key} = {listed if isinstance(value, str) else f'[{listed}]'}"
        )
    return in_a_row(parts)


def verb(names: Sequence[str], verb: str) -> str:
    """Be or tell, as it goes with so many names."""
    one = {"be": "is", "tell": "tells"}[verb]
    return one if len(names) == 1 else {"be": "are", "tell": "tell"}[verb]


def is_apart(plan: Plan) -> bool:
    """Whether an opening is on a piece that may be newly made for a garment that is there: a strap, or flat goods."""
    return plan.strap is not None or (plan.garment is not None and plan.garment.opens == "flat")


def opens_of(plan: Plan) -> str:
    """Where a row opens: the front where nothing is told, as in its plan alone."""
    return "front" if plan.garment is None or plan.garment.opens is None else plan.garment.opens
