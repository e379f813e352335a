"""Girths of the body: measured, or from tables by age and sex with their scatter.

Tables tell of those who were measured for them: children of the United States and of Britain, and for
grown people soldiers of the United States. Another wearer is another wearer; a tape wins.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from statistics import NormalDist
from typing import Literal, get_args

from closures.catalogue.values import Provenance
from closures.errors import CatalogueError, Fault, PlanError, in_section
from closures.frozen import frozen
from closures.jobs.gape.ranges import Between
from closures.jobs.gape.tables import rows_of

GirthName = Literal["head", "neck", "shoulders", "chest", "waist", "seat", "hand", "heel"]
Who = Literal["girl", "boy", "woman", "man"]
GIRTHS: tuple[GirthName, ...] = get_args(GirthName)
WHO: tuple[Who, ...] = get_args(Who)
_CM = 10.0
# The tables give 5, 50 and 95 in a hundred; beyond them a normal curve would be a guess.
_LEAST_SHARE, _MOST_SHARE = 5.0, 95.0


@frozen
class Girth:
    """A girth of the body.

    Attributes:
        of: which.
        mm: the girth that is reckoned with, mm.
        range_mm: what five and ninety-five in a hundred do not pass, mm; None for a girth that was measured, and
            where the tables know one figure only.
        told: whose it is and where it comes from, for people.
    """

    of: GirthName
    mm: float
    range_mm: Between | None
    told: str


@frozen
class TableRow:
    """One row of the table of girths, in mm; ages in months, None for grown people."""

    of: GirthName
    who: Who
    months: float | None
    low_mm: float | None
    middle_mm: float | None
    high_mm: float | None
    provenance: Provenance


def measured(of: GirthName, mm: float) -> Girth:
    """A girth that was measured on the wearer, in mm."""
    return Girth(of, mm, None, "measured on the wearer")


def from_tables(of: GirthName, who: Who, months: float | None = None, share: float = 95.0) -> Girth | None:
    """Look up a girth.

    Args:
        of: which girth.
        who: whose.
        months: age of a child; between two ages of the table it is taken in proportion.
        share: how many in a hundred are no larger, 5 to 95.

    Returns:
        The girth, or None where the tables do not hold it.

    Raises:
        PlanError: the share lies outside the tables, or a child's age is missing.
    """
    if not _LEAST_SHARE <= share <= _MOST_SHARE:
        raise PlanError(
            f"the tables tell of 5 to 95 in a hundred, not of {share:g}",
            where=in_section("body", "share"),
            mend="Write share = 95, or measure the wearer.",
        )
    rows = tuple(row for row in girth_rows() if row.of == of and row.who == who)
    if not rows:
        return None
    if rows[0].months is None:
        return _girth(rows[0], share, who)
    if months is None:
        raise PlanError(
            f"a {who} of no age has no girths in the tables",
            where=in_section("body", "age"),
            mend='Write age = "24 months".',
        )
    row = _at_age(rows, months)
    return None if row is None else _girth(row, share, f"{who} of {_age(months)}")


def _at_age(rows: tuple[TableRow, ...], months: float) -> TableRow | None:
    """The row of an age, or one between the two beside it; None outside the table."""
    for row in rows:
        if row.months == months:
            return row
    for before, after in pairwise(rows):
        if before.months is not None and after.months is not None and before.months < months < after.months:
            part = (months - before.months) / (after.months - before.months)
            low, middle, high = (
                None if a is None or b is None else a + part * (b - a)
                for a, b in (
                    (before.low_mm, after.low_mm),
                    (before.middle_mm, after.middle_mm),
                    (before.high_mm, after.high_mm),
                )
            )
            return TableRow(before.of, before.who, months, low, middle, high, _both(before, after))
    return None


def _both(before: TableRow, after: TableRow) -> Provenance:
    one, other = before.provenance, after.provenance
    if one == other:
        return one
    return Provenance("derived", f"between {one.source} and {other.source}", ", ".join((one.key, other.key)))


def _girth(row: TableRow, share: float, whose: str) -> Girth | None:
    mm = _at_share(row, share)
    if mm is None:
        return None
    ends = None if row.low_mm is None or row.high_mm is None else Between(row.low_mm, row.high_mm)
    scatter = (
        "the tables give this one figure of the spread"
        if ends is None
        else f"5 to 95 in a hundred: {ends.low / _CM:.1f} to {ends.high / _CM:.1f} cm"
    )
    how_many = "the middle of all" if share == 50 else f"{share:g} in a hundred are no larger"
    return Girth(row.of, mm, ends, f"{whose}, {how_many}; {scatter} ({row.provenance.text})")


def _at_share(row: TableRow, share: float) -> float | None:
    """A girth at a share, on a normal curve whose lower and upper half each meet the table."""
    if share == _MOST_SHARE and row.high_mm is not None:
        return row.high_mm
    if share == _LEAST_SHARE and row.low_mm is not None:
        return row.low_mm
    if row.middle_mm is None:
        return None
    z = NormalDist().inv_cdf(share / 100)
    end_mm = row.high_mm if z > 0 else row.low_mm
    if math.isclose(share, 50):
        return row.middle_mm
    if end_mm is None:
        return None
    return row.middle_mm + abs(z) / NormalDist().inv_cdf(_MOST_SHARE / 100) * (end_mm - row.middle_mm)


def _age(months: float) -> str:
    return f"{months:g} months" if months < 48 or months % 12 else f"{months / 12:g} years"


@cache
def girth_rows() -> tuple[TableRow, ...]:
    """Every row of the table of girths, children by rising age.

    Raises:
        CatalogueError: a row is wrong.
    """
    from closures.catalogue.loading import load_catalogue

    faults: list[Fault] = []
    found = []
    for row in rows_of("body", "girth", load_catalogue().sources, faults):
        row.check_keys(("of", "who", "months", "p5", "p50", "p95"))
        provenance = row.provenance()
        of, who = row.one_of("of", GIRTHS, "head"), row.one_of("who", WHO, "woman")
        low, middle, high = (
            None if value is None else value * _CM for value in (row.number("p5"), row.number("p50"), row.number("p95"))
        )
        known = [value for value in (low, middle, high) if value is not None]
        if not known or known != sorted(known):
            row.fault("", "p5, p50 and p95 do not rise, or none is there")
        elif provenance is not None:
            found.append(TableRow(of, who, row.number("months"), low, middle, high, provenance))
    if faults:
        raise CatalogueError.of(tuple(faults))
    return tuple(found)
