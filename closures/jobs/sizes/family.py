"""A plan with sizes as a family of plain plans, one for each size.

Terms: the *base* is the size that was drawn; a *step* is the way from one size to the next; to *grade* is
to move each control point of the base by so much a step.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section
from closures.plan.kinds import Range
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.plan.anchors import AnchorWish, ClearWish
    from closures.plan.band import BandWish
    from closures.plan.by_size import BySize
    from closures.plan.edge import EdgeWish
    from closures.plan.plan import Plan
    from closures.plan.sizes import SizesWish
    from closures.plan.top import Units

_IDS = ("path", "under", "line", "level_zero")


def plan_of_size(plan: Plan, name: str) -> Plan:
    """Make the plain plan of one size, as if it had been written for that size alone.

    Args:
        plan: with sizes.
        name: one of them.

    Returns:
        A plan without sizes, the size's name in its title.

    Raises:
        PlanError: the plan lacks a figure of this size, or a step leads to one that cannot be.
        ValueError: the plan has no sizes.
    """
    sizes = plan.sizes
    if sizes is None:
        raise ValueError("the plan has no sizes")
    edge, band, spacing = plan.along_an_edge
    size = _Size(sizes, name, plan.units)
    return replace(
        plan,
        title=f"{plan.title}, size {name}",
        where=", ".join(part for part in (plan.where, f"size {name}") if part),
        edge=size.edge(edge),
        band=size.band(band),
        spacing=replace(
            spacing,
            first=size.end(sizes.first, spacing.first, "first"),
            last=size.end(sizes.last, spacing.last, "last"),
        ),
        anchors=tuple(size.anchor(anchor) for anchor in plan.anchors),
        clear=tuple(size.zone(zone) for zone in plan.clear),
        sizes=None,
    )


class _Size:
    """Reads what a plan says of one size."""

    def __init__(self, sizes: SizesWish, name: str, units: Units) -> None:
        self.sizes = sizes
        self.name = name
        self.show = shown_beside(units)
        self.steps = sizes.steps_to(name)

    def edge(self, edge: EdgeWish) -> EdgeWish:
        """The edge of this size: drawn, measured or graded."""
        sizes = self.sizes
        ids = {key: getattr(sizes, key).replace("{size}", self.name) for key in _IDS if getattr(sizes, key) is not None}
        edge = replace(edge, **ids)
        if sizes.points:
            points = dict(sizes.points).get(self.name)
            if points is None:
                raise self.lacking("points", "edge")
            return replace(edge, points=points)
        if not sizes.grade or self.steps == 0:
            return edge
        moves = tuple((self.steps * across, self.steps * down) for across, down in sizes.grade)
        if edge.points is not None and len(moves) == len(edge.points):
            # Measured points move before the smooth curve is drawn through them, as on the paper.
            points = tuple((x + dx, y + dy) for (x, y), (dx, dy) in zip(edge.points, moves, strict=True))
            return replace(edge, points=points)
        return replace(edge, moved=moves)

    def band(self, band: BandWish) -> BandWish:
        """The band of this size; laps that were alike stay alike, and a line that was taken midway stays midway."""
        width = self.length(self.sizes.width, band.width_mm, "width", least_mm=1e-6)
        inset = band.inset_mm if band.is_inset_told else width / 2
        inset = self.length(self.sizes.inset, inset, "inset")
        under_width = width if band.under_width_mm == band.width_mm else band.under_width_mm
        own_inset = under_width / 2 if band.assumes_under_inset else band.under_inset_mm
        # By chance alike are one that is told and one that was taken.
        alike = band.under_inset_mm == band.inset_mm and band.is_under_inset_told == band.is_inset_told
        under_inset = inset if alike else own_inset
        return replace(band, width_mm=width, inset_mm=inset, under_width_mm=under_width, under_inset_mm=under_inset)

    def anchor(self, anchor: AnchorWish) -> AnchorWish:
        """An anchor where it lies in this size."""
        if isinstance(anchor.at, str):
            # A notch of each size's own line, named as the line is.
            return replace(anchor, at=anchor.at.replace("{size}", self.name))
        key = "level" if anchor.level_mm is not None else "along"
        own = dict(self.sizes.level if key == "level" else self.sizes.along).get(anchor.name)
        if own is None:
            return anchor
        where = f"{key} {anchor.name!r}"
        if anchor.level_mm is not None:
            return replace(anchor, level_mm=self.length(own, anchor.level_mm, where, least_mm=None))
        return replace(anchor, along_mm=self.length(own, anchor.along_mm or 0.0, where))

    def zone(self, zone: ClearWish) -> ClearWish:
        """A clear zone where it lies in this size."""
        own = dict(self.sizes.clear).get(zone.name)
        base = zone.level_mm or zone.along_mm
        if own is None or base is None:
            return zone
        where = f"clear {zone.name!r}"
        moved = own.of(self.name)
        if own.step is not None:
            low, high = base.low_mm + self.steps * own.step[0], base.high_mm + self.steps * own.step[1]
            moved = self.ranged(low, high, where, least_mm=None if zone.along_mm is None else 0.0)
        elif moved is None:
            raise self.lacking(where, "place")
        key = "level_mm" if zone.level_mm is not None else "along_mm"
        return replace(zone, **{key: moved})

    def end(self, own: BySize | None, base: Range | None, key: str) -> Range | None:
        """How far the first or the last closure lies from its end; None for as is usual."""
        if own is None:
            return base
        if own.step is not None:
            if base is None:
                raise self.lacking(key, "base, to step from: write it under [spacing]")
            grown = self.steps * own.step
            return self.ranged(base.low_mm + grown, base.high_mm + grown, key, least_mm=0.0)
        told = own.of(self.name)
        if told is None:
            raise self.lacking(key, "length")
        return Range(told.low_mm, told.high_mm)

    def length(self, own: BySize | None, base: float, key: str, least_mm: float | None = 0.0) -> float:
        """A length of this size, from its table or by steps from the base's."""
        if own is None:
            return base
        value = base + self.steps * own.step if own.step is not None else own.of(self.name)
        if value is None:
            raise self.lacking(key, "length")
        if least_mm is not None and value < least_mm:
            raise self.too_little(key, value)
        return float(value)

    def ranged(self, low: float, high: float, key: str, least_mm: float | None) -> Range:
        """Two lengths of this size that were reached by steps."""
        if least_mm is not None and low < least_mm:
            raise self.too_little(key, low)
        if low > high:
            raise PlanError(
                f"its step turns the range round: from {self.show(low)} to {self.show(high)}",
                where=in_section("sizes", f"{key}"),
                mend="Take a smaller step, or give a table of sizes.",
            )
        return Range(low, high)

    def lacking(self, key: str, what: str) -> PlanError:
        """The error of a table that leaves this size out."""
        return PlanError(
            f"there is no {what} of size {self.name}",
            where=in_section("sizes", f"{key}"),
            mend=f'Add "{self.name}" = ..., or write {{ step = ... }} from the base.',
        )

    def too_little(self, key: str, value_mm: float) -> PlanError:
        """The error of a step that leads below nothing."""
        return PlanError(
            f"its step leads to {self.show(value_mm)} in size {self.name}",
            where=in_section("sizes", f"{key}"),
            mend="Take a smaller step, or give a table of sizes.",
        )
