"""How the pull differs along the closing line, against where it was measured."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.jobs.gape.ranges import Between, exactly
from closures.jobs.gape.tables import figure
from closures.lengths import SAME_MM

if TYPE_CHECKING:
    from closures.placing.placement import Placement


@frozen
class Profile:
    """The pull along the line as shares of the measured pull.

    Attributes:
        told: (place along the line in mm, share), rising; straight between two of them, level beyond the ends.
            Empty where nothing is told.
        anchors: places of the anchors, where nothing is told: there the share is 1, and between them less, perhaps.
        text: what was assumed, for people.
    """

    told: tuple[tuple[float, float], ...]
    anchors: tuple[float, ...]
    text: str

    def at(self, along_mm: float) -> float:
        """The share at a place; 1 where nothing is told."""
        if not self.told:
            return 1.0
        for (low, one), (high, other) in pairwise(self.told):
            if low <= along_mm <= high:
                return one + (other - one) * (along_mm - low) / (high - low)
        return self.told[0][1] if along_mm < self.told[0][0] else self.told[-1][1]

    def over(self, start_mm: float, end_mm: float) -> Between:
        """The mean share over a stretch of the line."""
        if self.told:
            places = [start_mm, *(at for at, _ in self.told if start_mm < at < end_mm), end_mm]
            if end_mm - start_mm < SAME_MM:
                return exactly(self.at(start_mm))
            area = sum((b - a) * (self.at(a) + self.at(b)) / 2 for a, b in pairwise(places))
            return exactly(area / (end_mm - start_mm))
        if not self.anchors or any(start_mm - SAME_MM <= at <= end_mm + SAME_MM for at in self.anchors):
            return exactly(1.0)
        return figure("pull between anchors").range


def profile_of(placement: Placement) -> Profile:
    """Find how the pull differs along a placement's line: as told, or from its anchors."""
    wish = placement.plan.pull
    places = {anchor.name: anchor.along_mm for anchor in placement.anchors}
    if wish is not None and wish.elsewhere:
        told = {places[one.at]: one.times for one in wish.elsewhere}
        if wish.at is not None:
            told[places[wish.at]] = 1.0
        return Profile(
            tuple(sorted(told.items())), (), "The pull along the line is as told, straight from place to place."
        )
    if places:
        anchors = tuple(sorted(places.values()))
        spread = figure("pull between anchors")
        return Profile((), anchors, f"How the pull differs along the line was not told: {spread.told}.")
    return Profile((), (), "The pull is taken as the same all along the line: no anchor and no other place was told.")
