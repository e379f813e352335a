"""What somebody most likely meant: a name that is known, a number in words, a length with more beside it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable

_LOOKED_AT = 60
"""Texts of so many signs are looked at for a number or a length: none that is meant has more."""
NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
"""Numbers as people tell a count in words, from 1."""

INCH_ABROAD = ("zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollice", "pollici", "duim", "tum")
"""What an inch is called on tapes of other countries; an inch of old was longer there: it is asked, and not taken."""

# Two thirds alike: "pich" finds "pitch", "hook" does not find "count".
_ALIKE = 0.6


def nearest_name(name: str, names: Iterable[str]) -> str | None:
    """Find the known name nearest to one that is not known.

    Args:
        name: what was written.
        names: what is known.

    Returns:
        The nearest name, or None where none is near.
    """
    import difflib

    by_folded = {known.casefold(): known for known in names}
    near = difflib.get_close_matches(name.casefold(), by_folded, n=1, cutoff=_ALIKE)
    return by_folded[near[0]] if near else None


def name_within(text: str, names: Iterable[str]) -> str | None:
    """The one name whose words all stand in a text, as the front of ``front opening``; None where it is not one."""
    found = [name for name in names if f" {name} " in f" {text} "]
    return found[0] if len(found) == 1 else None


def same_name(name: str, names: Iterable[str]) -> str | None:
    """Find a name as it is held: some systems keep an accent as a sign apart from its letter, and keyboards do not.

    A space before or behind a name is seen by nobody.

    Args:
        name: what was written.
        names: what there is.

    Returns:
        The very name where it is there, else the first that reads the same, else None.
    """
    held = list(names)

    def read(one: str) -> str:
        return unicodedata.normalize("NFC", one).strip()

    return name if name in held else next((one for one in held if read(one) == read(name)), None)


def in_figures(word: str) -> str | None:
    """Write a number in figures: ``seven`` is 7; None where it is no such word."""
    folded = word.strip().casefold()
    return str(NUMBER_WORDS.index(folded) + 1) if folded in NUMBER_WORDS else None


def nearest_whole(text: str) -> str | None:
    """Find the one whole number that a text tells, in words or among others; None where it tells none, or several."""
    found = re.findall(r"[-–—−.,/]?\d+", text) if len(text) <= _LOOKED_AT else []
    # Also of figures of other writings, which are shown as they are to be typed.
    return in_figures(text) or (str(int(found[0])) if len(found) == 1 and found[0].isdecimal() else None)


# 1 200 mm and 1'200 mm: a space or an apostrophe parts thousands in some countries.
_PARTED = re.compile(r"([1-9]\d{0,2})[ \u00a0\u2009\u202f'’]([0-9]{3})((?:\.[0-9]{1,6})? ?(?:mm|cm|m)?)")
# What a word processor or a thumb makes of a hyphen.
_DASH = "[-–—‒−]"


def nearest_length(text: str, is_length: Callable[[str], bool]) -> str | None:
    """Say what to write in place of a text that is nearly a length.

    Args:
        text: what was written.
        is_length: whether a text is a length.

    Returns:
        A sentence, or None where nothing is near.
    """
    if len(text) > _LOOKED_AT:
        return None
    parted = _PARTED.fullmatch(text)
    if parted is not None:
        return f"Write {parted[1]}{parted[2]}{parted[3]}, with nothing between thousands."
    mixed = re.fullmatch(r"([1-9]\d*) ?[–—‒−] ?(\d+[/⁄]\d+.*)", text)
    if mixed is not None and is_length(f"{mixed[1]} {mixed[2]}"):
        return f"Write {mixed[1]} {mixed[2]}, with a space in place of the dash."
    if text[:1] in ("–", "—", "‒") and is_length(text[1:].strip()):
        bare = text[1:].strip()
        return f"Write {bare}, without the dash; a minus is a plain hyphen, -{bare}."
    two = re.fullmatch(rf"([^ ].*?) ?(?: to |{_DASH}) ?([\d½¼¾⅛⅜⅝⅞].*)", text)
    if two is not None and is_length(two[2]):
        unit = re.search(r"[A-Za-z]+$|[\"″”]$", two[2])
        first = next((one for one in (two[1], f"{two[1]} {unit[0] if unit else ''}".strip()) if is_length(one)), None)
        if first is not None:
            whole = f"{first} {unit[0]}" if unit and first[-1].isdigit() else first
            return f"These are two lengths. Write one of them, {whole} or {two[2]}."
    if re.fullmatch(r"\d+(?:\.\d+)?['’′]", text):
        return f"Write {text[:-1]} ft if feet are meant, or {text[:-1]} in for inches."
    alone = re.findall(r"\d[\d./⁄ ½¼¾⅛⅜⅝⅞]*(?:mm|cm|m|inches|inch|in|ft|yd)(?![A-Za-z])", text)
    side = re.search(r"\b(?:above|over|higher|up|below|under|lower|down|beneath)\b", text, re.IGNORECASE)
    if len(alone) == 1 and side is not None and is_length(alone[0]):
        return (
            f'Write the length without "{side[0]}": what asks for it says which way it counts, and a minus, '
            f"-{alone[0]}, counts the other way. Levels count downwards."
        )
    if len(alone) == 1 and is_length(alone[0]) and not re.search(r"\d", text.replace(alone[0], "")):
        return f"Write the length alone, {alone[0]}."
    return None
