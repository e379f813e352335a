"""What is not given out: nothing that is not what the page shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.web.fields import label_of
from closures.errors import PlanError

if TYPE_CHECKING:
    from closures.app.web.bench import Bench


def hold_back(bench: Bench, shown: int | None, wanted: str = "") -> None:
    """Give out nothing that is not what the page shows.

    Args:
        bench: the plan.
        shown: the turn of what the page shows; None where it does not say.
        wanted: the file's name.

    Raises:
        PlanError: something that was typed is not in the picture, or another window shows another picture.
    """
    waits = {} if bench.refusal is None else bench.refusal.words
    if waits and wanted != "plan.toml":
        told = "; ".join(label_of(name, bench.step.text) for name in waits)
        raise PlanError(
            f"what was typed is not in the picture yet: {told}", mend="Mend it or take it back, then print."
        )
    if shown is not None and shown != bench.turn:
        raise PlanError("this plan was changed in another window meanwhile", mend="Load the page anew, and look at it.")
