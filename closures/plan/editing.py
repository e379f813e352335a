"""A plan is edited key by key, on its text: every note, the order, the units as written and every other figure stay.

A *key* is its name, or the names on the way to it: ``"inset"``, ``("arc", "length")``. Where a section stands several
times, the *nth* is counted from 1 as messages count it. What comes out is a text for the plan's reader to judge.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from closures.plan.blocks import Block, cut, joined, key_lines
from closures.plan.plan import SECTIONS

if TYPE_CHECKING:
    from tomlkit.items import Item

__all__ = ["add_section", "as_toml", "nth_of", "remove_key", "remove_section", "set_aside", "set_key", "value_of"]

Key = str | Sequence[str]

_LONG_LIST = 3
"""A list of more lists than this is written one to a line."""


def value_of(text: str, section: str, key: Key = (), nth: int = 0) -> Any:
    """Find what stands under a key, or in a whole section; None where nothing does.

    Args:
        text: a plan's text.
        section: the section's name, empty for the keys before the first.
        key: the key.
        nth: which of several sections; 0 for one that stands once.
    """
    held: Any = _table(text)
    for step in (*_root(section, nth), *_path(key)):
        try:
            held = held[step]
        except (KeyError, IndexError, TypeError):
            return None
    return held


@lru_cache(maxsize=16)
def _table(text: str) -> Mapping[str, Any]:
    """A plan's text as a table that nobody changes: a drag asks for some forty of its values at every step."""
    return tomllib.loads(_unix(text))


def nth_of(text: str, section: str, name: str) -> int | None:
    """Find which of several sections the user calls by a name, counted from 1; None where none is."""
    known = next((one.named_by for one in SECTIONS if one.name == section), "")
    rows = value_of(text, section)
    if not known or not isinstance(rows, list):
        return None
    return next((n for n, row in enumerate(rows, start=1) if row.get(known) == name), None)


def set_key(text: str, section: str, key: Key, value: Any, nth: int = 0) -> str:
    """Set a key, where it stands or after the last key of its section.

    Args:
        text: a plan's text.
        section: the section's name, empty for the keys before the first; it is added where it is not there.
        key: the key.
        value: as TOML holds it: a text, a number, true or false, a list or a table of these.
        nth: which of several sections; 0 for one that stands once.

    Returns:
        The text with that key changed. Where a list or a table changes in a part, only that part is written anew.

    Raises:
        ValueError: there is no such section of several.
    """
    path = _path(key)
    if value == value_of(text, section, path, nth):
        return text
    where = _home(text, section, path, nth)
    if where is None:
        if nth:
            raise ValueError(f"there is no {section} number {nth}")
        inner: Any = value
        for name in reversed(path[1:]):
            inner = {name: inner}
        return add_section(text, section, {path[0]: inner})
    blocks, n, steps = where
    return _with_body(blocks, n, _set(blocks[n].body, steps, value), text)


def remove_key(text: str, section: str, key: Key, nth: int = 0) -> str:
    """Take a key out, with the note on its line; nothing changes where it is not there."""
    path = _path(key)
    if value_of(text, section, path, nth) is None:
        return text
    where = _home(text, section, path, nth)
    if where is None:
        return text
    blocks, n, steps = where
    if not steps:
        return joined(_without(blocks, n))
    return _with_body(blocks, n, _removed(blocks[n].body, steps), text)


def set_aside(text: str, section: str, key: Key, nth: int = 0) -> str:
    """Take a key out, and keep its line as a note where one stands on it: its words are nobody's but the writer's."""
    import tomlkit

    path = _path(key)
    where = _home(text, section, path, nth)
    if where is None or len(where[2]) != 1 or value_of(text, section, path, nth) is None:
        return remove_key(text, section, key, nth)
    blocks, n, (name,) = where
    held: Any = tomlkit.parse(blocks[n].body).item(str(name))
    if not held.trivia.comment:
        return remove_key(text, section, key, nth)
    kept = [_as_note(line) if name in tomllib.loads(line) else line for line in key_lines(blocks[n].body)]
    return _as_before(joined((*blocks[:n], replace(blocks[n], body="".join(kept)), *blocks[n + 1 :])), text)


def _as_note(line: str) -> str:
    return "".join(f"# {part}" for part in line.splitlines(keepends=True))


def add_section(text: str, section: str, values: Mapping[str, Any]) -> str:
    """Add a section after the last of its name, else at the end.

    Args:
        text: a plan's text.
        section: its name, empty for the keys before the first.
        values: its keys and what they hold; None is left out.

    Returns:
        The text with the section. A section that stands once and is there already gets the keys.
    """
    given = {key: value for key, value in values.items() if value is not None}
    repeated = any(one.name == section and one.repeated for one in SECTIONS)
    rows = value_of(text, section) if section else {}
    if not repeated and rows is not None:
        for key, value in given.items():
            text = _set_top(text, key, value) if not section else set_key(text, section, key, value)
        return text
    blocks = cut(_unix(text))
    if repeated and rows and not any(block.path[:1] == (section,) for block in blocks):
        # It stands as a list of tables in one line.
        return _with_body(blocks, 0, _set(blocks[0].body, [section, len(rows)], given), text)
    heading = f"[[{section}]]\n" if repeated else f"[{section}]\n"
    body = "".join(f"{_bare(key)} = {_item(value).as_string()}\n" for key, value in given.items())
    last = max((n for n, block in enumerate(blocks) if block.path[:1] == (section,)), default=len(blocks) - 1)
    before, rest = blocks[: last + 1], blocks[last + 1 :]
    own = before[-1]
    if rest:
        # Notes between two sections speak of the second, and stay with it.
        new = Block((section,), repeated, "\n" + heading, body, own.tail if own.tail.strip() else own.tail or "\n")
        before = (*before[:-1], replace(own, body=_ended(own.head + own.body)[len(own.head) :], tail=""))
    else:
        gap = "" if not own.text.strip() else "\n"
        before = (*before[:-1], replace(own, tail=_ended(own.head + own.body + own.tail)[len(own.head + own.body) :]))
        new = Block((section,), repeated, gap + heading, body, "")
    return _as_before(joined((*before, new, *rest)), text)


def remove_section(text: str, section: str, nth: int = 0) -> str:
    """Take a section out; the notes before and after it stay.

    Args:
        text: a plan's text.
        section: its name.
        nth: which of several; 0 for one that stands once, or for all of several.
    """
    if value_of(text, section, (), nth) is None:
        return text
    blocks = cut(_unix(text))
    found = _blocks_of(blocks, section, nth)
    if not found:
        steps = _root(section, nth)
        return _with_body(blocks, 0, _removed(blocks[0].body, steps), text)
    for n in reversed(found):
        blocks = _without(blocks, n)
    return _as_before(joined(blocks), text)


def as_toml(value: Any) -> str:
    """Write a value as it stands in a plan."""
    return _item(value).as_string()


def _path(key: Key) -> tuple[str, ...]:
    return (key,) if isinstance(key, str) else tuple(key)


def _root(section: str, nth: int) -> list[str | int]:
    return ([section] if section else []) + ([nth - 1] if nth else [])


def _blocks_of(blocks: tuple[Block, ...], section: str, nth: int) -> list[int]:
    """The blocks of a section and of the tables in it, by number."""
    found, count = [], 0
    for n, block in enumerate(blocks):
        if block.path[:1] != (section,):
            continue
        count += len(block.path) == 1 and block.repeated
        if not nth or count == nth:
            found.append(n)
    return found


def _home(
    text: str, section: str, path: tuple[str, ...], nth: int
) -> tuple[tuple[Block, ...], int, list[str | int]] | None:
    """Find the block in which a key stands or would stand, and the way to it from there."""
    blocks = cut(_unix(text))
    if not section:
        return blocks, 0, list(path)
    own = _blocks_of(blocks, section, nth)
    # A table within a section may have a heading of its own: the longest that leads to the key is its home.
    leading = [n for n in own if (section, *path)[: len(blocks[n].path)] == blocks[n].path]
    if leading:
        home = max(leading, key=lambda n: len(blocks[n].path))
        return blocks, home, [*path[len(blocks[home].path) - 1 :]]
    if value_of(text, section, (), nth) is not None:
        return blocks, 0, [*_root(section, nth), *path]
    return None


def _with_body(blocks: tuple[Block, ...], n: int, body: str, text: str) -> str:
    own = blocks[n]
    if not own.body and body:
        if own.path:
            own = replace(own, head=_ended(own.head))
        elif not own.tail.strip():
            own = replace(own, tail="\n" if blocks[1:] else "")
        else:
            # The first notes of a file are about the plan: its first key comes after them.
            own = replace(own, body=_ended(own.tail), tail="\n" if blocks[1:] else "")
            body = own.body + body
    return _as_before(joined((*blocks[:n], replace(own, body=body), *blocks[n + 1 :])), text)


def _without(blocks: tuple[Block, ...], n: int) -> tuple[Block, ...]:
    before, own, rest = blocks[:n], blocks[n], blocks[n + 1 :]
    tail = own.tail
    if before and before[-1].text.endswith("\n\n") and (tail.startswith("\n") or not (tail or rest)):
        # The empty line before it was its own.
        last = before[-1]
        before = (*before[:-1], replace(last, tail=last.tail[:-1]) if last.tail else replace(last, body=last.body[:-1]))
    if not before:
        return rest
    last = before[-1]
    return (*before[:-1], replace(last, tail=last.tail + tail), *rest)


def _set_top(text: str, key: str, value: Any) -> str:
    return set_key(text, "", key, value)


def _set(body: str, steps: Sequence[str | int], value: Any) -> str:
    import tomlkit

    document = tomlkit.parse(body)
    _put(document, steps, value)
    return tomlkit.dumps(document)


def _put(held: Any, steps: Sequence[str | int], value: Any) -> None:
    """Put a value where the steps lead, making tables on the way."""
    step, *rest = steps
    if isinstance(step, int):
        if step == len(held):
            held.append(_item(value))
            return
    elif step not in held:
        inner = value
        for name in reversed(rest):
            inner = {name: inner}
        held[step] = _item(inner)
        return
    if rest:
        _put(held[step], rest, value)
        return
    old = held[step]
    if isinstance(value, Mapping) and isinstance(old, MutableMapping) and set(value) & set(old):
        for name in [name for name in old if name not in value]:
            del old[name]
        for name, one in value.items():
            if name not in old or old[name] != one:
                _put(old, [name], one)
    elif isinstance(value, list) and isinstance(old, list) and len(value) == len(old):
        for n, one in enumerate(value):
            if old[n] != one:
                _put(old, [n], one)
    else:
        held[step] = _item(value)


def _removed(body: str, steps: Sequence[str | int]) -> str:
    import tomlkit

    document = tomlkit.parse(body)
    held: Any = document
    for step in steps[:-1]:
        held = held[step]
    del held[steps[-1]]
    return tomlkit.dumps(document)


def _item(value: Any) -> Item:
    """Make a value as it is written by hand: tables and short lists on one line, long lists one to a line."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, one in value.items():
            table[key] = _item(one)
        return table
    if isinstance(value, list | tuple):
        array = tomlkit.array()
        for one in value:
            array.append(_item(one))
        array.multiline(len(value) > _LONG_LIST and all(isinstance(one, list | tuple) for one in value))
        return array
    made: Item = tomlkit.item(value)
    return made


def _bare(key: str) -> str:
    import tomlkit

    return tomlkit.key(key).as_string()


def _ended(text: str) -> str:
    return text if not text or text.endswith("\n") else text + "\n"


def _unix(text: str) -> str:
    return text.replace("\r\n", "\n") if _ends_in_cr(text) else text


def _ends_in_cr(text: str) -> bool:
    """Whether every line ends as some systems have it."""
    return "\n" in text and text.count("\r\n") == text.count("\n")


def _as_before(made: str, text: str) -> str:
    """Give lines the ends that the text had."""
    return made.replace("\n", "\r\n") if _ends_in_cr(text) else made
