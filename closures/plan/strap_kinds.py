"""The kinds of value that only straps have: lists of places, and a size chart."""

from __future__ import annotations

from closures.lengths import shown_value
from closures.plan.kinds import Faults, Place, length, pair, text
from closures.plan.strap_values import SpotWish

MOST_SPOTS = 100
"""Closures on one end of a strap: far beyond any belt."""

MOST_SIZES = 40


def lengths(value: object, place: Place) -> tuple[float, ...]:
    """Take a list of lengths, and give them in mm, smallest first."""
    if not isinstance(value, list) or not value:
        raise place.error(
            f"{_counted(value)} is not a list of distances", 'Write one or more, such as ["20 mm", "70 mm"].'
        )
    _refuse_many(value, place)
    faults = Faults()
    read = [faults.read(length(zero=False), one, place.inner(f"number {n}")) for n, one in enumerate(value, 1)]
    faults.raise_if_any()
    if len(set(read)) < len(read):
        raise place.error("two of them are at one distance", "Write every place once.")
    return tuple(sorted(read))


def spots(value: object, place: Place) -> tuple[SpotWish, ...]:
    """Take a list of places: each a distance from the tip, or that and a height from the lower edge."""
    if not isinstance(value, list) or not value:
        raise place.error(
            f"{_counted(value)} is not a list of places",
            'Write one or more distances from the tip, such as ["13 mm", "33 mm"], or with heights from the '
            'lower edge [["12 mm", "10 mm"], ["12 mm", "25 mm"]].',
        )
    _refuse_many(value, place)
    read_pair = pair(length(zero=False), "the distance from the tip and the height", "12 mm", "10 mm")
    faults = Faults()
    read = []
    for n, one in enumerate(value, 1):
        inner = place.inner(f"number {n}")
        if isinstance(one, list):
            both = faults.read(read_pair, one, inner)
            read.append(None if both is None else SpotWish(*both))
        else:
            only = faults.read(length(zero=False), one, inner)
            read.append(None if only is None else SpotWish(only))
    faults.raise_if_any()
    if len(set(read)) < len(read):
        raise place.error("two of them are one place", "Write every place once.")
    return tuple(spot for spot in read if spot is not None)


def size_chart(value: object, place: Place) -> tuple[tuple[str, float], ...]:
    """Take a table of sizes, name to waist, and give it smallest first."""
    if not isinstance(value, dict) or not value:
        raise place.error(
            f"{_counted(value)} is not a table of sizes", 'Write { S = "26 in", M = "28 in", L = "30 in" }.'
        )
    if len(value) > MOST_SIZES:
        raise place.error(f"{len(value)} sizes are too many", f"Keep it to {MOST_SIZES}.")
    faults = Faults()
    read = [
        (faults.read(text, name, place.inner("name")), faults.read(length(zero=False), waist, place.inner(name)))
        for name, waist in value.items()
    ]
    faults.raise_if_any()
    return tuple(sorted(read, key=lambda row: row[1]))


def _refuse_many(value: list[object], place: Place) -> None:
    if len(value) > MOST_SPOTS:
        raise place.error(f"{len(value)} places are too many", f"Keep it to {MOST_SPOTS}.")


def _counted(value: object) -> str:
    return f"a list of {len(value)}" if isinstance(value, list) else shown_value(value)
