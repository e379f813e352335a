"""What the data of a path must be before it is trusted to be read whole."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from closures.edges.judged import MOST_SEGMENTS, closed, too_many
from closures.errors import DrawingError

# No two parts of a pattern may take the same signs: one that can be cut in several ways tries them all, and a path
# of a hundred digits would never end.
_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBERS = re.compile(_NUMBER)
_COMMANDS = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_BETWEEN = re.compile(r"[\s,]*")
_FLAG = re.compile(r"[01]")
# The two flags of an arc may be written with nothing between them (SVG 2, section 9.3.9).
_ARC = (_NUMBERS, _NUMBERS, _NUMBERS, _FLAG, _FLAG, _NUMBERS, _NUMBERS)
_NUMBERS_EACH = {"M": 2, "Z": 0, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}


def check_path_data(text: str, where: str, *, one_open: bool = True) -> None:
    """Refuse path data that a reader would cut short.

    Args:
        text: the data.
        where: the place for messages.
        one_open: refuse also what is not one open line.

    Raises:
        DrawingError: it is empty, garbled, not finite, too long, in several parts, or closed.
    """
    data = text.strip()
    found = list(_COMMANDS.finditer(data))
    if not found or data[0] not in "Mm":
        raise _garbled("has no path data" if not data else "does not begin with M", data, where)
    end = 0
    segments = 0
    for match in found:
        if match.start() != end:
            break
        end = match.end()
        segments += _count(match[1], match[2], where)
        if segments > MOST_SEGMENTS:
            raise too_many(where)
    if end != len(data):
        raise _garbled("holds something else", data[end : end + 12], where)
    if not one_open:
        return
    letters = "".join(match[1].upper() for match in found)
    if letters.count("M") > 1:
        raise DrawingError(
            f"this path has {letters.count('M')} separate parts",
            where=where,
            mend="Break it apart and name the one that is the line.",
        )
    if "Z" in letters:
        raise closed(where)


def check_points(text: str, where: str) -> None:
    """Refuse the points of a polyline that a reader would cut short.

    Raises:
        DrawingError: they are garbled, not finite, odd in number, or too many.
    """
    if not _only_numbers(text):
        raise _garbled("has points that are not numbers", text, where)
    numbers = _NUMBERS.findall(text)
    if len(numbers) > 2 * MOST_SEGMENTS:
        raise too_many(where)
    if len(numbers) % 2 or not numbers:
        raise _garbled("has an odd number of coordinates" if numbers else "has no points", text, where)
    _refuse_endless(numbers, where)


def _count(letter: str, arguments: str, where: str) -> int:
    """The number of segments that a command draws."""
    if letter in "Aa":
        arcs, place = 0, 0
        while place < len(arguments):
            found = []
            for part in _ARC:
                match = part.match(arguments, _past_spaces(arguments, place))
                if match is None:
                    raise _garbled("has an arc that is not whole", letter + arguments, where)
                found.append(match[0])
                place = match.end()
            _refuse_endless(found, where)
            arcs, place = arcs + 1, _past_spaces(arguments, place)
        if arcs == 0:
            raise _garbled("has an arc that is not whole", letter, where)
        return arcs
    if not _only_numbers(arguments):
        raise _garbled("holds something that is not a number", letter + arguments, where)
    numbers = _NUMBERS.findall(arguments)
    each = _NUMBERS_EACH[letter.upper()]
    if (each == 0 and numbers) or (each and (not numbers or len(numbers) % each)):
        raise _garbled(f"has a {letter} with {len(numbers)} numbers after it", letter + arguments, where)
    _refuse_endless(numbers, where)
    return len(numbers) // each if each else 1


def _only_numbers(text: str) -> bool:
    """Whether a text is numbers with spaces and commas between them, and nothing else."""
    return not _NUMBERS.sub("", text).strip(" \t\r\n\f\v,")


def _past_spaces(text: str, place: int) -> int:
    match = _BETWEEN.match(text, place)
    return place if match is None else match.end()


def _refuse_endless(numbers: Sequence[str], where: str) -> None:
    for number in numbers:
        if not math.isfinite(float(number)):
            raise _garbled("holds a number that is not finite", number, where)


def _garbled(what: str, text: str, where: str) -> DrawingError:
    short = " ".join(text.split())[:24]
    return DrawingError(
        f"this line {what}" + (f" ('{short}')" if short else ""),
        where=where,
        mend="Draw it again, or save the drawing as plain SVG.",
    )
