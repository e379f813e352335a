"""Cloth that shrinks in the first wash: one plan in two states, as it is marked and as it is worn.

Terms: *unwashed* is the cloth as it is cut and marked, *washed* the garment as it is worn. The plan says in
which of the two its lengths were measured. The row is spaced as the garment is worn, and its places are then
carried to the unwashed cloth; both laps are drawn from these, so that nothing is stretched twice.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import stretched
from closures.edges.reading import Unstretched
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.placing.garment import runs_across, runs_down

if TYPE_CHECKING:
    from closures.curve import Curve, Point
    from closures.edges.reading import Edges
    from closures.plan.anchors import AnchorWish, ClearWish
    from closures.plan.band import BandWish
    from closures.plan.column import ColumnWish
    from closures.plan.kinds import Range
    from closures.plan.layers import LayerWish
    from closures.plan.place import PlaceWish
    from closures.plan.plan import Plan
    from closures.plan.shrinkage import ShrinkageWish
    from closures.plan.single import SingleWish
    from closures.plan.spacing import SpacingWish
    from closures.plan.stand import StandWish
    from closures.plan.stripe import StripeWish

# An edge that begins as flat as this has no levels to speak of on its stand.
_LEVEL = 1e-6


@frozen
class Factors:
    """How lengths of one state become lengths of the other.

    Attributes:
        x, y: across and down the drawing.
        line: along the finished edge, the mean of the two as the edge runs.
        stand: of a collar stand above the edge, None where there is none.
    """

    x: float
    y: float
    line: float
    stand: StandFactors | None = None

    def along(self, mm: float) -> float:
        """A distance along the line, from the stand's upper edge where there is a stand."""
        if self.stand is None:
            return mm * self.line
        height = self.stand.height_mm
        return min(mm, height) * self.stand.up + max(mm - height, 0.0) * self.line

    def level(self, mm: float) -> float:
        """A level, which on a stand counts from the neck seam up."""
        if self.stand is None or mm >= self.stand.seam_mm:
            return mm * self.y
        return self.stand.seam_mm * self.y + (mm - self.stand.seam_mm) * self.stand.level


@frozen
class StandFactors:
    """How lengths on a collar stand, cut on a grain of its own, become lengths of the other state.

    Attributes:
        height_mm, seam_mm: its height, and the level of the neck seam at the finished edge, in the state left.
        up: along its front end.
        level: straight down.
    """

    height_mm: float
    seam_mm: float
    up: float
    level: float


def worn_and_marked(plan: Plan, edges: Edges) -> tuple[tuple[Plan, Edges], tuple[Plan, Edges]]:
    """Put a plan and its edges into both states.

    Args:
        plan: with a shrinkage.
        edges: as the plan tells them, in the state in which they were measured.

    Returns:
        The plan and the edges of the washed garment, and those of the unwashed cloth.

    Raises:
        ValueError: the plan tells no shrinkage.
    """
    wish = plan.shrinkage
    if wish is None:
        raise ValueError("the plan tells no shrinkage")
    left_across, left_along = 1.0 - wish.across, 1.0 - wish.along
    if wish.measured == "washed":
        worn = (plan, edges)
        marked = _stretched(plan, edges, 1.0 / left_across, 1.0 / left_along)
    else:
        worn, marked = _stretched(plan, edges, left_across, left_along), (plan, edges)
    longer = marked[1].over.length_mm / worn[1].over.length_mm
    # As on an edge that runs straight down, until it is known where the buttonholes lie.
    holes = replace(marked[0].shrinkage or wish, holes=(longer, 1.0 / left_across))
    stand = _marked_stand(worn[0].stand, marked[0].stand, edges, wish)
    return worn, (replace(marked[0], shrinkage=holes, stand=stand), marked[1])


def _marked_stand(
    worn: StandWish | None, marked: StandWish | None, edges: Edges, wish: ShrinkageWish
) -> StandWish | None:
    """The stand as it is cut, with what it and its buttonhole come to once washed."""
    if worn is None or marked is None:
        return None
    # Turned by a quarter, it loses in height what the front loses across; else it shrinks as the front does.
    lengthwise, across = lengthwise_and_across(edges, 1.0 / (1.0 - wish.across), 1.0 / (1.0 - wish.along))
    return replace(marked, worn_mm=worn.height_mm, holes=(across, lengthwise) if marked.grain == "round" else None)


def lengthwise_and_across(edges: Edges, x: float, y: float) -> tuple[float, float]:
    """What holds along a front and what holds across it, of what holds across the drawing and down it.

    A front's lengthwise threads run as its edge does, near enough. They run down the drawing, unless the piece lies on
    its side there.

    Args:
        edges: as the plan tells them.
        x, y: a figure of the way across the drawing, and of the way down it.

    Raises:
        EdgeError: the edge runs aslant, and the two figures are not one.
    """
    if x == y:
        return y, x
    both = [one for one in (edges.over, edges.under) if one is not None]
    if all(runs_down(one) for one in both):
        return y, x
    if all(runs_across(one) for one in both):
        return x, y
    raise EdgeError(
        "the front's edge runs aslant, and nothing tells whether its lengthwise threads run down the drawing or across "
        "it; what a collar stand loses goes by them",
        where=in_section("stand", "grain"),
        mend="Draw the pieces so that their lengthwise threads run straight down, or straight across with along and "
        "across under [shrinkage] exchanged. If the edge is then still further than 30 degrees from the threads, wash "
        "the cloth first, and leave [shrinkage] out.",
    )


def as_told(plan: Plan) -> tuple[float, float]:
    """By what lengths of this plan, across and down, become lengths as it was told, in whichever state it is now."""
    if plan.shrinkage is None:
        return (1.0, 1.0)
    x, y = plan.shrinkage.stretched
    return (1.0 / x, 1.0 / y)


def _stretched(plan: Plan, edges: Edges, x: float, y: float) -> tuple[Plan, Edges]:
    over = stretched(edges.over, x, y)
    stand = None if plan.stand is None else _stand(plan.stand, edges, over, x, y)
    by = Factors(x, y, over.length_mm / edges.over.length_mm, stand)
    there = replace(
        edges,
        over=over,
        under=None if edges.under is None else stretched(edges.under, x, y),
        line=None if edges.line is None else stretched(edges.line, x, y),
        outline=None if edges.outline is None else stretched(edges.outline, x, y),
        under_outline=None if edges.under_outline is None else stretched(edges.under_outline, x, y),
        level_zero_y=edges.level_zero_y * y,
        points=tuple(replace(point, x_mm=point.x_mm * x, y_mm=point.y_mm * y) for point in edges.points),
        before=Unstretched(edges, x, y),
    )
    known = None if plan.shrinkage is None else replace(plan.shrinkage, stretched=(x, y))
    return replace(_plan(plan, by), shrinkage=known), there


def as_measured(plan: Plan) -> tuple[float, str]:
    """By what an inset of this plan comes to what the plan was told in, and of which cloth that is; empty where one."""
    wish = plan.shrinkage
    if wish is None:
        return 1.0, ""
    return as_told(plan)[0], " on the washed garment" if wish.measured == "washed" else " on the unwashed cloth"


def across_there(plan: Plan, way: Point) -> float:
    """By what a length square across a line is longer than `banded` has it, which reckons that lines run straight down.

    Of the line's direction (c, s) as it was told, whose square across shrinks or grows by the lengths x across and y
    down, an area grows by x y and the line itself by hypot(x c, y s): what lies between two parallels by the one over
    the other.

    Args:
        plan: in either state.
        way: the unit direction of the line in that state.
    """
    if plan.shrinkage is None:
        return 1.0
    x, y = plan.shrinkage.stretched
    return math.hypot(y * way[0], x * way[1]) / x


def told_across(plan: Plan, way: Point) -> float:
    """By what a length square across a line of the washed garment is longer in the plan's own figures.

    Args:
        plan: as it is worn.
        way: the unit direction of the line there.
    """
    return as_told(plan)[0] / across_there(plan, way)


def _stand(wish: StandWish, edges: Edges, over: Curve, x: float, y: float) -> StandFactors:
    lengthwise, across = lengthwise_and_across(edges, x, y)
    up = across if wish.grain == "round" else lengthwise
    # It runs on straight the way the edge begins, and an edge that leans does so by another angle once stretched.
    leans, comes = edges.over.tangent_at(0.0)[1], over.tangent_at(0.0)[1]
    level = up * (comes / leans if abs(leans) > _LEVEL else 1.0)
    return StandFactors(wish.height_mm, edges.over.start[1] - edges.level_zero_y, up, level)


def _plan(plan: Plan, by: Factors) -> Plan:
    edge, band, spacing = plan.along_an_edge
    pins = tuple((_place(one, by), _place(other, by)) for one, other in edge.match)
    return replace(
        plan,
        edge=replace(edge, match=pins) if pins else edge,
        band=banded(band, by.x),
        spacing=_spacing(spacing, by.line),
        anchors=tuple(_anchor(anchor, by) for anchor in plan.anchors),
        clear=tuple(_clear(zone, by) for zone in plan.clear),
        layers=tuple(_layer(layer, by) for layer in plan.layers),
        stripe=None if plan.stripe is None else _stripe(plan.stripe, by.y),
        column=None if plan.column is None else _column(plan.column, by),
        singles=tuple(_single(single, by) for single in plan.singles),
        stand=None if plan.stand is None or by.stand is None else _of_height(plan.stand, by.stand.up),
    )


def _of_height(stand: StandWish, by: float) -> StandWish:
    return replace(stand, height_mm=stand.height_mm * by)


def _place(place: PlaceWish, by: Factors) -> PlaceWish:
    return (place[0] * by.x, place[1] * by.y) if isinstance(place, tuple) else place


def banded(band: BandWish, x: float) -> BandWish:
    """A band so many times as wide, as it is on an edge that runs straight down."""
    return replace(
        band,
        width_mm=band.width_mm * x,
        under_width_mm=band.under_width_mm * x,
        inset_mm=band.inset_mm * x,
        under_inset_mm=band.under_inset_mm * x,
    )


def _spacing(spacing: SpacingWish, line: float) -> SpacingWish:
    return replace(
        spacing,
        first=None if spacing.first is None else _range(spacing.first, line),
        last=None if spacing.last is None else _range(spacing.last, line),
        pitch_mm=_times(spacing.pitch_mm, line),
        widest_mm=_times(spacing.widest_mm, line),
        closest_mm=_times(spacing.closest_mm, line),
    )


def _anchor(anchor: AnchorWish, by: Factors) -> AnchorWish:
    at = anchor.at
    if isinstance(at, tuple):
        at = (at[0] * by.x, at[1] * by.y)
    return replace(
        anchor,
        level_mm=put(anchor.level_mm, by.level),
        along_mm=put(anchor.along_mm, by.along),
        within_mm=anchor.within_mm * by.line,
        at=at,
    )


def _clear(zone: ClearWish, by: Factors) -> ClearWish:
    level, along = put_range(zone.level_mm, by.level), put_range(zone.along_mm, by.along)
    return replace(zone, level_mm=level, along_mm=along)


def _layer(layer: LayerWish, by: Factors) -> LayerWish:
    across = None if layer.across_mm is None else _range(layer.across_mm, by.x)
    along = put_range(layer.along_mm, by.along)
    return replace(layer, across_mm=across, along_mm=along)


def _stripe(stripe: StripeWish, y: float) -> StripeWish:
    return replace(stripe, every_mm=stripe.every_mm * y, at_mm=stripe.at_mm * y)


def _column(column: ColumnWish, by: Factors) -> ColumnWish:
    inner = column.inner
    hidden = None if inner is None else replace(inner, level_mm=_times(inner.level_mm, by.y))
    return replace(column, apart_mm=column.apart_mm * by.x, inner=hidden)


def _single(single: SingleWish, by: Factors) -> SingleWish:
    return replace(
        single,
        along_mm=put(single.along_mm, by.along),
        level_mm=put(single.level_mm, by.level),
        inset_mm=_times(single.inset_mm, by.x),
    )


def _range(span: Range, by: float) -> Range:
    return replace(span, low_mm=span.low_mm * by, high_mm=span.high_mm * by)


def put(mm: float | None, by: Callable[[float], float]) -> float | None:
    """Put a length of one state in the other, where it is told."""
    return None if mm is None else by(mm)


def put_range(span: Range | None, by: Callable[[float], float]) -> Range | None:
    """Put a stretch of one state in the other, where it is told."""
    return None if span is None else replace(span, low_mm=by(span.low_mm), high_mm=by(span.high_mm))


def _times(mm: float | None, by: float) -> float | None:
    return None if mm is None else mm * by
