"""Names and sizes as people write them, and the ones they are found under.

A size is a label: "16 L", "20 long", "4/0". Where the label is a length, any text of the same
length finds it, with the same word behind it: "16 line", "10.16 mm" and "0.4 in" are "16 L".
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from closures.errors import LengthError

# Trade tables round sizes by up to half a millimetre, but a text that means the same length
# differs by no more than its last written digit.
_SAME_LENGTH_MM = 0.0051
# The number, with a fraction where there is one, then a unit, then any other words.
_LABEL = re.compile(r"(?P<length>[\d ./⁄½⅓⅔¼¾⅛⅜⅝⅞-]+? ?(?P<unit>[a-zA-Z]+|[\"″”]))(?P<rest> .*)?")
_SPACED = str.maketrans("-,_", "   ")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_TELLS_UNIT = re.compile(r"\d (?:l|mm)\b")
_LINE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:l|line|lines|ligne|lignes)", re.IGNORECASE)

# Of more before a comma or behind it no size is meant, or it parts thousands.
_COMMA_FOR_POINT = re.compile(r"\d{1,2},\d{1,2}")
_LINE_FIRST = re.compile(r"(?:l|line|ligne)\s*(\d+(?:\.\d+)?)", re.IGNORECASE)
# A comma before three figures may part thousands.
_WITH_COMMA = re.compile(r"(\d+),(\d{1,2})( ?[a-zA-Z]+)")


@lru_cache(maxsize=4096)
def folded(name: str) -> str:
    """A name without the differences that do not matter: case, hyphens, commas, spaces."""
    return " ".join(name.casefold().translate(_SPACED).split())


def lines_of(size: str) -> float | None:
    """The number of button lines that a size names, or None where it names none."""
    match = _LINE.fullmatch(size.strip())
    return float(match[1]) if match else None


def find_size(size: str, labels: Iterable[str]) -> str | None:
    """Find the label that a text means.

    Args:
        size: as the user wrote it.
        labels: the sizes of one kind.

    Returns:
        The label, or None where none is meant.
    """
    known = tuple(labels)
    wanted = _plain(size)
    if not wanted:
        return known[0] if len(known) == 1 else None
    by_plain = {_plain(label): label for label in known}
    return by_plain[wanted] if wanted in by_plain else _find_equal_length(size, known)


def both_ways(size: str, labels: Iterable[str]) -> tuple[str, ...]:
    """What a number without a unit may mean where sizes are told in lines or in mm; nothing where it is a size itself.

    Args:
        size: as the user wrote it.
        labels: the sizes of one kind.
    """
    known = [_plain(label) for label in labels]
    number = size.strip()
    if not _NUMBER.fullmatch(number) or number in known or not any(_TELLS_UNIT.search(label) for label in known):
        return ()
    if "," in number and not _COMMA_FOR_POINT.fullmatch(number):
        return ()
    number = number.replace(",", ".")
    return f"{number} L", f"{number} mm"


def rightly_written(size: str) -> str:
    """How a size that was written otherwise is written here: `L18` as 18 L, `11,5 mm` with a point; else empty."""
    turned = _LINE_FIRST.fullmatch(size.strip())
    if turned is not None:
        return f"{turned[1]} L"
    comma = _WITH_COMMA.fullmatch(" ".join(size.split()))
    return f"{comma[1]}.{comma[2]}{comma[3]}" if comma is not None else ""


def _find_equal_length(size: str, labels: tuple[str, ...]) -> str | None:
    wanted = _length_and_rest(size)
    if wanted is None:
        return None
    for label in labels:
        found = _length_and_rest(label)
        if found is not None and found[1] == wanted[1] and abs(found[0] - wanted[0]) < _SAME_LENGTH_MM:
            return label
    return None


def length_mm(size: str) -> float | None:
    """The length in mm that a size is, or None where it is a mere label."""
    found = _length_and_rest(size)
    return None if found is None or found[1] else found[0]


def _length_and_rest(size: str) -> tuple[float, str] | None:
    # Spaces are told apart no further: a long run of them could be shared out in very many ways.
    match = _LABEL.fullmatch(" ".join(size.split()))
    if match is None:
        return None
    lines = lines_of(match["length"])
    if lines is not None:
        return lines * 25.4 / 40, folded(match["rest"] or "")
    from closures.lengths import parse_length_mm

    try:
        return parse_length_mm(match["length"], sizes=True, zero=False), folded(match["rest"] or "")
    except LengthError:
        return None


def _plain(size: str) -> str:
    text = " ".join(size.casefold().split())
    text = re.sub(r"(?<=\d)\s*(?:lines|line|lignes|ligne|l)\b", " l", text)
    text = re.sub(r"(?<=\d)\s*mm\b", " mm", text)
    return text
