"""The files that a plan names: read as its ways in and its catalogue ask for them, none by name here."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from closures import files
from closures.edges.reading import read_edges
from closures.edges.ways.registry import files_needed
from closures.plan.band import BandWish
from closures.plan.spacing import SpacingWish
from closures.plan.top import NOT_BARE

if TYPE_CHECKING:
    from closures.edges.reading import Edges
    from closures.plan.plan import Plan

Given = tuple[tuple[str, bytes], ...]
"""Files, each with the name that a plan gives it."""


def files_of_edges(plan: Plan, beside: files.Beside) -> Given:
    """Read the files that a plan's edges need.

    Raises:
        DrawingError, PlanError: one is not there or cannot be read.
    """
    return tuple((one.name, files.read_beside(beside, one.name, one.what)) for one in files_needed(plan))


def supplies_of(plan: Plan, beside: files.Beside) -> bytes | None:
    """Read a plan's supplies; None where it names none.

    Raises:
        PlanError: they are not there or cannot be read.
    """
    return None if plan.supplies is None else files.read_beside(beside, plan.supplies, "supplies")


def edges_of(plan: Plan, given: Given) -> Edges:
    """Read a plan's edges; where only what lies on the edge, or how, was changed, they are read once.

    Raises:
        DrawingError, EdgeError: as for `read_edges`.
    """
    named = tuple(anchor for anchor in plan.anchors if anchor.at is not None)
    # Of the band an edge is read by its lap and by the side it was drawn from; of the spacing by nothing.
    band = None if plan.band is None else BandWish(0.0, 0.0, 0.0, 0.0, plan.band.lap, plan.band.seen_from)
    spacing = None if plan.spacing is None else SpacingWish()
    told = replace(
        plan, title="", bare=NOT_BARE, anchors=named, clear=(), layers=(), band=band, spacing=spacing, sheets=None
    )
    return _edges_once(told, given)


@lru_cache(maxsize=8)
def _edges_once(plan: Plan, given: Given) -> Edges:
    return read_edges(plan, dict(given))
