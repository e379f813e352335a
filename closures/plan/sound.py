"""Measures that are what they say: a slip of the unit makes one that nothing made has, and everything else follows it.

The bounds are wide, beyond all that is sold, so that no measure of somebody's own is refused: they are our own rule.
"""

from __future__ import annotations

from closures.lengths import SAME_MM, format_length, parse_length_mm, shown_value
from closures.plan.kinds import Kind, Place
from closures.plan.kinds import grip as any_grip

_BASIS = "our own rule, beyond what is made"


def sound(least_mm: float, most_mm: float, of: str, *, or_nothing: bool = False) -> Kind:
    """Take a length that a thing may have, and give it in mm.

    Args:
        least_mm, most_mm: what it comes to at the least and at the most.
        of: what that is of, as in "no button is so thick".
        or_nothing: 0 is no slip, and may be told.
    """

    def read(value: object, place: Place) -> float:
        found = parse_length_mm(value, place.units, least_mm=0, zero=or_nothing, where=place.where)
        if not (or_nothing and found == 0.0):
            _refuse(found, least_mm, most_mm, of, shown_value(value), place)
        return found

    return Kind(read, "length", in_mm=True)


def _refuse(found_mm: float, least_mm: float, most_mm: float, of: str, shown: str, place: Place) -> None:
    if least_mm - SAME_MM <= found_mm <= most_mm + SAME_MM:
        return

    def show(mm: float) -> str:
        return f"{mm:g} mm" if place.units == "mm" else f"{format_length(mm, place.units)} ({mm:g} mm)"

    raise place.error(
        f"{shown} is {'less' if found_mm < least_mm else 'more'} than {of} comes to",
        f"Look at the number and its unit: {show(least_mm)} to {show(most_mm)} is taken ({_BASIS}).",
    )


def _grip(value: object, place: Place) -> tuple[float, float]:
    low, high = any_grip(value, place)
    _refuse(high, _LEAST_GRIP_MM, _MOST_GRIP_MM, "what a closure clamps", format_length(high, place.units), place)
    return low, high


# Our own rule, all of them: the catalogue's closures are 6 to 26 mm across, and a toggle may be three times as long.
_LEAST_GRIP_MM, _MOST_GRIP_MM = 0.1, 60.0
cap = sound(2.0, 120.0, "the largest part of a closure")
button_thickness = sound(0.3, 60.0, "the thickness of a button")
grip = Kind(_grip, any_grip.words, any_grip.shape, in_mm=any_grip.in_mm)
cloth_thickness = sound(0.02, 60.0, "the thickness of a layer")
sewn_in = sound(1.0, 100.0, "what is sewn into a seam", or_nothing=True)
edges_apart = sound(0.1, 500.0, "a gap between edges", or_nothing=True)
let_out = sound(0.1, 2000.0, "a gap to get in by", or_nothing=True)
tied = sound(1.0, 5000.0, "what is left to tie", or_nothing=True)
LEAST_STAND_MM = 5.0
stand_height = sound(LEAST_STAND_MM, 250.0, "the height of a collar stand")
columns_apart = sound(5.0, 600.0, "the distance between two columns")
