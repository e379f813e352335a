"""The unit of a bare number on a first form: a length that its opening cannot have was meant in another one."""

from __future__ import annotations

from collections.abc import Mapping

from closures.errors import LengthError, PlanError, Where
from closures.lengths import format_length, format_mm, parse_length_mm, unit_of

_LENGTHS_MM: Mapping[str, tuple[float, float]] = {
    "front": (150.0, 1700.0),
    "back": (60.0, 1700.0),
    "left side": (60.0, 1200.0),
    "right side": (60.0, 1200.0),
    "left shoulder": (35.0, 250.0),
    "right shoulder": (35.0, 250.0),
    "crotch": (60.0, 500.0),
    "inseam": (60.0, 1800.0),
    "flat": (80.0, 3000.0),
    "waistband": (300.0, 2000.0),
    "cuff": (90.0, 600.0),
    "bib": (150.0, 800.0),
    "belt": (300.0, 2000.0),
}
"""The shortest and the longest that each opening and strap is on clothes and household linen, in mm. Basis: common
practice, and wide on purpose: from the front of a shirt for the newborn to that of a floor-length coat, from a slit at
the back to the whole back, from a small child's waist to one of 2 m. Outside of that it is only asked, and a length
that is written with its unit is taken as it is: clothes of dolls are shorter."""

_OTHERS = ("in", "cm", "mm")
"""The units in which sewing patterns and rulers tell a length."""

_FIELDS = ("edge.straight", "edge.arc.length", "row.length", "belt.waist")
"""The fields that tell how long an opening or a strap is."""


def refuse_far_length(fields: Mapping[str, str]) -> None:
    """Ask in which unit a bare number was meant, where its opening is never as long as that.

    Args:
        fields: what a plan is to be made of, field name to text, with its ``.units``.

    Raises:
        PlanError: a length stands without a unit, and is far from what that opening can be.
    """
    units = fields.get(".units", "mm")
    what = fields.get("row.piece") or ("belt" if "belt.waist" in fields else fields.get("garment.opens", ""))
    low_mm, high_mm = _LENGTHS_MM.get(what, (0.0, float("inf")))
    for name in _FIELDS:
        told = fields.get(name, "").strip()
        if not told or unit_of(told) is not None:
            continue
        try:
            found_mm = parse_length_mm(told, units)
        except LengthError:
            # What is no length is told of as that.
            continue
        if not low_mm <= found_mm <= high_mm:
            section, _, key = name.partition(".")
            raise PlanError(
                f"{told} {units} is far from what is usual here, {_span(low_mm, high_mm, units)}, and its unit is not "
                "written",
                where=Where(section=section, key=key.replace(".", " ")),
                mend=_mend(told, units, low_mm, high_mm),
            )


def _span(low_mm: float, high_mm: float, units: str) -> str:
    return f"{format_length(low_mm, units)} to {format_length(high_mm, units)}"


def _mend(told: str, units: str, low_mm: float, high_mm: float) -> str:
    """Which units may be meant: those in which the number is a length that the opening can have."""
    read = {unit: parse_length_mm(f"{told} {unit}", units) for unit in _OTHERS if unit != units}
    likely = [f"{told} {unit} ({format_mm(mm, 1)})" for unit, mm in read.items() if low_mm <= mm <= high_mm]
    meant = f"Was it meant as {' or as '.join(likely)}? " if likely else ""
    return f"{meant}Write the unit beside the number; {told} {units} too, if just that is meant."
