"""Buttonholes of a band that is knitted with its front: level with its rows, or refused."""

from __future__ import annotations

from math import dist
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.lengths import format_length
from closures.placing.buttonhole import slits_of

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placed import Placement


def refuse_leaning_holes(placement: Placement, catalogue: Catalogue) -> Placement:
    """Refuse buttonholes that the sheet would draw otherwise than the rows of a front have them knitted.

    The sheet draws them square to the closing line, or along it; the list casts off in one level row, or counts level
    rows. More than half a row between the two is another row: our own rule.

    Args:
        placement: the row, with all that lies beside it.
        catalogue: where the lengths of buttonholes come from.

    Returns:
        The placement, as it was.

    Raises:
        EdgeError: the edge leans too much beside a buttonhole.
    """
    plan = placement.plan
    if plan.gauge is None or plan.gauge.line != "front rows":
        return placement
    leaning = []
    for (_, n), slit in slits_of(placement, catalogue).items():
        (x, y), (to_x, to_y) = slit.ends_mm
        high, long = abs(to_y - y), dist((x, y), (to_x, to_y))
        leaning.append((high if slit.way == "across" else long - high, slit.way, n, high, long))
    off, way, n, high, long = max(leaning, default=(0.0, "across", 0, 0.0, 0.0))
    if off <= plan.gauge.step_mm / 2:
        return placement
    high_told, long_told, row = (format_length(mm, plan.units) for mm in (high, long, plan.gauge.step_mm))
    drawn = (
        f"square to it one end of the buttonhole of closure {n} lies {high_told} higher than the other"
        if way == "across"
        else f"along it the buttonhole of closure {n}, {long_told} long in its rows, is {high_told} high"
    )
    raise EdgeError(
        f"the rows of the front lie level, and the edge slants: {drawn}, and a row is {row}",
        where=in_section("gauge", "line"),
        mend='Knit a band picked up from the edge (line = "stitches") or on its own (line = "band rows"); or lay out '
        "an upright edge: of a drawn one, tell its upright stretch by from and to under [edge].",
    )
