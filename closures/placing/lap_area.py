"""Laps as flat areas, for cutting pieces out of them. Nothing else in this room makes polygons of curves."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.errors import EdgeError, in_section

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.placing.lap import Lap

SAGITTA_MM = 0.01
"""How far a chord may lie from its curve: a tenth of the finest pen line."""

Ring = tuple[tuple[float, float], ...]


def lap_area(lap: Lap) -> Any:
    """The finished band of a lap, between its edge and its inner line, as a shapely polygon.

    Raises:
        EdgeError: the band's full width cannot follow the edge.
    """
    from shapely.geometry import Polygon

    lap = lap.as_strip
    if lap.inner is None:
        raise EdgeError(
            f"the {lap.name} lap's edge turns too tightly for the band's full width, so no piece can be cut from it",
            where=in_section("band", "width"),
            mend="Take a narrower band, or leave these pieces out.",
        )
    area = Polygon((*chords(lap.edge), *reversed(chords(lap.inner))))
    if not area.is_valid:
        raise EdgeError(
            f"the {lap.name} lap's band folds over itself",
            where=in_section("band", "width"),
            mend="Take a narrower band.",
        )
    return area


def chords(curve: Curve) -> Ring:
    """A curve as chords that lie within a hundredth of a mm of it."""
    return tuple(curve.approximate_polyline(SAGITTA_MM))


def ring_of(area: Any) -> Ring:
    """The outline of a polygon without its closing point, in mm."""
    return tuple((float(x), float(y)) for x, y in list(area.exterior.coords)[:-1])
