"""The kinds of value that only the sections of sizes hold."""

from __future__ import annotations

from closures.lengths import shown_value
from closures.plan.kinds import Faults, Kind, Place, length, pair, points, text
from closures.plan.size_values import BySize, LongerWish, Move

MOST_SIZES = 40
"""Twice the widest size range on sale."""

MOST_STEPS = 100.0
MOST_LINES = 20
_move = pair(length(least_mm=None), "across and down", "2 mm", "6 mm")


def size_names(value: object, place: Place) -> tuple[str, ...]:
    """Take the names of the sizes, each once."""
    if not isinstance(value, list) or not value:
        raise place.error(f"{shown_value(value)} is not a list of sizes", 'Write ["8", "10", "12"].')
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


def with_size(value: object, place: Place) -> str:
    """Take an id in which ``{size}`` stands for the name of the size."""
    read = str(text(value, place))
    if "{size}" not in read:
        raise place.error(f"{shown_value(value)} names the same line for every size", f'Write "{read}-{{size}}".')
    return read


def by_size(kind: Kind, step: Kind) -> Kind:
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
        table = tuple((str(name), faults.read(kind, one, place.inner(str(name)))) for name, one in value.items())
        faults.raise_if_any()
        return BySize(table)

    return read


def by_name(kind: Kind) -> Kind:
    """Take a table of anchors or clear zones, each with a table by size."""

    def read(value: object, place: Place) -> tuple[tuple[str, BySize], ...]:
        if not isinstance(value, dict) or not value:
            raise place.error(f"{shown_value(value)} names nothing", 'Write { "bust point" = { step = "4 mm" } }.')
        faults = Faults()
        named = tuple((str(name), faults.read(kind, one, place.inner(str(name)))) for name, one in value.items())
        faults.raise_if_any()
        return named

    return read


def points_by_size(value: object, place: Place) -> tuple[tuple[str, tuple[Move, ...]], ...]:
    """Take a table of measured points for each size."""
    if not isinstance(value, dict) or not value:
        raise place.error(
            f"{shown_value(value)} tells no points", 'Write { "8" = [["0 mm", "0 mm"], ["6 mm", "80 mm"]], ... }.'
        )
    faults = Faults()
    read = tuple((str(name), faults.read(points, one, place.inner(str(name)))) for name, one in value.items())
    faults.raise_if_any()
    return read


def moves(value: object, place: Place) -> tuple[Move, ...]:
    """Take how far each control point moves: the first and the last end, or all of them."""
    read: tuple[Move, ...] = points(value, place)
    return read


def one_or_two_lengths(value: object, place: Place) -> tuple[float, float]:
    """Take how far both ends of a stretch move: one length, or two."""
    if isinstance(value, list):
        low, high = _move(value, place)
        return (low, high)
    both = length(least_mm=None)(value, place)
    return (both, both)


def step_numbers(value: object, place: Place) -> tuple[float, ...]:
    """Take how many steps each size lies from the base."""
    if not isinstance(value, list) or not value:
        raise place.error(f"{shown_value(value)} is not a list of numbers", "Write [-1, 0, 1, 2.5].")
    for one in value:
        if isinstance(one, bool) or not isinstance(one, int | float) or not abs(one) <= MOST_STEPS:
            raise place.error(f"{shown_value(one)} is not a number of steps", "Write [-1, 0, 1, 2.5].")
    return tuple(float(one) for one in value)


def length_changes(value: object, place: Place) -> tuple[LongerWish, ...]:
    """Take a list of named lines and how much longer the pattern becomes there."""
    example = 'Write [{ line = "above the waist", level = "300 mm", by = "15 mm" }].'
    if not isinstance(value, list) or not 0 < len(value) <= MOST_LINES:
        raise place.error(f"{shown_value(value)} changes no length", example)
    faults = Faults()
    read = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, dict) or set(one) != {"line", "level", "by"}:
            raise inner.error(f"{shown_value(one)} does not tell a line, a level and a length", example)
        line = faults.read(text, one["line"], inner.inner("line"))
        level = faults.read(length(least_mm=None), one["level"], inner.inner("level"))
        by = faults.read(length(least_mm=None), one["by"], inner.inner("by"))
        if by == 0:
            raise inner.error("nothing is added and nothing taken away", "Leave this line out.")
        read.append(LongerWish(line, level, by))
    faults.raise_if_any()
    return tuple(read)


def cuts(value: object, place: Place) -> tuple[Move, ...]:
    """Take a list of levels and how much longer the edge becomes there."""
    if not isinstance(value, list) or not 0 < len(value) <= MOST_LINES:
        raise place.error(f"{shown_value(value)} lengthens nothing", 'Write [["300 mm", "15 mm"]], the level and by.')
    faults = Faults()
    read_pair = pair(length(least_mm=None), "the level and by how much", "300 mm", "15 mm")
    read = tuple(faults.read(read_pair, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1))
    faults.raise_if_any()
    return read
