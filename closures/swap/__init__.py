"""Other closures in place of those that are there: offers of rows, the old holes, the laps, the pull.

Every offer is a placement like any other, on the same closing line and held against the same rules.
"""

from closures.swap.clash import Clash
from closures.swap.lengthen import Lengthened
from closures.swap.needs import LapNeed, needs_in_words
from closures.swap.offer import Anchored, Offer
from closures.swap.offers import NotOffered
from closures.swap.old_row import OldHole, OldRow
from closures.swap.swap import Swap, is_swap, make_swap, need_swap, no_swap

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
    "is_swap",
    "make_swap",
    "need_swap",
    "needs_in_words",
    "no_swap",
]
