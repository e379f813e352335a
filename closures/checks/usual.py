"""How long openings, straps and girths are as a rule: beyond that a length was perhaps told in another unit or scale.

The first forms of the page ask by it, and the checks look by it: one set of bounds, wide on purpose, in the catalogue.
"""

from __future__ import annotations

import math
from contextlib import contextmanager
from typing import TYPE_CHECKING

from closures.errors import EdgeError, Fault, SpacingError, in_section
from closures.lengths import SAME_MM, format_length, format_mm, unit_in_mm
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.catalogue.catalogue import Catalogue
    from closures.edges.reading import Edges
    from closures.plan.plan import Plan

_SIDED = ("left ", "right ")
_UNITS = ("mm", "cm", "in")
"""The units in which patterns and rulers tell a length."""


def usual_mm(catalogue: Catalogue, what: str | None) -> tuple[float, float] | None:
    """Find the shortest and the longest, in mm, that something is as a rule; None where nothing is known of it.

    Args:
        catalogue: with the bounds.
        what: an opening, a piece, a girth, such as "left side", "cuff" or "chest"; None for an edge of which nothing
            says what opens.
    """
    name = "flat" if what is None else what
    for side in _SIDED:
        name = name.removeprefix(side)
    rule = catalogue.rules.get(f"usual, {name}")
    if rule is None or rule.high is None:
        return None
    # Of what nothing is said, the shortest of all may open.
    low = catalogue.rule("usual, shoulder").value.value if what is None else rule.value.value
    return low, rule.high.value


def is_far(mm: float, usual: tuple[float, float] | None) -> bool:
    """Whether a length lies beyond what is usual."""
    return usual is not None and not usual[0] - SAME_MM <= mm <= usual[1] + SAME_MM


def as_read_within(rough_mm: float) -> str:
    """What points may be out by, as a plan is told it: a little more than they are, in twentieths of a mm."""
    return f"{math.ceil(rough_mm * 20 + 0.5) / 20:.2f} mm"


@contextmanager
def doubting_edge(plan: Plan, edges: Edges, catalogue: Catalogue) -> Iterator[None]:
    """Ask of an edge that is refused what may be wrong with its own figures.

    Of one on which no row fits, though it is far shorter or longer than such an opening, in which unit it was typed; of
    one that leaves no room for a line beside it, and follows points that are rougher than they were taken to be, how
    rough they are.

    Of a plan without any unit that is asked already (`plan/mixed.py`).

    Args:
        plan: what is placed.
        edges: as they were told.
        catalogue: with the bounds.
    """
    try:
        yield
    except EdgeError as error:
        if edges.seen.rough_mm:
            out = f"its points are out by {edges.seen.rough_mm:.2f} mm"
            what = f"{out}, and the line follows them where a smooth one would not"
            mend = f'If they are that rough, write read_within = "{as_read_within(edges.seen.rough_mm)}".'
            error.faults = (*error.faults, Fault(in_section("edge", "read_within"), what, mend))
        raise
    except SpacingError as error:
        wish, opens = plan.edge, None if plan.garment is None else plan.garment.opens
        usual, edge_mm = usual_mm(catalogue, opens), edges.over.length_mm
        # A straight one is asked for its unit as it is read.
        is_measured = wish is not None and wish.points is not None
        if is_measured and not plan.bare.is_all and usual is not None and is_far(edge_mm, usual):
            likely = meant_in(edge_mm, plan.units, usual)
            meant = f" Was it meant as {in_a_row(likely, 'or as')}?" if likely else ""
            what = f"the edge comes to {format_length(edge_mm, plan.units)}, which no such opening is as a rule"
            mend = f"Look in which unit its figures were measured.{meant}"
            error.faults = (*error.faults, Fault(in_section("edge", "points"), what, mend))
        raise


def meant_in(mm: float, units: str, usual: tuple[float, float]) -> list[str]:
    """Write what the same number comes to in the other units in which it is usual: ``24 in (609.6 mm)``.

    Args:
        mm: the length as it was read.
        units: in which it was told, "mm" or "in".
        usual: its bounds, in mm.
    """
    # Reckoned here and not as the module is read: the library of units costs a third of a check that needs none.
    units_mm = {unit: float(unit_in_mm(unit)) for unit in _UNITS}
    told = mm / units_mm[units]
    return [
        f"{round(told, 3):g} {unit} ({format_mm(told * each)})"
        for unit, each in units_mm.items()
        if unit != units and not is_far(told * each, usual)
    ]
