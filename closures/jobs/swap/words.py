"""Numbers and lengths as sentences have them."""

from __future__ import annotations

import re
from collections.abc import Set

from closures.placing.interfaced import is_waxed, rewaxed


def counted(count: int, word: str) -> str:
    """Write a count with its word: ``1 button``, ``7 buttons``."""
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def for_holes(told: str, count: int) -> str:
    """Write what is done with a hole so that it is said of each of several."""
    return told if count == 1 else re.sub(r"\bit\b", "each", told, count=1)


def shut_in_words(cloth: Set[str], setting: str, is_round: bool) -> str:
    """How an old hole is shut, by what the cloth bears and what made it; common practice.

    Args:
        cloth: words such as ``cloth: leather``.
        setting: of what was there; prongs part the threads of a cloth and cut none, so that there is no edge to darn.
        is_round: the hole of a post or an awl, whose edges no stitch brings together in a cloth that does not give.
    """
    if setting in PRONGS:
        return _pricks_shut(cloth)
    if is_round and keeps_holes(cloth):
        return "leave it round and put no stitch through it, since each leaves a hole of its own"
    if "cloth: leather" in cloth:
        return "edge to edge and not darned, since leather tears along close stitches"
    if "cloth: coated" in cloth:
        return "edge to edge with few stitches, tried on a scrap first, since each leaves a hole"
    return "darn or sew it shut flat"


def keeps_holes(cloth: Set[str]) -> bool:
    """Whether a cloth keeps each hole of a needle, and bears no iron."""
    return bool({"cloth: leather", "cloth: coated"} & cloth)


def cover_in_words(cloth: Set[str], *, is_for_child: bool) -> str:
    """What lies over an old hole that is left in sight, by what the cloth bears.

    On a child nothing is sewn on that comes off and is swallowed, and cloth that keeps needle holes takes no stitch.
    """
    if keeps_holes(cloth):
        if is_waxed(cloth):
            return f"a patch sewn on{rewaxed(cloth)}"
        return "a patch glued on" if "cloth: leather" in cloth else "a patch taped or glued on"
    return "a patch" if is_for_child else "a patch or a button for show"


PRONGS = ("prong ring", "prong cap")
"""Ways of setting that leave pricks and no hole."""


def _pricks_shut(cloth: Set[str]) -> str:
    if keeps_holes(cloth):
        return "smooth it flat from both faces (no stitch through it)"
    first = "smooth it with the fingers" if "cloth: silk" in cloth else "steam it"
    if "loops keep" in cloth:
        return f"{first}, rub the nap over its pricks with a finger (no darning)"
    if "cloth: knit" in cloth:
        return f"{first}, catch each loop that runs with fine thread (no darning)"
    if "cloth: pile" in cloth:
        return f"{first}, lift the pile back over its pricks with the point of a needle (no darning)"
    return f"{first}, stroke the threads back over its pricks with the point of a needle (no darning)"


def held_by(cloth: Set[str]) -> str:
    """How a patch behind an old hole is held, by what the cloth bears; common practice, of waxed cloth from memory."""
    if is_waxed(cloth):
        return "sew"
    return "glue" if "cloth: leather" in cloth else "tape or glue" if "cloth: coated" in cloth else "sew"
