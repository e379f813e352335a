"""Figures that differ from size to size, and the kinds of value that tell them."""

from __future__ import annotations

import json
import re
from typing import Any

from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.kinds import Faults, Kind, Place, any_length, kind, points, text
from closures.plan.place import Move, point

MOST_SIZES = 40
"""Twice the widest size range on sale."""

MOST_STEPS = 100.0

_SIZE = r"(?:\d{1,3}|\d?X{0,3}[SML])"
_RUN_TOGETHER = re.compile(rf"{_SIZE}(?:\s+{_SIZE})+")
"""Several sizes in one name, as they are written where no comma parts them; "14 W" is one size."""


@frozen
class BySize:
    """A figure that differs from size to size: a table, or a step from the base's own figure.

    Attributes:
        table: size and figure; empty where a step is given.
        step: how much is added with every step, None where a table is given.
    """

    table: tuple[tuple[str, Any], ...] = ()
    step: Any = None

    def of(self, name: str) -> Any:
        """The figure of a size in the table, None where it holds none."""
        return dict(self.table).get(name)


@kind(f"list of texts, 1 to {MOST_SIZES}", "names")
def size_names(value: object, place: Place) -> tuple[str, ...]:
    """Take the names of the sizes, each once."""
    if not isinstance(value, list) or not value:
        raise place.error(f"{shown_value(value)} is not a list of sizes", 'Write ["8", "10", "12"].')
    if len(value) == 1 and _RUN_TOGETHER.fullmatch(str(value[0]).strip()):
        each = str(value[0]).split()
        told = f"{shown_value(value[0])} is one name, and reads like {len(each)} sizes"
        raise place.error(told, f"Write {json.dumps(each)}.")
    if len(value) > MOST_SIZES:
        raise place.error(f"{len(value)} sizes are too many", f"Keep it to {MOST_SIZES}.")
    faults = Faults()
    names = tuple(
        faults.read(text, str(one) if isinstance(one, int) and not isinstance(one, bool) else one, place.inner(f"{n}"))
        for n, one in enumerate(value, start=1)
    )
    faults.raise_if_any()
    double = next((name for name in names if names.count(name) > 1), None)
    if double is not None:
        raise place.error(f"size {double} stands there twice", "Write every size once.")
    if "step" in names:
        raise place.error('a size cannot be called "step"', "That word tells how much a figure grows with each size.")
    return names


@kind("id with `{size}`")
def with_size(value: object, place: Place) -> str:
    """Take an id in which ``{size}`` stands for the name of the size."""
    read = str(text(value, place))
    if "{size}" not in read:
        raise place.error(f"{shown_value(value)} names the same line for every size", f'Write "{read}-{{size}}".')
    return read


def by_size(one: Kind, step: Kind) -> Kind:
    """Take a table of one value for each size, or ``{ step = ... }``."""

    def read(value: object, place: Place) -> BySize:
        example = 'Write { "8" = "201 mm", "10" = "205 mm" }, or { step = "4 mm" } from the base.'
        if not isinstance(value, dict) or not value:
            raise place.error(f"{shown_value(value)} tells nothing by size", example)
        faults = Faults()
        if "step" in value:
            if len(value) > 1:
                raise place.error("it holds a step and sizes as well", example)
            grown = faults.read(step, value["step"], place.inner("step"))
            faults.raise_if_any()
            return BySize(step=grown)
        table = tuple((str(name), faults.read(one, own, place.inner(str(name)))) for name, own in value.items())
        faults.raise_if_any()
        return BySize(table)

    return Kind(read, f"{one.words.partition(',')[0]} by size", "table", parts=one)


def by_name(one: Kind, words: str) -> Kind:
    """Take a table of anchors or clear zones, each with a table by size."""

    def read(value: object, place: Place) -> tuple[tuple[str, BySize], ...]:
        if not isinstance(value, dict) or not value:
            raise place.error(f"{shown_value(value)} names nothing", 'Write { "bust point" = { step = "4 mm" } }.')
        faults = Faults()
        named = tuple((str(name), faults.read(one, own, place.inner(str(name)))) for name, own in value.items())
        faults.raise_if_any()
        return named

    return Kind(read, words, "table", parts=one)


@kind("table, size to points", "table", parts=points)
def points_by_size(value: object, place: Place) -> tuple[tuple[str, tuple[Move, ...]], ...]:
    """Take a table of measured points for each size."""
    if not isinstance(value, dict) or not value:
        example = '{ "8" = [["0 mm", "0 mm"], ["6 mm", "80 mm"]], "10" = [["0 mm", "0 mm"], ["6 mm", "84 mm"]] }'
        if not place.in_file:
            example = '"8: 0 mm, 0 mm; 6 mm, 80 mm", and a line for each other size'
        raise place.error(f"{shown_value(value)} tells no points", f"Write {example}.")
    faults = Faults()
    read = tuple((str(name), faults.read(points, one, place.inner(str(name)))) for name, one in value.items())
    faults.raise_if_any()
    return read


@kind("length, or two", "stretch")
def one_or_two_lengths(value: object, place: Place) -> tuple[float, float]:
    """Take how far both ends of a stretch move: one length, or two."""
    if isinstance(value, list):
        low, high = point(value, place)
        return (low, high)
    both = any_length(value, place)
    return (both, both)


@kind("list of numbers", "numbers")
def step_numbers(value: object, place: Place) -> tuple[float, ...]:
    """Take how many steps each size lies from the base."""
    if not isinstance(value, list) or not value:
        raise place.error(f"{shown_value(value)} is not a list of numbers", "Write [-1, 0, 1, 2.5].")
    for one in value:
        if isinstance(one, bool) or not isinstance(one, int | float) or not abs(one) <= MOST_STEPS:
            raise place.error(f"{shown_value(one)} is not a number of steps", "Write [-1, 0, 1, 2.5].")
    return tuple(float(one) for one in value)
