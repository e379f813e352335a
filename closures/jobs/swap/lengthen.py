"""A pattern made longer: everything below one level moves down, and a straight piece closes the gap.

That is how paper is lengthened: cut straight across, moved apart down the grain. It keeps an edge
smooth only where the edge runs straight down, and a slanted one would need to be drawn anew; so an
edge that leans where it is cut is refused, with the place where it does not.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.curve import Curve, Line
from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import format_length
from closures.plan.kinds import Range
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.plan.anchors import AnchorWish, ClearWish
    from closures.plan.layers import LayerWish
    from closures.plan.plan import Plan
    from closures.plan.swap import LengthenWish
    from closures.plan.top import Units

# A lean that no eye and no ruler finds: 1 mm in 115 mm.
_MOST_LEAN_DEG = 0.5
_SAMPLES = 200
# How far the cut may go from where it was wished, to leave a curve smooth.
_NEAR_MM = 20.0
_STEP_MM = 0.5
_HALVINGS = 60
_SAME_MM = 1e-9


@frozen
class Lengthened:
    """A plan and its edges after the pattern was made longer.

    Attributes:
        plan: its anchors, zones, layers and old places below the cut moved down.
        edges: likewise.
        at_mm: the cut, along the closing line; on a curve it goes to where the line runs straight down.
        by_mm: how much longer.
        level_y_mm: y of the cut in the frame of the drawing.
    """

    plan: Plan
    edges: Edges
    at_mm: float
    by_mm: float
    level_y_mm: float

    def moved(self, along_mm: float) -> float:
        """Where a place along the old closing line lies on the new one."""
        return along_mm + self.by_mm if along_mm > self.at_mm + _SAME_MM else along_mm


def lengthen(plan: Plan, edges: Edges, laps: Laps, wish: LengthenWish) -> Lengthened:
    """Cut a pattern straight across and move what lies below down.

    Args:
        plan: the plan before.
        edges: its edges before.
        laps: the laps that they make.
        wish: where and by how much.

    Returns:
        The plan and the edges after.

    Raises:
        EdgeError: the cut does not lie on the closing line, meets a curve more than once, or meets it
            where it leans.
    """
    if wish.at_mm >= laps.line.length_mm:
        told, long = (format_length(mm, plan.units) for mm in (wish.at_mm, laps.line.length_mm))
        raise EdgeError(
            f"it lies {told} along, but the closing line is {long} long",
            where=in_section("change", "lengthen at"),
            mend=f"Write an at between 0 and {long}.",
        )
    at = _upright_near(laps.line, wish.at_mm)
    y = laps.line.point_at(at)[1]
    down = laps.line.end[1] > laps.line.start[1]
    if not down:
        raise EdgeError(
            "the closing line does not run down the drawing from its first end to its last",
            where=in_section("change", "lengthen"),
            mend="Turn the drawing, or lengthen it there and give the new edge.",
        )
    if laps.is_apart:
        raise EdgeError(
            "the under lap's piece is drawn apart, and nothing tells where it is cut",
            where=in_section("change", "lengthen"),
            mend="Make both pieces longer in the drawing, and leave [change] out.",
        )
    named = (("closing line", laps.line), ("finished edge", edges.over), ("under lap's edge", edges.under))
    for name, curve in (*named, ("drawn closing line", edges.line)):
        if curve is not None:
            _refuse_unfit(curve, y, name, laps.line, plan.units)
    by = wish.by_mm
    zero = edges.level_zero_y + (by if edges.level_zero_y > y + _SAME_MM else 0.0)
    longer = replace(
        edges,
        over=_cut(edges.over, y, by),
        under=None if edges.under is None else _cut(edges.under, y, by),
        line=None if edges.line is None else _cut(edges.line, y, by),
        level_zero_y=zero,
        points=tuple(replace(p, y_mm=p.y_mm + (by if p.y_mm > y + _SAME_MM else 0.0)) for p in edges.points),
        # A picture of the edge as it was before would show another one.
        picture=None,
    )
    move = _Move(at, y - edges.level_zero_y, by, zero - edges.level_zero_y)
    swap = plan.swap
    if swap is not None and swap.places_mm is not None:
        swap = replace(swap, places_mm=tuple(move.along(place) for place in swap.places_mm))
    changed = replace(
        plan,
        anchors=tuple(move.anchor(anchor) for anchor in plan.anchors),
        clear=tuple(move.zone(zone) for zone in plan.clear),
        layers=tuple(move.layer(layer) for layer in plan.layers),
        swap=swap,
        change=None,
    )
    return Lengthened(changed, longer, at, by, y)


@frozen
class _Move:
    """Moves what lies below the cut; `zero_mm` is by how much the level zero itself went down."""

    at_mm: float
    level_mm: float
    by_mm: float
    zero_mm: float

    def along(self, mm: float) -> float:
        return mm + self.by_mm if mm > self.at_mm + _SAME_MM else mm

    def level(self, mm: float) -> float:
        below = self.by_mm if mm > self.level_mm + _SAME_MM else 0.0
        return mm + below - self.zero_mm

    def anchor(self, wish: AnchorWish) -> AnchorWish:
        if wish.along_mm is not None:
            return replace(wish, along_mm=self.along(wish.along_mm))
        return wish if wish.level_mm is None else replace(wish, level_mm=self.level(wish.level_mm))

    def zone(self, wish: ClearWish) -> ClearWish:
        along, level = wish.along_mm, wish.level_mm
        return replace(
            wish,
            along_mm=None if along is None else Range(self.along(along.low_mm), self.along(along.high_mm)),
            level_mm=None if level is None else Range(self.level(level.low_mm), self.level(level.high_mm)),
        )

    def layer(self, wish: LayerWish) -> LayerWish:
        along = wish.along_mm
        if along is None:
            return wish
        return replace(wish, along_mm=Range(self.along(along.low_mm), self.along(along.high_mm)))


def _refuse_unfit(curve: Curve, y: float, name: str, line: Curve, units: Units) -> None:
    show = shown_beside(units)
    crossings = curve.crossings_of_level(y)
    if len(crossings) != 1:
        times = f"{len(crossings)} times" if crossings else "nowhere"
        raise EdgeError(
            f"a cut straight across at y {show(y)} meets the {name} {times}",
            where=in_section("change", "lengthen at"),
            mend="Choose a place where it meets it once, or lengthen the drawing and give the new edge.",
        )
    if not _SAME_MM < crossings[0] < curve.length_mm - _SAME_MM:
        raise EdgeError(
            f"a cut straight across at y {show(y)} meets the {name} at its very end",
            where=in_section("change", "lengthen at"),
            mend="Choose a place further in.",
        )
    lean = _lean_deg(curve, crossings[0])
    if lean > _MOST_LEAN_DEG:
        upright = _upright_stretch(line)
        where = (
            f"It runs straight down from {show(upright[0])} to {show(upright[1])} along: write an at between these."
            if upright
            else "It runs straight down nowhere: lengthen the drawing itself, and give the new edge."
        )
        raise EdgeError(
            f"the {name} leans by {lean:.1f} degrees where it would be cut, so moving its lower part straight down "
            "would leave a corner",
            where=in_section("change", "lengthen at"),
            mend=where,
        )


def _lean_deg(curve: Curve, along: float) -> float:
    tx, ty = curve.tangent_at(along)
    return math.degrees(math.atan2(abs(tx), ty))


def _upright_near(line: Curve, at: float) -> float:
    """The place next to a wish where the line runs exactly straight down; the wish itself where there is none.

    Cut there, a curve stays smooth: the piece let in has the direction of both its ends.
    """
    lean = line.tangent_at(at)[0]
    if abs(lean) <= _SAME_MM:
        return at
    for k in range(1, round(_NEAR_MM / _STEP_MM) + 1):
        for way in (-1.0, 1.0):
            end = at + way * k * _STEP_MM
            if 0.0 < end < line.length_mm and line.tangent_at(end)[0] * lean <= 0.0:
                return _between(line, at, end)
    return at


def _between(line: Curve, one: float, other: float) -> float:
    """Halve a stretch until the place where the lean changes its sign is found to the last digit."""
    lean = line.tangent_at(one)[0]
    for _ in range(_HALVINGS):
        middle = (one + other) / 2
        if line.tangent_at(middle)[0] * lean > 0.0:
            one = middle
        else:
            other = middle
    return other


def _upright_stretch(line: Curve) -> tuple[float, float] | None:
    """The longest stretch of the line that runs straight down, as far as samples of it tell."""
    best: tuple[float, float] | None = None
    start: float | None = None
    for i in range(1, _SAMPLES + 1):
        at = line.length_mm * i / _SAMPLES
        fits = i < _SAMPLES and _lean_deg(line, at) <= _MOST_LEAN_DEG
        if fits and start is None:
            start = at
        if not fits and start is not None:
            end = line.length_mm * (i - 1) / _SAMPLES
            if best is None or end - start > best[1] - best[0]:
                best = (start, end)
            start = None
    return best


def _cut(curve: Curve, y: float, by: float) -> Curve:
    (along,) = curve.crossings_of_level(y)
    upper, lower = curve.stretch(0.0, along), curve.stretch(along, curve.length_mm).moved(0.0, by)
    return Curve((*upper.segments, Line(upper.end, lower.start), *lower.segments))
