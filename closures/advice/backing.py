"""On which side a backing lies, and how it is held there.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.bands import outer_cloth
from closures.checks.finding import numbers_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement


def held_down(words: Set[str]) -> str:
    """How a backing is held, to stand before what is held down."""
    if "cloth: leather" in words:
        # A needle would leave its holes in the face as well.
        return "glue"
    if "cloth: coated" in words:
        return "tape"
    if "wash: after" in words:
        # Fusing takes heat and steam, and what is fused no longer shrinks with the cloth.
        return "sew"
    if "cloth: not told" in words:
        return "fuse or sew (on leather glue, on coated cloth tape)"
    # An iron flattens a pile, and glue comes through a sheer.
    return "sew" if {"press: steam", "cloth: sheer"} & words else "fuse or sew"


def back_side(words: Set[str], outer: str = "the outer cloth") -> str:
    """Where a backing lies that no page of its own shows: behind the layers that hold the part.

    Args:
        words: the facts of the job.
        outer: what it lies against, where the layers are still to be joined.
    """
    if "hiding: beneath" in words or "opened for magnets" in words:
        return ""
    if "set: magnetic" in words and "state: finished" not in words:
        return ""
    if "state: cut pieces" not in words:
        return " on the inside of the band, which is closed,"
    if "sewn on" in words and "set: sewn button" not in words:
        return " on the wrong side of the layer that {backed marks?it|each} is sewn to,"
    return f" on the wrong side of {outer},"


def backed_in_words(
    placement: Placement, laps: Sequence[LapName], words: Set[str], single: Sequence[LapName], *, is_if_opened: bool
) -> dict[str, str]:
    """Name the closures whose backing is wanted, by the laps that want it.

    Args:
        placement: whose closures.
        laps: those that want it.
        words: the facts of the job.
        single: laps that are told as a single layer.
        is_if_opened: it is wanted only where a finished band is opened for magnets.
    """
    side = ""
    if "opened for magnets" in words and "state: finished" in words:
        within = "within it, on the layers that meet the other lap,"
        side = f" {within}" if is_if_opened else f" on the inside of the band, or where it was opened {within}"
    marks = sorted({mark.n for lap in laps for mark in placement.on(lap)})
    end = "end" if placement.strap is not None else "lap"
    return {
        "back the": "Where the band was opened, back the" if is_if_opened else "Back the",
        "back opened": side,
        "backed marks": numbers_in_words(marks),
        "back side": back_side(words, outer_cloth(laps, single)),
        "backed lap": f" of the {laps[0]} {end}" if len(laps) == 1 else "",
    }
