"""What the sentences name of cord: the loops of a row, and the lace of a laced one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.placing.lacing import lace_of
from closures.placing.looped import loop_of

if TYPE_CHECKING:
    from closures.placing.lacing import Lace
    from closures.placing.placement import Placement
    from closures.plan.top import Units


def loop_figures(placement: Placement, words: frozenset[str]) -> dict[str, str]:
    """What sentences name of loops; nothing where there are none."""
    loop, units = loop_of(placement), placement.plan.units
    if loop is None:
        return {}
    # They are sewn on at their ticks: on cloth that is still to be washed, further apart than they will be.
    apart = f"its feet {format_length(loop.marked_mm, units)} apart" if loop.feet_mm else "its feet together"
    if loop.feet_mm and format_length(loop.marked_mm, units) != format_length(loop.feet_mm, units):
        apart += f" as they are marked ({format_length(loop.feet_mm, units)} once washed)"
    reach = format_length(loop.reach_mm, units)
    return {
        "loop length": format_length(loop.length_mm, units),
        "loop feet": f", {apart}: drawn straight it reaches {reach} past the edge",
        "loop faced": " Let them lie on the cloth, face the edge and turn it: they stand out past it."
        if "state: cut pieces" in words
        else "",
    }


def feet_of_loops(placement: Placement) -> str:
    """Where a loop is marked: its dot is the middle of two places, and nothing is sewn there."""
    loop = loop_of(placement)
    if loop is None or not loop.feet_mm:
        return ""
    half = format_length(loop.marked_mm / 2, placement.plan.units)
    return (
        " The dot of a loop lies half way between its feet: mark both feet instead, on the edge, "
        f"{half} to either side of the dot."
    )


def lace_figures(placement: Placement) -> dict[str, str]:
    """What sentences name of a lace; where the plan tells none, only how it is put on."""
    lace = lace_of(placement)
    if lace is None and placement.plan.garment is not None and placement.plan.garment.edges == "lapped":
        one_on_other = "a cord through each eyelet of the over lap and the one that lies beneath it"
        return {"put on laced": f"Put it on open, close it, and draw {one_on_other}"}
    if lace is None:
        return {"put on laced": "Put it on open and lace it on the body"}
    way = "crossed from side to side" if lace.way == "crossed" else "as a ladder"
    units = placement.plan.units
    gap, gap_last = (format_length(mm, units) for mm in (lace.gap_mm, lace.gap_last_mm))
    return {
        "lace": format_length(lace.cut_mm, units),
        "lace way": f"{way}, from the pair at mark 1 on",
        "put on laced": _put_on(lace, units),
        "lace gap": gap
        if gap == gap_last
        else f"{gap} at the {placement.ends[0]} and {gap_last} at the {placement.ends[1]}",
    }


def _put_on(lace: Lace, units: Units) -> str:
    """How somebody gets into what is laced: with the lace in where it lets the edges open so far."""
    if lace.let_out_mm is not None:
        apart = format_length(lace.let_out_mm, units)
        return f"Let the lace out till the edges stand {apart} apart all along, put it on so and draw it close"
    most = format_length(math.floor(lace.most_mm), units)
    return (
        f"Draw the lace out, or let it out where the {most} between the edges that it allows are enough to get in; "
        "put it on and lace it close"
    )
