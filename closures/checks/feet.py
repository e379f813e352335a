"""Do the feet of loops lie on the edge? Each is sewn in half the way between them to either side of its mark.

Each is looked at on the garment as it is worn and on the cloth as it is marked: on a bent edge that shrinks unlike both
ways, one may do where the other does not.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.lengths import SAME_MM
from closures.offered import at_most
from closures.placing.carrying import carry_back
from closures.placing.looped import loop_of

if TYPE_CHECKING:
    from closures.checks.checked import Checked


def foot_beyond_mm(checked: Checked, name: str) -> float:
    """How far from the "first" or "last" end a mark must lie at the least, worn, for both feet to lie on the edge."""
    loop, marked = loop_of(checked.placement), _marked_feet_mm(checked)
    if loop is None:
        return 0.0
    least = loop.feet_mm / 2
    if checked.marked is None or checked.marked is checked.placement:
        return least
    worn, line, plan = checked.placement.laps.line, checked.marked.laps.line, checked.marked.plan
    if name == "first":
        return max(least, carry_back(marked / 2, worn, line, plan))
    return max(least, worn.length_mm - carry_back(line.length_mm - marked / 2, worn, line, plan))


def foot_past_end(checked: Checked, name: str, found_mm: float, least_mm: float) -> str:
    """Say that a foot stands past an end, and what brings it back; continues the sentence that tells the centre."""
    begin, loop = checked.show_up(checked.told_from_end(name, least_mm)), loop_of(checked.placement)
    closer = ""
    if loop is not None and found_mm >= checked.rim_mm - SAME_MM:
        # Nearer to the end the button itself would hang past it.
        most = at_most(loop.feet_mm * found_mm / least_mm, checked.placement.plan.units)
        closer = f", or feet under [loop] of at most {most}"
    return (
        f", and a foot of its loop stands {checked.show(least_mm - found_mm)} past it, off the edge."
        f" Write {name} under [spacing] of at least {begin}{closer}."
    )


def crossing_feet(checked: Checked) -> list[Finding]:
    """Find loops that stand nearer together than their own feet: those of two neighbours cross."""
    loop, marked = loop_of(checked.placement), _marked_feet_mm(checked)
    if loop is None or not loop.feet_mm:
        return []
    longer = marked / loop.feet_mm
    worn = [b.along_mm - a.along_mm for a, b in pairwise(checked.placement.marks)]
    cloth = checked.placement if checked.marked is None else checked.marked
    on_cloth = [(b.along_mm - a.along_mm) / longer for a, b in pairwise(cloth.marks)]
    rooms = [(mark.n, min(both)) for mark, *both in zip(checked.placement.marks, worn, on_cloth, strict=False)]
    units, apart = checked.placement.plan.units, checked.show_up(loop.feet_mm * checked.told_along)
    return [
        Finding(
            "neighbour distance",
            "fail",
            f"The feet of this loop stand {checked.show(loop.feet_mm)} apart and cross those of the next, which is "
            f"{checked.show_under(room, loop.feet_mm)} on. Use fewer closures, {apart} or more "
            f"apart, or feet under [loop] of at most {at_most(room, units)}: feet that touch are common practice.",
            "geometry",
            None,
            n,
            room,
            loop.feet_mm,
            "least",
        )
        for n, room in rooms
        if room < loop.feet_mm - SAME_MM
    ]


def _marked_feet_mm(checked: Checked) -> float:
    loop = loop_of(checked.placement if checked.marked is None else checked.marked)
    return 0.0 if loop is None else loop.marked_mm
