"""A print judged on the page: what was measured in its fields, and the verdict in the page's words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closures.errors import ClosureError
from closures.jobs.table.printer import Told, judge_print
from closures.lengths import parse_length_mm, unit_of

if TYPE_CHECKING:
    from closures.plan.top import Units

_FRACTION = re.compile("[/⁄½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]")
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
    own: Units = "in" if (unit_of(typed.get("of", "")) or units) in ("in", "ft", "yd") else "mm"
    across, down, of = (_with_unit(typed.get(key, ""), own) for key in _LABELS)
    try:
        across_mm, down_mm, of_mm = (
            parse_length_mm(text, own, zero=False, where=label)
            for text, label in zip((across, down, of), _LABELS.values(), strict=True)
        )
    except ClosureError as error:
        return {"good": None, "lines": [str(fault) for fault in error.faults]}
    try:
        verdict = judge_print(across_mm, down_mm, of_mm, Told(across, down, of, in_inches=own == "in"))
    except ClosureError as error:
        said = [f"{fault.what[:1].upper()}{fault.what[1:]}. {fault.mend}".strip() for fault in error.faults]
        return {"good": None, "lines": said}
    return {"good": verdict.is_good, "lines": [*verdict.lines, *([_FOR_ONE_PRINTER] if verdict.correct else ())]}


def _with_unit(typed: str, own: Units) -> str:
    """What was measured, as it was written, and with the unit that a bare number or fraction has here."""
    text = " ".join(typed.split())
    is_bare = bool(text) and unit_of(text) is None and not any(sign.isalpha() or sign in "'\"" for sign in text)
    # A fraction is one of inches, or is asked about.
    return f"{text} {own}" if is_bare and (own == "in" or not _FRACTION.search(text)) else text
