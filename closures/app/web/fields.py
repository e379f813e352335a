"""The fields of the page: every key of a plan as people fill it in, and back again.

Which fields there are, what they are called and what becomes of their text follows from the table of keys. A field's
name is its section's and its key's, ``spacing.pitch``, with those of the tables on the way, ``edge.arc.radius``; of a
section that stands several times, which of them stands between, from 0: ``anchor.1.level``. Where exactly one of
several keys is given, a field ``spacing.by`` chooses which.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from closures.frozen import frozen
from closures.plan.editing import add_section, set_aside, set_key, value_of
from closures.plan.kinds import Kind
from closures.plan.mixed import read_as
from closures.plan.one_line import meant, shown, spaced
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section

MOST_ROWS = 100
"""Rows of one section that a form may send: a page that people fill in has a handful."""

_NAME = re.compile(r"(?P<section>[a-z_]*)(?:\.(?P<n>\d{1,3}))?\.(?P<path>[a-z_]+(?:\.[a-z_]+)*)")


@frozen
class Field:
    """A key that the page lets people fill in.

    Attributes:
        section: its section.
        path: the key, with those of the tables it stands in before it.
        key: the key itself.
    """

    section: Section
    path: tuple[str, ...]
    key: Key

    @property
    def name(self) -> str:
        """Its name in the form, of a section that stands once."""
        return ".".join((self.section.name, *self.path))

    @property
    def kind(self) -> Kind:
        """What its text becomes."""
        if isinstance(self.key.kind, Section):
            raise TypeError(f"{self.name} is a table")
        return self.key.kind

    @property
    def label(self) -> str:
        """What it is called on the page."""
        return self.key.label or self.key.name

    @property
    def hint(self) -> str:
        """What stands beside it: what is usual, or an example."""
        if self.kind.choices and self.kind.shape == "names":
            return f"{self.key.hint or 'any of these'}: {', '.join(self.kind.choices)}"
        if self.key.hint or self.kind.choices or self.kind.shape == "switch":
            return self.key.hint
        return _example(self.kind, self.key.example)

    @property
    def is_on(self) -> bool | None:
        """Whether a switch is on where the plan says nothing; None where that depends, or has to be told."""
        return {"true": True, "false": False}.get(self.key.default)


@lru_cache(maxsize=1024)
def _example(kind: Kind, written: str) -> str:
    """An example as people write it: read once, and not for every row of every form."""
    return shown(kind, tomllib.loads(f"example = {written}")["example"])


def _fields_of(section: Section, home: Section, path: tuple[str, ...] = ()) -> Iterator[Field]:
    for key in section.keys:
        if isinstance(key.kind, Section):
            yield from _fields_of(key.kind, home, (*path, key.name))
        else:
            yield Field(home, (*path, key.name), key)


FIELDS: Mapping[str, Field] = {
    field.name: field for section in (TOP, *SECTIONS) for field in _fields_of(section, section)
}
"""Every field by its name in the form, as of a section that stands once."""

BY_NAME: Mapping[str, Section] = {section.name: section for section in (TOP, *SECTIONS)}
CHOICES: Mapping[str, Mapping[str, str]] = {
    "edge.reverse": {"no": "where the line begins", "yes": "where the line ends"},
    "sizes.hold": {"count": "the count", "pitch": "the wanted gap", "best": "what is best, chosen together"},
    "sizes.laid": {"first end": "by their first ends"},
    "garment.pieces": {"pair": "cut twice, one turned over", "separate": "two pattern pieces"},
}
"""What is read in a list instead of the plan's own words, by field."""
REPEATED = tuple(section for section in SECTIONS if section.repeated)


def field_named(name: str) -> tuple[Field, int] | None:
    """Find a field by its name in the form, and which of several its section is, from 1; 0 where it stands once."""
    found = _NAME.fullmatch(name)
    if found is None:
        return None
    field = FIELDS.get(f"{found['section']}.{found['path']}")
    if field is None or field.section.repeated != (found["n"] is not None):
        return None
    return field, 0 if found["n"] is None else int(found["n"]) + 1


_LABELS = [field.label for field in FIELDS.values()]
_SHARED = frozenset(label for label in _LABELS if _LABELS.count(label) > 1)
"""What several fields are called, as Kind: by itself it does not say which one is meant."""
_OTHERS = {"text": "The plan as text", "trial": "A trial piece", "longer": "From one size to the next it is longer by"}


def label_of(name: str, text: str = "") -> str:
    """What the page calls a field by its name in the form, or the heading of a section.

    Args:
        name: the field's.
        text: the plan's, by which one of several rows is called by its own name; without it, by its number.
    """
    found = field_named(name)
    if found is None:
        head, _, n = name.partition(".")
        section = BY_NAME.get(head)
        return _OTHERS.get(name, name) if section is None else _heading(section, int(n) + 1 if n.isdigit() else 0, text)
    field, nth = found
    is_told_by_group = nth or (field.label in _SHARED and field.section.name)
    return f"{_heading(field.section, nth, text)}, {field.label}" if is_told_by_group else field.label


def _heading(section: Section, nth: int, text: str) -> str:
    title = section.title or section.name
    if not nth:
        return title
    held = value_of(text, section.name) if text else None
    rows = held if isinstance(held, list) else []
    if text and nth > len(rows):
        return f"{title}, another"
    row = rows[nth - 1] if rows else None
    called = row.get(section.named_by) if isinstance(row, Mapping) else None
    return f"{title}, “{called}”" if called else f"{title} ({nth})"


def values_of(text: str) -> dict[str, str]:
    """Find what stands in every field.

    Args:
        text: a plan's text.

    Returns:
        Field name to text, empty where the plan says nothing.
    """
    return dict(_values_of(text))


@lru_cache(maxsize=16)
def _values_of(text: str) -> Mapping[str, str]:
    table = value_of(text, "")
    values: dict[str, str] = {}
    for section in (TOP, *SECTIONS):
        held = table.get(section.name) if section.name else table
        if section.repeated:
            for n, row in enumerate(held if isinstance(held, list) else []):
                values |= _of_section(section, row, f"{section.name}.{n}")
        else:
            values |= _of_section(section, held, section.name)
    return values


def _of_section(section: Section, held: Any, name: str) -> dict[str, str]:
    values = {}
    for field in _fields_of(section, section):
        inner = held
        for step in field.path:
            inner = inner.get(step) if isinstance(inner, Mapping) else None
        values[f"{name}.{'.'.join(field.path)}"] = _in_field(field, inner)
    if section.one_of:
        given = held if isinstance(held, Mapping) else {}
        values[f"{name}.by"] = next((key for key in section.one_of[0] if key in given), section.one_of[0][0])
    return values


def _in_field(field: Field, value: Any) -> str:
    if field.kind.shape == "switch" and value is None:
        return shown(field.kind, field.is_on)
    return shown(field.kind, value)


@frozen
class Edit:
    """One change of a plan's text that a field asks for.

    Attributes:
        name: the field.
        section, path, nth: the key.
        value: what it becomes, None where it goes.
    """

    name: str
    section: str
    path: tuple[str, ...]
    nth: int
    value: Any

    def on(self, text: str) -> str:
        """Make the change."""
        if self.value is None:
            return set_aside(text, self.section, self.path, self.nth)
        return set_key(text, self.section, self.path, self.value, self.nth)


def edits_of(text: str, typed: Mapping[str, str]) -> tuple[Edit, ...]:
    """Find what was typed into fields that were there and is not what they showed.

    Args:
        text: a plan's text.
        typed: field name to text; what stands in a field as it was shown stays as exact as it is.
    """
    before, units = values_of(text), _units(text, typed)
    edits: list[Edit] = []
    for name, told in typed.items():
        found = field_named(name)
        if found is None or name not in before or _same(told, before[name]):
            continue
        field, nth = found
        if _is_another(field, name, typed):
            continue
        value = meant(field.kind, in_inches(field, told, units)) if told.strip() else None
        if field.kind.shape == "switch" and value is field.is_on:
            value = None
        edits.append(Edit(name, field.section.name, field.path, nth, value))
    for section in (TOP, *SECTIONS):
        if section.one_of:
            edits += _others_of(section, text, typed)
    # What goes makes room for what comes.
    return tuple(sorted(edits, key=lambda edit: edit.value is not None))


def _others_of(section: Section, text: str, typed: Mapping[str, str]) -> Iterator[Edit]:
    """What goes since another of the keys of which exactly one is given was chosen."""
    held = value_of(text, section.name)
    for nth, row in enumerate(held, start=1) if isinstance(held, list) else [(0, held)]:
        name = f"{section.name}.{nth - 1}" if nth else section.name
        by = typed.get(f"{name}.by", "")
        for key in section.one_of[0] if by in section.one_of[0] and isinstance(row, Mapping) else ():
            if key != by and key in row:
                yield Edit(f"{name}.by", section.name, (key,), nth, None)


def _is_another(field: Field, name: str, typed: Mapping[str, str]) -> bool:
    """Whether a field is hidden, since another of the keys of which just one is given was chosen: it may be stale."""
    keys = field.section.one_of[0] if field.section.one_of else ()
    by = typed.get(f"{name.removesuffix('.'.join(field.path))}by", "")
    return by in keys and field.path[0] in keys and field.path[0] != by


def _units(text: str, typed: Mapping[str, str]) -> object:
    """The units that bare numbers have once what was typed is taken."""
    return typed.get(".units") or value_of(text, "", "units")


def added_rows(text: str, typed: Mapping[str, str]) -> tuple[tuple[str, dict[str, Any]], ...]:
    """Find the rows that were typed beside those of the plan: their section, and what they hold."""
    rows = []
    for section in REPEATED:
        held = value_of(text, section.name)
        first = len(held) if isinstance(held, list) else 0
        for n in range(first, first + MOST_ROWS):
            row = _row(section, f"{section.name}.{n}", typed, _units(text, typed))
            if row is not None:
                rows.append((section.name, row))
            elif not any(name.startswith(f"{section.name}.{n}.") for name in typed):
                break
    return tuple(rows)


def _row(section: Section, name: str, typed: Mapping[str, str], units: object) -> dict[str, Any] | None:
    """Read a row that was typed; None where nothing was written in it."""
    by = typed.get(f"{name}.by", "")
    row: dict[str, Any] = {}
    is_written = False
    for field in _fields_of(section, section):
        told = typed.get(f"{name}.{'.'.join(field.path)}", "").strip()
        others = section.one_of and by in section.one_of[0] and field.key.name in section.one_of[0]
        if not told or (others and field.key.name != by):
            continue
        is_written = is_written or not (field.kind.choices or field.kind.shape == "switch")
        if field.kind.shape == "switch" and (told == "yes") is field.is_on:
            continue
        if not field.kind.choices or told != field.key.default.strip('"'):
            row[field.key.name] = meant(field.kind, in_inches(field, told, units))
    return row if is_written else None


def with_fields(text: str, typed: Mapping[str, str]) -> str:
    """Put what was typed into a plan's text; what was not changed stays as it is written."""
    rows = added_rows(text, typed)
    for edit in edits_of(text, typed):
        text = edit.on(text)
    for section, row in rows:
        text = add_section(text, section, row)
    return text


_BARE_FRACTION = re.compile(r"(?<![\w./])(\d+ \d+/\d+|\d+/\d+|\d*[½¼¾⅛⅜⅝⅞⅓⅔])(?=\s*(?:$|[,;–\n]|to\b|at\b))")


def in_inches(field: Field, told: str, units: object) -> str:
    """A fraction without a unit is one of inches once inches are chosen, as a bare number is."""
    parted = ", ".join(spaced(told)) if field.kind.shape == "list" else ""
    if units != "in" or not _BARE_FRACTION.search(parted or told):
        return told
    told = parted or told
    written = _BARE_FRACTION.sub(r"\1 in", told)
    if field.kind.in_mm or field.kind.shape in ("range", "stretch"):
        return written
    # Lengths among other things, as in a list of points or a table, are those that cannot be read without their unit.
    read, read_written = (read_as(field.kind, meant(field.kind, one), "in") for one in (told, written))
    return written if read is None and read_written is not None else told


def _same(told: str, before: str) -> bool:
    return " ".join(told.split()) == " ".join(before.split())
