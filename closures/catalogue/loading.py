"""Reading the catalogue's tables, and a user's supplies laid over them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

from closures.catalogue.catalogue import Catalogue
from closures.catalogue.cloths import read_cloths
from closures.catalogue.fasteners import RimToRim, read_fasteners, read_kinds
from closures.catalogue.rows import Row
from closures.catalogue.values import Figure, Kind, Paper, Provenance, Rule, Source
from closures.errors import CatalogueError, Fault
from closures.nearest import nearest_name

_TABLES = ("sources", "rules", "papers", "fasteners", "cloths")
_SUPPLIES = ("fastener", "cloth")
_DENSITY = "fibre density, "
Tables = Mapping[str, Mapping[str, Any]]


def load_catalogue(supplies: bytes | None = None, where: str = "supplies file") -> Catalogue:
    """Load the built-in catalogue, with a user's supplies over it.

    Args:
        supplies: a supplies file as read: TOML in the catalogue's own form, `[[fastener]]` and
            `[[cloth]]` rows, lengths in mm where they are bare numbers. A row replaces the
            figures of the same kind and size, or of the same cloth.
        where: the supplies file's name, for messages.

    Returns:
        The catalogue.

    Raises:
        CatalogueError: the supplies file has faults; all of them are told.
    """
    built_in = _built_in()
    if supplies is None:
        return built_in
    return _with_supplies(built_in, _parsed(supplies, where), where)


@cache
def _built_in() -> Catalogue:
    return catalogue_of({name: _parsed(_table_bytes(name), f"{name}.toml") for name in _TABLES})


def _table_bytes(name: str) -> bytes:
    from importlib.resources import files

    return files("closures.catalogue").joinpath(f"{name}.toml").read_bytes()


def paper_keys() -> tuple[str, ...]:
    """List how options write each paper, of the table of papers alone: for what is said about a command."""
    return tuple(row["key"] for row in _parsed(_table_bytes("papers"), "papers.toml")["paper"])


def catalogue_of(tables: Tables) -> Catalogue:
    """Make a catalogue of its tables.

    Args:
        tables: the parsed TOML of sources, rules, papers, fasteners and cloths, by those names.

    Raises:
        CatalogueError: a row is wrong, or does not say where it comes from; all faults are told.
    """
    faults: list[Fault] = []
    sources = _read_sources(tables["sources"])

    def rows(table: str, section: str) -> tuple[Row, ...]:
        return _rows(tables[table], section, f"{table}.toml", faults, sources, is_users=False)

    rules = _read_rules(rows("rules", "rule"))
    papers = _read_papers(rows("papers", "paper"))
    kinds = read_kinds(rows("fasteners", "kind"))
    fasteners = read_fasteners(rows("fasteners", "fastener"), kinds, {}, _rim_to_rim(rules))
    cloths = read_cloths(rows("cloths", "cloth"), {}, _densities(rules))
    words = tables["fasteners"].get("trade_words", {})
    _raise(faults)
    return Catalogue(
        fasteners=tuple(fasteners.values()),
        cloths=tuple(cloths.values()),
        rules=rules,
        papers=papers,
        sources=sources,
        trade_words={word: tuple(meant) for word, meant in words.items()},
        kinds_by_name=kinds,
        not_marked=tables["fasteners"].get("not_marked", {}),
    )


def _with_supplies(built_in: Catalogue, table: Mapping[str, Any], where: str) -> Catalogue:
    faults: list[Fault] = []
    for key in table:
        if key not in _SUPPLIES:
            near = nearest_name(key, _SUPPLIES)
            known = "A supplies file holds [[fastener]] and [[cloth]] rows."
            mend = f"Did you mean [[{near}]]?" if near else known
            faults.append(Fault(where, f"{key!r} does not belong here", mend))
    sources = built_in.sources
    sections = {name: _rows(table, name, where, faults, sources, is_users=True) for name in _SUPPLIES}
    kinds: dict[str, Kind] = dict(built_in.kinds_by_name)
    fasteners = {(f.kind, f.size): f for f in built_in.fasteners}
    fasteners |= read_fasteners(sections["fastener"], kinds, fasteners, _rim_to_rim(built_in.rules))
    cloths = {cloth.name: cloth for cloth in built_in.cloths}
    cloths |= read_cloths(sections["cloth"], cloths, _densities(built_in.rules))
    _raise(faults)
    return replace(
        built_in,
        fasteners=tuple(fasteners.values()),
        cloths=tuple(cloths.values()),
        kinds_by_name=kinds,
    )


def _parsed(data: bytes, where: str) -> Mapping[str, Any]:
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise CatalogueError("not a text in UTF-8", where=where, mend="Save it as UTF-8.") from error
    except RecursionError:
        raise CatalogueError(
            "lists stand too deep in lists", where=where, mend="Write it as the guide shows."
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise CatalogueError(f"not TOML: {error}", where=where, mend="Mend that line.") from error


def _raise(faults: Sequence[Fault]) -> None:
    if faults:
        raise CatalogueError.of(tuple(faults))


def _rows(
    table: Mapping[str, Any],
    section: str,
    where: str,
    faults: list[Fault],
    sources: Mapping[str, Source],
    *,
    is_users: bool,
) -> tuple[Row, ...]:
    listed = table.get(section, [])
    if not isinstance(listed, list) or not all(isinstance(row, dict) for row in listed):
        mend = f"Write [[{section}]] above each row."
        faults.append(Fault(where, f"{section} is not a list of rows", mend))
        return ()
    place = f"{where}, [[{section}]] row"
    return tuple(Row(row, f"{place} {n}", faults, sources, is_users) for n, row in enumerate(listed, 1))


def _read_sources(table: Mapping[str, Any]) -> dict[str, Source]:
    # A source is what others point to, so it needs no provenance of its own.
    try:
        return {row["key"]: Source(**row) for row in table.get("source", [])}
    except (KeyError, TypeError) as error:
        raise CatalogueError(f"a row is wrong: {error}", where="sources.toml, [[source]]") from error


def _read_rules(rows: Iterable[Row]) -> dict[str, Rule]:
    rules: dict[str, Rule] = {}
    for row in rows:
        row.check_keys(("key", "mm", "inch", "value", "unit", "to", "text"))
        key, provenance = row.text("key", is_required=True), row.provenance()
        given = [name for name in ("mm", "inch", "value") if name in row.table]
        if len(given) != 1:
            row.fault("", "needs one of mm, inch and value")
            continue
        value, high = row.number(given[0]), row.number("to")
        if key in rules:
            row.fault("key", f"{key!r} stands in this file twice")
        if value is None or provenance is None:
            continue
        scale = _mm_of_inches if given[0] == "inch" else float
        unit = row.text("unit", is_required=True) if given[0] == "value" else "mm"
        upper = None if high is None else Figure(scale(high), provenance)
        text = row.text("text", is_required=True)
        rules[key] = Rule(key, Figure(scale(value), provenance), text, unit, upper)
    return rules


def _mm_of_inches(inches: float) -> float:
    # In whole tenths, so that 3 in is 76.2 mm to the last digit.
    return inches * 254 / 10


def _read_papers(rows: Iterable[Row]) -> dict[str, Paper]:
    papers: dict[str, Paper] = {}
    for row in rows:
        row.check_keys(("key", "name", "width", "height"))
        key, provenance = row.text("key", is_required=True), row.provenance()
        width, height = row.figure("width", provenance), row.figure("height", provenance)
        if width is None:
            row.fault("width", "missing")
        elif provenance is not None:
            tall_mm = None if height is None else height.value
            papers[key] = Paper(key, row.text("name", is_required=True), width.value, tall_mm, provenance)
    return papers


def _rim_to_rim(rules: Mapping[str, Rule]) -> RimToRim:
    # Only a broken table of rules lacks one, and its fault is told with the others.
    none = Figure(0.0, Provenance("from memory"))
    tool, needle = (rules.get(key) for key in ("rim to rim", "rim to rim, sewn"))
    return RimToRim(tool.value if tool else none, needle.value if needle else none)


def _densities(rules: Mapping[str, Rule]) -> dict[str, float]:
    fibres = {key: rule for key, rule in rules.items() if key.startswith(_DENSITY)}
    return {key.removeprefix(_DENSITY): rule.value.value for key, rule in fibres.items()}
