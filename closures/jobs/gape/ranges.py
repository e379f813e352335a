"""A figure that is not known exactly: the least and the most that it may be."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import product

from closures.frozen import frozen


@frozen
class Between:
    """The least and the most that a figure may be, in the unit that its holder names.

    Raises:
        ValueError: an end is not finite, or the ends are the wrong way round.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.high):
            raise ValueError(f"from {self.low} to {self.high} is no range")

    @property
    def middle(self) -> float:
        """The middle by ratio where both ends are above 0, as errors here are factors; else halfway."""
        if self.low > 0:
            return math.sqrt(self.low * self.high)
        return (self.low + self.high) / 2

    @property
    def ratio(self) -> float:
        """The most over the least: 1 for a figure that is known; infinite where the least is 0 and the most is not."""
        if self.low > 0:
            return self.high / self.low
        return math.inf if self.high > self.low else 1.0

    def times(self, least: float, most: float) -> Between:
        """Widen by a factor of which only the least and the most are known, both above 0."""
        return Between(self.low * least, self.high * most)


def exactly(value: float) -> Between:
    """A figure without a range: one that was counted, chosen or drawn."""
    return Between(value, value)


def over(function: Callable[..., float], *arguments: Between) -> Between:
    """Carry ranges through a function.

    Args:
        function: of as many numbers as there are ranges. It must rise or fall throughout in each of them
            by itself: then its least and its most lie at corners, and no range comes out too narrow. It is
            no wider than it must be either, as each range stands for a figure of its own.
        arguments: the ranges.

    Returns:
        The range of the function's values.
    """
    values = [function(*corner) for corner in product(*((a.low, a.high) for a in arguments))]
    return Between(min(values), max(values))


def joined(ranges: tuple[Between, ...]) -> Between:
    """The least range that holds all of them; there must be at least one."""
    return Between(min(r.low for r in ranges), max(r.high for r in ranges))


def summed(ranges: tuple[Between, ...]) -> Between:
    """The sum of figures of which only ranges are known; 0 where there are none."""
    return Between(sum(r.low for r in ranges), sum(r.high for r in ranges))
