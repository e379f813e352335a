"""What a way to tell the over lap's finished edge is made of."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.arrival import Arrival
    from closures.plan.edge import EdgeWish


@frozen
class FileNeeded:
    """A file beside the plan.

    Attributes:
        name: as the plan gives it.
        what: what it is called in messages: "drawing", "points".
    """

    name: str
    what: str


def no_files(wish: EdgeWish) -> tuple[FileNeeded, ...]:
    """Need nothing but the plan and the drawing that it may name above its sections."""
    return ()


@frozen
class Way:
    """A way to tell an edge.

    Attributes:
        is_told: whether a plan tells its edge so.
        edge: makes the edge, first end as told to last, seen from outside; it raises `EdgeError` or `DrawingError`.
        files: the files that it needs beside the plan's drawing.
        is_in_words: the plan tells it whole, so that no side of it is drawn on which its cloth could lie.
    """

    is_told: Callable[[EdgeWish], bool]
    edge: Callable[[Arrival], Curve]
    files: Callable[[EdgeWish], tuple[FileNeeded, ...]] = no_files
    is_in_words: bool = False
