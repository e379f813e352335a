"""The row that is spaced for calm: its worst gape number is the smallest that a row of its count can have."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import SpacingError, in_section, naming
from closures.frozen import frozen
from closures.jobs.gape import formulas
from closures.jobs.gape.known import known_of
from closures.jobs.gape.profile import profile_of
from closures.jobs.gape.ranges import exactly, over
from closures.jobs.gape.row import curvature_at, judge_row
from closures.jobs.gape.search import Row, Weights, fewest_within, least_worst
from closures.jobs.gape.tables import figure
from closures.lengths import format_length
from closures.placing.placement import place, place_on, prepare
from closures.placing.shrinkage import worn_and_marked

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.edges.reading import Edges
    from closures.jobs.gape.row import Gape
    from closures.placing.placement import Placement, Prepared
    from closures.plan.plan import Plan

# The line is weighed in so many places, and where the pull is told.
_PLACES = 120
# Nothing weighs less: where the pull is told as none, a gap still has an end.
_LEAST_WEIGHT = 1e-3


@frozen
class Beside:
    """Two rows of one garment, side by side.

    Attributes:
        even: the row that is as even as can be.
        calm: the row whose worst gape number is the smallest.
        even_gape, calm_gape: what each comes to.
    """

    even: Placement
    calm: Placement
    even_gape: Gape
    calm_gape: Gape

    def text(self, units: str) -> str:
        """What is gained in calm and lost in evenness, for people."""
        one, other = self.even_gape.worst, self.calm_gape.worst
        if one is None or other is None:
            return "One closure has no gap to spare."
        gained = other.number.middle / one.number.middle
        spread = format_length(self.calm.spacing.spread_mm, units)
        was = format_length(self.even.spacing.spread_mm, units)
        if len(self.calm.marks) == len(self.even.marks) and gained > 0.995:
            return "The even row is as calm as any of its count: nothing is gained by uneven gaps."
        return (
            f"Spaced for calm, {len(self.calm.marks)} closures: the worst gape number is {gained:.2f} times that of "
            f"the even row of {len(self.even.marks)}, and the gaps differ by {spread} instead of {was}."
        )


def place_calm(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Place a row for calm: of a count that is asked, else the fewest closures that keep every gap calm.

    Args and errors are those of `placing.placement.place`.
    """
    return beside(plan, edges, catalogue).calm


def beside(plan: Plan, edges: Edges, catalogue: Catalogue) -> Beside:
    """Place the even row and the calm one.

    Args and errors are those of `placing.placement.place`.
    """
    if plan.shrinkage is not None:
        # Both rows are compared as they are worn.
        plan, edges = worn_and_marked(plan, edges)[0]
        plan = replace(plan, shrinkage=None)
    even = place(_evenly(plan), edges, catalogue)
    known = known_of(even, catalogue)
    gape = judge_row(even, catalogue, known)
    ground = prepare(plan, edges, catalogue)
    with naming(in_section("spacing")):
        row, said = _row(plan, ground, even, gape)
        calm = place_on(ground, row.places, catalogue)
    calm_gape = judge_row(calm, catalogue, known)
    found = Beside(even, calm, gape, calm_gape)
    reason = f"{said} {found.text(plan.units)}"
    return replace(found, calm=replace(calm, spacing=replace(calm.spacing, reason=reason)))


def _evenly(plan: Plan) -> Plan:
    return plan if plan.spacing is None else replace(plan, spacing=replace(plan.spacing, aim="even"))


def _row(plan: Plan, ground: Prepared, even: Placement, gape: Gape) -> tuple[Row, str]:
    weights = _weights(even)
    wish = ground.wish
    count, said = wish.count, ""
    if count is None:
        most = int((wish.length_mm - wish.first[0] - wish.last[0]) / wish.closest_mm) + 1
        count = fewest_within(wish, weights, _calm_bound(gape, weights), most)
        said = f"{count} closures: the fewest that keep every gap calm, by the middle of what is known."
        if count is None:
            count = len(even.marks)
            said = f"{count} closures: no count keeps every gap calm, so as many as the gap that was wanted gives."
    else:
        said = f"{count} closures, as asked."
    row = least_worst(wish, weights, count)
    if row is None:
        raise SpacingError(
            f"no row of {count} closures meets the wishes",
            mend='Space them with for = "even" to see which wishes stand against each other.',
        )
    return row, said


def _calm_bound(gape: Gape, weights: Weights) -> float:
    """The most that a gap may cost and lie calm, from any gap whose number and cost are both known."""
    if not gape.gaps:
        return math.inf
    gap = gape.gaps[0]
    return weights.cost(gap.start_mm, gap.start_mm + gap.pitch_mm) / gap.number.middle * formulas.RIPPLES_ABOVE


def _weights(placement: Placement) -> Weights:
    """The pull along the line, and what its curve adds to it."""
    profile, length = profile_of(placement), placement.laps.line.length_mm
    ratio = exactly(figure("stretch over shear").range.middle)
    pitch = exactly(placement.spacing.largest_mm or length)
    at = sorted(
        {length * i / _PLACES for i in range(_PLACES + 1)} | {place for place, _ in profile.told if 0 < place < length}
    )
    knots = []
    for place_mm in at:
        curve = over(formulas.curve_share, exactly(curvature_at(placement, place_mm)), pitch, ratio).middle
        knots.append((place_mm, max(profile.at(place_mm) / curve, _LEAST_WEIGHT)))
    if all(math.isclose(weight, knots[0][1]) for _, weight in knots):
        return Weights((knots[0],))
    # Two knots say as much as many where the weight runs straight between them.
    kept = [knots[0]]
    for before, knot, after in zip(knots, knots[1:], knots[2:], strict=False):
        straight = before[1] + (after[1] - before[1]) * (knot[0] - before[0]) / (after[0] - before[0])
        if not math.isclose(straight, knot[1], rel_tol=1e-9):
            kept.append(knot)
    return Weights((*kept, knots[-1]))
