"""Whether what is chosen on a first form clamps what is told beside it; which of those that are offered would."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from closures.app.job import check_plan
from closures.app.web.drawings import PLAN_NAME
from closures.catalogue.loading import load_catalogue
from closures.errors import ClosureError, PlanError, Where
from closures.plan.editing import set_key, value_of
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.app.web.beginnings import Beginning
    from closures.checks.finding import Finding

_RULE = "layer thickness"
_MOST_NAMED = 3
_FIGURES = re.compile(r"^(.*? clamps .*? to [^:]*):")


def refuse_unsuited(one: Beginning, text: str) -> None:
    """Ask about a closure that a strap's own thickness is too much or too little for.

    It is held against the check that the plan would fail, and asked where both still stand beside each other.

    Args:
        one: the beginning, with what it offers.
        text: the plan that was made of the answers.

    Raises:
        PlanError: the thickness that is told does not go with the closure that is chosen.
    """
    section = next((name for name in ("belt", "row") if value_of(text, name, "thickness") is not None), "")
    found = _failed(text) if section else None
    if found is None:
        return
    kind, size = (value_of(text, "closure", key) for key in ("kind", "size"))
    offered = {name for name, _ in one.closures}
    further = [(each.kind, each.size) for each in load_catalogue().fasteners if each.kind in offered]
    # Of those that are no picture on the form only as long as none of these goes.
    others = _going(text, one.closures) or _going(text, further)[:_MOST_NAMED]
    named = " or ".join(" ".join(pair) for pair in others)
    figures = _FIGURES.match(found.text)
    raise PlanError(
        f"{kind} {size} does not go with it: {figures[1] if figures else found.text}",
        where=Where(section=section, key="thickness"),
        mend=f"Choose {named}, or mend the thickness." if named else "Choose another closure, or mend the thickness.",
    )


def _going(text: str, pairs: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    return [pair for pair in pairs if _failed(_with(text, *pair)) is None]


def _with(text: str, kind: str, size: str) -> str:
    return set_key(set_key(text, "closure", "kind", kind), "closure", "size", size)


def _failed(text: str) -> Finding | None:
    """What of a plan is too thick or too thin for its closures.

    None where it cannot be placed, which is told when it is laid.
    """
    try:
        answer = check_plan(read_plan(text.encode(), PLAN_NAME), {})
    except ClosureError:
        return None
    return next((one for one in answer.findings if one.rule == _RULE and one.result == "fail"), None)
