"""Notes for those who wear it, by profile."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from closures.catalogue.rows import Row
from closures.errors import CatalogueError, Fault

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Provenance


@dataclass(frozen=True, slots=True)
class Note:
    """One note of a profile.

    Attributes:
        profile: whom it is for.
        text: a sentence or two.
        provenance: where it comes from.
    """

    profile: str
    text: str
    provenance: Provenance

    @property
    def told(self) -> str:
        """The note with where it comes from."""
        return f"{self.text} ({self.provenance.text})"


def notes_for(profile: str, catalogue: Catalogue) -> tuple[Note, ...]:
    """List the notes of a profile, in the order of the table.

    Args:
        profile: its name as plans write it.
        catalogue: where sources are kept.

    Raises:
        CatalogueError: a row of the table is wrong.
    """
    faults: list[Fault] = []
    found = []
    for n, table in enumerate(_table(), 1):
        row = Row(table, f"profiles.toml, [[note]] row {n}", faults, catalogue.sources, False)
        row.check_keys(("profile", "text"))
        provenance = row.provenance()
        if provenance is not None and row.text("profile", is_required=True) == profile:
            found.append(Note(profile, row.text("text", is_required=True), provenance))
    if faults:
        raise CatalogueError.of(tuple(faults))
    return tuple(found)


@cache
def _table() -> tuple[dict[str, str], ...]:
    data = resources.files("closures.catalogue").joinpath("profiles.toml").read_bytes()
    return tuple(tomllib.loads(data.decode())["note"])
