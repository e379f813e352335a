"""What can go wrong, as one small tree.

Every message says what is wrong, where, and how to mend it. A user's mistake never
shows a traceback: the command catches `ClosureError` and prints `str(error)`.
"""

import re
import shlex
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TypeVar

from closures.frozen import frozen

_In = TypeVar("_In")
_Out = TypeVar("_Out")

# A backslash stands between the folders of some systems, where it needs no quotes.
_PLAIN_NAME = re.compile(r"[\w./\\:@%+,=-]+")


class Where(str):
    """A place in a plan: its parts as fields, and the words for people made from them.

    Attributes:
        file: the plan's file.
        section: the section's name, empty for the keys before the first.
        nth: which of several, from 1; 0 where it stands once, or where only its name is known.
        name: what the user calls that one.
        key: the key, with those of the tables it stands in before it, and what is within its value after it.
        is_repeated: the section may stand several times.
        told: the words where the place has others than its parts give, as an option of the command has.
    """

    file: str
    section: str
    nth: int
    name: str
    key: str
    is_repeated: bool
    told: str

    def __new__(
        cls,
        *,
        file: str = "",
        section: str = "",
        nth: int = 0,
        name: str = "",
        key: str = "",
        is_repeated: bool = False,
        told: str = "",
    ) -> "Where":
        """Make a place of its parts."""
        is_repeated = is_repeated or nth > 0
        heading = f"[[{section}]]" if is_repeated else f"[{section}]" if section else ""
        parts = (heading, str(nth) if nth else "", f'"{name}"' if name else "", key)
        words = told or ", ".join(part for part in (file, " ".join(part for part in parts if part)) if part)
        made = super().__new__(cls, words)
        made.file, made.section, made.nth, made.name, made.key = file, section, nth, name, key
        made.is_repeated, made.told = is_repeated, told
        return made

    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, object]]:
        """Let a place go from one process to another."""
        return (), self.parts

    @property
    def parts(self) -> dict[str, object]:
        """Its parts by name."""
        return {part: getattr(self, part) for part in Where.__annotations__}

    def inner(self, name: str) -> "Where":
        """Name a place within this one."""
        told = f"{self.told} {name}" if self.told else ""
        return self.but(key=f"{self.key} {name}".strip(), told=told)

    def but(self, **parts: object) -> "Where":
        """The same with some of its parts changed."""
        return Where(**{**self.parts, **parts})  # type: ignore[arg-type]


class OfDrawing(str):
    """A thing in a drawing that was asked for by its name.

    Attributes:
        name: as it was asked for; empty for none.
    """

    name: str

    def __new__(cls, words: str, name: str = "") -> "OfDrawing":
        """Name the thing in words for people."""
        made = super().__new__(cls, words)
        made.name = name
        return made


def in_section(section: str, key: str = "", *, nth: int = 0, name: str = "", is_repeated: bool = False) -> Where:
    """Name a place in a plan whose file is not known here: see `naming`."""
    return Where(section=section, key=key, nth=nth, name=name, is_repeated=is_repeated)


@frozen
class Fault:
    """One thing that is wrong.

    Attributes:
        where: the place as the user knows it, for example ``front.toml, [band] width``; of a plan a `Where`.
        what: what is wrong there, without a full stop.
        mend: what to write or do instead, a whole sentence, or empty where nothing can be said.
        opening: of a garment, in whose plan it is; empty where that is not one alone, or there is no garment.
    """

    where: str
    what: str
    mend: str = ""
    opening: str = ""

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        text = f"{place}{self.what.rstrip('.')}."
        return f"{text} {self.mend}" if self.mend else text


class ClosureError(Exception):
    """The root of everything this package raises on purpose.

    Args:
        what: what is wrong.
        where: where it is wrong.
        mend: how to mend it.
    """

    def __init__(self, what: str, *, where: str = "", mend: str = "") -> None:
        super().__init__(what)
        self.faults: tuple[Fault, ...] = (Fault(where, what, mend),)

    @classmethod
    def of(cls, faults: "tuple[Fault, ...]") -> "ClosureError":
        """Make one error of several faults, so that a file is mended in one go."""
        error = cls(faults[0].what, where=faults[0].where, mend=faults[0].mend)
        # Both rows of a pair have one plan, and each is refused for it: it is read once.
        error.faults = tuple({str(fault): fault for fault in faults}.values())
        return error

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class LengthError(ClosureError, ValueError):
    """A text that is not a length."""


class PlanError(ClosureError):
    """A plan file, or options, that cannot be understood."""


class CatalogueError(ClosureError):
    """A catalogue or supplies file with a bad row, or a name that it does not hold."""


class DrawingError(ClosureError):
    """A drawing that cannot be read, or does not hold what the plan names."""


class EdgeError(ClosureError):
    """An edge or a closing line that a band cannot follow."""


class UpsideDownError(EdgeError):
    """An edge that runs up where the levels of its plan go down."""


class SpacingError(ClosureError):
    """Wishes that no row of closures can meet."""


class OutputError(ClosureError):
    """A result that cannot be written."""


class PaperTooSmallError(OutputError):
    """Something that lies on no page of a paper."""


class Gathering:
    """Gathers what is wrong in places that know nothing of each other, so that a plan is mended in one go.

    >>> found = Gathering()
    >>> len(found.each(int, ["1", "2"]))
    2
    >>> found.raise_if_any()
    """

    def __init__(self) -> None:
        self._errors: list[ClosureError] = []

    def each(self, make: Callable[[_In], _Out], of: Iterable[_In]) -> tuple[_Out, ...]:
        """Make one of each, and keep the errors of those that cannot be made."""
        made = []
        for one in of:
            try:
                made.append(make(one))
            except ClosureError as error:
                self._errors.append(error)
        return tuple(made)

    def raise_if_any(self) -> None:
        """Raise everything gathered as one error, of the kind of the first."""
        if self._errors:
            raise type(self._errors[0]).of(tuple(fault for error in self._errors for fault in error.faults))


def in_opening(opening: str, error: ClosureError) -> tuple[Fault, ...]:
    """Say of what is wrong in the plan of an opening of which one it is."""
    return tuple(replace(fault, opening=opening) for fault in error.faults)


@contextmanager
def naming(where: str) -> Iterator[None]:
    """Name the place in errors that were raised where it was not known.

    Args:
        where: the place, put before a section such as ``[edge]``, or alone where no place is named.
    """
    try:
        yield
    except ClosureError as error:
        faults = tuple(replace(fault, where=_joined(where, fault.where)) for fault in error.faults)
        error.faults = faults
        raise


def _joined(where: str, within: str) -> str:
    if not where or not within:
        return where or within
    if not isinstance(within, Where) or within.told or within.file:
        # Only a place in a plan lies within a file; any other is complete as it is.
        return within
    return within.but(file=str(where)) if not isinstance(where, Where) else within


def typed(path: object) -> str:
    """A name as it is typed after a command, in quotes where a shell would take it apart."""
    name = str(path)
    if _PLAIN_NAME.fullmatch(name):
        return name
    return shlex.quote(name) if set(name) & set('"$`!') else f'"{name}"'


def to_install(extra: str) -> str:
    """Say how a part that was left out is installed: as the program itself was, from its copy.

    Args:
        extra: the name of the part in `pyproject.toml`.
    """
    return (
        f'Install the program anew with that part, in the folder of its copy: py -m pip install ".[{extra}]" on '
        f'Windows, else python3 -m pip install ".[{extra}]"; or uv tool install --force ".[{extra}]"; or pipx install '
        f'--force ".[{extra}]".'
    )
