"""From where levels are counted, where a plan tells levels and leaves open where they begin.

A level that was measured from the shoulder and is counted from the neck lands lower by the height between the two, and
nothing else in a plan shows it.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.edges.hand import UPRIGHT
from closures.errors import EdgeError, SpacingError, UpsideDownError, Where, in_section
from closures.lengths import format_length
from closures.placing.assumed import Assumed
from closures.placing.garment import ends_called, runs_up
from closures.placing.usual_row import Usual
from closures.plan.drawn import in_words
from closures.series import in_a_row
from closures.spacing import NoSpacing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.edges.reading import Edges
    from closures.errors import Fault
    from closures.placing.lap import Laps
    from closures.placing.placed import Placement
    from closures.plan.plan import Plan

_MOST_NAMED = 4
"""How many places are named in the line, for its length: our own rule."""
_BEGINS_AT_TOP = ("straight", "arc")
"""The edges whose own first end lies at the height 0, so that a level zero above it can be told by how far."""
_OF_A_BAND = "edge"
"""What the end of a line across a waistband is called, far from any shoulder."""
_OF_LEVELS = {"anchor", "clear", "single", "column", "stripe"}
"""The sections of a plan that tell levels which may miss the line."""
_SUCH_AS = {"mm": ("-80 mm", "80 mm"), "in": ("-3 in", "3 in")}


def told_by_level(plan: Plan) -> tuple[str, ...]:
    """Name what a plan tells by a level: fixed places, clear stretches, and what lies beside the row."""
    inner = None if plan.column is None else plan.column.inner
    hidden = [] if inner is None or inner.level_mm is None else ["the hidden closure"]
    stripes = [] if plan.stripe is None else ["the stripes"]
    rings = [] if plan.way_in is None else [one.name for one in plan.way_in.rings]
    return tuple(dict.fromkeys((*(name for name, _ in _levels(plan)), *hidden, *stripes, *rings)))


def _levels(plan: Plan) -> list[tuple[str, float]]:
    """The levels of a plan on its line, each with what it is called."""
    levels = [(anchor.name, anchor.level_mm) for anchor in plan.anchors]
    levels += [(zone.name, None if zone.level_mm is None else zone.level_mm.high_mm) for zone in plan.clear]
    levels += [(f"the {one.kind} beside the row", one.level_mm) for one in plan.singles]
    return [(name, mm) for name, mm in levels if mm is not None]


def levels_counted_from(plan: Plan, laps: Laps) -> tuple[str, ...]:
    """Say from where levels are counted, where the plan tells some and does not say it; else nothing."""
    wish, names = plan.edge, told_by_level(plan)
    if wish is None or wish.level_zero is not None or not names:
        return ()
    garment = laps.garment
    begin = _first_end(plan, garment.ends)
    if garment.opens in (None, "front", "back") and not garment.ends[0].endswith(("shoulder", _OF_A_BAND)):
        begin += ", not from the shoulder"
    other = "the name of its point in the drawing, or its height there"
    if in_words(wish) in _BEGINS_AT_TOP:
        value, above = _SUCH_AS[plan.units]
        other = f"a height, {value} being {above} above it"
    elif in_words(wish):
        other = "a height in the figures of the edge"
    counted = f"{_levels_of(names)} counted straight down from {begin}"
    told = Usual(
        f"{counted}; another place is told as {other}", "as this program has it", "level_zero under [edge]"
    ).told
    return (Assumed(told, f"{counted}.", "beginning of levels"),)


def level_zero_told(placement: Placement) -> tuple[str, ...]:
    """Say how high the place that a plan tells levels from lies, where levels stand in it: a slip of its sign shows.

    It is said in the state of the cloth in which the plan was measured.
    """
    told = placement.as_told
    line = _zero_line(told.plan, height_of_first_end(told.laps) - told.laps.level_zero_mm, told.laps.garment.ends)
    return (f"{line}.",) if line else ()


def height_of_first_end(laps: Laps) -> float:
    """The y, in mm, of the first end of the edge; of an edge with a stand on it, of the neck seam."""
    edge, stand = laps.over.edge, laps.over.stand
    return edge.start[1] if stand is None else edge.point_at(stand.height_mm)[1]


@contextmanager
def saying_level_zero(plan: Plan, edges: Edges) -> Iterator[None]:
    """Say in a refusal of places from where their levels were told to be counted: that may be what is wrong.

    Args:
        plan: as it was told.
        edges: as they were measured.
    """
    try:
        yield
    except (EdgeError, SpacingError) as error:
        line = _zero_line(plan, edges.over.start[1] - edges.level_zero_y, ends_called(plan.garment))
        if line and (isinstance(error, NoSpacing) or any(_is_of_a_place(fault) for fault in error.faults)):
            *others, last = error.faults
            error.faults = (*others, replace(last, what=f"{last.what.rstrip('.')}. {line}"))
        raise


def _is_of_a_place(fault: Fault) -> bool:
    return isinstance(fault.where, Where) and fault.where.section in _OF_LEVELS


def _zero_line(plan: Plan, above_mm: float, ends: tuple[str, str]) -> str:
    """The sentence that says how far above the first end levels were told to begin, without its end; empty for none."""
    wish, names = plan.edge, told_by_level(plan)
    if wish is None or wish.level_zero is None or not names:
        return ""
    first = _first_end(plan, ends)
    far = format_length(abs(above_mm), plan.units)
    place = f"{far} {'above' if above_mm > 0 else 'below'} {first}"
    if far == format_length(0.0, plan.units):
        place = f"the height of {first}"
    return f"{_levels_of(names)} counted straight down from {place}, as was told"


def _first_end(plan: Plan, ends: tuple[str, str]) -> str:
    end = ends[0]
    if end.endswith(_OF_A_BAND) and plan.stand is None:
        return f"the {end}"
    first = end if end.endswith("end") else f"{end} end"
    return f"the {first} of the edge" if plan.stand is None else "the neck seam"


def _levels_of(names: tuple[str, ...]) -> str:
    more = len(names) - _MOST_NAMED
    named = in_a_row([*names[:_MOST_NAMED], *([f"{more} more"] if more > 0 else [])])
    return f"The levels of {named} are" if names[1:] else f"The level of {named} is"


def refuse_falling_levels(plan: Plan, laps: Laps) -> None:
    """Refuse an edge whose first end lies lower than its last, as the levels of its plan go down from the first.

    Where nothing tells the direction, a drawing may as well lie upside down, and that is looked at only. In one that
    does, levels down the body are negative, and where they begin lies beneath the first end.

    Raises:
        UpsideDownError: the levels and the direction of the edge contradict each other.
    """
    edge, wish, garment = laps.over.edge, plan.edge, laps.garment
    if wish is None or garment.opens not in UPRIGHT or not runs_up(edge):
        return
    below = [name for name, mm in _levels(plan) if mm > 0]
    if not below and (wish.level_zero is None or laps.level_zero_mm > edge.end[1]):
        return
    first, last = garment.ends
    turn = "write reverse = true" if wish.names or wish.trace is not None else "write the points from the other end"
    turn = "exchange from and to" if wish.begins is not None else turn
    turn = "leave reverse out" if wish.reverse else turn
    lower = format_length(edge.start[1] - edge.end[1], plan.units)
    told = "levels begin at a place above both"
    if below:
        named = in_a_row(below[:_MOST_NAMED])
        told = f"the levels of {named} are told" if below[1:] else f"the level of {named} is told"
        told += " straight down"
    raise UpsideDownError(
        f"the {first} lies {lower} lower in the drawing than the {last}, and {told}",
        where=in_section("edge"),
        mend=f"If the edge was drawn from the {last} to the {first}, {turn} under [edge]. If the drawing lies upside "
        "down, turn it round, or give places by along instead of level and leave level_zero out.",
    )
