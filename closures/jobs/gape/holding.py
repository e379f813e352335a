"""Does the closure hold: its load against what opens it, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.jobs.gape.tables import figure

if TYPE_CHECKING:
    from closures.jobs.gape.row import Gape

_WAYS = {
    "magnetic snap": "Sideways, as worn, it slides off for less than square to the cloth.",
    "button": "The thread, the shank and the buttonhole may give before it.",
}
_SNAP = "That is for a pull square to the cloth; along the cloth, as worn, a snap usually holds more (from memory)."
CHILD = "It tells nothing of what a child's garment must stand, nor how firmly a part is fixed to the cloth."


def hold_in_words(gape: Gape, family: str, is_child: bool) -> str:
    """Say how the greatest load of a row compares with what opens its closure.

    Args:
        gape: the row.
        family: of the closure.
        is_child: a child wears it.
    """
    load, hold = gape.most_load.load_n, gape.known.hold
    if hold is None:
        text = "What would open this closure is not reckoned: it is held by its shape, not by a spring."
    elif not gape.known.pull.is_measured and load.high > hold.range.low:
        text = (
            "The pull was not measured, and the load that it may come to reaches what opens the closure: measure the "
            "pull before the size is chosen."
        )
    elif load.low > hold.range.high:
        text = "The load is more than what opens the closure: it will spring open. Choose a larger one, or give ease."
    elif load.high > hold.range.low:
        text = "The load may reach what opens the closure: pull the trial coupon, and take the next larger size."
    elif load.high > hold.range.low * figure("load that is near").range.low:
        text = "The load is more than a third of what opens the closure, which wears with use: pull the trial coupon."
    else:
        text = "The load stays well below what opens the closure."
    more = [] if hold is None else [_WAYS.get(family, _SNAP)]
    tear = "Whether the cloth tears out beside it is not reckoned: no published figure was found."
    return " ".join((text, *more, tear, *([CHILD] if is_child else [])))
