"""A button whose thickness no button of its width has: its buttonhole would be cut as much too long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import EdgeError
from closures.lengths import SAME_MM
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.errors import Where
    from closures.plan.top import Units

# A ball is as thick as it is wide; told by so small a share of its width apart it is the same ball: our own rule.
_BALL_SHARE = 0.1


def refuse_thick(
    fastener: Fastener, thickness_mm: float | None, catalogue: Catalogue, where: Where, units: Units = "mm"
) -> None:
    """Refuse the thickness of a button that no button of its width has: 40 mm for 4.0 mm is a slip of the point.

    Args:
        fastener: as it was looked up, with the plan's own width.
        thickness_mm: as it was told; None where it was not.
        catalogue: for how thick buttons are.
        where: the place in the plan.
        units: in which lengths are told first.

    Raises:
        EdgeError: with both ways to mend it.
    """
    if thickness_mm is None or fastener.family != "button":
        return
    if fastener.is_ball:
        _refuse_no_ball(fastener, thickness_mm, where, units)
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
    show = shown_beside(units)
    raise EdgeError(
        f"a button {show(fastener.cap_mm)} across is told to be {show(thickness_mm)} thick, and "
        f"{what} is at most about {most}, {show(most_mm)} (common practice): its buttonhole would be "
        f"{show(fastener.cap_mm + thickness_mm)} long",
        where=where,
        mend=mend,
    )


def _refuse_no_ball(fastener: Fastener, thickness_mm: float, where: Where, units: Units) -> None:
    """Refuse a thickness that a ball of that width has not: its hole is reckoned with the width alone."""
    if abs(thickness_mm - fastener.cap_mm) <= _BALL_SHARE * fastener.cap_mm + SAME_MM:
        return
    show = shown_beside(units)
    raise EdgeError(
        f"a ball {show(fastener.cap_mm)} across is told to be {show(thickness_mm)} thick, and a ball "
        "is as thick as it is wide",
        where=where,
        mend="Leave thickness out: a ball is measured by its width, and its hole is reckoned with that alone. Is it "
        'no ball? Then write kind = "shank button".',
    )
