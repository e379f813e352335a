"""A trial result, kept: the texts of the supplies file and of the plan as they become, for whoever writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.jobs.table.trial import SUPPLIES, Trial, judge_trial, with_trial

if TYPE_CHECKING:
    from closures.app.job import Answer


@frozen
class Tried:
    """What a trial piece told, with the texts that keep it.

    Attributes:
        trial: what it told of its cloth.
        supplies_name: the user's own supplies file, as the plan names it.
        supplies_text: that file's text with the trial in it.
        plan_text: the plan's text, reading that file; as it was where it did already.
    """

    trial: Trial
    supplies_name: str
    supplies_text: str
    plan_text: str


def try_piece(
    answer: Answer,
    plan_text: str,
    supplies_text: str | None,
    verdict: str,
    lap: str = "over",
    cloth: str | None = None,
) -> Tried:
    """Narrow a cloth's thickness by what a trial piece showed. Opens and writes nothing.

    Args:
        answer: the plan, placed.
        plan_text: the plan as its file has it.
        supplies_text: the supplies file that the plan names, or the one of the usual name beside it; None for none.
        verdict: rattles, right or bulges.
        lap: whose layers the piece had.
        cloth: whose thickness it tells; None for the least certain one.

    Returns:
        The trial and both texts; notes, order and all other figures stay.

    Raises:
        PlanError: as for `judge_trial`.
    """
    from closures.plan.editing import set_key

    named = answer.placement.plan.supplies
    name = named or SUPPLIES
    found = judge_trial(answer.placement, verdict.strip().lower(), answer.catalogue, lap, cloth)
    kept = with_trial(supplies_text or "", found, answer.catalogue)
    return Tried(found, name, kept, plan_text if named else set_key(plan_text, "", "supplies", name))
