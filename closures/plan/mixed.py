"""Numbers without a unit among lengths that have one: beside inches they are asked, else told as mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from closures.errors import ClosureError, Fault, SpacingError, Where
from closures.frozen import frozen
from closures.lengths import unit_of
from closures.plan.kinds import Kind, Place
from closures.plan.naming import Naming, header
from closures.plan.plan import SECTIONS, Plan
from closures.plan.section import Section
from closures.plan.top import NOT_BARE, Bare, Units

Way = tuple[str | int, ...]

_OF_INCHES = ("in", "ft", "yd")
_MOST_NAMED = 6
_MEND = 'units = "in" at the top, before the first section'


@frozen
class _Bare:
    """A key with numbers that have no unit, and mean one thing in mm and another in inches."""

    section: Section
    nth: int
    path: tuple[str, ...]
    numbers: tuple[str, ...]


Found = tuple[list[_Bare], set[str]]
"""The keys with bare numbers, and the units that lengths have."""


def bare_told(table: Mapping[str, Any], units_told: Units | None = None, found: Found | None = None) -> Bare:
    """Tell which numbers without a unit were taken for mm, where other lengths have a unit.

    Args:
        table: section name to section, as TOML gives it.
        units_told: what the plan says that its numbers mean, None where it does not say; where it says mm, those are
            told that stand among lengths in inches.
        found: what `bare_numbers` found in it, where that was asked already.

    Returns:
        What is said of them.
    """
    has_inches = any(isinstance(leaf, str) and unit_of(leaf) in _OF_INCHES for _, leaf in leaves_of(table))
    if units_told == "in" or (units_told and not has_inches):
        return NOT_BARE
    bare, units = found or bare_numbers(table)
    if not bare or (units_told and units.isdisjoint(_OF_INCHES)):
        return NOT_BARE
    if not units:
        return Bare((f"No length of the plan has a unit: all are taken as mm. To change it: {_MEND}.",), is_all=True)
    more = len(bare) - _MOST_NAMED
    told = [f"{' '.join(one.path)} = {', '.join(one.numbers)} under {header(one.section)}" for one in bare]
    named = ", ".join([*told[:_MOST_NAMED], *([f"and {more} more"] if more > 0 else [])])
    if units_told:
        meant = f"Numbers without a unit are mm, as units has it, though other lengths are in inches: {named}."
        return Bare((f"{meant} To change it: write their unit behind them.",))
    meant = f"Numbers without a unit are mm, though other lengths have their unit: {named}."
    return Bare((f"{meant} To change it: write their unit behind them, or {_MEND}.",), named=named)


@contextmanager
def doubting_units(plan: Plan) -> Iterator[None]:
    """Ask what the numbers of a refused plan are that have no unit.

    A belt with ``waist = 28`` is refused for what a belt of 28 mm cannot have, and no cure of that is any use.

    Args:
        plan: what is placed.
    """
    try:
        yield
    except ClosureError as error:
        if plan.bare.is_all:
            what = "no length of the plan has a unit, so all were taken as mm"
            mend = f"If they are inches, write {_MEND}. If they are cm, write cm behind each"
            asked = Fault(plan.where, what, plan.in_words(f"{mend}."))
            error.faults = (*(fault for fault in error.faults if fault != asked), asked)
        elif plan.bare.named and isinstance(error, SpacingError):
            what = f"numbers without a unit were taken as mm, though other lengths have their unit: {plan.bare.named}"
            asked = Fault(plan.where, what, plan.in_words("If another is meant, write it behind the number."))
            error.faults = (*(fault for fault in error.faults if fault != asked), asked)
        raise


def mixed_faults(found: Found, naming: Naming) -> tuple[Fault, ...]:
    """Ask for the unit of each bare number among lengths in inches: mm and inches would both be a guess.

    Args:
        found: the bare numbers of a plan.
        naming: how messages name a place.
    """
    bare, units = found
    if units.isdisjoint(_OF_INCHES):
        return ()
    faults = []
    for one in bare:
        number = one.numbers[0]
        are_many = len(one.numbers) > 1
        have = "have" if are_many else "has"
        what = f"{' and '.join(one.numbers)} {have} no unit, and other lengths are in inches"
        each = "each with its unit, such as " if are_many else ""
        mend = f'Write {each}"{number} in" or "{number} mm".'
        faults.append(Fault(naming.place(one.section, one.nth, " ".join(one.path)), what, mend))
    return tuple(faults)


def bare_numbers(table: Mapping[str, Any]) -> Found:
    """Find the keys of a plan with bare numbers, and the units that its lengths have."""
    bare, seen = [], set()
    for section in SECTIONS:
        held = table.get(section.name)
        for nth, row in enumerate(held, start=1) if isinstance(held, list) else [(0, held)]:
            for path, kind, value in keys_of(section, row) if isinstance(row, Mapping) else ():
                leaves = [leaf for _, leaf in leaves_of(value)]
                has_bare = any(map(_may_be_bare, leaves))
                if not has_bare and not any(isinstance(one, str) and unit_of(one) for one in leaves):
                    continue
                read = read_as(kind, value, "mm")
                if read is not None and not isinstance(read, str):
                    seen |= {unit for one in leaves if isinstance(one, str) and (unit := unit_of(one))}
                if has_bare and read != read_as(kind, value, "in"):
                    numbers = (str(leaf) for leaf in leaves if not isinstance(leaf, str) or unit_of(leaf) is None)
                    bare.append(_Bare(section, nth, path, tuple(numbers)))
    return bare, seen


def _may_be_bare(leaf: Any) -> bool:
    """Whether a single value may hold a number without a unit."""
    return not isinstance(leaf, str) or (unit_of(leaf) is None and any(map(str.isnumeric, leaf)))


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
