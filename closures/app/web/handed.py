"""Files that were handed in with a plan: laid under the names that it gives them, or asked about.

A browser tells of a file its last name alone, and people save a drawing again under another one. A file of another name
is never taken for the one that a plan names: it is offered, and where it is taken the plan says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING

from closures.edges.opening import kind_of
from closures.edges.ways.registry import files_needed
from closures.errors import ClosureError, DrawingError, PlanError
from closures.frozen import frozen
from closures.nearest import same_name
from closures.plan.editing import set_key
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_TRIED = 4
"""Files that are tried in place of one that was not handed in: each is read and placed."""


@frozen
class Missing:
    """A file that a plan names and that was not handed in, with those that were.

    Attributes:
        name: as the plan gives it.
        why: what is wrong, in a sentence.
        offers: in words, and the whole text of the plan that names another file.
    """

    name: str
    why: str
    offers: tuple[tuple[str, str], ...]


def under_their_names(text: bytes, title: str, handed: Mapping[str, bytes]) -> dict[str, bytes]:
    """Lay files under the names that a plan gives them, where that names a folder below its own as well.

    Args:
        text, title: the plan and its name.
        handed: the files by the last part of their names.
    """
    laid = dict(handed)
    for _, name in _named(text, title):
        last = _last(name)
        spelled = same_name(last, handed)
        if same_name(name, laid) is None and spelled is not None and _is_below(name):
            laid[name] = laid.pop(spelled) if spelled in laid else handed[spelled]
    return laid


def missing_from(
    text: bytes, title: str, handed: Mapping[str, bytes], try_it: Callable[[bytes], None]
) -> Missing | None:
    """Find the first file that a plan names and nobody handed in, with the files that would do in its place.

    Args:
        text, title: the plan and its name.
        handed: the files by name, the plan among them.
        try_it: places a text of the plan, or raises what is wrong with it.

    Returns:
        None where all are there, or the plan cannot be read, which is told when it is laid.
    """
    named = _named(text, title)
    found = next(((key, name) for key, name in named if same_name(name, handed) is None), None)
    if found is None:
        return None
    key, name = found
    taken = {same_name(one, handed) for _, one in named}
    others = [one for one in handed if one not in taken and one != title and _may_be(key, one, handed[one])]
    what = {"drawing": "drawing", "supplies": "supplies file"}.get(key, f"file of its {key}")
    why = f"the plan names {name} as its {what}, which was not handed in"
    offers = [] if key not in ("drawing", "supplies") else _tried(text, key, name, others, try_it)
    if others:
        why += f"; {', '.join(others[:MOST_TRIED])} {'was' if len(others) == 1 else 'were'}"
        why += "" if offers else ", and nothing can be placed with that in its place"
    return Missing(name, why, tuple(offers))


def refuse_missing(missing: Missing, title: str) -> None:
    """Refuse a plan of which a file is missing.

    Raises:
        DrawingError: always.
    """
    raise DrawingError(missing.why, where=title, mend=f"Hand {_last(missing.name)} in together with the plan.")


def _tried(
    text: bytes, key: str, name: str, others: Sequence[str], try_it: Callable[[bytes], None]
) -> list[tuple[str, str]]:
    offers = []
    for other in others[:MOST_TRIED]:
        changed = set_key(text.decode("utf-8-sig"), "", (key,), other)
        try:
            try_it(changed.encode())
        except ClosureError:
            continue
        offers.append((f"{other} is meant: the plan then names it in place of {name}", changed))
    return offers


def _named(text: bytes, title: str) -> list[tuple[str, str]]:
    """The files that a plan names, each with the word for it; none of a plan that cannot be read."""
    try:
        plan = read_plan(text, title)
    except ClosureError:
        return []
    named = [(one.what, one.name) for one in files_needed(plan)]
    return named if plan.supplies is None else [*named, ("supplies", plan.supplies)]


def _may_be(key: str, name: str, data: bytes) -> bool:
    if name.lower().endswith(".toml"):
        return key == "supplies"
    if key != "drawing":
        return False
    try:
        kind_of(data, name)
    except (DrawingError, PlanError):
        return False
    return True


def _last(name: str) -> str:
    return PurePosixPath(name.replace("\\", "/")).name


def _is_below(name: str) -> bool:
    """Whether a name leads to a folder below the plan's own, and nowhere else."""
    plain = PurePosixPath(name.replace("\\", "/"))
    return not plain.is_absolute() and not PureWindowsPath(name).drive and ".." not in plain.parts
