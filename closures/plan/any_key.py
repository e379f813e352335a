"""Any key of a plan told in one text: ``spacing.count = 9``, ``anchor.2.within = 3 mm``, ``edge.arc.radius = 9 in``."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from closures.errors import Fault, PlanError
from closures.frozen import frozen
from closures.nearest import nearest_name
from closures.plan.editing import add_section, set_key, value_of
from closures.plan.one_line import meant
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Section

OPTION = "--set"
SAYS = 'Any key of a plan: "spacing.count = 9", "anchor.2.within = 3 mm". Repeat it.'

_TOLD = re.compile(r"\s*(?P<name>[a-z_]+(?:\.(?:[a-z_]+|[1-9][0-9]{0,2}))*)\s*=\s*(?P<value>.*)", re.DOTALL)


@frozen
class Told:
    """One key and what it is to hold.

    Attributes:
        section, nth, path: the key; nth counts from 1 and is 0 where the section stands once.
        value: as TOML would hold it.
    """

    section: str
    nth: int
    path: tuple[str, ...]
    value: Any


def read_told(texts: Iterable[str]) -> tuple[Told, ...]:
    """Read what several texts tell.

    Raises:
        PlanError: one is no such text, or there is no such key; holds every fault found.
    """
    told: list[Told] = []
    faults: list[Fault] = []
    for text in texts:
        read = _read(text)
        if isinstance(read, Told):
            told.append(read)
        else:
            faults.append(Fault(f"{OPTION} {text[:60]!r}", *read))
    if faults:
        raise PlanError.of(tuple(faults))
    return tuple(told)


def _read(text: str) -> Told | tuple[str, str]:
    match = _TOLD.fullmatch(text)
    if match is None:
        return "it tells no key", f'Write {OPTION} "spacing.count = 9".'
    first, *rest = match["name"].split(".")
    section = next((one for one in SECTIONS if one.name == first), None)
    if section is None or not rest:
        section, rest = TOP, [first, *rest]
    nth = int(rest.pop(0)) if section.repeated and rest[0].isdigit() else 0
    if section.repeated and not nth:
        return f"{section.name} stands several times", f"Say which: {section.name}.1.{'.'.join(rest)}."
    inner: Section | None = section
    for n, name in enumerate(rest):
        key = None if inner is None else inner.key(name)
        if inner is None or key is None:
            known = [key.name for key in inner.keys] if inner is not None else []
            known += [one.name for one in SECTIONS] if inner is TOP else []
            near = nearest_name(name, known)
            return f"{name!r} is no key here", f"Did you mean {near}?" if near else f"Known here: {', '.join(known)}."
        if isinstance(key.kind, Section):
            inner = key.kind
        elif n == len(rest) - 1:
            return Told(section.name, nth, tuple(rest), meant(key.kind, _bare(match["value"])))
        else:
            inner = None
    return "it is a table", f"Tell one of its keys, such as {match['name']}.{inner.keys[0].name if inner else ''}."


def _bare(value: str) -> str:
    """Give what stands within quotes that a plan file would have."""
    inner = value.strip()[1:-1]
    return inner if value.strip() == f'"{inner}"' and '"' not in inner else value


def in_table(table: dict[str, Any], told: Iterable[Told]) -> None:
    """Put keys into a plan that is a table of sections."""
    for one in told:
        home: Any = table
        if one.section:
            home = table.setdefault(one.section, [] if one.nth else {})
        if one.nth:
            while len(home) < one.nth:
                home.append({})
            home = home[one.nth - 1]
        for name in one.path[:-1]:
            home = home.setdefault(name, {})
        home[one.path[-1]] = one.value


def in_text(text: str, told: Iterable[Told]) -> str:
    """Put keys into a plan's text; nothing else of it changes.

    Raises:
        PlanError: a section of several is told that does not follow on the last.
    """
    for one in told:
        rows = value_of(text, one.section) if one.nth else None
        count = len(rows) if isinstance(rows, list) else 0
        if one.nth > count + 1:
            raise PlanError(
                f"the plan has {count} of {one.section}", where=OPTION, mend=f"The next is {one.section}.{count + 1}."
            )
        if one.nth == count + 1:
            value: Any = one.value
            for name in reversed(one.path[1:]):
                value = {name: value}
            text = add_section(text, one.section, {one.path[0]: value})
        else:
            text = set_key(text, one.section, one.path, one.value, one.nth)
    return text
