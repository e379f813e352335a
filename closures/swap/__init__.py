"""Other closures in place of those that are there: offers of rows, the old holes, the laps, the pull.

Every offer is a placement like any other, on the same closing line and held against the same rules.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.handing_on import handing_on

if TYPE_CHECKING:
    from closures.swap.clash import Clash
    from closures.swap.lengthen import Lengthened
    from closures.swap.needs import LapNeed, needs_in_words
    from closures.swap.offer import Anchored, Offer
    from closures.swap.offers import NotOffered
    from closures.swap.old_row import OldHole, OldRow
    from closures.swap.swap import Swap, make_swap, need_swap, no_swap

__all__ = [
    "Anchored",
    "Clash",
    "LapNeed",
    "Lengthened",
    "NotOffered",
    "Offer",
    "OldHole",
    "OldRow",
    "Swap",
    "make_swap",
    "need_swap",
    "needs_in_words",
    "no_swap",
]

__getattr__ = handing_on(
    __name__,
    {
        "closures.swap.clash": ("Clash",),
        "closures.swap.lengthen": ("Lengthened",),
        "closures.swap.needs": ("LapNeed", "needs_in_words"),
        "closures.swap.offer": ("Anchored", "Offer"),
        "closures.swap.offers": ("NotOffered",),
        "closures.swap.old_row": ("OldHole", "OldRow"),
        "closures.swap.swap": ("Swap", "make_swap", "need_swap", "no_swap"),
    },
)
