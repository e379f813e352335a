"""The figures that stand in for what was not measured, each with where it comes from: pull.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from closures.catalogue.rows import Row
from closures.errors import CatalogueError, Fault
from closures.frozen import frozen
from closures.jobs.gape.ranges import Between

if TYPE_CHECKING:
    from closures.catalogue.values import Provenance, Source


@frozen
class Figure:
    """A range out of the table.

    Attributes:
        key: its name in the table.
        range: the least and the most, in `unit`.
        unit: what it is counted in.
        text: what it is.
        provenance: where it comes from.
    """

    key: str
    range: Between
    unit: str
    text: str
    provenance: Provenance

    @property
    def told(self) -> str:
        """What it is, with where it comes from."""
        return f"{self.text} ({self.provenance.text})"


def figure(key: str) -> Figure:
    """Look up a figure.

    Raises:
        CatalogueError: a row of the table is wrong.
        KeyError: there is no such figure.
    """
    return _figures()[key]


def usual_lengths_mm(key: str) -> tuple[float, ...]:
    """Lengths in which a thing is usually sold, in mm, rising; a KeyError where there is no such thing."""
    return _lengths()[key]


@cache
def table_of(name: str) -> Mapping[str, Any]:
    """One of the catalogue's tables, as written."""
    return tomllib.loads(resources.files("closures.catalogue").joinpath(f"{name}.toml").read_bytes().decode())


def rows_of(name: str, section: str, sources: Mapping[str, Source], faults: list[Fault]) -> tuple[Row, ...]:
    """The rows of one section of a table, ready to be read."""
    listed = table_of(name)[section]
    return tuple(
        Row(row, f"{name}.toml, [[{section}]] row {n}", faults, sources, False) for n, row in enumerate(listed, 1)
    )


@cache
def _figures() -> dict[str, Figure]:
    from closures.catalogue.loading import load_catalogue

    faults: list[Fault] = []
    found = {}
    for row in rows_of("pull", "figure", load_catalogue().sources, faults):
        row.check_keys(("key", "range", "unit", "text"))
        key, provenance = row.text("key", is_required=True), row.provenance()
        ends = row.table.get("range")
        if not isinstance(ends, list) or len(ends) != 2 or not 0 < ends[0] <= ends[1]:
            row.fault("range", f"{ends!r} is not a least and a most", "Write range = [0.9, 1.1].")
        elif key in found:
            row.fault("key", f"{key!r} stands in this file twice")
        elif provenance is not None:
            unit, text = row.text("unit", is_required=True), row.text("text", is_required=True)
            found[key] = Figure(key, Between(float(ends[0]), float(ends[1])), unit, text, provenance)
    if faults:
        raise CatalogueError.of(tuple(faults))
    return found


@cache
def _lengths() -> dict[str, tuple[float, ...]]:
    from closures.catalogue.loading import load_catalogue

    faults: list[Fault] = []
    found = {}
    for row in rows_of("pull", "lengths", load_catalogue().sources, faults):
        row.check_keys(("key", "mm", "text"))
        if row.provenance() is not None:
            found[row.text("key", is_required=True)] = tuple(sorted(float(mm) for mm in row.table["mm"]))
    if faults:
        raise CatalogueError.of(tuple(faults))
    return found
