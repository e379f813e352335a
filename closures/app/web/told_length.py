"""The length of an edge that was told beside a drawing of it: held against the line that is chosen there."""

from __future__ import annotations

from collections.abc import Mapping

from closures.app import slips
from closures.edges.reading import read_edges
from closures.errors import PlanError
from closures.lengths import format_length, parse_length_mm
from closures.plan.reading import read_plan

TOLD = "told.length"
"""The name of its field, which is none of a plan: there the drawing tells the length."""

# What a tape along a curved edge may be out by, in its share and at the least, in mm: our own rule.
_SHARE, _LEAST_MM = 0.02, 6.0


def length_told(fields: Mapping[str, str]) -> str:
    """The length that the fields of a beginning tell; empty where they tell none."""
    return fields.get("edge.straight", "").strip() or fields.get("edge.arc.length", "").strip()


def refuse_other_length(text: bytes, name: str, beside: Mapping[str, bytes], typed: Mapping[str, str]) -> None:
    """Refuse a line that is not as long as its edge was told to be.

    Args:
        text, name: of the plan that was made with it.
        beside: its drawing.
        typed: what was sent, the length among it.

    Raises:
        PlanError: the length is none, or the line is longer or shorter than that.
        ClosureError: the edge cannot be read.
    """
    told = typed.get(TOLD, "").strip()
    if not told:
        return
    plan = read_plan(text, name)
    units = "in" if typed.get("units") == "in" else "mm"
    wanted_mm = parse_length_mm(slips.length_meant(told, units), units, where="The length that you told")
    found_mm = read_edges(plan, beside).over.length_mm
    if abs(found_mm - wanted_mm) > max(_SHARE * wanted_mm, _LEAST_MM):
        drawn, said = (format_length(mm, plan.units) for mm in (found_mm, wanted_mm))
        raise PlanError(
            f"you told an edge of {said}, and this line is {drawn} long",
            mend="Choose another line or a part of it, or prove its scale; if the drawing is right, empty “The length "
            "that you told”.",
        )
