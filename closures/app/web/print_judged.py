"""A print judged on the page: what was measured in its fields, and the verdict in the page's words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from closures.errors import ClosureError
from closures.jobs.table.printer import judge_print
from closures.lengths import parse_length_mm, unit_of

_LABELS = {"across": "I measured across", "down": "And down", "of": "Where the sheet says"}
_FOR_ONE_PRINTER = "How that is done stands in the guide, under “Print at true size and tape the pages”."


def judged(typed: Mapping[str, str], units: str) -> dict[str, Any]:
    """Judge a print.

    Args:
        typed: the three fields, ``across``, ``down`` and ``of``.
        units: of the plan, which a bare number has where the sheet's own length is one too.

    Returns:
        Whether it is ``good``, None where that cannot be told, and the ``lines`` that say so.
    """
    # Who measures a square of 50 mm reads mm off the ruler, whatever the plan's units are.
    own = "in" if (unit_of(typed.get("of", "")) or units) in ("in", "ft", "yd") else "mm"
    try:
        across, down, of = (
            parse_length_mm(typed.get(key, ""), own, zero=False, where=label) for key, label in _LABELS.items()
        )
    except ClosureError as error:
        return {"good": None, "lines": [str(fault) for fault in error.faults]}
    try:
        verdict = judge_print(across, down, of)
    except ClosureError as error:
        said = [f"{fault.what[:1].upper()}{fault.what[1:]}. {fault.mend}".strip() for fault in error.faults]
        return {"good": None, "lines": said}
    return {"good": verdict.is_good, "lines": [*verdict.lines, *([_FOR_ONE_PRINTER] if verdict.correct else ())]}
