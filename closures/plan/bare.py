"""Bare numbers of a plan written out with their unit, so that the plan's units can change and no length with them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from closures.errors import ClosureError, Where
from closures.plan.editing import set_key, value_of
from closures.plan.kinds import Kind, Place
from closures.plan.plan import SECTIONS
from closures.plan.section import Section
from closures.plan.top import Units

_Way = tuple[str | int, ...]


def with_units(text: str, units: Units) -> str:
    """Write a unit behind every length that is a bare number.

    Args:
        text: the text of a plan that can be read.
        units: what its bare numbers mean.
    """
    for section in SECTIONS:
        held = value_of(text, section.name)
        for nth, row in enumerate(held, start=1) if isinstance(held, list) else [(0, held)]:
            if isinstance(row, Mapping):
                for path, kind, value in _keys(section, row):
                    written = _written(kind, value, units)
                    if written != value:
                        text = set_key(text, section.name, path, written, nth)
    return text


def _keys(section: Section, held: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[Any, Kind, Any]]:
    for key in section.keys:
        value = held.get(key.name)
        if isinstance(key.kind, Section):
            if isinstance(value, Mapping):
                yield from _keys(key.kind, value, (*path, key.name))
        elif value is not None:
            yield (*path, key.name), key.kind, value


def _written(kind: Kind, value: Any, units: Units) -> Any:
    if _read(kind, value, "mm") == _read(kind, value, "in"):
        return value
    for way, leaf in list(_leaves(value)):
        tried = _with(value, way, f"{leaf} {units}")
        # A number that is no length, as of a page, does not take a unit.
        if _read(kind, tried, units) == _read(kind, value, units):
            value = tried
    return value


def _read(kind: Kind, value: Any, units: Units) -> Any:
    try:
        return kind(value, Place(Where(), "", units))
    except ClosureError:
        return None


def _leaves(value: Any, way: _Way = ()) -> Iterator[tuple[_Way, Any]]:
    if isinstance(value, Mapping):
        for name, one in value.items():
            yield from _leaves(one, (*way, name))
    elif isinstance(value, list):
        for n, one in enumerate(value):
            yield from _leaves(one, (*way, n))
    elif not isinstance(value, bool):
        yield way, value


def _with(value: Any, way: _Way, leaf: str) -> Any:
    if not way:
        return leaf
    if isinstance(value, Mapping):
        return {name: _with(one, way[1:], leaf) if name == way[0] else one for name, one in value.items()}
    return [_with(one, way[1:], leaf) if n == way[0] else one for n, one in enumerate(value)]
