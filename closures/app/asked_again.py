"""Answers that do not go together: a plan is placed before it is written, and what it is refused for is asked again."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.app.asking import needed
from closures.errors import ClosureError
from closures.frozen import frozen
from closures.plan.editing import remove_key, remove_section

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.app.asking import Asking

Asks = Callable[[str, "Asking"], str]
"""Asks something and puts the answer into a plan's text."""

_AS_IT_STANDS = "write it as it stands"
_WHICH = "One of the answers has to change, or the plan is written as it stands and is mended there."


@frozen
class Step:
    """One thing that is asked.

    Attributes:
        about: what it is about, for people.
        ask: asks it.
        clears: the sections and keys that it wrote, and that go before it is asked again; a section alone goes whole.
        then: what hangs on it, and is asked again after it.
    """

    about: str
    ask: Asks
    clears: Sequence[tuple[str, str]]
    then: Sequence[Asks] = ()


def placed_as_asked(text: str, asking: Asking, steps: Sequence[Step]) -> str:
    """Place a plan before it is written, and ask again for what it is refused for.

    Args:
        text: the plan of all answers.
        asking: who asks.
        steps: what was asked for it.

    Returns:
        A plan that places; or, where that was chosen, one that does not, after what is wrong with it was said.
    """
    while True:
        try:
            asking.trial(text)
        except ClosureError as error:
            told = "\n".join(f"  {fault}" for fault in error.faults)
            asking.tell(f"\nThe answers do not go together yet.\n{told}")
        else:
            return text
        repairs = dict(asking.repaired(text))
        by_about = {step.about: step for step in steps}
        ways = dict.fromkeys((*repairs, *by_about), "") | {_AS_IT_STANDS: "to be mended in the plan"}
        chosen = needed(asking, "What is to change?", ways, _WHICH)
        if chosen == _AS_IT_STANDS:
            return text
        text = repairs[chosen] if chosen in repairs else _again(text, asking, by_about[chosen])


def _again(text: str, asking: Asking, step: Step) -> str:
    for section, key in step.clears:
        text = remove_key(text, section, key) if key else remove_section(text, section)
    for ask in (step.ask, *step.then):
        text = ask(text, asking)
    return text
