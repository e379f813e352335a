"""What the sentences name of cord: the loops of a row, and the lace of a laced one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.advice.bands import SINGLE_EDGE
from closures.advice.holes_left import keeps_needle_holes
from closures.lengths import format_length
from closures.placing.lacing import lace_of
from closures.placing.looped import loop_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.placing.lacing import Lace
    from closures.placing.placement import Placement
    from closures.plan.top import Units


def loop_figures(
    placement: Placement, words: frozenset[str], first: LapName, single: Sequence[LapName]
) -> dict[str, str]:
    """What sentences name of loops; nothing where there are none.

    Loops are caught between the edge of the first lap and its facing. `single` are the laps that are told as one layer
    of cloth: there a strip takes the facing's place (common practice).
    """
    loop, units = loop_of(placement), placement.plan.units
    if loop is None:
        return {}
    # They are sewn on at their ticks: on cloth that is still to be washed, further apart than they will be.
    apart = f"its feet {format_length(loop.marked_mm, units)} apart" if loop.feet_mm else "its feet together"
    if loop.feet_mm and format_length(loop.marked_mm, units) != format_length(loop.feet_mm, units):
        apart += f" as they are marked ({format_length(loop.feet_mm, units)} once washed)"
    reach = format_length(loop.reach_mm, units)
    second = "under" if first == "over" else "over"
    go_in = "{first marks?the loop goes|the loops go} in at it before the edge is faced"
    faced, buttons = "face the edge and turn it", f"Face the edge of the {second} lap, turn it"
    if first in single:
        go_in += (
            ", here with a strip of thin cloth or a ribbon: the plan tells one layer of cloth and no facing behind "
        )
        go_in += "it, which would be one more, to be told"
        faced = "sew the strip over their ends along that line, turn it to the inside and sew it down"
    if second in single:
        buttons = f"Finish the edge of the {second} lap {SINGLE_EDGE}"
    return {
        "mark edge": "Lay paper tape along" if keeps_needle_holes(words) else "Baste along",
        "loops go in": go_in,
        "edge of buttons": buttons,
        "loop tried": "into a scrap of the edge"
        if "state: cut pieces" in words
        else "to an edge that is finished as the garment's is",
        "loop length": format_length(loop.length_mm, units),
        "loop feet": f", {apart}: drawn straight it reaches {reach} past the edge",
        "loop faced": f" Let them lie on the cloth, {faced}: they stand out past the edge."
        if "state: cut pieces" in words
        else " Their ends lie on the inside of the edge, sewn to its inner layers alone where it has more than one.",
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
