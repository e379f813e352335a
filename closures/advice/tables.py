"""The tables of this room: rows of TOML, each with its basis, conditions checked against the facts there are."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from closures.catalogue.loading import load_catalogue
from closures.catalogue.rows import Row
from closures.errors import CatalogueError, Fault

if TYPE_CHECKING:
    from closures.catalogue.values import Provenance

_RULE = re.compile(r"<([^<>]+)>")


class AdviceRow(Row):
    """A row of one of these tables."""

    __slots__ = ()

    def raise_faults(self) -> None:
        """Raise what was found wrong in this row.

        Raises:
            CatalogueError: something was.
        """
        if self.faults:
            raise CatalogueError.of(tuple(self.faults))

    def basis(self) -> Provenance:
        """Where the row comes from.

        Raises:
            CatalogueError: it does not say.
        """
        found = self.provenance()
        self.raise_faults()
        if found is None:
            raise CatalogueError("it does not say where it comes from", where=self.where, mend="Write a basis.")
        return found


def rows_of(table: str, section: str) -> tuple[AdviceRow, ...]:
    """List the rows of a section of a table.

    Args:
        table: the file's name without its ending.
        section: such as ``step``.
    """
    faults: list[Fault] = []
    sources = load_catalogue().sources
    return tuple(
        AdviceRow(row, f"{table}.toml, [[{section}]] row {n}", faults, sources, False)
        for n, row in enumerate(_table(table).get(section, ()), 1)
    )


def with_rules(text: str) -> str:
    """Put the figures of rules in the place of their names in angle brackets.

    Raises:
        CatalogueError: a rule that is not there.
    """
    catalogue = load_catalogue()
    return _RULE.sub(lambda match: f"{catalogue.rule(match[1]).value.value:g}", text)


@cache
def _table(name: str) -> dict[str, Any]:
    data = resources.files("closures.advice").joinpath(f"{name}.toml").read_bytes()
    return tomllib.loads(data.decode())
