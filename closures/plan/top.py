"""The keys before the first section: the plan's title, its units, and the files it names."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from closures.frozen import frozen
from closures.lengths import shown_value, unit_of
from closures.nearest import INCH_ABROAD
from closures.plan.drawn import against_drawing
from closures.plan.kinds import Place, choice, file_name, text
from closures.plan.section import Key, Section

Units = Literal["mm", "in"]


@frozen
class Bare:
    """Numbers without a unit in a plan that does not say what they are.

    Attributes:
        told: what is said of them, a sentence or none.
        is_all: no length of the plan has a unit.
        named: the numbers, each with its key, where other lengths have their unit.
    """

    told: tuple[str, ...] = ()
    is_all: bool = False
    named: str = ""


NOT_BARE = Bare()

_CHOICE = choice("mm", "in")


def _units(value: object, place: Place) -> str:
    """Take mm or in; of another unit say how lengths in it are told."""
    word = " ".join(value.lower().split()) if isinstance(value, str) else ""
    unit = unit_of(f"1 {word}") or ("in" if word in INCH_ABROAD else None)
    if unit in _CHOICE.choices and word != unit:
        raise place.error(f"{shown_value(value)} is not one of mm, in", f'Write "{unit}".')
    if unit is not None and unit not in _CHOICE.choices:
        mend = f'Write "mm" or "in", and {unit} behind every length that is in {unit}, as in "60 {unit}".'
        raise place.error(f"{shown_value(value)} is not one of mm, in", mend)
    return str(_CHOICE(value, place))


units_of_numbers = replace(_CHOICE, read=_units)
"""What bare numbers are in."""

TOP = Section(
    name="",
    title="Title and files",
    keys=(
        Key(
            "title",
            text,
            '"Summer dress"',
            "printed on the sheets",
            label="Title",
            hint="Printed on the sheets",
            default="the file's name",
            option="--title",
            says="Printed on the sheets.",
        ),
        Key(
            "units",
            units_of_numbers,
            '"mm"',
            "what a bare number means, and what you are answered in first",
            label="Lengths in",
            default='"mm"',
            option="--units",
            says="What a bare number means: mm or in.",
        ),
        Key(
            "drawing",
            file_name,
            '"front.svg"',
            "a drawing (SVG, [DXF](../how-to/to-a-cutter.md), [PDF](../how-to/from-a-pdf-pattern.md)) or a "
            "[picture](../how-to/from-a-paper-pattern.md), looked up beside the plan",
            label="Drawing",
            default="none",
            option="--drawing",
            says="The file of a drawing that holds the edge.",
        ),
        Key(
            "supplies",
            file_name,
            '"my-pack.toml"',
            "[your own fasteners and cloths](../how-to/own-pack.md), beside the plan",
            label="Your own supplies",
            default="none",
            option="--supplies",
            says="A file of your own fasteners and cloths.",
        ),
    ),
    value=dict,
    against=against_drawing,
)
