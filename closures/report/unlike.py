"""Closures of one name that are not one part: their measures differ, and a shop sells them apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import format_mm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from closures.placing.placement import Placement

Measures = tuple[tuple[str, float, float], ...]
"""What is measured of a closure, each from least to most in mm."""


def measures_of(share: Placement) -> Measures:
    """What tells a closure from others of its name: how large it is, what it clamps, how thick the plan tells it to be.

    Rounded as they are told: what reads alike is one part.
    """
    fastener, thick_mm = share.fastener, share.plan.closure.thickness_mm
    found = [] if fastener.cap is None else [(fastener.cap_way, fastener.cap_mm, fastener.cap_mm)]
    if fastener.grip is not None and fastener.clamps:
        found.append(("clamps", fastener.grip[0].value, fastener.grip[1].value))
    if thick_mm is not None and fastener.thickness is not None:
        found.append(("thick", thick_mm, thick_mm))
    return tuple((what, round(low, 1), round(high, 1)) for what, low, high in found)


def apart_by(measures: Measures, others: Iterable[Measures]) -> Measures:
    """Those measures by which a closure differs from some other of its name.

    One that is not known of the other, as the thickness of a button that nobody measured, parts them from nothing.

    Args:
        measures: of the closure.
        others: of all of its name.
    """
    every = {one for other in others for one in other}
    return tuple(one for one in measures if len({other for other in every if other[0] == one[0]}) > 1)


def in_words(apart: Measures) -> str:
    """Tell what a closure is told apart by, such as "11.4 mm across, clamps 2.5 mm to 4 mm"."""
    words = []
    for what, low, high in apart:
        span = format_mm(low) if low == high else f"{format_mm(low)} to {format_mm(high)}"
        words.append(f"{what} {span}" if what == "clamps" else f"{span} {what}")
    return ", ".join(words)
