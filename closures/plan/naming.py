"""How a fault names its place: by section and key in a file, by option on a command line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from closures.plan.section import Key, Section


class Naming(Protocol):
    """Names places in whatever a plan was made of."""

    def place(self, section: Section, nth: int, key: str) -> str:
        """Name a key's place; nth is 0 in a section that is not repeated, key may be empty."""

    def called(self, section: Section, key: str) -> str | None:
        """Give a key's name, or None where it cannot be given this way."""

    def written(self, section: Section, key: Key) -> str:
        """Show a key as it would be written."""

    @property
    def has_sections(self) -> bool:
        """Whether sections are written down, so that a whole one may be missing."""


@dataclass(frozen=True, slots=True)
class FileNaming:
    """Names places in a plan file."""

    where: str

    def place(self, section: Section, nth: int, key: str) -> str:
        heading = header(section)
        parts = (heading, str(nth) if nth else "", key)
        inside = " ".join(part for part in parts if part)
        return ", ".join(part for part in (self.where, inside) if part)

    def called(self, section: Section, key: str) -> str | None:
        return key

    def written(self, section: Section, key: Key) -> str:
        return f"{key.name} = {key.example}"

    @property
    def has_sections(self) -> bool:
        return True


@dataclass(frozen=True, slots=True)
class OptionNaming:
    """Names options; `options` holds them by section and key, without a key for whole sections."""

    options: Mapping[tuple[str, str], str]

    def place(self, section: Section, nth: int, key: str) -> str:
        if nth:
            return f"{self.options[section.name, '']} number {nth}" + (f", {key}" if key else "")
        return self.options.get((section.name, key), key)

    def called(self, section: Section, key: str) -> str | None:
        return key if section.repeated else self.options.get((section.name, key))

    def written(self, section: Section, key: Key) -> str:
        option = self.options.get((section.name, key.name), key.name)
        example = key.example.replace('", "', " to ").strip("[]")
        return option if example == "true" else f"{option} {example}"

    @property
    def has_sections(self) -> bool:
        return False


def header(section: Section) -> str:
    """Write a section's heading as it stands in a file."""
    if not section.name:
        return ""
    return f"[[{section.name}]]" if section.repeated else f"[{section.name}]"
