"""A plan file becomes a Plan, or one error that tells every fault in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from closures.errors import Fault, PlanError, Where
from closures.lengths import shown_value
from closures.nearest import nearest_name
from closures.plan.band import lap_order, laps_of
from closures.plan.closure import as_edges_lie
from closures.plan.garment_file import (
    GARMENT_TOP,
    MOST_OPENINGS,
    OPENING,
    GarmentFile,
    against_each_other,
    is_garment,
    named_for_openings,
    strange_in_garment,
    title_of,
)
from closures.plan.kinds import Faults, Names, Place
from closures.plan.mixed import bare_numbers, bare_told, mixed_faults
from closures.plan.naming import FileNaming, Naming, edge_drawn, header, spoken_stem
from closures.plan.plan import FIELD_OF, SECTIONS, TOP, Plan, against_itself
from closures.plan.section import Key, Section
from closures.plan.toml_text import table_of

__all__ = ["read_plan", "read_table"]

# Somebody who hands in another kind of file is not served by hundreds of lines.
_MOST_UNKNOWN = 20
_MOST_REPEATS = 500
_NEEDS_DRAWING = ("path", "under", "line", "level_zero")

_OF_PLANS = {section.name: section for section in (TOP, *SECTIONS)}


Known = Callable[[Names, Mapping[str, Any], str, str | None], tuple[str, str] | None]
"""Judges a name of the catalogue: what it names, the keys beside it, the one it stands under, and the supplies.

It answers None where the name is known, else what is wrong and how to mend it."""


def read_plan(data: bytes | str, where: str, known: Known | None = None) -> Plan:
    """Read a plan file.

    Args:
        data: the file's bytes, TOML in UTF-8, or its text.
        where: the file's name, for messages and for the title where the plan gives none.
        known: judges the names of cloths and closures; None where they are not looked up yet.

    Returns:
        The plan, every length in mm and every default filled in.

    Raises:
        PlanError: something in it is wrong; holds every fault found.
    """
    table = table_of(data, where)
    if is_garment(table):
        raise PlanError(
            "this is a garment file, not a plan",
            where=where,
            mend="Place it by itself, with closures place; or name the plan of one of its openings.",
        )
    if stray := named_for_openings(table):
        raise PlanError(
            f"[[{stray}]] names a plan, as an opening of a garment file does",
            where=where,
            mend="For a garment file write [[opening]] over each of its plans; a plan itself names no other.",
        )
    return read_table(table, FileNaming(where), where=where, known=known)


def read_table(
    table: Mapping[str, Any],
    naming: Naming,
    *,
    where: str = "",
    faults: Iterable[Fault] = (),
    known: Known | None = None,
) -> Plan:
    """Read a plan that is already a table of sections, as TOML gives it.

    Args:
        table: section name to section, and the keys before the first section.
        naming: how messages name a place.
        where: the plan's file name, empty where there is none.
        faults: what was found wrong before, told together with the rest.
        known: as for `read_plan`.

    Returns:
        The plan.

    Raises:
        PlanError: something in it is wrong; holds every fault found.
    """
    for section in SECTIONS:
        table = section.foreword(table)
    reader = _Reader(naming)
    reader.faults.found.extend(faults)
    names = {section.name for section in SECTIONS}
    top = reader.fields(TOP, {key: value for key, value in table.items() if key not in names}, 0)
    reader.units, reader.drawing = top.get("units", "mm"), top.get("drawing", "")
    reader.laps = laps_of(table)
    reader.tell_clashes(table)
    bare = None if "units" in top else bare_numbers(table)
    reader.faults.found.extend(() if bare is None else mixed_faults(bare, naming))
    fields = {field: reader.section(section, table.get(section.name)) for field, section in FIELD_OF.items()}
    reader.check_drawing(table)
    if known is not None:
        reader.look_up(known, top.get("supplies"))
    reader.faults.raise_if_any()
    plan = Plan(
        title=top.get("title") or spoken_stem(where) or "Closures",
        units=reader.units,
        where=where,
        drawing=top.get("drawing"),
        supplies=top.get("supplies"),
        bare=bare_told(table, top.get("units"), bare),
        **fields,
    )
    reader.hold_against(plan)
    reader.faults.raise_if_any()
    return as_edges_lie(plan)


def read_toml(data: bytes, where: str) -> dict[str, Any]:
    """Read a file as TOML, whatever it is for.

    Raises:
        PlanError: it is no TOML, or no text.
    """
    return table_of(data, where)


def read_garment(data: bytes, where: str) -> GarmentFile:
    """Read a garment file.

    Args:
        data: the file's bytes, TOML in UTF-8.
        where: the file's name, for messages.

    Returns:
        The garment; its plans are named, not read.

    Raises:
        PlanError: something in it is wrong; holds every fault found.
    """
    table = table_of(data, where)
    reader = _Reader(FileNaming(where))
    units = table.get("units", "mm")
    reader.units = units if units in ("mm", "in") else "mm"
    top = reader.fields(GARMENT_TOP, {key: value for key, value in table.items() if key != OPENING.name}, 0)
    openings = reader.section(OPENING, table.get(OPENING.name))
    if not openings and not reader.faults.found:
        place = FileNaming(where).place(OPENING, 0, "")
        mend = 'Write [[opening]], and below it name = "front" and plan = "front.toml".'
        reader.faults.found.append(Fault(place, "it names no opening", mend))
    elif len(openings) > MOST_OPENINGS:
        place = FileNaming(where).place(OPENING, 0, "")
        what = (
            f"there are {len(openings)} openings, and a garment file takes {MOST_OPENINGS} at the most (our own rule)"
        )
        reader.faults.found.append(Fault(place, what, "Put them into several garment files."))
    reader.faults.raise_if_any()
    for nth, key, what, mend in against_each_other(openings):
        reader.faults.found.append(Fault(FileNaming(where).place(OPENING, nth, key), what, mend))
    own = top.get("order", ())
    order = (own,) if isinstance(own, str) else own
    if order and sorted(order) != sorted(opening.name for opening in openings):
        place = FileNaming(where).place(GARMENT_TOP, 0, "order")
        mend = f"Write each once: {', '.join(opening.name for opening in openings)}; or leave order out."
        reader.faults.found.append(Fault(place, "it does not name every opening once", mend))
    reader.faults.raise_if_any()
    return GarmentFile(title_of(top.get("title"), where), where, openings, top.get("pack"), top.get("apart"), order)


class _Reader:
    """Walks the table of sections and gathers faults on its way."""

    def __init__(self, naming: Naming) -> None:
        self.naming = naming
        self.faults = Faults()
        self.units: Any = "mm"
        self.drawing = ""
        self.laps: tuple[str, ...] = ()
        self.left_out: set[str] = set()
        self.names: dict[tuple[str, int], str] = {}
        self.to_look_up: list[tuple[Section, Key, Mapping[str, Any], int, str]] = []

    def tell_clashes(self, table: Mapping[str, Any]) -> None:
        """Tell the sections that do not go with another, and note those that another stands in place of."""
        for section in SECTIONS:
            if section.name not in table or not (section.instead_of or section.not_with):
                continue
            self.left_out |= {*section.instead_of, *section.not_with}
            for other in SECTIONS:
                if other.name in table and other.name in (*section.instead_of, *section.not_with):
                    what = f"it does not go with {header(section)}"
                    mend = f"Keep {header(section)} or {header(other)}, not both."
                    mend = f"{mend} {dict(section.instead).get(other.name, '')}".rstrip()
                    self._fault(other, 0, "", what, mend)

    def section(self, section: Section, given: object) -> Any:
        """Read one section, repeated or not; the answer is meant only where no fault was found."""
        if section.repeated:
            if isinstance(given, dict):
                self._fault(section, 0, "", "it stands in single brackets", f"Write {header(section)}.")
                return ()
            if not isinstance(given, list | None):
                self._fault(section, 0, "", f"{shown_value(given)} is not a section", f"Write {header(section)}.")
                return ()
            if given is not None and len(given) > _MOST_REPEATS:
                self._fault(section, 0, "", f"it stands {len(given)} times", f"Keep it to {_MOST_REPEATS}.")
                return ()
            for nth, one in enumerate(given or (), start=1):
                name = one.get(section.named_by) if isinstance(one, dict) else None
                if isinstance(name, str) and name.strip():
                    self.names[section.name, nth] = shown_value(name.strip())[1:-1]
            return tuple(self._one(section, one, nth) for nth, one in enumerate(given or (), start=1))
        if given is None and (not section.needed or section.name in self.left_out):
            return None
        if given is None and section.needed and self.naming.has_sections and not section.may_be_empty:
            self._missing_section(section)
            return None
        if isinstance(given, list):
            self._fault(section, 0, "", "it stands in double brackets", f"Write {header(section)}.")
            return None
        return self._one(section, {} if given is None else given, 0)

    def fields(self, section: Section, given: Mapping[str, Any], nth: int, within: str = "") -> dict[str, Any]:
        """Read the keys of one section; only those that are right are in the answer."""
        meant = self._tell_unknown(section, given, nth, within)
        if section is TOP:
            self.left_out |= meant  # a section whose name is spelled otherwise is not missing as well
        fields: dict[str, Any] = {}
        for key in section.keys:
            if key.name in given:
                before = len(self.faults.found)
                value = self._value(section, key, given[key.name], nth, within)
                if len(self.faults.found) == before:
                    fields[key.name] = value
                    if not isinstance(key.kind, Section) and key.kind.names:
                        self.to_look_up.append((section, key, fields, nth, within))
        self._tell_missing(section, {*given, *meant}, nth, within)
        for name, other in section.only_with:
            if name in given and other not in given:
                self._fault(
                    section, nth, within + name, f"it goes with {other} only", f"Add {other}, or leave {name} out."
                )
        told = {*given, *meant} - fields.keys()  # what is wrong with these: they are neither missing nor too much
        for name, what, mend in section.complaints(fields):
            if name not in told:
                self._fault(section, nth, within + name, what, mend)
        return fields

    def check_drawing(self, table: Mapping[str, Any]) -> None:
        """Tell the keys that name something in a drawing where there is no drawing."""
        edge = next(section for section in SECTIONS if section.name == "edge")
        given = table.get(edge.name)
        if "drawing" in table or not isinstance(given, dict):
            return
        for name in _NEEDS_DRAWING:
            key = edge.key(name)
            if key is None or not isinstance(given.get(name), str) or isinstance(key.kind, Section):
                continue
            if name == "level_zero" and not {"path", "trace", "under", "line"} & given.keys():
                continue  # such an edge lies in no drawing: `against_places` tells it
            if isinstance(Faults().read(key.kind, given[name], Place(Where(), name, self.units)), str):
                drawing = next(key for key in TOP.keys if key.name == "drawing")
                what = f"it names {shown_value(given[name])} in a drawing, and the plan has no drawing"
                mend = f"Add {self.naming.written(TOP, drawing)}{self._beside(TOP)}."
                self._fault(edge, 0, name, what, mend)

    def look_up(self, known: Known, supplies: str | None) -> None:
        """Tell the names that the catalogue does not hold."""
        for section, key, fields, nth, within in self.to_look_up:
            names = "" if isinstance(key.kind, Section) else key.kind.names
            told = known(names, fields, within + key.name, supplies) if names else None
            if told is not None:
                self._fault(section, nth, within + key.name, *told)

    def hold_against(self, plan: Plan) -> None:
        """Tell what is wrong between a section and the rest of the plan."""
        for section, (key, what, mend) in against_itself(plan):
            self._fault(section, 0, key, what, mend)

    def _one(self, section: Section, given: object, nth: int, within: str = "") -> Any:
        if not isinstance(given, dict):
            mend = f"Write {header(section)}."
            self._fault(section, nth, within.strip(), f"{shown_value(given)} is not a section", mend)
            return None
        before = len(self.faults.found)
        fields = self.fields(section, given, nth, within)
        return section.made(fields) if len(self.faults.found) == before else None

    def _value(self, section: Section, key: Key, value: object, nth: int, within: str) -> Any:
        fitting = self.laps if key.kind is lap_order else ()
        where = self._place(section, nth, within + key.name)
        place = Place(where, key.name, self.units, self.naming.has_sections, fitting)
        if not isinstance(key.kind, Section):
            return self.faults.read(key.kind, value, place)
        if not isinstance(value, dict):
            mend = f"Write {key.name} = {key.example}."
            self._fault(section, nth, within + key.name, f"{shown_value(value)} is not a table", mend)
            return None
        # A table within a section keeps that section's name, so that its keys read "[edge] arc length".
        inner = key.kind.within(section)
        return self._one(inner, value, nth, within=f"{within}{key.name} ")

    def _tell_unknown(self, section: Section, given: Mapping[str, Any], nth: int, within: str) -> set[str]:
        """Tell the keys that are not known; give the keys they were most likely meant to be."""
        known = [key.name for key in section.keys]
        also = [other.name for other in SECTIONS] if section is TOP else []
        of_garment = section in (GARMENT_TOP, OPENING)
        meant: set[str] = set()
        unknown = [name for name in given if name not in known]
        if len(unknown) > _MOST_UNKNOWN:
            mend = f"Known here: {', '.join((*known, *also))}."
            self._fault(section, nth, within.strip(), f"{len(unknown)} keys are not known here", mend)
            return meant
        for name in unknown:
            told = strange_in_garment(name, section, _OF_PLANS) if of_garment else None
            if told is not None:
                self._fault(section, nth, within + _plain(name), *told)
                continue
            homes = [] if of_garment else _homes(name, section)
            near = nearest_name(name.replace("-", "_"), (*known, *also))
            if homes:
                mend = f"It belongs {' or '.join(homes)}."
            elif near is not None:
                meant.add(near)
                mend = f"Did you mean {near}?"
            else:
                mend = f"Known here: {', '.join((*known, *also))}."
            what = "a section or key" if section is TOP else "a key"
            self._fault(section, nth, within + _plain(name), f"it is not {what} known here", mend)
        return meant

    def _tell_missing(self, section: Section, given: set[str], nth: int, within: str) -> None:
        for key in section.keys:
            if key.needed and key.name not in given:
                mend = f"Add {self.naming.written(section, key, within)}."
                self._fault(section, nth, within + key.name, "it is missing", f"{mend} {key.note}".rstrip())
        for group in (*section.one_of, *section.some_of):
            own = {name: self.naming.called(section, name) for name in group}
            names = [name for name in group if own[name] is not None] or list(group)
            called = {name: own[name] or str(self._place(section, nth, within + name)) for name in group}
            found = [name for name in group if name in given]
            at_least = group in section.some_of
            if len(found) == 1 or (found and at_least) or (not found and section.may_be_empty):
                continue
            listed = ", ".join(called[name] for name in names)
            if found:
                has = f"there are {' and '.join(called[name] for name in found)}"
                mend = "Keep one of them."
            else:
                has = "there is none"
                example = next(key for key in section.keys if key.name == names[0])
                mend = f"Add one, such as {self.naming.written(section, example, within)}."
                mend = edge_drawn(self.naming, section, self.drawing) or mend
            self._fault(
                section,
                nth,
                within.strip(),
                f"{'at least' if at_least else 'exactly'} one of {listed} is needed, and {has}",
                mend,
            )

    def _missing_section(self, section: Section) -> None:
        needed = [key for key in section.keys if key.needed]
        needed += [next(key for key in section.keys if key.name == group[0]) for group in section.one_of]
        examples = " and ".join(self.naming.written(section, key) for key in needed)
        notes = "".join(f" {key.note}" for key in needed if key.note)
        mend = edge_drawn(self.naming, section, self.drawing) or f"Add it, with {examples}.{notes}"
        self._fault(section, 0, "", "this section is missing", mend)

    def _beside(self, section: Section) -> str:
        return " at the top, before the first section" if self.naming.has_sections and section is TOP else ""

    def _fault(self, section: Section, nth: int, key: str, what: str, mend: str) -> None:
        self.faults.found.append(Fault(self._place(section, nth, key), what, mend))

    def _place(self, section: Section, nth: int, key: str) -> Where:
        return self.naming.place(section, nth, key, self.names.get((section.name, nth), ""))


def _homes(name: str, here: Section) -> list[str]:
    """Tell every place in which a key that is not known here belongs: one of several would often be the wrong one."""
    found = [section for section in (TOP, *SECTIONS) if section is not here and section.key(name)]
    return [f"under {header(home)}" if home.name else "at the top, before the first section" for home in found]


def _plain(name: str) -> str:
    """Show a strange key as it would stand in a file: quoted where it is no bare word."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", name) else shown_value(name)
