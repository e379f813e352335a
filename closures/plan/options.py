"""A plan made of command line options: the same table as a file's, through the same reader.

Which options there are, what they stand for and what their help says is in the table of keys.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from closures.errors import Fault
from closures.frozen import frozen
from closures.plan import any_key
from closures.plan.naming import OptionNaming
from closures.plan.one_line import meant
from closures.plan.plan import SECTIONS, TOP, Plan
from closures.plan.reading import Known, read_table
from closures.plan.section import Key, Section

__all__ = ["OPTIONS", "Option", "plan_from_options"]


_SHORT_CHOICE = 8
"""Letters: choices of longer words are told in the option's own line, where they wrap."""

_WORDS = {"length": "LENGTH", "file name": "FILE", "id": "NAME"}
_WORDS_OF_SHAPES = {"names": "NAME", "whole": "NUMBER", "range": "LENGTH", "stretch": "RANGE", "switch": ""}
"""What a value is called in the help: by its kind, and else by how it is written."""


@frozen
class Option:
    """One option of the command that tells a key, or a row of a section that stands several times.

    Attributes:
        name: such as ``--band``.
        says: what its help says.
        section: the section of the key, or the one of the row.
        path: the key, with those of the tables it stands in before it; empty for a row.
        key: the key itself, None for a row.
    """

    name: str
    says: str
    section: Section
    path: tuple[str, ...]
    key: Key | None

    @property
    def field(self) -> str:
        """Its name as an argument of a function."""
        return self.name.lstrip("-").replace("-", "_")

    @property
    def is_whole(self) -> bool:
        """Whether it takes a whole number."""
        return self.shape == "whole"

    @property
    def is_switch(self) -> bool:
        """Whether it stands alone, without a value."""
        return self.shape == "switch"

    @property
    def about(self) -> str:
        """What it is about, as the heading that it stands under in the help."""
        return self.section.title or self.section.name

    @property
    def word(self) -> str:
        """What the help calls its value; empty for a switch, which has none."""
        if self.key is None or isinstance(self.key.kind, Section):
            return "WORDS"
        kind = self.key.kind
        if kind.choices and max(map(len, kind.choices)) <= _SHORT_CHOICE:
            return "|".join(kind.choices)
        return "CHOICE" if kind.choices else _WORDS.get(kind.words, _WORDS_OF_SHAPES.get(kind.shape, "WORDS"))

    @property
    def shape(self) -> str:
        """How its value is written."""
        return "row" if self.key is None or isinstance(self.key.kind, Section) else self.key.kind.shape


def _options_of(section: Section, home: Section, path: tuple[str, ...] = ()) -> Iterator[Option]:
    for key in section.keys:
        if isinstance(key.kind, Section):
            yield from _options_of(key.kind, home, (*path, key.name))
        elif key.option:
            yield Option(key.option, key.says or f"{key.meaning}.", home, (*path, key.name), key)
    if section.repeated and section.option:
        yield Option(section.option, section.says, section, (), None)


OPTIONS = tuple(option for section in (*SECTIONS, TOP) for option in _options_of(section, section))
"""Every option that tells something of a plan."""

_BY_FIELD = {option.field: option for option in OPTIONS}


def plan_from_options(known: Known | None = None, **given: str | float | bool | Sequence[str] | None) -> Plan:
    """Make a plan of options.

    Args:
        known: judges the names of cloths and closures; None where they are not looked up yet.
        given: option, without its dashes and with ``_`` for ``-``, to what was given: a text as on the command line,
            a number, or for an option that may stand several times a list of texts. None is left out. ``set`` is
            a list of texts that tell any key: see `any_key`.

    Returns:
        The plan, without a file name.

    Raises:
        PlanError: something is wrong; holds every fault found, each named by its option.
        TypeError: there is no such option.
    """
    faults: list[Fault] = []
    table: dict[str, Any] = {section.name: {} for section in SECTIONS if section.needed}
    told = given.pop(any_key.OPTION.lstrip("-"), None)
    for field, value in given.items():
        if field not in _BY_FIELD:
            raise TypeError(f"there is no option {field!r}")
        if value is None:
            continue
        option = _BY_FIELD[field]
        if option.key is None:
            table[option.section.name] = list(_rows(option, value, faults))
        else:
            _put(table, option, value)
    if isinstance(told, list | tuple):
        any_key.in_table(table, any_key.read_told(told))
    stands_in = {name for section in SECTIONS if table.get(section.name) for name in section.instead_of}
    table = {name: value for name, value in table.items() if value or name not in stands_in}
    return read_table(table, OptionNaming(), faults=faults, known=known)


def _put(table: dict[str, Any], option: Option, value: Any) -> None:
    """Put an option's value where its key stands."""
    if option.is_switch and value is False:
        return
    home = table.setdefault(option.section.name, {}) if option.section.name else table
    for name in option.path[:-1]:
        home = home.setdefault(name, {})
    kind = None if option.key is None else option.key.kind
    told = value if not isinstance(value, str) or kind is None or isinstance(kind, Section) else meant(kind, value)
    home[option.path[-1]] = told


def _rows(option: Option, texts: Any, faults: list[Fault]) -> Iterator[Mapping[str, Any]]:
    for nth, text in enumerate(texts, start=1):
        made = (str(text), "") if option.section.row is None else option.section.row(text)
        if isinstance(made, tuple):
            faults.append(Fault(f"{option.name} number {nth}", *made))
        else:
            yield made
