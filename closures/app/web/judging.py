"""What was typed, judged field by field: what is good is taken though another field is refused.

Keys of which exactly one is given go together, and a new row is one thing. Everything is tried at once first; what then
is named as wrong is left out, and where nothing is named, each is tried on top of what was good before it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from closures.app.web.fields import BY_NAME, Edit, added_rows, edits_of, field_named
from closures.catalogue.loading import load_catalogue
from closures.errors import ClosureError
from closures.frozen import frozen
from closures.plan.editing import add_section, value_of

Try = Callable[[str], None]
Places = Callable[[ClosureError, str], tuple[str, ...]]

_MOST_TRIES = 60
"""So many changes are tried one by one: a hand makes a few at once, and each try places the whole row."""


@frozen
class Change:
    """Changes of a plan's text that are taken or refused together.

    Attributes:
        names: the fields that ask for them.
        on: makes them.
    """

    names: tuple[str, ...]
    on: Callable[[str], str]


@frozen
class Judged:
    """What came of everything that was typed.

    Attributes:
        text: the plan's text with what is good.
        refused: what is not: its fields, and why.
    """

    text: str
    refused: tuple[tuple[Change, ClosureError], ...]


def changes_of(text: str, typed: Mapping[str, str]) -> tuple[Change, ...]:
    """Find what was typed and is not in the plan yet, in parts that are judged by themselves."""
    together: dict[str, list[Edit]] = {}
    for edit in edits_of(text, typed):
        one_of = BY_NAME[edit.section].one_of
        is_chosen = bool(one_of) and edit.path[0] in one_of[0]
        home = f"{edit.section}.{edit.nth}"
        together.setdefault(home if is_chosen else edit.name, []).append(edit)
    for name in [name for name in together if _is_size(name)]:
        # A size is one of its kind: where both are others now, neither is held against the old one.
        kind = f"{name.rpartition('.')[0]}.kind"
        if kind in together:
            together[kind] += together.pop(name)
    for edit in together.get("closure.kind", [])[:1]:
        together["closure.kind"] += _of_the_old_kind(text, edit, together)
    changes = [Change(tuple(dict.fromkeys(e.name for e in edits)), _all(edits)) for edits in together.values()]
    rows: dict[str, int] = {}
    for section, row in added_rows(text, typed):
        n = rows.setdefault(section, _first_new(text, section))
        rows[section] += 1
        changes.append(Change(tuple(f"{section}.{n}.{key}" for key in row), _adding(section, row)))
    return tuple(changes)


def _is_size(name: str) -> bool:
    found = field_named(name)
    return found is not None and found[0].kind.names == "size"


def _of_the_old_kind(text: str, kind: Edit, together: Mapping[str, object]) -> list[Edit]:
    """What goes with the old kind: a buttonhole that was told, where the new one has none and nobody typed it now."""
    catalogue = load_catalogue()
    if kind.value not in catalogue.kinds_by_name or any(value_of(text, section) for section in ("differs", "stand")):
        return []
    if catalogue.fastener(str(kind.value), catalogue.sizes(str(kind.value))[0]).mark.buttonhole_lap is not None:
        return []
    told = [key for key in ("hole", "bound") if value_of(text, "closure", key) is not None]
    return [Edit(kind.name, "closure", (key,), 0, None) for key in told if f"closure.{key}" not in together]


def judge(text: str, changes: Sequence[Change], attempt: Try, places: Places) -> Judged:
    """Take what is good of some changes.

    Args:
        text: the plan's text, which is good.
        changes: what is asked.
        attempt: raises where a text cannot be read or placed.
        places: the fields that an error speaks of.
    """
    left = list(changes)
    refused: list[tuple[Change, ClosureError]] = []
    while left:
        tried = text
        for change in left:
            tried = change.on(tried)
        try:
            attempt(tried)
            return Judged(tried, tuple(refused))
        except ClosureError as error:
            named = set(places(error, tried))
            wrong = [change for change in left if named & set(change.names)]
            if not wrong or len(left) == 1:
                break
            refused += [(change, _alone(change, text, attempt) or error) for change in wrong]
            left = [change for change in left if change not in wrong]
    return _one_by_one(text, left, refused, attempt)


def _one_by_one(text: str, left: list[Change], refused: list[tuple[Change, ClosureError]], attempt: Try) -> Judged:
    tries, found = 0, True
    why: dict[int, ClosureError] = {}
    while found and tries < _MOST_TRIES:
        found = False
        for change in list(left):
            tries += 1
            try:
                attempt(tried := change.on(text))
            except ClosureError as error:
                why[id(change)] = error
            else:
                text, found = tried, True
                left.remove(change)
    return Judged(text, (*refused, *((change, why[id(change)]) for change in left)))


def _alone(change: Change, text: str, attempt: Try) -> ClosureError | None:
    """What is wrong with one change where no other is made."""
    try:
        attempt(change.on(text))
    except ClosureError as error:
        return error
    return None


def _all(edits: Sequence[Edit]) -> Callable[[str], str]:
    def on(text: str) -> str:
        for edit in edits:
            text = edit.on(text)
        return text

    return on


def _adding(section: str, row: Mapping[str, object]) -> Callable[[str], str]:
    return lambda text: add_section(text, section, row)


def _first_new(text: str, section: str) -> int:
    held = value_of(text, section)
    return len(held) if isinstance(held, list) else 0
