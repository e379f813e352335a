"""Buttons that lie between the closed ends of a strap, where one buttonhole goes over one button of several."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placed import Placement

_FLAT_SETTINGS = 2
"""So many flat buttons on one end lie under the other unseen, as on a shirt's cuff that two buttons adjust: common
practice."""


def buttoned_end(placement: Placement) -> LapName:
    """The end that carries the buttons of a strap that is buttoned."""
    return "under" if placement.fastener.mark.buttonhole_lap == "over" else "over"


def buttons_between(placement: Placement) -> int:
    """Count the buttons of which but one is closed, where the others keep the ends from lying flat; else 0."""
    holes = placement.fastener.mark.buttonhole_lap
    if placement.strap is None or holes is None or len(placement.on(holes)) != 1:
        return 0
    count = len(placement.on(buttoned_end(placement)))
    is_usual = placement.fastener.kind == "sew-through button" and count <= _FLAT_SETTINGS
    return 0 if count < 2 or is_usual else count
