"""Names that the sheets cannot letter: told where they are typed, and not only when the pages are to be printed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.lettering import spelt
from closures.errors import Fault, OutputError, PlanError, in_section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


def check_letters(plan: Plan) -> None:
    """Look at the names that a plan gives and its sheets bear.

    Raises:
        PlanError: the font of the sheets has not all their letters.
    """
    named = [(plan.title, in_section("", "title"))]
    named += [(one.name, in_section("anchor", "name", nth=nth)) for nth, one in enumerate(plan.anchors, start=1)]
    named += [(one.name, in_section("clear", "name", nth=nth)) for nth, one in enumerate(plan.clear, start=1)]
    faults = []
    for text, where in named:
        try:
            spelt(text)
        except OutputError as error:
            faults += [Fault(where, fault.what, fault.mend) for fault in error.faults]
    if faults:
        raise PlanError.of(tuple(faults))
