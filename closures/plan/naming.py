"""How a fault names its place: by section and key in a file, by option on a command line."""

from __future__ import annotations

import tomllib
from pathlib import PurePath
from typing import Protocol

from closures.errors import Where
from closures.frozen import frozen
from closures.plan.drawn import lines_told_by
from closures.plan.one_line import shown
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section


class Naming(Protocol):
    """Names places in whatever a plan was made of."""

    def place(self, section: Section, nth: int, key: str, name: str = "") -> Where:
        """Name a key's place; nth is 0 in a section that is not repeated, name what the user calls that one."""

    def called(self, section: Section, key: str) -> str | None:
        """Give a key's name, or None where it has none of its own this way."""

    def written(self, section: Section, key: Key, within: str = "") -> str:
        """Show a key as it would be written; within names the tables that it stands in, a space after each."""

    @property
    def has_sections(self) -> bool:
        """Whether sections are written down, so that a whole one may be missing."""


@frozen
class FileNaming:
    """Names places in a plan file."""

    where: str

    def place(self, section: Section, nth: int, key: str, name: str = "") -> Where:
        return Where(file=self.where, section=section.name, nth=nth, name=name, key=key, is_repeated=section.repeated)

    def called(self, section: Section, key: str) -> str | None:
        return key

    def written(self, section: Section, key: Key, within: str = "") -> str:
        return f"{key.name} = {key.example}"

    @property
    def has_sections(self) -> bool:
        return True


@frozen
class OptionNaming:
    """Names options, as the table of keys has them."""

    def place(self, section: Section, nth: int, key: str, name: str = "") -> Where:
        told = self._told(section, nth, key)
        return Where(section=section.name, nth=nth, name=name, key=key, is_repeated=section.repeated, told=told)

    def _told(self, section: Section, nth: int, key: str) -> str:
        home = next((one for one in (TOP, *SECTIONS) if one.name == section.name), section)
        if nth or not key:
            named = f"{home.option or begun(home)} number {nth}" if nth else home.option or begun(home)
            return f"{named}, {key}" if key else named
        found, *inner = key.split()
        held = home.key(found)
        while held is not None and inner and isinstance(held.kind, Section):
            held = held.kind.key(inner.pop(0))
        if held is None:
            return key
        return " ".join(
            [held.option or f"--set {'.'.join((section.name, *key.split()[: len(key.split()) - len(inner)]))}", *inner]
        )

    def called(self, section: Section, key: str) -> str | None:
        held = section.key(key)
        return key if section.repeated or held is None else held.option or None

    def written(self, section: Section, key: Key, within: str = "") -> str:
        if not key.option:
            first = "1 " if section.repeated else ""
            name = ".".join(f"{section.name} {first}{within}{key.name}".split())
            return f'--set "{name} = {example_in_line(key)}"'
        example = key.example.replace('", "', " to ").strip("[]")
        return key.option if example == "true" else f"{key.option} {example}"

    @property
    def has_sections(self) -> bool:
        return False


def begun(section: Section) -> str:
    """Name the option by which a whole section is told."""
    if section.option.startswith("--"):
        return section.option
    first = next((key for key in section.keys if key.option), None)
    return first.option if first is not None else f'--set "{section.name}. ..."'


def example_in_line(key: Key) -> str:
    """Show the example of a key in one line, without the marks of a plan file."""
    if isinstance(key.kind, Section):
        return "..."
    return shown(key.kind, tomllib.loads(f"it = {key.example}")["it"]).replace('"', "").replace("\n", "; ")


def edge_drawn(naming: Naming, section: Section, drawing: str) -> str:
    """Say how an edge is told where the plan names its drawing; empty for any other section, or without one."""
    path = section.key("path") if section.name == "edge" and drawing else None
    if path is None:
        return ""
    return f"Add {naming.written(section, path).replace(path.example, '…')}; {lines_told_by(drawing)}."


def header(section: Section) -> str:
    """Write a section's heading as it stands in a file."""
    if not section.name:
        return ""
    return f"[[{section.name}]]" if section.repeated else f"[{section.name}]"


def spoken_stem(where: str) -> str:
    """A file's name without its ending as it can be written on paper.

    Bytes that the system does not know as letters are read as UTF-8, others are told by their number.
    """
    name = PurePath(where).stem
    try:
        return name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    except UnicodeEncodeError:
        return name.encode("utf-8", "backslashreplace").decode()  # half a sign, as a name on Windows may hold
