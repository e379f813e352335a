"""The kinds of value that a plan holds: each reads one value, or says what is wrong with it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, Literal

from closures.errors import ClosureError, Fault, PlanError, Where
from closures.frozen import frozen
from closures.lengths import parse_length_mm, shown_value
from closures.nearest import name_within, nearest_name, nearest_whole
from closures.plan.one_line import told_twice, two_of
from closures.plan.thousands import refuse_parted_thousands

LONGEST_TEXT = 200
"""Characters: a title of this length already fills a sheet's width several times."""

MOST_POINTS = 1000
"""Measured points of one edge; nobody measures more, and each costs time in every step after."""

Shape = Literal[
    "text",
    "whole",
    "number",
    "switch",
    "choice",
    "range",
    "stretch",
    "list",
    "numbers",
    "names",
    "place",
    "points",
    "pixels",
    "table",
    "tables",
]
"""How a value is written on one line, as an option or in a field of the page: see `one_line`."""


@frozen
class Range:
    """From one length to another, both in mm, low first; the two may be equal."""

    low_mm: float
    high_mm: float


@frozen
class Place:
    """Where a value stands, so that a message can name it.

    Attributes:
        where: for example ``front.toml, [band] width``.
        key: what the value is called there, for example ``width``.
        units: what a bare number means.
        in_file: the value stands in a file, where two lengths make a list; on a command line they are one text.
        fitting: of the words that a value may be those that the rest of the plan leaves; empty where all of them do.
    """

    where: Where
    key: str
    units: str
    in_file: bool = True
    fitting: tuple[str, ...] = ()

    def inner(self, name: str) -> Place:
        """Name a place inside this one."""
        return replace(self, where=self.where.inner(name), key=name)

    def two(self, low: str, high: str) -> str:
        """Show two lengths as they would be written here."""
        return f'["{low}", "{high}"]' if self.in_file else f'"{low} to {high}"'

    def error(self, what: str, mend: str) -> PlanError:
        """Make the error of a value that stands here."""
        return PlanError(what, where=self.where, mend=mend)


Names = Literal["cloth", "closure", "size"]
"""What a text may name in the catalogue; a size is one of the closure that is named beside it, under ``kind``."""

Reads = Callable[[object, Place], Any]
"""Reads one value; raises a ClosureError that names the place."""


@frozen
class Kind:
    """A kind of value.

    Attributes:
        read: reads one, as TOML gives it.
        words: what the reference calls it, such as ``length``.
        shape: how it is written on one line.
        choices: the words that it may be; empty where it is none of a few.
        in_mm: what it gives is in mm, and the field that holds it says so.
        parts: of a table, what each of its values is; None for texts.
        is_one_or_more: a list of one may stand as that one alone.
        names: what it names in the catalogue; empty where nothing.
    """

    read: Reads
    words: str
    shape: Shape = "text"
    choices: tuple[str, ...] = ()
    in_mm: bool = False
    parts: Kind | None = None
    is_one_or_more: bool = False
    names: Names | Literal[""] = ""

    def __call__(self, value: object, place: Place) -> Any:
        """Read a value that stands at a place."""
        name = told_twice(self, value)
        if name is not None:
            raise place.error(f"{shown_value(name)} is told twice", "Tell it once.")
        return self.read(value, place)


def kind(
    words: str, shape: Shape = "text", *, in_mm: bool = False, parts: Kind | None = None, is_one_or_more: bool = False
) -> Callable[[Reads], Kind]:
    """Make a function that reads one value a kind of value: see `Kind`."""
    return lambda read: Kind(read, words, shape, (), in_mm, parts, is_one_or_more)


class Faults:
    """Gathers what is wrong, so that a file is mended in one go."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def read(self, kind: Reads, value: object, place: Place) -> Any:
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
        refuse_parted_thousands(value, place.units, place.where)
        return parse_length_mm(value, place.units, least_mm=least_mm, zero=zero, where=place.where)

    return Kind(read, "length" if least_mm is not None else "length, may be negative", in_mm=True)


@kind("text")
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
            f"{shown_value(stripped)} holds a character that cannot be printed",
            "Write it again on one line; in straight quotes write / where a file name has \\.",
        )
    return stripped


def whole(least: int, most: int) -> Kind:
    """Take a whole number between two limits."""

    def read(value: object, place: Place) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            meant = nearest_whole(value if isinstance(value, str) else f"{value:g}" if isinstance(value, float) else "")
            ends = (
                re.fullmatch(r"(\d{1,4}) ?(?:to|or|-|–) ?(\d{1,4})", value.strip()) if isinstance(value, str) else None
            )
            wanted = f"one whole number in figures, {least} or more" if meant is None else meant
            wanted = wanted if ends is None else f"one number, {ends[1]} or {ends[2]}"
            raise place.error(
                f"{shown_value(value)} is not a whole number", f"Write {wanted}, without quotes or a point."
            )
        if value < least:
            raise place.error(f"{shown_value(value)} is too few", f"Write {least} or more.")
        if value > most:
            raise place.error(f"{shown_value(value)} is too many", f"Write {most} or less.")
        return value

    return Kind(read, f"whole number, {least} to {most}", "whole")


@kind("true or false", "switch")
def yes_or_no(value: object, place: Place) -> bool:
    """Take true or false."""
    if not isinstance(value, bool):
        raise place.error(f"{shown_value(value)} is neither true nor false", "Write true or false, without quotes.")
    return value


def choice(*words: str) -> Kind:
    """Take one of a few words, whatever their capitals."""

    def read(value: object, place: Place) -> str:
        word = " ".join(value.lower().split()) if isinstance(value, str) else None
        if word in words:
            return word
        fitting = place.fitting or words
        near = (nearest_name(word, fitting) or name_within(word, fitting)) if word else None
        listed = " or ".join(f'"{one}"' for one in ((near,) if near else fitting))
        raise place.error(f"{shown_value(value)} is not one of {', '.join(fitting)}", f"Write {listed}.")

    return Kind(read, _listed(words), "choice", words)


def pair(kind: Kind, what: str, low: str, high: str) -> Kind:
    """Take a list of two values; the example of what they are is for messages."""

    def read(value: object, place: Place) -> tuple[Any, Any]:
        value = _told_as_two(value) or value
        if not isinstance(value, list) or len(value) != 2:
            raise place.error(f"{_counted(value)} is not two lengths", f"Write {what}, such as {place.two(low, high)}.")
        faults = Faults()
        first = faults.read(kind, value[0], place)
        second = faults.read(kind, value[1], place)
        faults.raise_if_any()
        return first, second

    return Kind(read, "two lengths", "stretch")


def _told_as_two(value: object) -> list[str] | None:
    """Two lengths that are written as one text, ``3 in to 4 in``; None where it is anything else."""
    two = two_of(value) if isinstance(value, str) and len(value) <= LONGEST_TEXT else None
    return two if isinstance(two, list) else None


def span(*, least_mm: float | None = 0) -> Kind:
    """Take a list of two lengths, the smaller first, and give a Range."""
    read_pair = pair(length(least_mm=least_mm), "the first and the second", "15 in", "17 in")

    def read(value: object, place: Place) -> Range:
        low, high = read_pair(value, place)
        return ordered(low, high, place)

    return Kind(read, "stretch", "stretch", in_mm=True)


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

    return Kind(read, "list of lengths, rising", "list", in_mm=True)


@kind("stretch", "stretch", in_mm=True)
def grip(value: object, place: Place) -> tuple[float, float]:
    """Take the least and the most thickness that a closure clamps."""
    low, high = pair(length(), "the least and the most", "0.5 mm", "1.5 mm")(value, place)
    if high == 0:
        raise place.error("the range is nothing", "Write the most that it clamps, more than 0.")
    read = ordered(low, high, place)
    return read.low_mm, read.high_mm


@kind("range", "range")
def length_or_range(value: object, place: Place) -> Range:
    """Take one length, or a table of two: { from = "1/2 in", to = "3/4 in" }."""
    example = 'Write one length, or { from = "1/2 in", to = "3/4 in" }.'
    if not place.in_file:
        example = 'Write one length, or "1/2 in to 3/4 in".'
    two = _told_as_two(value)
    if two is not None:
        value = {"from": two[0], "to": two[1]}
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


@kind("length, may be negative", in_mm=True)
def _as_it_stands(value: object, place: Place) -> float:
    """Take a length of a list that a program may have written, with all its decimals."""
    return parse_length_mm(value, place.units, least_mm=None, where=place.where)


@kind("list of `[across, down]`", "points")
def points(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take a list of at least two points, each across and down."""
    example = 'such as [["0 mm", "0 mm"], ["6 mm", "80 mm"]]'
    if not isinstance(value, list) or len(value) < 2:
        raise place.error(f"{_counted(value)} does not make an edge", f"Write two points or more, {example}.")
    if len(value) > MOST_POINTS:
        raise place.error(f"{len(value)} points are too many", f"Keep it to {MOST_POINTS}.")
    read_point = pair(_as_it_stands, "across and down", "6 mm", "80 mm")
    faults = Faults()
    read = tuple(faults.read(read_point, point, place.inner(f"point {n}")) for n, point in enumerate(value, start=1))
    faults.raise_if_any()
    return read


def ordered(low_mm: float, high_mm: float, place: Place) -> Range:
    """Make a Range of two lengths that stand in their order."""
    if low_mm > high_mm:
        raise place.error("the range runs backwards, from more to less", "Write the smaller first.")
    return Range(low_mm, high_mm)


def some_of(*words: str) -> Kind:
    """Take one or several of a few words, each once."""
    listed = ", ".join(f'"{word}"' for word in words)
    as_meant = {word.lower(): word for word in words}

    def read(value: object, place: Place) -> tuple[Any, ...]:
        given = [value] if isinstance(value, str) else value
        if not isinstance(given, list) or not given:
            raise place.error(f"{shown_value(value)} is not a list of names", f"Write some of {listed}.")
        read: list[str] = []
        for one in given:
            word = " ".join(one.lower().split()) if isinstance(one, str) else ""
            if word not in as_meant:
                near = nearest_name(word, words) if word else None
                mend = f'Write "{near}".' if near else f"Write some of {listed}."
                raise place.error(f"{shown_value(one)} is not one of {', '.join(words)}", mend)
            if as_meant[word] in read:
                raise place.error(f"{shown_value(one)} stands there twice", "Write every name once.")
            read.append(as_meant[word])
        return tuple(read)

    return Kind(read, f"list of {_listed(words)}", "names", words)


file_name = Kind(text.read, "file name")
"""A text that names a file beside the plan."""
in_drawing = Kind(text.read, "id")
"""A text that names a line or a point of the drawing."""

cloth_name = replace(text, names="cloth")
closure_kind = replace(text, names="closure")


def _size(value: object, place: Place) -> str:
    if isinstance(value, int | float) and not isinstance(value, bool):
        mend = f'Write "{value:g} L" for lines, "{value:g} mm" for mm, or "{value:g}" where the pack has a bare number.'
        raise place.error(f"{value:g} is not a size", mend)
    return str(text(value, place))


closure_size = Kind(_size, text.words, names="size")

more_than_nothing = length(zero=False)
any_length = length(least_mm=None)


def _listed(words: Sequence[str]) -> str:
    """Write the words of a choice as the reference does: `"mm"` or `"in"`."""
    quoted = [f'`"{word}"`' for word in words]
    return " or ".join((", ".join(quoted[:-1]), quoted[-1]) if len(quoted) > 1 else quoted)


def _counted(value: object) -> str:
    return f"a list of {len(value)}" if isinstance(value, list) else shown_value(value)


def _is_unprintable(sign: str) -> bool:
    # Controls, lone surrogates, line and paragraph breaks; and the two that XML has no place for.
    return unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") or sign in "\ufffe\uffff"
