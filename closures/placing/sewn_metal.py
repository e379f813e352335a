"""Hooks and eyes on cloth that shrinks: only their rings are sewn, so only the rings' places move in the wash.

Terms: the *reach* of a hook or an eye leads from its working end, where its mark is, back to the middle of its rings.
The metal keeps it in any wash.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import parallel, stretched
from closures.errors import EdgeError, in_section
from closures.placing.carrying import carry, carry_along
from closures.placing.differing import all_fasteners, fastener_of
from closures.placing.lap import offset_sign
from closures.placing.stand import prolonged

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.curve import Curve
    from closures.placing.lap import Lap, Laps
    from closures.placing.placed import Prepared
    from closures.plan.plan import Plan

# Where a pack tells no outline: how it is drawn, our own rule.
_LEAST_LONG_MM, _LEAST_WIDE_MM = 6.0, 4.0
# Of a hook's height, the radius of a ring as it is drawn: our own rule.
_RING = 1 / 5


def outline_mm(rim_mm: float, extent_mm: tuple[float, float] | None) -> tuple[float, float]:
    """How long a hook or an eye is from its working end, and how wide."""
    return extent_mm or (max(2 * rim_mm, _LEAST_LONG_MM), max(rim_mm, _LEAST_WIDE_MM))


def ring_radius_mm(height_mm: float) -> float:
    """The radius of each of its two rings."""
    return height_mm * _RING


def rings_reach_mm(height_mm: float) -> float:
    """From the middle between both rings to their outer borders: of an eye, whose rings stand further apart."""
    return height_mm / 4 + 2 * ring_radius_mm(height_mm)


def metal_reach_mm(fastener: Fastener, lap: LapName) -> float:
    """From the working end to the middle of the rings; 0 of a part that is sewn on where its mark is.

    A tape of hooks is sewn along its whole length, where its maker's metal does not tell.
    """
    if fastener.setting != "hook" or fastener.mark.on(lap) not in ("hook", "eye"):
        return 0.0
    length, height = outline_mm(fastener.rim_mm, fastener.extent_mm)
    return length - ring_radius_mm(height)


def with_metal(worn: Prepared, marked: Prepared, catalogue: Catalogue) -> Prepared:
    """Lay the lines of hooks and eyes on unwashed cloth where their working ends lie when the rings are sewn right.

    Args:
        worn, marked: what is prepared in either state.
        catalogue: fasteners.

    Raises:
        EdgeError: hooks of several lengths in one row.
    """
    plan = marked.plan
    _refuse(marked, catalogue)
    laps = _laps(worn.laps, marked.laps, plan, marked.fastener)
    column = marked.column
    if worn.column is not None and column is not None:
        column = _laps(worn.column, column, plan, marked.fastener)
    single = [fastener_of(one.closure(plan.closure), catalogue, "single") for one in plan.singles]
    singles = tuple(
        _laps(one, other, plan, fastener)
        for one, other, fastener in zip(worn.singles, marked.singles, single, strict=True)
    )
    wish = replace(marked.wish, length_mm=laps.line.length_mm)
    return replace(marked, laps=laps, column=column, singles=singles, wish=wish)


def _laps(worn: Laps, marked: Laps, plan: Plan, fastener: Fastener) -> Laps:
    reaches = metal_reaches(fastener)
    if not any(reaches):
        return marked
    over, under = (
        _lap(one, other, plan, reach) for one, other, reach in zip(worn.both, marked.both, reaches, strict=True)
    )
    facing = None if under.facing is None else replace(under.facing, line=over.line)
    under = replace(under, facing=facing, is_beneath=marked.is_one_frame)
    return replace(marked, line=over.line, over=over, under=under)


def carry_metal(place_mm: float, worn: Lap, marked: Lap, plan: Plan, reach_mm: float) -> float:
    """Carry a place of a worn line by the rings of what lies there; along the unwashed line, in mm."""
    if not reach_mm or (worn.stand is not None and place_mm <= worn.stand.height_mm):
        return carry_along(place_mm, worn.line, marked.line, plan)
    way = worn.line.tangent_at(place_mm)
    rings = carry(worn.moved_in(worn.line.point_at(place_mm), way, reach_mm), plan)
    # The line of the working ends runs parallel to that of the rings.
    return marked.line.nearest(rings).along_mm


def metal_reaches(fastener: Fastener) -> tuple[float, float]:
    """The reach on the over lap and on the under lap, in mm."""
    return metal_reach_mm(fastener, "over"), metal_reach_mm(fastener, "under")


def _lap(worn: Lap, marked: Lap, plan: Plan, reach_mm: float) -> Lap:
    wish = plan.shrinkage
    if wish is None or not reach_mm:
        return marked
    left_across, left_along = 1.0 - wish.across, 1.0 - wish.along
    inwards = offset_sign(worn.cloth_on)
    own, stand = worn.line, marked.stand
    if worn.stand is not None:
        own = own.stretch(worn.stand.height_mm, own.length_mm)
    rings = _moved(own, inwards * reach_mm)
    line = _moved(stretched(rings, 1.0 / left_across, 1.0 / left_along), -inwards * reach_mm)
    if stand is not None:
        line = prolonged(line, marked.edge.tangent_at(0.0), stand.height_mm)
        stand = replace(stand, reach_mm=reach_mm)
    # As on an edge that runs straight down, as every inset of cloth that shrinks.
    return replace(marked, line=line, stand=stand, inset_mm=marked.inset_mm + reach_mm * (1.0 / left_across - 1.0))


def _moved(line: Curve, by_mm: float) -> Curve:
    return parallel(line, by_mm, "line of the rings of the hooks and eyes")


def _refuse(marked: Prepared, catalogue: Catalogue) -> None:
    """Refuse hooks of unlike lengths in one row: each would need a line of its own on cloth that shrinks."""
    row = metal_reaches(marked.fastener)
    for other in all_fasteners(marked.plan, catalogue)[1:]:
        if metal_reaches(other) != row:
            raise EdgeError(
                "a hook keeps its length while the cloth shrinks, so closures of a row that differ in it no longer lie "
                "on one line of the unwashed cloth",
                where=in_section("differs", is_repeated=True),
                mend="Take one kind and size for the row; or wash the cloth first, measure it washed, and leave "
                "[shrinkage] out.",
            )
