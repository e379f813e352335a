"""What the lower end of a front or a back is: a hem, open below the last closure, or a seam as at a waist."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from closures.app import slips
from closures.app.asking import judged, key_of, section_of, understood, why
from closures.errors import ClosureError
from closures.placing.garment import ends_called
from closures.plan.editing import set_key, value_of
from closures.plan.garment import ONCE, GarmentWish

if TYPE_CHECKING:
    from closures.app.asking import Asking

ASKED_OF = ONCE
"""Openings that run down the body to a hem or to a waist, and nothing but the answer tells to which."""
_QUESTION = "What is its lower end? A hem, or the seam at which it stops, such as waist (Enter: hem)"
_HEMS = ("hem", "hemline", "hem line", "lower hem", "bottom hem")
_NO_NAMES = ("bottom", "lower end", "lower edge", "end", "seam")
_ABOUT = re.compile(r"^(?:(?:it\s+)?(?:ends|stops)\s+)?(?:at\s+)?(?:(?:the|a|an|its)\s+)?", re.I)
_UNKNOWN = (
    "Then it is taken to be a hem, which hangs open below the last closure. A bodice that is sewn to a skirt or a "
    'waistband stops at its waist, and is held shut down to there: ends = ["neck", "waist"] is then to stand under '
    "[garment]."
)
_NAME = "Type what it is called, such as hem or waist."


def ends_told(text: str) -> tuple[str, str]:
    """What the first and the last end of the edge are called, by a plan's text."""
    ends = value_of(text, "garment", "ends")
    opens = value_of(text, "garment", "opens")
    return ends_called(GarmentWish(opens=opens, ends=None if ends is None else (ends[0], ends[1])))


def lower_end_asked(text: str, asking: Asking) -> str:
    """Ask what the lower end is, and put it into the plan where it is no hem."""
    first, _ = ends_told(text)
    section = section_of("garment")
    while True:
        told = asking.ask(_QUESTION).strip()
        name = " ".join(_ABOUT.sub("", told.rstrip(".!")).split())
        if not told or name.casefold() in _HEMS:
            return text
        if slips.is_unknown(told):
            asking.tell(f"  {_UNKNOWN}")
            return text
        is_no_name = name.casefold() in _NO_NAMES or not any(map(str.isalpha, name)) or any(map(str.isdecimal, name))
        if is_no_name or slips.is_yes(told) or slips.is_no(told):
            asking.tell(f"  {_NAME}")
            continue
        name = name.lower() if name.casefold() in ("waist", "hip") else name
        try:
            judged(section, key_of(section, "ends"), [first, name], asking, text)
        except ClosureError as error:
            asking.tell(why(error))
        else:
            return set_key(text, "garment", "ends", [first, understood(asking, told, name)])
