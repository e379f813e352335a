"""A rule on buttons whose halves are turned: the hole beneath, and the button on the inside of the lap on top."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.cures import section_of
from closures.checks.finding import Finding
from closures.said import for_author

if TYPE_CHECKING:
    from closures.checks.checked import Checked


def check_turned_button(checked: Checked) -> list[Finding]:
    """Is a button turned that nothing else of the plan hides?

    A hole that is cut stays cut, and a button sewn to the inside of the over lap is not seen (common practice: so a
    button is sewn that holds the under lap out of sight).
    """
    share = checked.placement
    n = share.marks[0].n
    if share.plan.closure.halves != "turned" or checked.fastener.mark.buttonhole_lap != "under":
        return []
    if share.row.is_hidden(n):
        return []
    side = share.side_word
    told = share.plan.in_words(f"leave halves out under {section_of(checked)}")
    text = (
        f"The halves are turned: the buttonhole is cut in the under {side}, and the button is sewn to the inside of "
        f"the over {side}, where nothing of it shows. So a button is made that is to be hidden."
    ) + for_author(f" If this one is to show, {told}.")
    return [Finding("turned button", "warn", text, "common practice", None, n)]
