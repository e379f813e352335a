"""One row of a catalogue table, read key by key, its faults gathered.

The built-in tables and a user's supplies file are read alike. They differ in one thing: a
supplies row that names no `basis` was measured by the user, whatever words its `source` has.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeVar, cast

from closures.catalogue.values import PROVENANCE_KINDS, Figure, Provenance, ProvenanceKind, Source
from closures.errors import Fault, LengthError
from closures.nearest import nearest_name

_INCH_MM = 25.4
_BASIS = ("basis", "source")
# A figure without a source to name is worth telling only as practice or memory.
_NEEDS_SOURCE = ("published", "second hand", "derived", "measured by the user")
Word = TypeVar("Word", bound=str)


@dataclass(slots=True)
class Row:
    """A table of a TOML file while it is read.

    Attributes:
        table: what was written.
        where: file, section and row, for messages.
        faults: every fault found so far, in all rows of the file.
        sources: the table of sources.
        is_users: it stands in a user's supplies file.
    """

    table: Mapping[str, Any]
    where: str
    faults: list[Fault]
    sources: Mapping[str, Source]
    is_users: bool

    def fault(self, key: str, what: str, mend: str = "") -> None:
        """Note a fault at one key, or at the whole row where the key is empty."""
        self.faults.append(Fault(f"{self.where}, {key}" if key else self.where, what, mend))

    def check_keys(self, known: Sequence[str]) -> None:
        """Note every key that is not known, with the nearest that is."""
        for key in self.table:
            if key not in known and key not in _BASIS:
                near = nearest_name(key, (*known, *_BASIS))
                mend = f"Did you mean {near}?" if near else f"Known here: {', '.join((*known, *_BASIS))}."
                self.fault(key, "not a key of such a row", mend)

    def text(self, key: str, *, is_required: bool = False) -> str:
        """A text, or empty where the key is missing."""
        value = self.table.get(key)
        if value is None:
            if is_required:
                self.fault(key, "missing", f'Write {key} = "...".')
            return ""
        if not isinstance(value, str) or not value.strip():
            self.fault(key, f"{value!r} is not a text", f'Write {key} = "...".')
            return ""
        return " ".join(value.split())

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty where the key is missing."""
        value = self.table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.fault(key, f"{value!r} is not a list of texts", f'Write {key} = ["...", "..."].')
            return ()
        return tuple(value)

    def one_of(self, key: str, words: Sequence[Word], default: Word) -> Word:
        """One of a few words."""
        value = self.table.get(key, default)
        if value not in words:
            self.fault(key, f"{value!r} is none of those known", f"Write one of: {', '.join(words)}.")
            return default
        return cast("Word", value)

    def flag(self, key: str) -> bool:
        """True or false; false where the key is missing."""
        value = self.table.get(key, False)
        if not isinstance(value, bool):
            self.fault(key, f"{value!r} is neither true nor false", f"Write {key} = true or false.")
            return False
        return value

    def number(self, key: str) -> float | None:
        """A number greater than 0, or None where the key is missing."""
        value = self.table.get(key)
        if value is None:
            return None
        if not _is_number(value) or value <= 0:
            self.fault(key, f"{value!r} is not a number greater than 0")
            return None
        return float(value)

    def provenance(self) -> Provenance | None:
        """Where the figures of this row come from, None (and a fault) where the row does not say."""
        return self._provenance_of(self.table, "")

    def figure(self, key: str, provenance: Provenance | None) -> Figure | None:
        """A length in mm with its provenance, or None where the key is missing or wrong."""
        value = self.table.get(key)
        return None if value is None else self._figure_of(value, key, provenance)

    def range_(self, key: str, provenance: Provenance | None) -> tuple[Figure, Figure] | None:
        """Two lengths, or one for both, the lesser first; None where the key is missing or wrong."""
        figures = self.figures(key, provenance, (1, 2))
        return None if figures is None else (figures[0], figures[-1])

    def figures(
        self, key: str, provenance: Provenance | None, counts: Sequence[int], *, is_rising: bool = True
    ) -> tuple[Figure, ...] | None:
        """A list of lengths, or one alone; None where the key is missing or wrong."""
        value = self.table.get(key)
        if value is None:
            return None
        items = value if isinstance(value, list) else [value]
        if len(items) not in counts:
            allowed = " or ".join(str(count) for count in counts)
            self.fault(key, f"{len(items)} lengths where {allowed} belong")
            return None
        figures = [self._figure_of(item, key, provenance) for item in items]
        known = tuple(figure for figure in figures if figure is not None)
        if len(known) < len(figures):
            return None
        if is_rising and any(a.value > b.value for a, b in pairwise(known)):
            self.fault(key, f"{value!r} does not rise", "Write the least first and the most last.")
            return None
        return known

    def _figure_of(self, value: Any, key: str, provenance: Provenance | None) -> Figure | None:
        if isinstance(value, dict):
            own = self._provenance_of(value, key)
            unknown = [name for name in value if name not in ("mm", "inch", *_BASIS)]
            if unknown or ("mm" in value) == ("inch" in value):
                mend = 'Write { mm = 10.2, source = "..." }, or inch for mm.'
                self.fault(key, f"{value!r} is not a figure", mend)
                return None
            length_mm = self._length_mm(value["mm"] if "mm" in value else value["inch"], key)
            length_mm = None if length_mm is None else length_mm * (_INCH_MM if "inch" in value else 1)
            return None if length_mm is None or own is None else Figure(length_mm, own)
        length_mm = self._length_mm(value, key)
        return None if length_mm is None or provenance is None else Figure(length_mm, provenance)

    def _length_mm(self, value: Any, key: str) -> float | None:
        """A bare number is mm; a text names its unit."""
        if isinstance(value, str):
            return self._parsed_mm(value, key)
        if not _is_number(value):
            self.fault(key, f"{value!r} is not a length", 'Write mm as a number, 10.2, or a text, "3/8 in".')
            return None
        if value <= 0:
            self.fault(key, f"{value!r} is not greater than 0", "Write what you measured, in mm.")
            return None
        return float(value)

    def _parsed_mm(self, text: str, key: str) -> float | None:
        # Built-in rows give numbers, so that reading them does not wait for the grammar of lengths.
        from closures.lengths import parse_length_mm

        try:
            return parse_length_mm(text, sizes=True, zero=False, where=f"{self.where}, {key}")
        except LengthError as error:
            self.faults.extend(error.faults)
            return None

    def _provenance_of(self, table: Mapping[str, Any], key: str) -> Provenance | None:
        basis = table.get("basis", "measured by the user" if self.is_users else None)
        source = table.get("source", "")
        at = f"{key} " if key else ""
        if basis is None:
            self.fault(f"{at}basis", "missing, and no figure stands without one", _write_basis())
            return None
        if basis not in PROVENANCE_KINDS:
            self.fault(f"{at}basis", f"{basis!r} is none of those known", _write_basis())
            return None
        told = source if isinstance(source, list) else [source]
        if not all(isinstance(item, str) for item in told):
            self.fault(f"{at}source", f"{source!r} is not a text", 'Write source = "pack".')
            return None
        named = [item.strip() for item in told if item.strip()]
        if not named and basis in _NEEDS_SOURCE:
            mend = 'Write where the figures come from, for example source = "pack" or source = "caliper".'
            self.fault(f"{at}source", "missing", mend)
            return None
        return self._named(cast("ProvenanceKind", basis), named, f"{at}source")

    def _named(self, basis: ProvenanceKind, named: Sequence[str], key: str) -> Provenance | None:
        unknown = [item for item in named if item not in self.sources and self._is_key(item)]
        for item in unknown:
            near = nearest_name(item, self.sources)
            mend = f"Did you mean {near}?" if near else ""
            self.fault(key, f"{item!r} is not in the table of sources", mend)
        if unknown:
            return None
        texts = [self.sources[item].text if item in self.sources else item for item in named]
        keys = [item for item in named if item in self.sources]
        return Provenance(basis, "; ".join(texts), ", ".join(keys))

    def _is_key(self, source: str) -> bool:
        """A lone word in capitals is meant as a key; words of a user's own are left as they are."""
        return not self.is_users and source.isupper() and " " not in source


def _write_basis() -> str:
    return f"Write basis = one of: {', '.join(PROVENANCE_KINDS)}."


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
