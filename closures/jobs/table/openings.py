"""What stays open in a backing: buttonholes that were cut long ago and serve again, through which a button passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.placing.buttonhole import slits_of
from closures.placing.lap_area import chords, ring_of

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.curve import Point
    from closures.jobs.swap.old_row import OldHole
    from closures.jobs.swap.swap import Swap
    from closures.placing.backing_cut import BackingPiece
    from closures.placing.lap_area import Ring

CLEAR_OF_SLIT_MM = 3.0
"""How far a backing stays from a slit that serves again: the stitches about it are up to so wide (common practice)."""

_CIRCLE_QUARTER = 16


@frozen
class Opening:
    """An opening to be cut out of a backing.

    Attributes:
        mark: of the closure whose old buttonhole it leaves free.
        slit: the two ends of that buttonhole.
        rings: its outlines, in mm in the garment's frame: the room about the slit that lies within the piece.
    """

    mark: int
    slit: tuple[Point, Point]
    rings: tuple[Ring, ...]


def open_holes(swap: Swap | None, lap: LapName) -> dict[int, OldHole]:
    """The old buttonholes of a lap that were cut long ago and serve again, by the marks of the new closures."""
    if swap is None or not swap.old.made:
        return {}
    holes = {hole.n: hole for hole in swap.old.holes if hole.lap == lap and hole.slit is not None}
    return {mark: holes[old] for mark, old in swap.offer.reused if old in holes}


def openings_of(swap: Swap | None, catalogue: Catalogue, lap: LapName, piece: BackingPiece) -> tuple[Opening, ...]:
    """Find what is to be cut out of a backing, so that no buttonhole that serves again is covered.

    Args:
        swap: what was there before; None where nothing was.
        catalogue: from which the lengths come to which old buttonholes are changed.
        lap: which the piece backs.
        piece: a strip, or a patch as it lies behind the first of its marks.
    """
    from shapely.geometry import LineString, Polygon

    if swap is None:
        return ()
    placement = swap.offer.placement
    slits = slits_of(placement, catalogue)
    whole, found = Polygon(piece.outline), []
    for n, hole in open_holes(swap, lap).items():
        mark = next((mark for mark in placement.on(lap) if mark.n == n), None)
        if mark is None or hole.slit is None or n not in piece.marks:
            continue
        slit = LineString(chords(hole.slit))
        if (new := slits.get((lap, n))) is not None and n not in placement.staying:
            # One that is lengthened or shortened is left free from the old end to the new one.
            ends = [(mark.x_mm + x, mark.y_mm + y) for x, y in new.ends_mm]
            slit = slit.union(LineString(ends)).convex_hull
        free = slit.buffer(CLEAR_OF_SLIT_MM, quad_segs=_CIRCLE_QUARTER).intersection(whole)
        parts = [part for part in getattr(free, "geoms", (free,)) if part.geom_type == "Polygon" and not part.is_empty]
        if parts:
            found.append(Opening(n, hole.ends, tuple(ring_of(part) for part in parts)))
    return tuple(found)
