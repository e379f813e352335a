"""What follows from who wears the garment: profiles, ages, implants, and the law of where it is sold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.plan.body import OF_SEVEN_MONTHS, OF_THREE_MONTHS

if TYPE_CHECKING:
    from collections.abc import Callable, Set

    from closures.plan.plan import Plan

AGES: dict[str, Callable[[float], bool]] = {
    "to 18 months": lambda months: months <= 18,
    "past 18 months": lambda months: months > 18,
    "past three": lambda months: months >= OF_THREE_MONTHS,
    "past seven": lambda months: months >= OF_SEVEN_MONTHS,
    "past eight": lambda months: months > 96,
}
"""Where rules for children change, by an age in months: 16 CFR 1500.51 to .53; 16 CFR 1501.2, of those under three, and
EN 14682 (both from memory)."""


def wearer_words(plan: Plan) -> set[str]:
    """The facts of those who wear it, as the plan tells them, and of where it is sold."""
    words = {f"wearer: {profile.removeprefix('child ')}" for profile in plan.profiles}
    age = None if plan.body is None else plan.body.age_months
    words |= {flag for flag, holds in AGES.items() if age is not None and holds(age)}
    wish = plan.wearer
    if wish is None:
        return words | {"implants: not asked"}
    # Whoever has one keeps it where their clinic allows the magnets, too.
    words |= {"implants: some", "implants: allowed"} if wish.implants == "allowed" else {f"implants: {wish.implants}"}
    # Where nobody says where it is sold, the law of either is told.
    return words | {f"sold: not {market}" for market in ("EU", "US") if wish.sold and market not in wish.sold}


def words_on_magnets(words: Set[str]) -> set[str]:
    """From whom the magnets keep the garment: those that are in it as the work begins, and those that will be.

    Args:
        words: the facts of the closures, of who wears them, and of the old ones.
    """
    is_for_child, found = "wearer: child" in words, set[str]()
    is_kept_off = "implants: some" in words and "implants: allowed" not in words
    if "magnets in it" in words and (is_for_child or is_kept_off):
        found.add("magnets withheld")
    if "any magnetic" in words and is_for_child:
        found |= {"magnets on a child"} | ({"magnets off a child"} if "magnets in it" in words else set())
    return found


def put_on_as_answered(words: Set[str]) -> str:
    """Who puts on what has magnets in it, where the plan says that somebody has an implant."""
    if {"any magnetic", "implants: some"} <= words:
        return ", whoever has the implant only where the answer allows it"
    return ""
