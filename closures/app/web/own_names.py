"""Names that a user gave: whatever words of a plan they hold, they stay as they were written."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any

from closures.plan.top import Bare

# What the page would put other words for, or leave out: nothing else has to be kept apart. A plain word by itself,
# as a lap that is called "under", cannot be told from the words of the message.
_PLAIN_WORD = re.compile(r"[^\W_]+")
_REWORDED = re.compile(r"anchor|clear zone|pitch|[\[\]{}_=]|\bunder\b|\bout\b|--|[.!?] [a-z]", re.IGNORECASE)


def own_names(*told: object) -> tuple[str, ...]:
    """Find the names that the page might reword, the longest first.

    Args:
        told: a plan or parts of it, or what was typed in its fields; of a text that is TOML its values.
    """
    texts: set[str] = set()
    for one in told:
        _gather(_table(one) if isinstance(one, str) else one, texts)
    found = [name for name in texts if _REWORDED.search(name) is not None and _PLAIN_WORD.fullmatch(name) is None]
    return tuple(sorted(found, key=lambda name: (-len(name), name)))


def told_apart(text: str, own: tuple[str, ...], tell: Callable[[str], str]) -> str:
    """Tell a text in other words, and leave these names in it as they are."""
    held: list[str] = []

    def kept(found: re.Match[str]) -> str:
        held.append(found[0])
        return f"X\x01{len(held) - 1}\x01"

    names = "|".join(map(re.escape, own))
    if names:
        text = re.sub(rf"(?<!\w)(?:{names})(?!\w)", kept, text)
    return re.sub(r"X\x01(\d+)\x01", lambda found: held[int(found[1])], tell(text))


@lru_cache(maxsize=16)
def _table(text: str) -> Any:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return text


def _gather(value: Any, into: set[str]) -> None:
    """Find every text in a value, however deep."""
    kind = value.__class__
    # What this program itself says of a plan's numbers is no name that somebody gave.
    if kind is Bare:
        return
    if kind is str:
        into.add(value)
    elif kind is dict:
        for one in value.values():
            _gather(one, into)
    elif kind is list or kind is tuple:
        for one in value:
            _gather(one, into)
    else:
        for name in _fields(kind):
            _gather(getattr(value, name), into)


@lru_cache(maxsize=256)
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(each.name for each in fields(kind)) if is_dataclass(kind) else ()
