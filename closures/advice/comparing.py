"""How one lap is held against the other before its second half is set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.holes_left import keeps_needle_holes, shows_needle_holes
from closures.placing.edge_to_edge import worn_apart

if TYPE_CHECKING:
    from closures.placing.placement import Placement

_HELD = "hold {first marks?the {first part}|each {first part} that is set} against its mark on the {second lap}"
# What stands apart is not pulled together to be compared: it would lie level by force.
_HELD_APART = (
    "as far apart; see by a ruler laid square across both that {first marks?the {first part}|each {first part} that is "
    "set} and its mark on the {second lap} lie level"
)


def held_against(placement: Placement) -> str:
    """How what is set on one of two edges that meet is compared with the marks of the other, without its end."""
    return _HELD_APART if worn_apart(placement) else _HELD


def shown_on_the_other(words: frozenset[str], leads: str, second_lap: str, pin: str, *, from_inside: bool) -> str:
    """How one lap shows its places on the other, a sentence without its end."""
    what = "garment as it is worn" if "worn" in words else "opening"
    closed = f"close the {what}, lying on the table"
    # A buttonhole of the under lap lies beneath the over lap: nothing is put through it from above.
    closed += ", turn it over closed" if from_inside else ""
    and_ = "and from the inside" if from_inside else "and"
    closed += ", not stretched" if "cloth: knit" in words else ""
    each, it = "{first marks?the|each}", "{first marks?it|each}"
    # A pin leaves its hole in leather and silk, and cuts the loops of a knit: a point on paper takes its place.
    paper = ""
    if keeps_needle_holes(words):
        paper = f"Lay paper tape along the {second_lap}, {closed}, {and_} make a point on the tape"
    elif "cloth: knit" in words or shows_needle_holes(words):
        paper = f"Hold a strip of paper along the {second_lap} at its ends, {closed}, {and_} make a point on the paper"
    if "set: hook" in words and paper:
        return f"{paper} at the end of {each} {leads}"
    if "set: hook" in words:
        return f"{closed[0].upper()}{closed[1:]}, and put a pin into the {second_lap} at the end of {each} {leads}"
    if leads in ("buttonhole", "eyelet"):
        # What is a hole leaves no print: its place is taken through it.
        middle = f"through the middle of {each} eyelet"
        through = middle if leads == "eyelet" else f"through {each} buttonhole, {pin}"
        if paper:
            return f"{paper} {through}"
        comma = "," if leads == "buttonhole" else ""
        return f"{closed[0].upper()}{closed[1:]}, {and_} put a pin {through}{comma} into the {second_lap}"
    if "pens do" in words or "cloth: not told" in words:
        return f"Chalk {each} {leads}, {closed}, and push {it} on to the {second_lap}"
    # Chalk is lost in a pile, and stays on leather and silk: a strip of paper takes it in their place.
    strip = f"Hold a strip of paper along the {second_lap} at its ends, chalk {each} {leads}, {closed}"
    return f"{strip}, and push {it} on to the paper"
