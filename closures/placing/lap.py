"""The two laps of a closed garment and the one line they close on.

Terms: the *over lap* lies on top, the *under lap* beneath it; the *finished edge* is the
free edge of a lap after sewing, from its *first end* (neck, waist, tip) to its *last end*
(hem); the *closing line* is the one curve on which all closures lie.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.edges.reading import Edges
    from closures.plan import BandWish, TipShape

LapName = Literal["over", "under"]
Side = Literal["right", "left"]

# A drawn line is looked at in this many places; its own band is far wider than the steps.
_SIDE_SAMPLES = 64
# Nearer to an edge than this, a closing line lies on it: no closure could be set there.
_ON_EDGE_MM = 0.01


@dataclass(frozen=True, slots=True)
class Tip:
    """The finished end of a strap.

    Attributes:
        at: where the strap's middle line meets it.
        inwards: unit direction along the strap, away from the tip.
        end: the part of the finished edge that is not a long side.
        half_mm: half the strap's width.
        shape: of the tip; a pointed one is a right angle, a rounded one half a circle.
    """

    at: tuple[float, float]
    inwards: tuple[float, float]
    end: Curve
    half_mm: float
    shape: TipShape

    def distance_to(self, point: tuple[float, float]) -> float:
        """How far inwards from the tip a point lies, along the strap, in mm."""
        return (point[0] - self.at[0]) * self.inwards[0] + (point[1] - self.at[1]) * self.inwards[1]

    def room_to_end(self, point: tuple[float, float]) -> float:
        """From a point on the cloth to the finished tip, in mm; negative where the point lies beyond it."""
        aside, far = self.aside(point), self.end.nearest(point).distance_mm
        cloth_begins = 0.0
        if self.shape == "pointed":
            cloth_begins = aside
        elif self.shape == "rounded":
            cloth_begins = self.half_mm - math.sqrt(max(self.half_mm**2 - aside**2, 0.0))
        return far if self.distance_to(point) >= cloth_begins else -far

    def aside(self, point: tuple[float, float]) -> float:
        """How far a point lies from the strap's middle line, in mm, never negative."""
        return abs((point[0] - self.at[0]) * self.inwards[1] - (point[1] - self.at[1]) * self.inwards[0])


@dataclass(frozen=True, slots=True)
class Lap:
    """One of the two layers that close.

    Attributes:
        name: which layer.
        wearer_side: the wearer's side whose garment half carries this lap, None where a strap's
            plan does not tell it.
        edge: the finished edge, first end to last end, in mm, garment closed.
        inner: the line on which the band ends on the garment's side, first end to last end;
            None where the edge turns so tightly that the band's full width cannot follow it.
        width_mm: finished width of the band.
        inset_mm: finished edge to closing line, as wished.
        cloth_on: the hand on which the cloth lies for somebody who walks the edge from
            its first end to its last, as drawn.
        tip: where the lap is the end of a strap, its tip; the closing line runs along the strap.
    """

    name: LapName
    wearer_side: Side | None
    edge: Curve
    inner: Curve | None
    width_mm: float
    inset_mm: float
    cloth_on: Side
    tip: Tip | None = None


@dataclass(frozen=True, slots=True)
class Laps:
    """A closed garment at its closure.

    Attributes:
        line: the closing line, first end to last end, in mm.
        over: the lap on top.
        under: the lap beneath it.
        level_zero_mm: the y from which levels are measured downwards.
    """

    line: Curve
    over: Lap
    under: Lap
    level_zero_mm: float

    @property
    def both(self) -> tuple[Lap, Lap]:
        """The over lap, then the under lap."""
        return (self.over, self.under)


@lru_cache(maxsize=16)
def make_laps(edges: Edges, band: BandWish) -> Laps:
    """Find the closing line of an edge and the two laps that meet on it.

    The line is the one drawn, or the over lap's finished edge moved inwards by the inset,
    square to the edge. The under lap's edge is the one drawn, or lies past the line by the
    under lap's inset, on the over lap's side of it.

    Args:
        edges: the curves that arrived, in mm, seen from outside with the garment closed.
        band: finished widths, insets and which side is on top.

    Returns:
        The laps.

    Raises:
        EdgeError: a curve crosses itself, a drawn line lies off the cloth, or the band
            cannot follow the edge; the place and the radius are named.
    """
    cloth: Side = "right" if band.lap == "right over left" else "left"
    inwards = 1.0 if cloth == "right" else -1.0
    over_edge = edges.over
    _refuse_crossing(over_edge, "the finished edge")
    if edges.line is None:
        line = _parallel(over_edge, inwards * band.inset_mm, "closing line")
    else:
        line = _running_along(edges.line, over_edge)
        _refuse_crossing(line, "the closing line")
        _refuse_off_cloth(line, over_edge, inwards, "over")
    past = inwards * band.under_inset_mm
    if edges.under is not None:
        under_edge = _running_along(edges.under, over_edge)
        _refuse_crossing(under_edge, "the under lap's edge")
        _refuse_off_cloth(line, under_edge, -inwards, "under")
    elif edges.line is None:
        under_edge = _parallel(over_edge, inwards * band.inset_mm + past, "under lap's edge")
    else:
        under_edge = _parallel(line, past, "under lap's edge")
    over_inner = _inner(over_edge, inwards * band.width_mm)
    under_inner = _inner(under_edge, -inwards * band.under_width_mm)
    far: Side = "left" if cloth == "right" else "right"
    return Laps(
        line=line,
        over=Lap("over", cloth, over_edge, over_inner, band.width_mm, band.inset_mm, cloth),
        under=Lap("under", far, under_edge, under_inner, band.under_width_mm, band.under_inset_mm, far),
        level_zero_mm=edges.level_zero_y,
    )


def _parallel(curve: Curve, distance_mm: float, name: str) -> Curve:
    return curve if distance_mm == 0.0 else curve.offset(distance_mm, name=name)


def _inner(edge: Curve, distance_mm: float) -> Curve | None:
    # A band may be wider than its edge is curved and still close well: the closing line
    # counts, not the line where the band is sewn on. The rule on curves tells the user.
    try:
        return edge.offset(distance_mm, name="inner edge of the band")
    except EdgeError:
        return None


def _running_along(curve: Curve, edge: Curve) -> Curve:
    """Turn a drawn curve round where it runs against the edge."""
    runs_back = edge.nearest(curve.start).along_mm > edge.nearest(curve.end).along_mm
    return curve.reversed() if runs_back else curve


def _refuse_crossing(curve: Curve, name: str) -> None:
    crossing = curve.crosses_itself()
    if crossing is None:
        return
    x, y = crossing[0]
    raise EdgeError(
        f"{name} crosses itself near x {x:.1f} mm, y {y:.1f} mm",
        where="[edge]",
        mend="Draw it as one stretch that never meets itself.",
    )


def _refuse_off_cloth(line: Curve, edge: Curve, inwards: float, lap: LapName) -> None:
    """Refuse a closing line that is not on the cloth side of a lap's edge all the way."""
    for i in range(_SIDE_SAMPLES + 1):
        along = line.length_mm * i / _SIDE_SAMPLES
        x, y = line.point_at(along)
        near = edge.nearest((x, y))
        tx, ty = edge.tangent_at(near.along_mm)
        across = inwards * ((x - near.point[0]) * -ty + (y - near.point[1]) * tx)
        if across < -_ON_EDGE_MM or near.distance_mm < _ON_EDGE_MM:
            raise EdgeError(
                f"the closing line is not on the cloth of the {lap} lap near x {x:.1f} mm, y {y:.1f} mm",
                where="[edge] line",
                mend="It must lie between the over lap's edge and the under lap's edge. Check `lap`, "
                "`reverse` and which curve is which.",
            )
