"""Which openings of a garment tell what, and the words for that."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from closures.lengths import SAME_MM, format_length
from closures.said import Said
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

Told = Sequence[tuple["Opening", "Plan"]]
"""Every opening with its plan."""

ONE_LENGTH_MM = 1.0
"""What one tape tells in mm and another in sixteenths of an inch lies no further apart: our own rule."""


def tellers(told: Told, tells: Callable[[Plan], Any]) -> dict[Any, list[str]]:
    """What is told, each with the openings that tell it."""
    found: dict[Any, list[str]] = {}
    for opening, plan in told:
        if tells(plan) is not None:
            found.setdefault(tells(plan), []).append(opening.name)
    return found


def are_both_sides(one: str, other: str) -> bool:
    """Whether of two names one has the word left and the other right."""
    words = [set(name.casefold().split()) for name in (one, other)]
    return "left" in words[0] ^ words[1] and "right" in words[0] ^ words[1]


def without_side(name: str) -> list[str]:
    """The words of a name but for left and right."""
    return [word for word in name.casefold().split() if word not in ("left", "right")]


def lengths_apart(
    told: Told, tells_mm: Callable[[Plan], float | None], key: str, within_mm: float = ONE_LENGTH_MM
) -> str:
    """Who tells which length of what there is once, each in the units of its plan; empty where it is one length.

    Args:
        told: every opening with its plan.
        tells_mm: what a plan tells of it; None for nothing.
        key: as plans write it.
        within_mm: how far lengths of one thing may lie apart.
    """
    found = [(opening.name, mm, plan.units) for opening, plan in told if (mm := tells_mm(plan)) is not None]
    lengths = [mm for _, mm, _ in found]
    if not found or max(lengths) - min(lengths) <= within_mm + SAME_MM:
        return ""
    by_words: dict[Any, list[str]] = {}
    for name, mm, units in found:
        by_words.setdefault(format_length(mm, units), []).append(name)
    return in_words(by_words, key)


def in_words(found: dict[Any, list[str]], key: str) -> Said:
    """Who tells what: to an author as plans write it, on a page what it is."""
    parts, on_pages = [], []
    for value, names in found.items():
        listed = ", ".join(f'"{one}"' for one in ((value,) if isinstance(value, str) else value))
        who = f"{in_a_row(names)} {verb(names, 'tell')}"
        parts.append(f"{who} {key} = {listed if isinstance(value, str) else f'[{listed}]'}")
        on_pages.append(f"{who} {listed}")
    return Said(in_a_row(parts), in_a_row(on_pages))


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
