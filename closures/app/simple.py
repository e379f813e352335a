"""The one call for those who import the package: a plan in, its placement out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from closures.app.job import check_plan, load_plan
from closures.plan.plan import Plan
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from os import PathLike

    from closures.placing.placement import Placement


def place(plan: Plan | bytes | str | PathLike[str]) -> Placement:
    """Place the closures of a plan, without drawing or checking anything.

    Args:
        plan: the path of a plan file, whose drawing and supplies lie beside it; or the bytes of a plan, or a plan as a
            value, whose files lie in the current folder.

    Returns:
        The placement: its marks from the first end, the closing line and the laps, all lengths in mm.

    Raises:
        ClosureError: something is wrong with the plan, a file it names, the edge or the wishes; `faults` holds all.
    """
    if isinstance(plan, Plan):
        return check_plan(plan).placement
    if isinstance(plan, bytes):
        return check_plan(replace(read_plan(plan, ""), where="plan")).placement
    path = Path(plan)
    return check_plan(load_plan(path), path).placement
