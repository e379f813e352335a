"""What can go wrong, as one small tree.

Every message says what is wrong, where, and how to mend it. A user's mistake never
shows a traceback: the command catches `ClosureError` and prints `str(error)`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong.

    Attributes:
        where: the place as the user knows it, for example ``front.toml, [band] width``.
        what: what is wrong there, without a full stop.
        mend: what to write or do instead, a whole sentence, or empty where nothing can be said.
    """

    where: str
    what: str
    mend: str = ""

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
        error.faults = tuple(faults)
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


class SpacingError(ClosureError):
    """Wishes that no row of closures can meet."""


class OutputError(ClosureError):
    """A result that cannot be written."""


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
    # Only a section of a plan lies within a file; a place of any other form is complete as it is.
    return f"{where}, {within}" if within.startswith("[") else within
