"""The main job: a plan becomes marks on one closing line.

Read `place` to see where the marks come from: the laps give the closing line, the anchors
and clear zones are met with it, the best spacing is found on it as plain numbers, and each
number becomes one point that both laps share.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from closures.errors import naming
from closures.lap import make_laps
from closures.lengths import format_length
from closures.marking import LapMark, Mark, mark_row
from closures.meeting import PlacedAnchor, PlacedZone, meet_anchor, meet_zone
from closures.spacing import Anchor, Clear, Wish, best_spacing, evaluate_spacing

if TYPE_CHECKING:
    from closures.catalogue import Catalogue, Fastener
    from closures.edges import Edges
    from closures.lap import Laps
    from closures.plan import Plan, Units
    from closures.spacing import Spacing

__all__ = ["Ground", "LapMark", "Mark", "PlacedAnchor", "PlacedZone", "Placement", "ground_for", "place", "place_on"]

# What a length for people tells apart: a tenth of a mm, a sixteenth of an inch.
_STEP_MM = {"mm": 0.1, "in": 25.4 / 16}


@dataclass(frozen=True, slots=True)
class Ground:
    """A closing line, ready for closures to be spaced on it.

    Attributes:
        plan: what was asked.
        fastener: the closure chosen, with the plan's own measures in it.
        laps: the closing line and the laps.
        anchors, zones: as they meet the closing line.
        wish: the spacing asked for, as numbers.
    """

    plan: Plan
    fastener: Fastener
    laps: Laps
    anchors: tuple[PlacedAnchor, ...]
    zones: tuple[PlacedZone, ...]
    wish: Wish


@dataclass(frozen=True, slots=True)
class Placement:
    """A garment's closures, placed.

    Attributes:
        plan: what was asked.
        laps: the closing line and the laps.
        fastener: the closure chosen, with the plan's own measures in it.
        spacing: the row as numbers.
        marks: from the first end.
        anchors, zones: as they meet the closing line.
    """

    plan: Plan
    laps: Laps
    fastener: Fastener
    spacing: Spacing
    marks: tuple[Mark, ...]
    anchors: tuple[PlacedAnchor, ...]
    zones: tuple[PlacedZone, ...]


def place(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Place a garment's closures as well as they can be.

    Args:
        plan: what is asked.
        edges: the curves that the plan's edge arrived as, in mm, seen from outside.
        catalogue: fasteners, cloths and rules.

    Returns:
        The placement.

    Raises:
        CatalogueError: a fastener or cloth that the catalogue does not hold.
        EdgeError: the band cannot follow the edge, or a level does not meet the closing line.
        SpacingError: no row of closures meets the wishes.
    """
    ground = ground_for(plan, edges, catalogue)
    with naming("[spacing]"):
        spacing = best_spacing(ground.wish, show=shown_in(plan.units), step_mm=_STEP_MM[plan.units])
    return _placed(ground, spacing, catalogue)


def place_on(ground: Ground, places_mm: Sequence[float], catalogue: Catalogue) -> Placement:
    """Place closures where they are told to be, whether or not that is a good row.

    Args:
        ground: the closing line.
        places_mm: along the closing line from its first end, ascending.
        catalogue: cloths and rules.

    Returns:
        The placement; the rules say what is wrong with it.

    Raises:
        SpacingError: places that are not finite or do not ascend.
    """
    return _placed(ground, evaluate_spacing(ground.wish, places_mm, show=shown_in(ground.plan.units)), catalogue)


def ground_for(plan: Plan, edges: Edges, catalogue: Catalogue) -> Ground:
    """Find the closing line of a plan, with everything that closures are spaced by.

    Args and errors are those of `place`.
    """
    fastener = chosen_fastener(plan, catalogue)
    laps = make_laps(edges, plan.band)
    anchors = tuple(meet_anchor(wish, laps) for wish in plan.anchors)
    zones = tuple(meet_zone(wish, laps, fastener.rim_mm) for wish in plan.clear)
    return Ground(plan, fastener, laps, anchors, zones, _spacing_wish(plan, laps, fastener, anchors, zones))


def _placed(ground: Ground, spacing: Spacing, catalogue: Catalogue) -> Placement:
    plan, laps, fastener = ground.plan, ground.laps, ground.fastener
    marks = mark_row(plan, laps, fastener, spacing, ground.anchors, catalogue)
    return Placement(plan, laps, fastener, spacing, marks, ground.anchors, ground.zones)


def shown_in(units: Units) -> Callable[[float], str]:
    """The way a length is written for people in these units."""
    return lambda mm: format_length(mm, units)


def chosen_fastener(plan: Plan, catalogue: Catalogue) -> Fastener:
    """Look up the plan's closure, with the plan's own measures in place of the catalogue's."""
    closure = plan.closure
    with naming("[closure]"):
        return catalogue.fastener(
            closure.kind,
            closure.size,
            cap_mm=closure.cap_mm,
            grip_mm=closure.grip_mm,
            thickness_mm=closure.thickness_mm,
            halves=closure.halves,
        )


def _spacing_wish(
    plan: Plan,
    laps: Laps,
    fastener: Fastener,
    anchors: tuple[PlacedAnchor, ...],
    zones: tuple[PlacedZone, ...],
) -> Wish:
    """Put the plan's spacing on the closing line as numbers."""
    spacing = plan.spacing
    least = fastener.least_pitch.value
    return Wish(
        length_mm=laps.line.length_mm,
        first=(spacing.first.low_mm, spacing.first.high_mm),
        last=(spacing.last.low_mm, spacing.last.high_mm),
        closest_mm=max(least, spacing.closest_mm or 0.0),
        widest_mm=math.inf if spacing.widest_mm is None else spacing.widest_mm,
        pitch_mm=spacing.pitch_mm,
        count=spacing.count,
        anchors=tuple(Anchor(a.name, a.along_mm, a.within_mm) for a in anchors),
        clear=tuple(Clear(z.name, low, high) for z in zones for low, high in z.closed_mm),
    )
