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
# The letter of a command and the numbers that it takes once.
Command = tuple[str, tuple[float, ...]]

_NUMBERS_EACH = {"M": 2, "Z": 0, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}


def read_path_data(text: str, where: str) -> list[Command]:
    """Read path data whole, or refuse it.

    Args:
        text: the data.
        where: the place for messages.

    Returns:
        Commands as they are written, each with the numbers that it takes once; what follows an M is an L.

    Raises:
        DrawingError: it is empty, garbled, not finite or too long.
    """
    data = text.strip()
    if not data or data[0] not in "Mm":
        raise _garbled("does not begin with M" if data else "has no path data", data, where)
    end = 0
    commands: list[Command] = []
    for match in _COMMANDS.finditer(data):
        if match.start() != end:
            break
        end = match.end()
        commands += _commands(match[1], match[2], where)
        if len(commands) > MOST_SEGMENTS:
            raise too_many(where)
    if end != len(data):
        raise _garbled("holds something else", data[end : end + 12], where)
    return commands


def check_path_data(text: str, where: str) -> None:
    """Refuse path data that is not one open line, told from what is written.

    Raises:
        DrawingError: as for `read_path_data`; or it is in several parts, or closed.
    """
    letters = "".join(letter.upper() for letter, _ in read_path_data(text, where))
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
    _finite(numbers, where)


def read_points(text: str) -> list[tuple[float, float]]:
    """The points of a polyline that was checked."""
    numbers = [float(word) for word in _NUMBERS.findall(text)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _commands(letter: str, arguments: str, where: str) -> list[Command]:
    """A letter and what follows it as single commands."""
    if letter in "Aa":
        return _arcs(letter, arguments, where)
    if not _only_numbers(arguments):
        raise _garbled("holds something that is not a number", letter + arguments, where)
    numbers = _NUMBERS.findall(arguments)
    each = _NUMBERS_EACH[letter.upper()]
    if (each == 0 and numbers) or (each and (not numbers or len(numbers) % each)):
        raise _garbled(f"has a {letter} with {len(numbers)} numbers after it", letter + arguments, where)
    if each == 0:
        return [(letter, ())]
    found = _finite(numbers, where)
    following = {"M": "L", "m": "l"}.get(letter, letter)
    return [(following if i else letter, tuple(found[i : i + each])) for i in range(0, len(found), each)]


def _arcs(letter: str, arguments: str, where: str) -> list[Command]:
    arcs: list[Command] = []
    place = 0
    while place < len(arguments):
        found = []
        for part in _ARC:
            match = part.match(arguments, _past_spaces(arguments, place))
            if match is None:
                raise _garbled("has an arc that is not whole", letter + arguments, where)
            found.append(match[0])
            place = match.end()
        arcs.append((letter, tuple(_finite(found, where))))
        place = _past_spaces(arguments, place)
    if not arcs:
        raise _garbled("has an arc that is not whole", letter, where)
    return arcs


def _only_numbers(text: str) -> bool:
    """Whether a text is numbers with spaces and commas between them, and nothing else."""
    return not _NUMBERS.sub("", text).strip(" \t\r\n\f\v,")


def _past_spaces(text: str, place: int) -> int:
    match = _BETWEEN.match(text, place)
    return place if match is None else match.end()


def _finite(words: Sequence[str], where: str) -> list[float]:
    numbers = [float(word) for word in words]
    if not all(map(math.isfinite, numbers)):
        odd = next(word for word, number in zip(words, numbers, strict=True) if not math.isfinite(number))
        raise _garbled("holds a number that is not finite", odd, where)
    return numbers


def _garbled(what: str, text: str, where: str) -> DrawingError:
    short = " ".join(text.split())[:24]
    return DrawingError(
        f"this line {what}" + (f" ('{short}')" if short else ""),
        where=where,
        mend="Draw it again, or save the drawing as plain SVG.",
    )
