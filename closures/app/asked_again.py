"""Answers that do not go together: a plan is placed before it is written, and what it is refused for is asked again."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.app.asking import needed
from closures.errors import ClosureError, Fault, Where
from closures.frozen import frozen
from closures.plan.editing import remove_key, remove_section

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.app.asking import Asking

Asks = Callable[[str, "Asking"], str]
"""Asks something and puts the answer into a plan's text."""

_SECTION = re.compile(r" under \[+[a-z_]+\]+")
"""What says in which section of a plan something stands: whoever answers questions has none before them."""
_ANSWERED = re.compile(r'(?P<write>[Ww]rite) (?P<key>[a-z_]+) = "(?P<value>[^"]*)"')
_AS_IT_STANDS = "write it as it stands"
_WHICH = "One of the answers has to change, or the plan is written as it stands and is mended there."


@frozen
class Step:
    """One thing that is asked.

    Attributes:
        about: what it is about, for people.
        ask: asks it.
        clears: the sections and keys that it wrote, by which it is known in a refusal, and that go before it is asked
            again; a section alone goes whole.
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
            told = "\n".join(f"  {_of_an_answer(fault, steps)}" for fault in error.faults)
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


def _of_an_answer(fault: Fault, steps: Sequence[Step]) -> str:
    """Say what is wrong with the answer that was given, and not with the place where the plan would hold it."""
    where = fault.where
    if not isinstance(where, Where):
        return str(fault)
    step = _step_of(where.section, where.key.partition(" ")[0], steps)
    mend = _ANSWERED.sub(lambda told: _as_answer(told, steps), fault.mend)
    what, mend = (_SECTION.sub("", text).replace("[[", "").replace("]]", "") for text in (fault.what, mend))
    if step is None:
        return str(Fault(where, what, mend))
    name = f' "{where.name}"' if where.name else ""
    return str(Fault(f"Your answer on {step.about}{name}", what, mend))


def _step_of(section: str, key: str, steps: Sequence[Step]) -> Step | None:
    """What asked for a key of a plan: by that key, else by its whole section."""
    return next((step for own in ((section, key), (section, "")) for step in steps if own in step.clears), None)


def _as_answer(told: re.Match[str], steps: Sequence[Step]) -> str:
    """A key with a value that is to be written, as an answer where it was asked for."""
    about = next((step.about for step in steps if told["key"] in [key for _, key in step.clears if key]), None)
    answer = "Answer" if told["write"] == "Write" else "answer"
    return told[0] if about is None else f'{answer} "{told["value"]}" on {about}'


def _again(text: str, asking: Asking, step: Step) -> str:
    for section, key in step.clears:
        text = remove_key(text, section, key) if key else remove_section(text, section)
    for ask in (step.ask, *step.then):
        text = ask(text, asking)
    return text
