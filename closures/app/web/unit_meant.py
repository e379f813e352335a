"""The unit of a bare number on a first form: a length that its opening cannot have was meant in another one."""

from __future__ import annotations

from collections.abc import Mapping

from closures.catalogue.loading import load_catalogue
from closures.checks.usual import is_far, meant_in, usual_mm
from closures.errors import LengthError, PlanError, Where
from closures.lengths import format_length, parse_length_mm, unit_of

_FIELDS = ("edge.straight", "edge.arc.length", "row.length", "belt.waist")
"""The fields that tell how long an opening or a strap is."""


def refuse_far_length(fields: Mapping[str, str]) -> None:
    """Ask in which unit a bare number was meant, where its opening is never as long as that.

    Outside of what is usual it is only asked, and a length that is written with its unit is taken as it is: clothes of
    dolls are shorter. The checks look by the same bounds.

    Args:
        fields: what a plan is to be made of, field name to text, with its ``.units``.

    Raises:
        PlanError: a length stands without a unit, and is far from what that opening can be.
    """
    units = fields.get(".units", "mm")
    what = fields.get("row.piece") or ("belt" if "belt.waist" in fields else fields.get("garment.opens", ""))
    usual = usual_mm(load_catalogue(), what)
    for name in _FIELDS:
        told = fields.get(name, "").strip()
        if not told or unit_of(told) is not None or usual is None:
            continue
        try:
            found_mm = parse_length_mm(told, units)
        except LengthError:
            # What is no length is told of as that.
            continue
        if is_far(found_mm, usual):
            section, _, key = name.partition(".")
            likely = meant_in(found_mm, units, usual)
            meant = f"Was it meant as {' or as '.join(likely)}? " if likely else ""
            span = " to ".join(format_length(mm, units) for mm in usual)
            raise PlanError(
                f"{told} {units} is far from what is usual here, {span}, and its unit is not written",
                where=Where(section=section, key=key.replace(".", " ")),
                mend=f"{meant}Write the unit beside the number; {told} {units} too, if just that is meant.",
            )
