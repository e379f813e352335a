"""Lines beside the row, and layers that lie on none: they would be passed over, and a stack be told too thin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from closures.errors import EdgeError, Fault, Gathering, in_section
from closures.lengths import SAME_MM, format_length
from closures.offered import at_most
from closures.placing.column import column_laps
from closures.placing.singly import single_laps

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.edges.reading import Edges
    from closures.placing.lap import Lap, Laps
    from closures.plan.layers import LayerWish
    from closures.plan.plan import Plan


def refuse_layers_off(plan: Plan, lines: Sequence[Laps], rim_mm: float) -> None:
    """Refuse layers that lie nowhere on a lap that they are told of.

    Args:
        plan: in the state in which it was told, which is prepared first.
        lines: the laps with the line of the row, and with each line beside it.
        rim_mm: of the largest closure.

    Raises:
        EdgeError: past the end of every line of the lap, or further in than band and closures reach.
    """
    faults = tuple(
        fault for nth, wish in enumerate(plan.layers, 1) for fault in _faults(wish, nth, plan.units, lines, rim_mm)
    )
    if faults:
        raise EdgeError.of(faults)


def lines_beside(
    plan: Plan, edges: Edges, laps: Laps, rim_mm: float, catalogue: Catalogue, wrong: Gathering
) -> tuple[Laps | None, tuple[Laps, ...], tuple[str, ...]]:
    """Find the lines beside the row, with the layers held against all of them.

    Args:
        plan, edges: as for the row.
        laps: the row's own line.
        rim_mm: of the row's largest closure.
        catalogue: fasteners and rules.
        wrong: takes what is wrong; then lines may be lacking.

    Returns:
        The second column's laps, those of each single closure, and what was taken of these, a line each.
    """
    columns = wrong.each(lambda one: column_laps(one, edges), [plan])
    singles = wrong.each(lambda nth: single_laps(plan, edges, catalogue, nth), range(len(plan.singles)))
    column = columns[0] if columns else None
    lines = [laps, *([] if column is None else [column]), *(one for one, _ in singles)]
    if len(columns) + len(singles) == 1 + len(plan.singles):
        wrong.each(lambda one: refuse_layers_off(one, lines, rim_mm), [plan])
    return column, tuple(one for one, _ in singles), tuple(line for _, near in singles for line in near)


def _faults(wish: LayerWish, nth: int, units: str, lines: Sequence[Laps], rim_mm: float) -> Iterator[Fault]:
    told_on = [name for name in ("over", "under") if wish.on in (name, "both")]
    laps = {name: [lap for line in lines for lap in line.both if lap.name == name] for name in told_on}
    if wish.along_mm is not None:
        reaches = {name: max(lap.line.length_mm for lap in found) for name, found in laps.items()}
        what = "along, and the {} lap's closing line is {} long"
        yield from _fault("along", nth, wish.along_mm.low_mm, reaches, what, units)
    if wish.across_mm is not None and any(
        wish.across_mm.low_mm > lap.width_mm - SAME_MM for lap in chain(*laps.values())
    ):
        reaches = {name: max(_reach(lap, rim_mm) for lap in found) for name, found in laps.items()}
        what = "inside the finished edge, and the {} lap's band reaches {}"
        if lines[0].over.tip is not None:
            what = "from the tip, and the {} end is {} long"
        yield from _fault("across", nth, wish.across_mm.low_mm, reaches, what, units)


def _fault(
    key: str, nth: int, low_mm: float, reaches_mm: Mapping[str, float], what: str, units: str
) -> Iterator[Fault]:
    """One fault of a layer that begins past what a lap has, on whichever laps that is."""
    off = [name for name, most in reaches_mm.items() if low_mm > most - SAME_MM]
    if not off:
        return
    on = [name for name in reaches_mm if name not in off]
    lap = min(off, key=lambda name: reaches_mm[name])
    most = reaches_mm[lap]
    mend = f'Write on = "{on[0]}"' if on else "Leave the layer out"
    yield Fault(
        in_section("layer", key, nth=nth, is_repeated=True),
        f"it begins {format_length(low_mm, units)} {what.format(lap, format_length(most, units))}: "
        "there it lies under no closure",
        f"{mend}, or begin at less than {at_most(most, units)}.",
    )


def _reach(lap: Lap, rim_mm: float) -> float:
    """How far from its finished edge a layer of a lap may still be clamped; of a strap's end, from its tip."""
    if lap.tip is not None:
        left, top, right, bottom = lap.edge.box
        return max(lap.tip.distance_to((x, y)) for x in (left, right) for y in (top, bottom))
    return max(lap.width_mm, lap.edge_lies_mm[1] + rim_mm)
