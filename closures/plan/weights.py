"""Weights, forces, shares and ages, the way people write them at the table."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from typing import TYPE_CHECKING

from closures.lengths import shown_value
from closures.plan.kinds import kind

if TYPE_CHECKING:
    from closures.plan.kinds import Place

# Standard gravity to the figures of the published methods, for weights that stand for forces.
_GRAVITY = Decimal("9.81")
_GRAMS = {"g": Decimal(1), "kg": Decimal(1000), "oz": Decimal("28.349523125"), "lb": Decimal("453.59237")}
# 1 oz/yd2 is 28.349523125 g over 0.9144 m squared.
_AREAL = {"g/m2": Decimal(1), "oz/yd2": Decimal("28.349523125") / Decimal("0.9144") ** 2}
_MONTHS = {"month": 1, "months": 1, "year": 12, "years": 12}
_NUMBER = re.compile(r"(\d{1,6}(?:\.\d{1,20})?)\s*([a-zA-Z/²2%]*)")
# 2 1/2 years, as people tell the age of a child; ½ is written so first.
_MIXED = re.compile(r"(?:(\d{1,3})(?:\s+|-))?(\d{1,2})\s*[/⁄]\s*([1-9]\d?)\s*([a-zA-Z]{1,10})")
_VULGAR = re.compile("[½¼¾]")
MOST_G = 50_000.0
"""50 kg: no scale at a table draws harder."""
MOST_G_M2 = 5_000.0
MOST_MONTHS = 1200.0


def _read(value: object, place: Place, units: dict[str, Decimal], what: str, example: str) -> Decimal:
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    match = _NUMBER.fullmatch(text.strip()) if isinstance(text, str) else None
    unit = match[2].replace("²", "2") if match else ""
    if match is None or unit not in units:
        raise place.error(f"{shown_value(value)} is not {what}", f"Write a number and its unit, such as {example}.")
    number = Decimal(match[1]) * units[unit]
    if number <= 0:
        raise place.error(f"{shown_value(value)} is nothing", "Write what you read, or leave it out.")
    return number


def _no_more(number: float, most: float, value: object, place: Place, mend: str) -> float:
    if number > most:
        raise place.error(f"{shown_value(value)} is more than can be meant", mend)
    return number


@kind("weight")
def weight(value: object, place: Place) -> float:
    """Take a weight, ``120 g``, ``0.12 kg`` or ``4 oz``, and give it in g."""
    grams = float(_read(value, place, _GRAMS, "a weight", "120 g, 0.12 kg or 4 oz"))
    return _no_more(grams, MOST_G, value, place, "Look at the number and its unit.")


@kind("force")
def force(value: object, place: Place) -> float:
    """Take a force, ``12 N``, or the weight that a scale shows for it, and give it in N."""
    units = {"N": Decimal(1), **{unit: grams * _GRAVITY / 1000 for unit, grams in _GRAMS.items()}}
    newtons = float(_read(value, place, units, "a force", "12 N, or 1.2 kg as a scale shows it"))
    return _no_more(newtons, MOST_G * float(_GRAVITY) / 1000, value, place, "Look at the number and its unit.")


@kind("mass of cloth")
def mass_of_cloth(value: object, place: Place) -> float:
    """Take a mass by area, ``280 g/m2`` or ``8 oz/yd2``, and give it in g/m²."""
    found = float(_read(value, place, _AREAL, "a mass of cloth", "280 g/m2 or 8 oz/yd2"))
    return _no_more(found, MOST_G_M2, value, place, "Weigh a strip, and divide by its length and width.")


@kind("percent, more than 0")
def stretch(value: object, place: Place) -> float:
    """Take how much longer cloth became, ``4 %`` or a bare 4, and give it as a fraction of one."""
    hundredth = Decimal("0.01")
    share = float(_read(value, place, {"": hundredth, "%": hundredth}, "a stretch in percent", "4 %"))
    return _no_more(share, 2.0, value, place, "200 % is three times as long: look at the number.")


def _in_months(value: object) -> object:
    """A fraction of years or months that makes whole months, as such: 2 1/2 years is 30 months; else as it is."""
    if not isinstance(value, str):
        return value
    told = unicodedata.normalize("NFKC", _VULGAR.sub(r" \g<0>", value)).strip()
    mixed = _MIXED.fullmatch(told)
    if mixed is None or mixed[4] not in _MONTHS:
        return value
    below = int(mixed[3])
    parts = (int(mixed[1] or 0) * below + int(mixed[2])) * _MONTHS[mixed[4]]
    return value if parts % below else f"{parts // below} months"


@kind("age")
def age(value: object, place: Place) -> float:
    """Take an age, ``24 months``, ``2 years`` or ``2 1/2 years``, and give it in months."""
    units = {unit: Decimal(months) for unit, months in _MONTHS.items()}
    months = float(_read(_in_months(value), place, units, "an age", "24 months or 2 years"))
    return _no_more(months, MOST_MONTHS, value, place, "Look at the number and its unit.")


@kind("number, 0 to 10", "number")
def times(value: object, place: Place) -> float:
    """Take a plain number of 0 or more: how many times as much."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 10:
        raise place.error(
            f"{shown_value(value)} is not a number from 0 to 10", "Write one such as 0.5, without quotes."
        )
    return float(value)
