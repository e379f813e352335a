"""The tables of the reference that are made of the table of keys: every key of a plan, and every option."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from closures.plan.naming import header
from closures.plan.options import OPTIONS, Option
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section


def key_tables() -> str:
    """Write a part for every section of a plan, with a row for every key."""
    return "\n\n".join(part for section in (TOP, *SECTIONS) for part in _parts(section))


def option_table() -> str:
    """Write a row for every option of the command that tells something of a plan."""
    rows = [(f"`{option.name}`", _stands_for(option), option.says) for option in OPTIONS]
    return _table(("option", "stands for", "meaning"), rows)


def _parts(section: Section) -> Iterator[str]:
    heading = f"## `{header(section)}`" if section.name else "## Before the first section"
    yield from (part for part in (heading, _foreword(section), _keys(section)) if part)
    for key in section.keys:
        if isinstance(key.kind, Section):
            yield from (f"### `{key.name}`", _keys(key.kind))


def _foreword(section: Section) -> str:
    """Write what a section is for, and which keys and sections go together."""
    said = [section.meaning]
    if section.needed:
        instead = [f"`{header(other)}`" for other in SECTIONS if section.name in other.instead_of]
        unless = f", unless {' or '.join(instead)} stands in its place" if instead else ""
        said.append("Left out, it is as is usual." if section.may_be_empty else f"Needed{unless}.")
    if section.instead_of:
        said.append(f"It stands instead of {_and(_headers(section.instead_of))}.")
    for group in section.one_of:
        names = [f"`{name}`" for name in group]
        said.append(
            f"Not more than one of {_and(names)}."
            if section.may_be_empty
            else f"Exactly one of {_and(names)} is needed."
        )
    not_with = [name for name in section.not_with if name not in section.instead_of]
    if not_with:
        said.append(f"Not with {_and(_headers(not_with), 'or')}.")
    return " ".join(part for part in said if part)


def _keys(section: Section) -> str:
    return _table(("key", "type", "default", "meaning"), [_row(key) for key in section.keys])


def _row(key: Key) -> tuple[str, str, str, str]:
    words = "table, below" if isinstance(key.kind, Section) else key.kind.words
    default = "**needed**" if key.needed else key.default
    if default.startswith('"') and default.endswith('"'):
        default = f"`{default}`"
    return f"`{key.name}`", words, default, key.meaning


def _stands_for(option: Option) -> str:
    place = " ".join((header(option.section), *option.path)).strip()
    return f"`{place}`"


def _headers(names: Sequence[str]) -> list[str]:
    return [f"`{header(section)}`" for section in SECTIONS if section.name in names]


def _and(words: Sequence[str], word: str = "and") -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {word} {words[-1]}"


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [headings, ["---"] * len(headings), *rows]
    return "\n".join(f"| {' | '.join(cell.replace('|', '/') for cell in row)} |" for row in lines)
