"""Whether words beside a mark are taken for those of another: by where they stand, or by the way of their leader."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.apart import crossings
from closures.drawing.ink.extents import boxes_of_words, union
from closures.drawing.ink.shapes import FINE, Item, Path, Point

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.sheets.labels import Label

_FAR_MM = 60.0


def leader_of(placed: Sequence[Item]) -> tuple[Point, Point] | None:
    """The leader of a label that was set, from its mark to its words; None where it has none."""
    found = next((one for one in placed if isinstance(one, Path) and one.pen == FINE), None)
    if found is None:
        return None
    (_, x0, y0), (_, x1, y1) = found.commands
    return (float(x0), float(y0)), (float(x1), float(y1))


def is_astray(label: Label, placed: Sequence[Item], leaders: Sequence[tuple[Point, Point]], room: Room) -> bool:
    """Whether a label that was set crosses another's leader, or its figures stand nearer to another mark.

    Args:
        label: what was set.
        placed: how.
        leaders: of those that were set before.
        room: knows all marks.
    """
    leader = leader_of(placed)
    if leader and any(crossings((leader, one)) for one in leaders):
        return True
    if label.head:
        return False
    x0, y0, x1, y1 = union(boxes_of_words(placed))

    def off(at: Point) -> float:
        return math.dist(at, (min(max(at[0], x0), x1), min(max(at[1], y0), y1)))

    own = off(label.at)
    return any(off(other.at) < own for other in room.others(label.kind, label.at, own + _FAR_MM))
