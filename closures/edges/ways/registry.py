"""All ways to tell an edge, and the files that a plan's own needs; nobody else lists either."""

from __future__ import annotations

from functools import lru_cache
from importlib import import_module
from itertools import chain
from pkgutil import iter_modules
from typing import TYPE_CHECKING

from closures.edges import ways
from closures.edges.ways.way import FileNeeded, Way
from closures.errors import EdgeError, Where

if TYPE_CHECKING:
    from closures.plan.edge import EdgeWish
    from closures.plan.plan import Plan


@lru_cache(maxsize=1)
def all_ways() -> tuple[Way, ...]:
    """List every way; the keys of the plan see to it that of several one is told."""
    modules = (import_module(f"{ways.__name__}.{found.name}") for found in iter_modules(ways.__path__))
    return tuple(way for module in modules for way in getattr(module, "WAYS", ()))


def way_of(wish: EdgeWish, where: str) -> Way:
    """Find the way in which an edge is told.

    Args:
        wish: the edge.
        where: the plan, for messages.

    Raises:
        EdgeError: it is told in none.
    """
    found = next((way for way in all_ways() if way.is_told(wish)), None)
    if found is None:
        raise EdgeError(
            "there is no edge", where=Where(file=where, section="edge"), mend="Write path, points, straight or arc."
        )
    return found


def files_needed(plan: Plan) -> tuple[FileNeeded, ...]:
    """List the files from which the edges of a plan are read: the drawing that it names, and those of its way."""
    edge, drawing = plan.edge, () if plan.drawing is None else (FileNeeded(plan.drawing, "drawing"),)
    told = () if edge is None else tuple(way.files(edge) for way in all_ways() if way.is_told(edge))
    return (*drawing, *chain.from_iterable(told))
