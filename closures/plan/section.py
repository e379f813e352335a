"""What a section of a plan is: its keys, what they hold, and what goes with what."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from closures.plan.kinds import Kind

Fields = Mapping[str, Any]
Complaint = tuple[str, str, str]
"""The key, what is wrong, and how to mend it."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a section.

    Attributes:
        name: as it stands in the plan.
        kind: what reads its value, or the section of a table within the section.
        example: a value as it would be written.
        needed: it cannot be left out.
        note: what a user who left it out should know.
    """

    name: str
    kind: Kind | Section
    example: str
    needed: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a plan.

    Attributes:
        name: as it stands in the plan, empty for the keys before the first section.
        field: the field of Plan that holds it.
        keys: what may stand in it.
        make: makes the value, called with the keys that were given.
        needed: it cannot be left out.
        repeated: it stands any number of times, as ``[[anchor]]``.
        one_of: groups of keys of which exactly one is given.
        only_with: a key, and the key it makes no sense without.
        complaints: what is wrong between keys that are each right.
        instead_of: sections that it stands in place of: where it is given they are neither needed nor taken.
        not_with: further sections that make no sense beside it.
    """

    name: str
    field: str
    keys: tuple[Key, ...]
    make: Callable[..., Any]
    needed: bool = False
    repeated: bool = False
    one_of: tuple[tuple[str, ...], ...] = ()
    only_with: tuple[tuple[str, str], ...] = ()
    complaints: Callable[[Fields], Iterator[Complaint]] = lambda fields: iter(())
    instead_of: tuple[str, ...] = ()
    not_with: tuple[str, ...] = ()

    def key(self, name: str) -> Key | None:
        """Find a key by its name."""
        return next((key for key in self.keys if key.name == name), None)
