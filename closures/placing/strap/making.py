"""Straps whose two ends close: belts, waistbands, cuffs, collars, bibs and wings.

A strap arrives at marks on one closing line, its own middle line when closed, and goes on from
there as every other row of closures does.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.placing.plies import refuse_told_apart
from closures.placing.single_layer import MADE_ALREADY, refuse_fewer_told
from closures.placing.strap.belt import make_belt
from closures.placing.strap.row import make_row

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.strap.values import Strap
    from closures.plan.plan import Plan


def make_strap(plan: Plan, fastener: Fastener, catalogue: Catalogue) -> Strap:
    """Work out the strap of a plan.

    Args:
        plan: with a belt or a row.
        fastener: the closure.
        catalogue: cloths and rules.

    Returns:
        The strap.

    Raises:
        ClosureError: it cannot be as asked; what would do is named.
        ValueError: the plan has neither.
    """
    refuse_told_apart(plan, catalogue)
    refuse_fewer_told(plan, catalogue)
    if plan.belt is not None:
        strap = make_belt(plan, plan.belt, fastener, catalogue)
    elif plan.row is not None:
        strap = make_row(plan, plan.row, catalogue)
    else:
        raise ValueError("a plan without a belt or a row has no strap")
    return _made_already(strap) if plan.state in MADE_ALREADY else strap


def _made_already(strap: Strap) -> Strap:
    """The strap, of which nothing is cut: no allowance lies beyond its edges."""
    notes = strap.notes
    if strap.allowance_mm or strap.under_allowance_mm:
        notes += (f"The {strap.piece} is made already, and nothing is cut: the allowance that is told is left out.",)
    sizes = tuple(replace(size, cut_mm=size.finished_mm) for size in strap.sizes)
    return replace(strap, is_made=True, allowance_mm=0.0, under_allowance_mm=0.0, sizes=sizes, notes=notes)
