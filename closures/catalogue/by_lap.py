"""What a kind of closure has on each lap: what is marked there, and what is left there when it is taken off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.catalogue.values import LapName, MarkWay

LeftWay = Literal["buttonhole", "hole", "pricks", "slits", "needle holes"]


@frozen
class MarkStyle:
    """What is marked on each lap.

    Attributes:
        over: the mark on the over lap.
        under: the mark on the under lap.
    """

    over: MarkWay
    under: MarkWay

    def on(self, lap: LapName) -> MarkWay:
        """What is marked on one lap."""
        return self.over if lap == "over" else self.under

    @property
    def buttonhole_lap(self) -> LapName | None:
        """The lap that carries the buttonhole, None for a closure that has none."""
        if self.over == "buttonhole":
            return "over"
        return "under" if self.under == "buttonhole" else None


@frozen
class Leaves:
    """What the cloth of each lap keeps of a closure that is taken off: no more than a needle's holes, or what is named.

    Attributes:
        over, under: what is left in that lap.
    """

    over: LeftWay
    under: LeftWay

    def on(self, lap: LapName) -> LeftWay:
        """What is left in one lap."""
        return self.over if lap == "over" else self.under
