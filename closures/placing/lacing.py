"""How long a lace must be, and how far it lets the edges open while it is still in.

Terms: the *bar* is the straight stretch of a lace between the two eyelets of the first pair; *across* is the way from
one eyelet of a pair to the other.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.said import to_change

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from closures.edges.reading import Edges
    from closures.placing.placed import Placement
    from closures.plan.plan import Plan

# One that is too short is no lace, and nobody cuts to a tenth of a millimetre: up to whole cm or half inches (our own
# rule).
_CUT_STEP_MM = {"mm": 10.0, "in": 12.7}

# Gaps that differ by less are one gap: a lace is let out by far more: our own rule.
_SAME_GAP_MM = 1.0

HELD_MM = 100.0
"""Of a lace at either end when it is let out, to be gripped and not slip through: our own rule."""

TIED_MM = 300.0
"""Of a lace at either end for a bow, where nothing is told: our own rule."""

# An opening is told to whole mm, and a lace that is halved so often is far beyond that: our own rule.
_HALVINGS = 40


@frozen
class Lace:
    """A lace, in mm.

    Attributes:
        way: "crossed" or "ladder".
        gap_mm: between the edges as they are worn, at the first end.
        gap_last_mm: the same at the last end.
        across_mm: between the eyelets of the first pair, with that gap.
        across_last_mm: between those of the last pair.
        worn_mm: through the eyelets, with that gap.
        together_mm: through the eyelets, with the edges drawn together.
        tied_mm: at either end, to tie.
        cut_mm: to be cut, up to the next whole step of a tape: through the eyelets with the gap and both ends to tie,
            or let out to get in and both ends held, whichever is longer.
        let_out_mm: between the edges, all along, when it is let out to get in; None where the plan does not tell it.
        opened_mm: through the eyelets, let out so far; None likewise.
        most_mm: between the edges, all along, as far as this lace lets them with its ends held.
        held_mm: of it at either end, then.
    """

    way: str
    gap_mm: float
    gap_last_mm: float
    across_mm: float
    across_last_mm: float
    worn_mm: float
    together_mm: float
    tied_mm: float
    cut_mm: float
    let_out_mm: float | None
    opened_mm: float | None
    most_mm: float
    held_mm: float

    @property
    def is_cut_to_open(self) -> bool:
        """Whether it is longer than it would be to tie alone."""
        return self.opened_mm is not None and self.opened_mm + 2 * self.held_mm > self.worn_mm + 2 * self.tied_mm


def lace_of(placement: Placement) -> Lace | None:
    """Work out the lace of a row; None where the plan tells none.

    Four eyelets that are neighbours make a trapezium with equal legs: its diagonals are √(leg² + one side × the other)
    (Ptolemy's theorem). Crossed, both ends of the lace run from pair to pair along them: bar + 2 Σ √(row² + across ×
    next across). As a ladder, both ends run along their own side and cross level at every pair after the first: bar
    + Σ (2 row + 2 across). From the first end to the last the gap grows evenly. What a lace takes to bend
    round the rims of its eyelets is left to what is tied.
    """
    # It laces the garment that is worn, washed where its cloth shrinks.
    placement = placement.as_worn
    wish, garment = placement.plan.lacing, placement.plan.garment
    if wish is None or garment is None:
        return None
    first, last = garment.gaps_mm
    rows = _rows(placement)
    worn, together = _across(placement, first, last), _across(placement, 0.0, 0.0)
    through, drawn = (_through(wish.way, rows, across) for across in (worn, together))

    def open_to(gap_mm: float) -> float:
        return _through(wish.way, rows, _across(placement, gap_mm, gap_mm))

    tied = TIED_MM if wish.tied_mm is None else wish.tied_mm
    held = min(HELD_MM, tied)
    opened = None if wish.let_out_mm is None else open_to(wish.let_out_mm)
    wanted = max(through + 2 * tied, 0.0 if opened is None else opened + 2 * held)
    step = _CUT_STEP_MM[placement.plan.units]
    cut = math.ceil(wanted / step - SAME_MM) * step
    most = _widest_mm(open_to, cut - 2 * held)
    return Lace(
        wish.way, first, last, worn[0], worn[-1], through, drawn, tied, cut, wish.let_out_mm, opened, most, held
    )


def _widest_mm(open_to: Callable[[float], float], lace_mm: float) -> float:
    """The widest gap that a length of lace runs through the eyelets at: it grows with the gap, by no less."""
    low, high = 0.0, lace_mm
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if open_to(middle) <= lace_mm else (low, middle)
    return low


def _across(placement: Placement, first_mm: float, last_mm: float) -> list[float]:
    """Across from eyelet to eyelet, pair by pair; edges that spread lie each at half their angle to the middle."""
    edge = placement.laps.over.edge
    upright = math.sqrt(1.0 - min(1.0, abs(last_mm - first_mm) / 2 / edge.length_mm) ** 2)
    found = []
    for over, under in zip(placement.on("over"), placement.on("under"), strict=True):
        share = edge.nearest(over.at).along_mm / edge.length_mm
        gap = first_mm + share * (last_mm - first_mm)
        found.append(gap + upright * (over.edge_distance_mm + under.edge_distance_mm))
    return found


def _rows(placement: Placement) -> list[tuple[float, float]]:
    """From pair to pair, straight, on either side."""
    sides = [
        [math.dist(one.at, other.at) for one, other in pairwise(placement.on(lap.name))] for lap in placement.laps.both
    ]
    return list(zip(*sides, strict=True))


def _through(way: str, rows: list[tuple[float, float]], across: list[float]) -> float:
    if way == "crossed":
        legs = zip(rows, pairwise(across), strict=True)
        return across[0] + 2 * sum(math.sqrt(over * under + here * there) for (over, under), (here, there) in legs)
    return across[0] + sum(over + under + 2 * here for (over, under), here in zip(rows, across[1:], strict=True))


def taken_of_lace(plan: Plan, edges: Edges, show: Callable[[float], str]) -> Iterator[str]:
    """Say what was taken of a lace, a line each."""
    if plan.lacing is not None and plan.lacing.tied_mm is None:
        told = f"{show(TIED_MM)} of the lace is left to tie at either end (our own rule)."
        yield told + to_change("tied under [lacing]")
    yield from _gap_as_drawn(plan, edges, show)


def _gap_as_drawn(plan: Plan, edges: Edges, show: Callable[[float], str]) -> Iterator[str]:
    """Say how far two edges of one drawing lie apart, where the gap that is told is another.

    They may be drawn anywhere or as they are worn: that is not known, so the drawing does not settle the gap.
    """
    wish, garment = plan.edge, plan.garment
    if plan.lacing is None or garment is None or edges.under is None or wish is None or wish.under_lies == "apart":
        return
    told = garment.gaps_mm
    drawn = math.dist(edges.over.start, edges.under.start), math.dist(edges.over.end, edges.under.end)
    if all(abs(a - b) <= _SAME_GAP_MM for a, b in zip(told, drawn, strict=True)):
        return
    at_first, at_last = map(show, drawn)
    one, other = map(show, told)
    gap = f"{one} all along" if told[0] == told[1] else f"{one} at its first end and {other} at its last"
    yield (
        f"The two edges are drawn {at_first} apart at their first ends and {at_last} at their last; the lace is worked "
        f"out for a gap of {gap}, as the plan has it. If they are drawn as worn, write gap = "
        f'"{at_first}" and gap_last = "{at_last}" under [garment].'
    )
