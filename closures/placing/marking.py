"""Marks: places on the closing line as they lie on both laps."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM, TOLD_ALIKE_MM
from closures.placing.lap import depth_from
from closures.placing.shrinkage import across_there
from closures.placing.stack import Layer, Stack, clamped_layers, layers_on, stack_under

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.curve import Curve, Point
    from closures.placing.lap import Lap, Laps
    from closures.placing.meeting import PlacedAnchor
    from closures.plan.plan import Plan
    from closures.spacing import Spacing

BOTH_LAPS: frozenset[LapName] = frozenset(("over", "under"))


@frozen
class LapMark:
    """A mark as it lies on one lap.

    Attributes:
        n: number of the closure.
        along_mm: distance on this lap's closing line from its first end.
        x_mm, y_mm: the centre, as it lies on this lap.
        tangent: unit direction of this lap's closing line there, towards the last end.
        edge_distance_mm: centre to the nearest point of this lap's finished edge.
        inner_distance_mm: centre to the nearest point of the line where the band ends, negative
            where the centre lies past it, None where the band's full width cannot follow the edge.
        stack: what the fastener clamps here, None where no layer is told.
        from_tip_mm: on a strap, along it from this end's tip; None on a band, as are the next two.
        to_end_mm: centre to the nearest point of the finished tip, negative where it lies beyond.
        to_side_mm: centre to the nearer long side.
    """

    n: int
    along_mm: float
    x_mm: float
    y_mm: float
    tangent: Point
    edge_distance_mm: float
    inner_distance_mm: float | None
    stack: Stack | None
    from_tip_mm: float | None = None
    to_end_mm: float | None = None
    to_side_mm: float | None = None

    @property
    def at(self) -> Point:
        """The centre, in mm."""
        return (self.x_mm, self.y_mm)


@frozen
class Mark:
    """One closure: a single point of the closed garment.

    Attributes:
        n: its number, from 1 at the first end.
        along_mm: distance on the closing line from its first end.
        level_mm: distance straight down from the level zero.
        x_mm, y_mm: the centre.
        tangent: unit direction of the closing line there, towards the last end.
        anchor: the anchor it serves.
        shift_mm: how far along the line it lies from that anchor, positive towards the last end.
        straight_to_next_mm: straight distance to the next centre, None for the last.
        over, under: the mark on each lap, None where that lap carries no part here.
    """

    n: int
    along_mm: float
    level_mm: float
    x_mm: float
    y_mm: float
    tangent: Point
    anchor: str | None
    shift_mm: float | None
    straight_to_next_mm: float | None
    over: LapMark | None
    under: LapMark | None

    def on(self, lap: LapName) -> LapMark | None:
        """The mark on one lap, None where that lap carries no part here."""
        return self.over if lap == "over" else self.under

    def along_on(self, lap: LapName) -> float:
        """How far along a lap's own line it lies; of a lap that carries no part here, along the row's."""
        on_lap = self.on(lap)
        return self.along_mm if on_lap is None else on_lap.along_mm


def are_along_alike(marks: Iterable[Mark]) -> bool:
    """Whether a tape finds both halves of every mark equally far along their own lines, so that one figure does."""
    return all(m.under is None or abs(m.under.along_mm - m.along_mm) < TOLD_ALIKE_MM for m in marks)


def mark_row(
    plan: Plan,
    laps: Laps,
    rims_mm: Sequence[float],
    spacing: Spacing,
    anchors: tuple[PlacedAnchor, ...],
    catalogue: Catalogue,
    carried: Sequence[frozenset[LapName]] = (),
    points: Sequence[Point] = (),
    under_mm: Sequence[float] | None = None,
    within: Collection[int] = (),
) -> tuple[Mark, ...]:
    """Turn places on the closing line into marks.

    Args:
        plan: for its layers.
        laps: the closing line and both laps.
        rims_mm: from the centre to the rim of the closure at each place.
        spacing: the places, and which anchor each serves.
        anchors: as they meet the line.
        catalogue: cloths and rules.
        carried: for each place the laps that carry a part there; empty where both always do.
        points: the centres, where they may lie off the line; empty where they lie on it.
        under_mm: the places along the under lap's own line; None where they follow from the over lap's.
        within: numbers of the closures that hold the layers which meet the other lap alone.

    Returns:
        One mark for each place, from the first end.

    Raises:
        CatalogueError: a cloth that the catalogue does not hold.
    """
    layers: dict[LapName, tuple[Layer, ...]] = {
        lap.name: layers_on(lap.name, clamped_layers(plan), catalogue) for lap in laps.both
    }
    ridge_mm = catalogue.rule("ridge").value.value
    serves = {shift.mark_index: shift for shift in reversed(spacing.shifts)}
    is_on_line, points = not points, points or [laps.over.centre_at(along) for along in spacing.positions_mm]
    marks = []
    for i, (along, point) in enumerate(zip(spacing.positions_mm, points, strict=True)):
        tangent = laps.line.tangent_at(along)
        over, under = (
            _lap_mark(place, along, _lying(layers[place.lap.name], plan, place), rims_mm[i], ridge_mm, i + 1 in within)
            if not carried or place.lap.name in carried[i]
            else None
            for place in _places(
                laps, i + 1, along, point, tangent, None if under_mm is None else under_mm[i], is_on_line
            )
        )
        shift = serves.get(i)
        marks.append(
            Mark(
                n=i + 1,
                along_mm=along,
                level_mm=point[1] - laps.level_zero_mm,
                x_mm=point[0],
                y_mm=point[1],
                tangent=tangent,
                anchor=anchors[shift.anchor_index].name if shift else None,
                shift_mm=shift.shift_mm if shift else None,
                straight_to_next_mm=math.dist(point, points[i + 1]) if i + 1 < len(points) else None,
                over=over,
                under=under,
            )
        )
    return tuple(marks)


@frozen
class _Place:
    """A place of one lap."""

    lap: Lap
    n: int
    along_mm: float
    point: Point
    tangent: Point


def _places(
    laps: Laps, n: int, along: float, point: Point, tangent: Point, under_mm: float | None, is_on_line: bool
) -> tuple[_Place, _Place]:
    """Where one closure lies on either lap."""
    over = _Place(laps.over, n, along, point, tangent)
    if laps.is_one_frame:
        own = along if under_mm is None else under_mm
        under = laps.under.centre_at(own) if is_on_line else point
        return over, _Place(laps.under, n, own, under, tangent)
    own = laps.under.along(along) if under_mm is None else under_mm
    if under_mm is None and laps.under.worn_pins_mm and abs(laps.under.row_of(own) - along) > SAME_MM:
        raise EdgeError(
            f"mark {n} would lie past the end of the under lap's closing line: once washed, that lies otherwise to its "
            "own edge than the over lap's line does",
            where=in_section("band", "under_inset"),
            mend="Write under_inset as inset, or keep the row further from both ends by first and last under "
            "[spacing].",
        )
    line = laps.under.line
    return over, _Place(laps.under, n, own, laps.under.centre_at(own), line.tangent_at(own))


def _lying(layers: tuple[Layer, ...], plan: Plan, place: _Place) -> tuple[Layer, ...]:
    """Layers as far inside the edge as the cloth has them there: what lies square across it shrinks by its own way."""
    by = across_there(plan, place.tangent) * place.lap.further_at(place.along_mm)
    if by == 1.0 or place.lap.tip is not None:
        return layers
    return tuple(
        one if one.across_mm is None else replace(one, across_mm=(one.across_mm[0] * by, one.across_mm[1] * by))
        for one in layers
    )


def _lap_mark(
    place: _Place, row_mm: float, layers: tuple[Layer, ...], flange: float, ridge: float, is_within: bool
) -> LapMark:
    lap, point = place.lap, place.point
    within = lap.name if is_within else None
    edge_distance = lap.edge.nearest(point).distance_mm
    lies = (place.n, place.along_mm, *point, place.tangent, edge_distance)
    if lap.tip is not None:
        from_tip = lap.tip.distance_to(point)
        return LapMark(
            *lies,
            inner_distance_mm=None,
            # On a strap a layer is told by how far it reaches from the tip, and lies all across.
            stack=stack_under(layers, from_tip, row_mm, flange, ridge),
            from_tip_mm=from_tip,
            to_end_mm=lap.tip.room_to_end(point),
            to_side_mm=lap.width_mm / 2 - lap.tip.aside(point),
        )
    return LapMark(
        *lies,
        inner_distance_mm=None if lap.inner is None else _room_to_inner(lap, lap.inner, point),
        stack=stack_under(layers, edge_distance, row_mm, flange, ridge, within),
    )


def _room_to_inner(lap: Lap, inner: Curve, point: Point) -> float:
    """Measure from a centre to the line where the band ends; negative where the centre lies past it."""
    inside, distance = depth_from(inner, point, lap.cloth_on)
    return -distance if inside > 0.0 else distance
