"""How long openings, straps and girths are as a rule: beyond that a length was perhaps told in another unit or scale.

The first forms of the page ask by it, and the checks look by it: one set of bounds, wide on purpose, in the catalogue.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import SAME_MM, format_mm, unit_in_mm

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue

_SIDED = ("left ", "right ")
_UNITS = ("mm", "cm", "in")
"""The units in which patterns and rulers tell a length."""


def usual_mm(catalogue: Catalogue, what: str | None) -> tuple[float, float] | None:
    """Find the shortest and the longest, in mm, that something is as a rule; None where nothing is known of it.

    Args:
        catalogue: with the bounds.
        what: an opening, a piece, a girth, such as "left side", "cuff" or "chest"; None for an edge of which nothing
            says what opens.
    """
    name = "flat" if what is None else what
    for side in _SIDED:
        name = name.removeprefix(side)
    rule = catalogue.rules.get(f"usual, {name}")
    if rule is None or rule.high is None:
        return None
    # Of what nothing is said, the shortest of all may open.
    low = catalogue.rule("usual, shoulder").value.value if what is None else rule.value.value
    return low, rule.high.value


def is_far(mm: float, usual: tuple[float, float] | None) -> bool:
    """Whether a length lies beyond what is usual."""
    return usual is not None and not usual[0] - SAME_MM <= mm <= usual[1] + SAME_MM


def meant_in(mm: float, units: str, usual: tuple[float, float]) -> list[str]:
    """Write what the same number comes to in the other units in which it is usual: ``24 in (609.6 mm)``.

    Args:
        mm: the length as it was read.
        units: in which it was told, "mm" or "in".
        usual: its bounds, in mm.
    """
    # Reckoned here and not as the module is read: the library of units costs a third of a check that needs none.
    units_mm = {unit: float(unit_in_mm(unit)) for unit in _UNITS}
    told = mm / units_mm[units]
    return [
        f"{round(told, 3):g} {unit} ({format_mm(told * each)})"
        for unit, each in units_mm.items()
        if unit != units and not is_far(told * each, usual)
    ]
