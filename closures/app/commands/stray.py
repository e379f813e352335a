"""Words on a command line that stand where a plan file is looked for and are none: told before anything is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from closures import files
from closures.errors import PlanError, typed

_DRAWINGS = (".svg", ".dxf", ".pdf", ".png", ".jpg", ".jpeg", ".tif", ".tiff")
_MOST_WORDS = 12
"""Words that one name is looked for in; our own rule."""


def refuse_stray(plans: Sequence[Path] | None, wishes: Mapping[str, Any], out: Path | None = None) -> None:
    """Refuse words that were not meant as plan files.

    Args:
        plans: what stands on the line without an option.
        wishes: the options of a job without a plan.
        out: the folder that was asked for.

    Raises:
        PlanError: a word begins with a long dash, or is part of a name or a value whose quotes were forgotten; or a
            drawing stands in place of the plan of a job that is told by options.
    """
    given = [path for path in plans or () if not path.exists()]
    for path in given:
        if meant := files.without_long_dash(path.name):
            raise PlanError("this is no plan file", where=str(path), mend=meant)
    if given and (whole := _parted(list(plans or ()))):
        what = f"this is part of the name {whole}"
        raise PlanError(what, where=str(given[0]), mend=f"A name with spaces stands between quotes: {typed(whole)}.")
    strange = next((path for path in given if not path.suffix), None)
    if out is not None and strange is not None and len(given) < len(plans or ()):
        named = typed(Path(f"{out} {strange}"))
        mend = f"A name with spaces stands between quotes: {named}."
        raise PlanError("this is no plan file", where=str(strange), mend=mend)
    if not wishes:
        return
    drawn = next((path for path in plans or () if path.suffix.casefold() in _DRAWINGS), None)
    if drawn is not None:
        mend = f"Beside options it is named by one: --drawing {typed(drawn)}."
        raise PlanError("this is a drawing, not a plan", where=str(drawn), mend=mend)
    words = [str(path) for path in given if path.suffix.casefold() != ".toml"]
    if words:
        raise PlanError(
            "these are no plan files" if len(words) > 1 else "this is no plan file",
            where=", ".join(words[:_MOST_WORDS]),
            mend='A value of several words stands between quotes, such as --band "1 1/2 in" or --lap "right over '
            'left".',
        )


def _parted(words: Sequence[Path]) -> Path | None:
    """Find a file whose name holds spaces and was typed without quotes."""
    for first in range(len(words)):
        for last in range(first + 2, min(len(words), first + _MOST_WORDS) + 1):
            whole = Path(" ".join(str(word) for word in words[first:last]))
            if whole.is_file():
                return whole
    return None
