"""A flat button that is told far thicker than one is: its buttonhole would be cut as much too long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import EdgeError
from closures.lengths import SAME_MM, format_mm

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.errors import Where


def refuse_thick(fastener: Fastener, thickness_mm: float | None, catalogue: Catalogue, where: Where) -> None:
    """Refuse the thickness of a button that no button of its width has: 40 mm for 4.0 mm is a slip of the point.

    Args:
        fastener: as it was looked up, with the plan's own width.
        thickness_mm: as it was told; None where it was not.
        catalogue: for how thick buttons are.
        where: the place in the plan.

    Raises:
        EdgeError: with both ways to mend it.
    """
    if thickness_mm is None or fastener.family != "button" or fastener.is_ball:
        return
    has_shank = fastener.mark.under == "shank" or fastener.mark.over == "shank"
    share = 1.0 if has_shank else catalogue.rule("thickest flat button").value.value
    most_mm = share * fastener.cap_mm
    if thickness_mm <= most_mm + SAME_MM:
        return
    what, most = (
        ("one with a shank", "as thick as it is wide") if has_shank else ("a flat one", "half as thick as wide")
    )
    mend = "Measure its thickness again, and look at the unit and the point."
    if not has_shank:
        mend += ' Or is it a button with a shank, or a ball? Then write kind = "shank button" or kind = "ball button".'
    else:
        mend += " The shank itself is not counted; it stands in the buttonhole."
    raise EdgeError(
        f"a button {format_mm(fastener.cap_mm, 1)} across is told to be {format_mm(thickness_mm, 1)} thick, and "
        f"{what} is at most about {most}, {format_mm(most_mm, 1)} (common practice): its buttonhole would be "
        f"{format_mm(fastener.cap_mm + thickness_mm, 1)} long",
        where=where,
        mend=mend,
    )
