"""What the cover says of the edges: their length, what was taken for granted of them, how far in the marks lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways
from closures.placing.assumed import about
from closures.placing.counted_from import level_zero_told
from closures.placing.tape import tape_in_words

if TYPE_CHECKING:
    from closures.drawing.sheets.subject import Subject
    from closures.placing.placement import Placement


def proofs_of_edges(placement: Placement, subjects: Sequence[Subject]) -> list[str]:
    """Tell what is to be held against one's own piece before it is marked.

    Args:
        placement: of closures along an edge.
        subjects: both laps.

    Returns:
        How long each finished edge is, what was taken for granted that moves every hole, and how far in the marks lie.
    """
    lines = [tape_in_words(placement)]
    under = subjects[1]
    if under.lap.edge.length_mm != subjects[0].lap.edge.length_mm:
        length = " · ".join(both_ways(under.lap.edge.length_mm, under.units))
        lines.append(f"The under lap's finished edge: {length}.")
    return [*lines, *taken_for_granted(placement), *level_zero_told(placement), *_insets(placement, subjects)]


def taken_for_granted(placement: Placement) -> list[str]:
    """Tell what was taken for granted that moves every hole and shows on no sheet: what opens, where levels begin."""
    garment = placement.laps.garment
    opens = "Assumed: This is a front; what opens was not told. Were it a back, these sheets would be wrong."
    front = [opens] if garment.opens is None else []
    return [*front, *("Assumed: " + line for line in placement.assumed if about("beginning of levels", line))]


def _insets(placement: Placement, subjects: Sequence[Subject]) -> list[str]:
    """How far in from its edge each lap is marked, where the laps differ, with what was assumed of it.

    Of marks that do not all lie on the row's line, a section of its own tells that, and of an edge far from the strip
    the step that lays it.
    """
    if placement.beside or any(one.whole_lap.has_strip_without_edge for one in subjects):
        return []
    told: dict[str, list[str]] = {}
    for one in subjects:
        found = [mark.edge_distance_mm for mark in placement.on(one.name)]
        if found:
            least, most = (" · ".join(both_ways(mm, one.units)) for mm in (min(found), max(found)))
            past = " past it" if one.whole_lap.past_edge_mm else ""
            told.setdefault((least if least == most else f"{least} to {most}") + past, []).append(one.name)
    if len(told) < 2:
        return []
    ways = ", ".join(f"{laps[0]} lap {way}" for way, laps in told.items())
    assumed = ["Assumed: " + line for line in placement.assumed if "under_inset" in line]
    return [f"From the finished edge in to the marks: {ways}.", *assumed]
