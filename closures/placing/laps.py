"""The closing line of an edge, and the two laps that meet on it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from closures.curve import parallel
from closures.errors import EdgeError, in_section
from closures.placing.lap import Lap, Laps, depth_from, offset_sign

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.edges.reading import Edges
    from closures.placing.lap import Side
    from closures.plan.band import BandWish

# A drawn line is looked at in this many places; its own band is far wider than the steps.
_SIDE_SAMPLES = 64
# Nearer to an edge than this, a closing line lies on it: no closure could be set there.
_ON_EDGE_MM = 0.01


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
    far: Side = "left" if cloth == "right" else "right"
    inwards = offset_sign(cloth)
    over_edge = edges.over
    _refuse_crossing(over_edge, "the finished edge")
    if edges.line is None:
        line = _parallel(over_edge, inwards * band.inset_mm, "closing line")
    else:
        line = _running_along(edges.line, over_edge)
        _refuse_crossing(line, "the closing line")
        _refuse_off_cloth(line, over_edge, cloth, "over")
    past = inwards * band.under_inset_mm
    if edges.under is not None:
        under_edge = _running_along(edges.under, over_edge)
        _refuse_crossing(under_edge, "the under lap's edge")
        _refuse_off_cloth(line, under_edge, far, "under")
    elif edges.line is None:
        under_edge = _parallel(over_edge, inwards * band.inset_mm + past, "under lap's edge")
    else:
        under_edge = _parallel(line, past, "under lap's edge")
    over_inner = _inner(over_edge, inwards * band.width_mm)
    under_inner = _inner(under_edge, -inwards * band.under_width_mm)
    return Laps(
        line=line,
        over=Lap("over", cloth, over_edge, line, over_inner, band.width_mm, band.inset_mm, cloth),
        under=Lap("under", far, under_edge, line, under_inner, band.under_width_mm, band.under_inset_mm, far),
        level_zero_mm=edges.level_zero_y,
    )


def _parallel(curve: Curve, distance_mm: float, name: str) -> Curve:
    return curve if distance_mm == 0.0 else parallel(curve, distance_mm, name)


def _inner(edge: Curve, distance_mm: float) -> Curve | None:
    # A band may be wider than its edge is curved and still close well: the closing line
    # counts, not the line where the band is sewn on. The rule on curves tells the user.
    try:
        return parallel(edge, distance_mm, "inner edge of the band")
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
        where=in_section("edge"),
        mend="Draw it as one stretch that never meets itself.",
    )


def _refuse_off_cloth(line: Curve, edge: Curve, cloth_on: Side, lap: LapName) -> None:
    """Refuse a closing line that is not on the cloth side of a lap's edge all the way."""
    for i in range(_SIDE_SAMPLES + 1):
        x, y = line.point_at(line.length_mm * i / _SIDE_SAMPLES)
        inside, distance = depth_from(edge, (x, y), cloth_on)
        if inside < -_ON_EDGE_MM or distance < _ON_EDGE_MM:
            raise EdgeError(
                f"the closing line is not on the cloth of the {lap} lap near x {x:.1f} mm, y {y:.1f} mm",
                where=in_section("edge", "line"),
                mend="It must lie between the over lap's edge and the under lap's edge. Check `lap`, "
                "`reverse` and which curve is which.",
            )
