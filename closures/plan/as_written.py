"""A length written in the unit that stood there before, so that a plan in inches stays in inches."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from closures.errors import LengthError
from closures.lengths import format_inches, parse_length, parse_length_mm, unit_in_mm, unit_of

if TYPE_CHECKING:
    from closures.plan.top import Units

_SIXTEENTH_MM = Fraction(254, 160)
_STEP_MM = {"mm": Fraction(1), "cm": Fraction(1), "m": Fraction(1)}
_FINE_MM = {"in": Fraction(254, 1000)}
_FINE_METRIC_MM = Fraction(1, 100)
"""Two decimals, which is as fine as a person writes a place that no step of a tape tells."""
_MOST_DECIMALS = 6
_INCH_DECIMALS = 2
_NUMBER = re.compile(r".*[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]")


def step_of(old: object, units: Units) -> float:
    """How far apart the places are that a thing is dragged to, in mm: a millimetre, or a sixteenth of an inch.

    Args:
        old: what stood there, in its own unit; None where nothing did.
        units: what a bare number means.
    """
    return float(_STEP_MM.get(_unit(old, units), _SIXTEENTH_MM))


def to_step(mm: float, old: object, units: Units) -> float:
    """The place nearest to one in the steps of `step_of`, as the float that its written form reads as."""
    step = _STEP_MM.get(_unit(old, units), _SIXTEENTH_MM)
    return float(round(Fraction(repr(mm)) / step) * step)


def to_fine(mm: float, old: object, units: Units, most_mm: float = math.inf) -> float:
    """The place nearest to one that a person writes: a sixteenth of an inch where it is one, else two decimals.

    Args:
        mm: the place.
        old: what stood there, in its own unit; None where nothing did.
        units: what a bare number means.
        most_mm: it lies no farther than this.
    """
    unit = _unit(old, units)
    fine = _FINE_MM.get(unit, _FINE_METRIC_MM)
    step = to_step(mm, old, units)
    if abs(step - mm) < float(fine) / 2 and step <= most_mm:
        return step
    count = round(Fraction(repr(mm)) / fine)
    if float(count * fine) > most_mm:
        count = math.floor(Fraction(repr(most_mm)) / fine)
    return float(count * fine)


def written_like(mm: float, old: object, units: Units) -> str | int | float:
    """Write a length in the unit that stood there, so that it reads as exactly this float.

    Args:
        mm: the length.
        old: what stood there; None where nothing did.
        units: what a bare number means.

    Returns:
        A number where a bare number stood, else a text; in mm where the unit cannot tell it in full.
    """
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a length")
    unit = _unit(old, units)
    if isinstance(old, int | float) and not isinstance(old, bool):
        bare = _decimal(mm, unit)
        # Inches of many decimals are a fraction, which a bare number cannot be.
        if bare is not None and not (unit == "in" and _decimals(bare) > _INCH_DECIMALS):
            return int(bare) if re.fullmatch(r"-?\d+", bare) else float(bare)
    ending = _ending(old) if isinstance(old, str) else f" {unit}"
    if unit == "in":
        inches = format_inches(mm).removesuffix(" in")
        if parse_length_mm(f"{inches} in", least_mm=None) == mm:
            # A fraction without a unit is refused: whether it is inches cannot be told from it.
            return inches + (ending or (" in" if "/" in inches else ""))
    written = _decimal(mm, unit)
    if written is not None and (unit != "in" or _decimals(written) <= _INCH_DECIMALS):
        return written + ending
    # All the digits of the shortest text that gives the float back, without an exponent.
    digits = f"{Decimal(repr(mm)):f}"
    return f"{digits.removesuffix('.0')} mm"


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])


def _unit(old: object, units: Units) -> str:
    """The unit that stood there, else the plan's own."""
    return (unit_of(old) if isinstance(old, str) else None) or units


def _ending(old: str) -> str:
    """What stood after the number: its unit as it was spelled, with the space before it."""
    found = _NUMBER.match(old.strip())
    return old.strip()[found.end() :] if found else ""


def _decimal(mm: float, unit: str) -> str | None:
    """Write a length as a decimal number of a unit, None where it would not read as the same float."""
    number = Fraction(repr(mm)) / unit_in_mm(unit)
    digits = f"{round(Decimal(number.numerator) / Decimal(number.denominator), _MOST_DECIMALS):f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    digits = "0" if digits == "-0" else digits
    try:
        return digits if float(parse_length(f"{digits} {unit}", least_mm=None)) == mm else None
    except LengthError:
        return None
