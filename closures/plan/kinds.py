"""The kinds of value that a plan holds: each reads one value, or says what is wrong with it."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from closures.errors import ClosureError, Fault, LengthError, PlanError
from closures.lengths import parse_length_mm, shown_value
from closures.nearest import nearest_name
from closures.plan.values import Range

LONGEST_TEXT = 200
"""Characters: a title of this length already fills a sheet's width several times."""

MOST_POINTS = 1000
"""Measured points of one edge; nobody measures more, and each costs time in every step after."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a value stands, so that a message can name it.

    Attributes:
        where: as the user knows it, for example ``front.toml, [band] width``.
        key: what the value is called there, for example ``width``.
        units: what a bare number means.
        in_file: the value stands in a file, where two lengths make a list; on a command line
            they are one text.
    """

    where: str
    key: str
    units: str
    in_file: bool = True

    def inner(self, name: str) -> Place:
        """Name a place inside this one."""
        return replace(self, where=f"{self.where} {name}", key=name)

    def two(self, low: str, high: str) -> str:
        """Show two lengths as they would be written here."""
        return f'["{low}", "{high}"]' if self.in_file else f'"{low} to {high}"'

    def error(self, what: str, mend: str) -> PlanError:
        """Make the error of a value that stands here."""
        return PlanError(what, where=self.where, mend=mend)


Kind = Callable[[object, Place], Any]
"""Reads one value; raises a ClosureError that names the place."""


class Faults:
    """Gathers what is wrong, so that a file is mended in one go."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def read(self, kind: Kind, value: object, place: Place) -> Any:
        """Read a value; on an error keep its faults and answer None."""
        try:
            return kind(value, place)
        except ClosureError as error:
            self.found.extend(error.faults)
            return None

    def raise_if_any(self) -> None:
        """Raise everything gathered as one PlanError."""
        if self.found:
            raise PlanError.of(tuple(self.found))


def length(*, least_mm: float | None = 0, zero: bool = True) -> Kind:
    """Take a length, and give it in mm."""

    def read(value: object, place: Place) -> float:
        return parse_length_mm(value, place.units, least_mm=least_mm, zero=zero, where=place.where)

    return read


def text(value: object, place: Place) -> str:
    """Take a text of one line that is not empty, without the spaces around it."""
    if not isinstance(value, str):
        raise place.error(f"{shown_value(value)} is not a text", "Write it between quotes.")
    stripped = value.strip()
    if not stripped:
        raise place.error("the text is empty", "Write something, or leave it out.")
    if len(stripped) > LONGEST_TEXT:
        raise place.error(f"a text of {len(stripped)} characters is too long", f"Keep it to {LONGEST_TEXT} characters.")
    if any(_is_unprintable(sign) for sign in stripped):
        raise place.error(
            f"{shown_value(stripped)} holds a character that cannot be printed", "Write it again on one line."
        )
    return stripped


def whole(least: int, most: int) -> Kind:
    """Take a whole number between two limits."""

    def read(value: object, place: Place) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise place.error(
                f"{shown_value(value)} is not a whole number",
                f"Write {least} or more, without quotes or a point.",
            )
        if value < least:
            raise place.error(f"{shown_value(value)} is too few", f"Write {least} or more.")
        if value > most:
            raise place.error(f"{shown_value(value)} is too many", f"Write {most} or less.")
        return value

    return read


def yes_or_no(value: object, place: Place) -> bool:
    """Take true or false."""
    if not isinstance(value, bool):
        raise place.error(f"{shown_value(value)} is neither true nor false", "Write true or false, without quotes.")
    return value


def choice(*words: str) -> Kind:
    """Take one of a few words, whatever their capitals."""
    listed = " or ".join(f'"{word}"' for word in words)

    def read(value: object, place: Place) -> str:
        word = " ".join(value.lower().split()) if isinstance(value, str) else None
        if word in words:
            return word
        near = nearest_name(word, words) if word else None
        mend = f'Write "{near}".' if near else f"Write {listed}."
        raise place.error(f"{shown_value(value)} is not one of {', '.join(words)}", mend)

    return read


def pair(kind: Kind, what: str, low: str, high: str) -> Kind:
    """Take a list of two values; the example of what they are is for messages."""

    def read(value: object, place: Place) -> tuple[Any, Any]:
        if not isinstance(value, list) or len(value) != 2:
            raise place.error(f"{_counted(value)} is not two lengths", f"Write {what}, such as {place.two(low, high)}.")
        faults = Faults()
        first = faults.read(kind, value[0], place)
        second = faults.read(kind, value[1], place)
        faults.raise_if_any()
        return first, second

    return read


def span(*, least_mm: float | None = 0) -> Kind:
    """Take a list of two lengths, the smaller first, and give a Range."""
    read_pair = pair(length(least_mm=least_mm), "the first and the second", "15 in", "17 in")

    def read(value: object, place: Place) -> Range:
        low, high = read_pair(value, place)
        return ordered(low, high, place)

    return read


def rising(most: int) -> Kind:
    """Take a list of lengths, each further than the one before."""

    def read(value: object, place: Place) -> tuple[float, ...]:
        example = 'such as ["60 mm", "147 mm", "234 mm"]'
        if not isinstance(value, list) or not value:
            raise place.error(f"{_counted(value)} tells no places", f"Write a list of lengths, {example}.")
        if len(value) > most:
            raise place.error(f"{len(value)} places are too many", f"Keep it to {most}.")
        faults = Faults()
        read = tuple(faults.read(length(), one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1))
        faults.raise_if_any()
        for n, (before, after) in enumerate(pairwise(read), start=2):
            if after <= before:
                what = f"number {n} does not lie beyond the one before it"
                raise place.error(what, "Write the places in order from the first end, each once.")
        return read

    return read


def grip(value: object, place: Place) -> tuple[float, float]:
    """Take the least and the most thickness that a closure clamps."""
    low, high = pair(length(), "the least and the most", "0.5 mm", "1.5 mm")(value, place)
    if high == 0:
        raise place.error("the range is nothing", "Write the most that it clamps, more than 0.")
    read = ordered(low, high, place)
    return read.low_mm, read.high_mm


def length_or_range(value: object, place: Place) -> Range:
    """Take one length, or a table of two: { from = "1/2 in", to = "3/4 in" }."""
    example = 'Write one length, or { from = "1/2 in", to = "3/4 in" }.'
    if not place.in_file:
        example = 'Write one length, or "1/2 in to 3/4 in".'
    if not isinstance(value, dict):
        if isinstance(value, list):
            raise place.error("a list is not a length", example)
        only = length()(value, place)
        return Range(only, only)
    strange = [key for key in value if key not in ("from", "to")]
    if strange or len(value) != 2:
        found = f"it holds {', '.join(map(shown_value, value))}" if value else "it is empty"
        raise place.error(f"a range has a from and a to; {found}", example)
    faults = Faults()
    low = faults.read(length(), value["from"], place.inner("from"))
    high = faults.read(length(), value["to"], place.inner("to"))
    faults.raise_if_any()
    return ordered(low, high, place)


def points(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take a list of at least two points, each across and down."""
    example = 'such as [["0 mm", "0 mm"], ["6 mm", "80 mm"]]'
    if not isinstance(value, list) or len(value) < 2:
        raise place.error(f"{_counted(value)} does not make an edge", f"Write two points or more, {example}.")
    if len(value) > MOST_POINTS:
        raise place.error(f"{len(value)} points are too many", f"Keep it to {MOST_POINTS}.")
    read_point = pair(length(least_mm=None), "across and down", "6 mm", "80 mm")
    faults = Faults()
    read = tuple(faults.read(read_point, point, place.inner(f"point {n}")) for n, point in enumerate(value, start=1))
    faults.raise_if_any()
    return read


def id_or_level(value: object, place: Place) -> str | float:
    """Take the id of a point in the drawing, or a y: whatever reads as a length is a y."""
    try:
        y_mm: float = length(least_mm=None)(value, place)
        return y_mm
    except LengthError:
        # An XML name cannot begin with a digit, a sign or a point: such a text was meant as a length.
        if not isinstance(value, str) or _begins_like_a_number(value.strip()):
            raise
        return str(text(value, place))


def ordered(low_mm: float, high_mm: float, place: Place) -> Range:
    """Make a Range of two lengths that stand in their order."""
    if low_mm > high_mm:
        raise place.error("the range runs backwards, from more to less", "Write the smaller first.")
    return Range(low_mm, high_mm)


def _counted(value: object) -> str:
    return f"a list of {len(value)}" if isinstance(value, list) else shown_value(value)


def _begins_like_a_number(value: str) -> bool:
    return bool(value) and (value[0] in "-+−." or unicodedata.category(value[0]).startswith("N"))


def _is_unprintable(sign: str) -> bool:
    # Controls, lone surrogates, line and paragraph breaks; and the two that XML has no place for.
    return unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") or sign in "\ufffe\uffff"
