"""What is asked of three plies of more than one cloth, where the order in which they were told leaves it open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.asking import Asking, one_of
from closures.errors import ClosureError
from closures.placing.plies import is_sewn_here, plies_on
from closures.plan.editing import add_section, remove_section, set_key, value_of
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.plies import Plies

_LAPS: tuple[LapName, LapName] = ("over", "under")
_UNKNOWN = (
    "Then it is taken to be sewn in between the band and its facing, and the checks ask for it. Lay the layers on each "
    "other as they will be worn, and look where it lies."
)


def purposes_asked(text: str, asking: Asking) -> str:
    """Ask what a ply of another cloth is for, which may lie between band and facing, innermost or outside.

    Args:
        text: the plan so far, with its layers.
        asking: who asks.

    Returns:
        The plan with what was answered; as it was where nothing is open, or nobody knows.
    """
    for lap in _LAPS:
        try:
            plan = read_plan(text.encode(), "")
        except ClosureError:
            # What is wrong with it is told once all is asked.
            return text
        plies = plies_on(plan, lap, asking.catalogue)
        if plies is None or plies.is_settled or not plies.within or not is_sewn_here(plan):
            continue
        # Told on both laps, it is asked for once.
        wishes = plan.layers
        own = [n for n, wish in enumerate(wishes, 1) if wish.on in (lap, "both") and wish.lies_all_over]
        names = [asking.catalogue.cloth(wishes[n - 1].cloth or "").name for n in own]
        at = own[names.index(plies.within[0].name)]
        if (answered := _asked(text, asking, plies, at, own[-1])) is None:
            return text
        text = answered
    return text


def _asked(text: str, asking: Asking, plies: Plies, at: int, last: int) -> str | None:
    """Ask of one lap; None where nobody knows."""
    within, outer = plies.within[0].name, plies.outer.name
    facing = "" if plies.facing is None else plies.facing.name
    if facing == outer:
        choices = {
            "interlining": f"sewn in between the band and its facing, both of {outer}",
            "lining": f"innermost, behind the facing of {outer}",
            "outer": f"outside, on {outer}",
        }
    else:
        choices = {
            "interlining": f"sewn in between the band of {outer} and a facing of {facing}",
            "facing": f"the facing of the band; {facing} lines it",
        }
    told = one_of(asking, f"What is {within} for?", choices, _UNKNOWN)
    if told is None:
        return None
    if told == "facing":
        text = set_key(text, "layer", "as", "lining", last)
    text = set_key(text, "layer", "as", told, at)
    return _first(text, at) if told == "outer" else text


def _first(text: str, at: int) -> str:
    """Tell one layer before all others: the first is what lies outside."""
    rows = list(value_of(text, "layer"))
    moved = [rows.pop(at - 1), *rows]
    text = remove_section(text, "layer")
    for row in moved:
        text = add_section(text, "layer", row)
    return text
