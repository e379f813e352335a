"""Which closures of a tape are marked: it keeps its own pitch, and is laid by its line and its ends.

All of it is common practice; how many are marked between the ends, our own rule.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

# From one mark to the next there are at most so many closures, so that their line is seen: our own rule.
_GUIDED = 5


def guiding(numbers: Sequence[int]) -> list[int]:
    """The closures of a tape that are marked: the first, the last, and some between them at even steps.

    >>> guiding(range(1, 25))
    [1, 6, 10, 15, 19, 24]
    """
    last = len(numbers) - 1
    stretches = max(1, math.ceil(last / _GUIDED))
    return [numbers[at] for at in sorted({round(k * last / stretches) for k in range(stretches + 1)})]
