"""Which row is looked for on a closing line: anywhere, on the repeats of a stripe, or with one gap that differs.

The rules of goodness are the same for all; only where closures may sit, or what is done to an even row, differs.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.spacing import NoSpacing, best_spacing

if TYPE_CHECKING:
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Laps
    from closures.plan.plan import Plan
    from closures.plan.stripe import StripeWish
    from closures.spacing import Spacing, Wish

WIDER_MM = 3.0
"""Beyond half a cap: the give of cloth along an edge, common practice."""

_MOST_REPEATS = 2000
_SITS = {"repeat": "on a repeat", "between": "half way between two repeats"}


def choose_row(
    plan: Plan,
    laps: Laps,
    wish: Wish,
    rim_mm: float,
    show: Callable[[float], str],
    step_mm: float,
    hole: Buttonhole | None = None,
) -> Spacing:
    """Find the row that a plan asks for.

    Args:
        plan: for its stripe, its gauge and its closing scheme.
        laps: the closing line.
        wish: the spacing asked for, as numbers.
        rim_mm: half the closure's cap.
        show: writes a length for people.
        step_mm: the least length that `show` tells apart.
        hole: the buttonhole, which begins with a whole row or stitch of knitting; None where there is none.

    Raises:
        SpacingError: no row meets the wishes.
        EdgeError: the closing line meets no repeat.
    """
    if plan.tape is not None:
        from closures.spacing.fixed_pitch import best_at_pitch

        return best_at_pitch(wish, plan.tape.pitch_mm, show, step_mm)
    if plan.stripe is not None:
        from closures.spacing.repeats import best_on_places

        places, sits = repeats_on(plan.stripe, laps), _SITS[plan.stripe.on]
        if plan.stand is not None:
            # The stripes of a stand run as it is cut: its closure keeps its own place, and the front's are met below.
            below = (place for place in places if place > plan.stand.height_mm)
            places, sits = (plan.stand.first_mm, *below), f"{sits} but the stand's"
        spacing = best_on_places(wish, places, show, sits, step_mm)
    elif plan.gauge is not None:
        from closures.placing.knitted import SITS, closed_at_both_ends, steps_on
        from closures.spacing.whole_steps import best_on_ladder

        inset_mm, sits = plan.along_an_edge[1].inset_mm, SITS[plan.gauge.line]
        steps = steps_on(plan.gauge, laps, hole, inset_mm)
        try:
            closed = closed_at_both_ends(steps, plan.gauge, laps, hole, inset_mm)
            spacing = best_on_ladder(wish, closed, show, sits, step_mm)
        except NoSpacing:
            # A row that is open at an end is refused in words of its own where it is told to a knitter.
            spacing = best_on_ladder(wish, steps, show, sits, step_mm)
    else:
        spacing = best_spacing(wish, show=show, step_mm=step_mm)
    if plan.sheets is not None and plan.sheets.closing == "wide gap":
        from closures.spacing.odd_gap import with_wide_first_gap

        # Half a cap off, a part meets no partner; a whole one even less.
        return with_wide_first_gap(wish, spacing, math.ceil(rim_mm + WIDER_MM), show)
    return spacing


def repeats_on(stripe: StripeWish, laps: Laps) -> tuple[float, ...]:
    """Find where the closing line meets the repeats of a stripe, or the middles between them.

    Args:
        stripe: levels measured like any other level of the plan.
        laps: the closing line and the level zero.

    Returns:
        Distances along the line in mm, ascending.

    Raises:
        EdgeError: it meets none, or the repeat is far too fine.
    """
    line = laps.line
    _, top, _, bottom = line.box
    zero = laps.level_zero_mm + stripe.at_mm + (stripe.every_mm / 2 if stripe.on == "between" else 0.0)
    low, high = math.ceil((top - zero) / stripe.every_mm - 1e-9), math.floor((bottom - zero) / stripe.every_mm + 1e-9)
    if high - low > _MOST_REPEATS:
        raise EdgeError(
            f"{high - low + 1} repeats meet the closing line",
            where=in_section("stripe", "every"),
            mend="Write a wider repeat.",
        )
    found = {along for k in range(low, high + 1) for along in line.crossings_of_level(zero + k * stripe.every_mm)}
    if not found:
        raise EdgeError(
            "no repeat meets the closing line",
            where=in_section("stripe"),
            mend="Check every and at: they are measured straight down, from the level zero.",
        )
    return tuple(sorted(found))
