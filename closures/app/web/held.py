"""What holds a print: nothing is given out that is not what the page shows, and all that was typed is in it.

Asked here alone: for the line above a picture, for the page of a garment, and for every file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.web.fields import label_of
from closures.errors import PlanError

if TYPE_CHECKING:
    from closures.app.web.bench import Bench, Left


def refused_in(bench: Bench) -> tuple[str, ...]:
    """What was asked for and refused, by what the page calls each field."""
    words = {} if bench.refusal is None else bench.refusal.words
    return tuple(dict.fromkeys(label_of(name, bench.step.text) for name in words))


def left_in(bench: Bench, window: str = "") -> tuple[Left, ...]:
    """What stands typed and was not asked for, in all windows but one, which knows of its own."""
    return tuple(one for one in bench.left if one.window != window)


def is_unknown(bench: Bench, *, is_told: bool) -> bool:
    """Whether a plan's own file holds another plan, and the window that asks does not say so yet."""
    return bench.home is not None and bool(bench.trouble) and not is_told


def hold_back(bench: Bench, shown: int | None, wanted: str = "", window: str = "", *, is_told: bool = False) -> None:
    """Give out nothing that is not what the page shows.

    Args:
        bench: the plan.
        shown: the turn of what the page shows; None where it does not say.
        wanted: the file's name.
        window: the one that asks, which holds back what stands typed in itself.
        is_told: it says that the plan's own file holds another plan, where that is so.

    Raises:
        PlanError: something that was typed is not in the picture, another window shows another picture, or the plan's
            own file holds another plan and this window does not say so.
    """
    # A plan that is saved is the plan as it stands.
    waits, left = ((), ()) if wanted == "plan.toml" else (refused_in(bench), left_in(bench, window))
    if waits:
        raise PlanError(
            f"what was typed is not in the picture yet: {'; '.join(waits)}", mend="Mend it or take it back, then print."
        )
    if left:
        told = "; ".join(dict.fromkeys(said for one in left for said in one.said))
        raise PlanError(
            f"what stands typed in a window of this plan is not in the picture yet: {told}",
            mend="Add it there or empty it, or leave it out on the plan's page, then print.",
        )
    if wanted != "plan.toml" and is_unknown(bench, is_told=is_told):
        raise PlanError(f"{bench.trouble}, and it is not what is shown", mend="Look at the page, then print.")
    if shown is not None and shown != bench.turn:
        raise PlanError(
            "this plan was changed in another window meanwhile", mend="Look at it as it is now, then print."
        )
