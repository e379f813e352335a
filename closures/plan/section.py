"""What the table of keys is made of: a key, and the section that holds it.

One entry here is all that a key needs. From it follow what the reader takes, the option of the command, the field of
the page and the row of the reference; nothing else lists keys.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.plan.kinds import Kind
    from closures.plan.plan import Plan

Fields = Mapping[str, Any]
Table = Mapping[str, Any]
Complaint = tuple[str, str, str]
"""The key, what is wrong, and how to mend it."""


@frozen
class Key:
    """One key of a section.

    Attributes:
        name: as it stands in the plan.
        kind: what reads its value, or the section of a table within the section.
        example: a value as it would be written.
        meaning: what it is, for the reference; Markdown.
        label: what the page calls it; empty for the name.
        hint: what stands beside its field on the page; empty for the example.
        default: what holds where it is left out, for the reference; a value as it would be written, or words.
        needed: it cannot be left out.
        note: what a user who left it out should know.
        field: the field of the section's value; empty for the name, with ``_mm`` after it where the kind gives mm.
        option: of the command, such as ``--band``; empty where the key has none of its own.
        says: what the option's help says; empty for the meaning.
    """

    name: str
    kind: Kind | Section
    example: str
    meaning: str = ""
    label: str = ""
    hint: str = ""
    default: str = ""
    needed: bool = False
    note: str = ""
    field: str = ""
    option: str = ""
    says: str = ""

    @property
    def holds(self) -> str:
        """The field of the section's value that it fills."""
        in_mm = not isinstance(self.kind, Section) and self.kind.in_mm
        return self.field or (f"{self.name}_mm" if in_mm else self.name)


@frozen
class Section:
    """One section of a plan.

    Attributes:
        name: as it stands in the plan, empty for the keys before the first section.
        keys: what may stand in it.
        value: makes the value, called with the fields that the keys fill.
        title: what the page calls it; empty for the name.
        meaning: what it is for, the paragraph under its heading in the reference; Markdown.
        needed: it cannot be left out.
        repeated: it stands any number of times, as ``[[anchor]]``.
        named_by: of a repeated section the key by which users know one of several; empty where there is none.
        one_of: groups of keys of which exactly one is given.
        some_of: groups of keys of which at least one is given.
        may_be_empty: it may be left out, and of one_of nothing need be given: what is usual is filled in later.
        only_with: a key, and the key it makes no sense without.
        instead_of: sections that it stands in place of: where it is given they are neither needed nor taken.
        not_with: further sections that make no sense beside it.
        instead: of some of those what to do where both are wanted, a whole sentence.
        complaints: what is wrong between keys that are each right, told by the keys' own names.
        against: what is wrong between it and the rest of a plan.
        foreword: what it tells in place of other sections: changes the table before it is read.
        option: of a repeated section, the option that tells a whole row; of another, what messages call it where
            options are used.
        says: what that option's help says.
        row: makes a row's table of that option's text, or tells what is wrong with it and what to write.
    """

    name: str
    keys: tuple[Key, ...]
    value: Callable[..., Any]
    title: str = ""
    meaning: str = ""
    needed: bool = False
    repeated: bool = False
    named_by: str = ""
    one_of: tuple[tuple[str, ...], ...] = ()
    some_of: tuple[tuple[str, ...], ...] = ()
    may_be_empty: bool = False
    only_with: tuple[tuple[str, str], ...] = ()
    instead_of: tuple[str, ...] = ()
    not_with: tuple[str, ...] = ()
    instead: tuple[tuple[str, str], ...] = ()
    complaints: Callable[[Fields], Iterator[Complaint]] = lambda fields: iter(())
    against: Callable[[Plan], Iterator[Complaint]] = lambda plan: iter(())
    foreword: Callable[[Table], Table] = lambda table: table
    option: str = ""
    says: str = ""
    row: Callable[[str], dict[str, Any] | tuple[str, str]] | None = None

    def key(self, name: str) -> Key | None:
        """Find a key by its name."""
        return next((key for key in self.keys if key.name == name), None)

    def made(self, fields: Fields) -> Any:
        """Make the value of what was read, key by key."""
        return self.value(**{key.holds: fields[key.name] for key in self.keys if key.name in fields})

    def within(self, other: Section) -> Section:
        """Name it as the section that it stands in, for messages about a table within a section."""
        return replace(self, name=other.name, repeated=other.repeated, named_by=other.named_by)
