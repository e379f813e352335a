"""Numbers without a unit among lengths that have one: what they were taken for is told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from closures.errors import ClosureError, Where
from closures.lengths import unit_of
from closures.plan.kinds import Kind, Place
from closures.plan.naming import header
from closures.plan.plan import SECTIONS
from closures.plan.section import Section
from closures.plan.top import Units

Way = tuple[str | int, ...]

_OF_INCHES = ("in", "ft", "yd")
_MOST_NAMED = 6


def bare_told(table: Mapping[str, Any]) -> tuple[str, ...]:
    """Tell which numbers without a unit were taken for mm, where other lengths have a unit.

    Args:
        table: section name to section, as TOML gives it, of a plan that does not say its units.

    Returns:
        One line, or none.
    """
    bare, has_units, has_inches = [], False, False
    for section in SECTIONS:
        held = table.get(section.name)
        for row in held if isinstance(held, list) else [held]:
            for path, kind, value in keys_of(section, row) if isinstance(row, Mapping) else ():
                leaves = [leaf for _, leaf in leaves_of(value)]
                units = {unit_of(one) for one in leaves if isinstance(one, str)} - {None}
                has_units |= bool(units) and read_as(kind, value, "mm") is not None
                has_inches |= not units.isdisjoint(_OF_INCHES)
                if read_as(kind, value, "mm") != read_as(kind, value, "in"):
                    numbers = [str(leaf) for leaf in leaves if not isinstance(leaf, str) or unit_of(leaf) is None]
                    bare.append(f"{' '.join(path)} = {', '.join(numbers)} under {header(section)}")
    if not has_units or not bare:
        return ()
    more = len(bare) - _MOST_NAMED
    named = ", ".join([*bare[:_MOST_NAMED], *([f"and {more} more"] if more > 0 else [])])
    though = "are in inches" if has_inches else "have their unit"
    meant = f"Numbers without a unit are mm, though other lengths {though}: {named}."
    return (f'{meant} To change it: write their unit behind them, or units = "in" at the top.',)


def keys_of(section: Section, held: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[Any, Kind, Any]]:
    """The keys that a section holds, also those of tables within it: where each stands, its kind and its value."""
    for key in section.keys:
        value = held.get(key.name)
        if isinstance(key.kind, Section):
            if isinstance(value, Mapping):
                yield from keys_of(key.kind, value, (*path, key.name))
        elif value is not None:
            yield (*path, key.name), key.kind, value


def read_as(kind: Kind, value: Any, units: Units) -> Any:
    """A value as it is read where a bare number is in these units; None where it cannot be."""
    try:
        return kind(value, Place(Where(), "", units))
    except ClosureError:
        return None


def leaves_of(value: Any, way: Way = ()) -> Iterator[tuple[Way, Any]]:
    """The single values in a value, and the way to each."""
    if isinstance(value, Mapping):
        for name, one in value.items():
            yield from leaves_of(one, (*way, name))
    elif isinstance(value, list):
        for n, one in enumerate(value):
            yield from leaves_of(one, (*way, n))
    elif not isinstance(value, bool):
        yield way, value
