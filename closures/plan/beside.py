"""What no closure beside a row goes with, be it a second column or a single one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from closures.plan.section import Complaint

if TYPE_CHECKING:
    from closures.plan.plan import Plan


def against_beside(plan: Plan, header: str, leave: str) -> Iterator[Complaint]:
    """Tell what is wrong between closures beside a row and the rest of a plan.

    Args:
        plan: that has some.
        header: of the section that tells them, such as "[column]".
        leave: how to mend it where edges meet.
    """
    if plan.garment is not None and plan.garment.is_meeting:
        yield "", "edges that meet have nothing beside the row: no cloth lies on cloth there", leave
    if plan.sheets is not None and plan.sheets.backing is not None:
        yield "", "a backing lies along the row alone", "Leave backing out under [sheets]."
    if plan.fit is not None:
        yield "", "a fit for one wearer moves the row's edge alone", f"Leave {header} out there."
    if plan.pull is not None or plan.body is not None or plan.way_in is not None:
        name = next(name for name in ("pull", "body", "way_in") if getattr(plan, name) is not None)
        yield (
            "",
            "whether a row gapes and holds is worked out for one that holds alone, and what lies beside it holds too",
            f"Leave [{name}] out; or put it into a copy of the plan without {header}, which is judged on its own.",
        )
