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
    """What tells a closure from others of its name: how large it is, and what it clamps or how thick it is.

    A button is as thick as the plan tells: of one that nobody measured it is not known that it differs.
    """
    fastener, thick_mm = share.fastener, share.plan.closure.thickness_mm
    found = [] if fastener.cap is None else [("across", fastener.cap_mm, fastener.cap_mm)]
    if fastener.grip is not None and fastener.clamps:
        found.append(("clamps", fastener.grip[0].value, fastener.grip[1].value))
    if thick_mm is not None and fastener.thickness is not None:
        found.append(("thick", thick_mm, thick_mm))
    return tuple(found)


def told_apart(measures: Measures, others: Iterable[Measures]) -> str:
    """Name what differs of closures of one name, such as "11.4 mm across, clamps 2.5 mm to 4 mm".

    Args:
        measures: of the closure.
        others: of all of its name.

    Returns:
        The words; empty where there is nothing to tell them apart by.
    """
    every = [dict((one[0], one) for one in other) for other in others]
    words = []
    for what, low, high in measures:
        if len({other.get(what) for other in every}) < 2:
            continue
        span = format_mm(low) if low == high else f"{format_mm(low)} to {format_mm(high)}"
        words.append(f"{what} {span}" if what == "clamps" else f"{span} {what}")
    return ", ".join(words)
