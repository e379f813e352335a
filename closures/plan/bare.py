"""Bare numbers of a plan written out with their unit, so that the plan's units can change and no length with them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from closures.lengths import is_length, parse_length
from closures.plan.editing import set_key, value_of
from closures.plan.kinds import Kind
from closures.plan.mixed import Way, keys_of, leaves_of, read_as
from closures.plan.plan import SECTIONS
from closures.plan.top import Units

_OF_LENGTHS = ("range", "stretch", "list")


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
                for path, kind, value in keys_of(section, row):
                    written = written_out(kind, value, units)
                    if written != value:
                        text = set_key(text, section.name, path, written, nth)
    return text


def written_out(kind: Kind, value: Any, units: Units) -> Any:
    """Write a unit behind every length in a value that is a bare number.

    Args:
        kind: what the value is.
        value: as a plan file holds it.
        units: what its bare numbers mean.
    """
    read = [read_as(kind, value, one) for one in ("mm", "in")]
    if read == [None, None] and (kind.in_mm or kind.shape in _OF_LENGTHS):
        # As of two ends the wrong way round: it is refused in any unit, and keeps its own until it is mended.
        for way, leaf in list(leaves_of(value)):
            with_unit = f"{leaf} {units}"
            # None is none in any unit, and stays as it was typed.
            if is_length(with_unit) and parse_length(with_unit) != 0:
                value = _with(value, way, with_unit)
    if read[0] == read[1]:
        return value
    for way, leaf in list(leaves_of(value)):
        tried = _with(value, way, f"{leaf} {units}")
        # A number that is no length, as of a page, does not take a unit.
        if read_as(kind, tried, units) == read_as(kind, value, units):
            value = tried
    return value


def _with(value: Any, way: Way, leaf: str) -> Any:
    if not way:
        return leaf
    if isinstance(value, Mapping):
        return {name: _with(one, way[1:], leaf) if name == way[0] else one for name, one in value.items()}
    return [_with(one, way[1:], leaf) if n == way[0] else one for n, one in enumerate(value)]
