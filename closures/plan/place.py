"""Places on a line, as a plan tells them, and how far points of a line move."""

from __future__ import annotations

import unicodedata

from closures.errors import LengthError
from closures.frozen import frozen
from closures.lengths import shown_value
from closures.plan.kinds import Faults, Place, any_length, kind, pair, points, text, whole

MOST_WHICH = 1000
MOST_CUTS = 20
MOST_MATCHES = 50

Move = tuple[float, float]
"""How far a point moves, across and down in mm; or a level and how much longer an edge becomes there."""

point = pair(any_length, "across and down", "6 mm", "80 mm")


@frozen
class LevelPlace:
    """Where a line lies at a level.

    Attributes:
        level_mm: straight down from the level zero where the plan gives one, else from the drawing's own zero.
        which: the crossing meant where there are several, 1 for the uppermost as the line was drawn.
    """

    level_mm: float
    which: int | None = None


@kind("id, or a height (y) as a length")
def id_or_level(value: object, place: Place) -> str | float:
    """Take the id of a point in the drawing, or a y: whatever reads as a length is a y."""
    try:
        y_mm: float = any_length(value, place)
        return y_mm
    except LengthError:
        # An XML name cannot begin with a digit, a sign or a point: such a text was meant as a length.
        if not isinstance(value, str) or _begins_like_a_number(value.strip()):
            raise
        return str(text(value, place))


def _begins_like_a_number(value: str) -> bool:
    return bool(value) and (value[0] in "-+−." or unicodedata.category(value[0]).startswith("N"))


PlaceWish = str | tuple[float, float] | LevelPlace
"""A place on a line: an id in the drawing, a point (across, down) in mm, or a level."""


@kind("*place*", "place")
def place_on_line(value: object, place: Place) -> PlaceWish:
    """Take a place on a line: an id, a point, or ``{ level = "120 mm", which = 1 }``."""
    if isinstance(value, str):
        return str(text(value, place))
    if isinstance(value, list):
        across, down = point(value, place)
        return (across, down)
    if isinstance(value, dict) and "level" in value and not set(value) - {"level", "which"}:
        faults = Faults()
        level = faults.read(any_length, value["level"], place.inner("level"))
        which = None
        if "which" in value:
            which = faults.read(whole(1, MOST_WHICH), value["which"], place.inner("which"))
        faults.raise_if_any()
        return LevelPlace(level, which)
    raise place.error(
        f"{shown_value(value)} is not a place",
        'Write an id, a point such as ["12 mm", "340 mm"], or { level = "340 mm" }.',
    )


@kind("list of two *places*", "points")
def matches(value: object, place: Place) -> tuple[tuple[PlaceWish, PlaceWish], ...]:
    """Take pairs of places that are sewn level with each other."""
    if not isinstance(value, list) or not 0 < len(value) <= MOST_MATCHES:
        raise place.error(f"{shown_value(value)} matches nothing", 'Write [["over-notch", "under-notch"]].')
    faults = Faults()
    found = []
    for n, one in enumerate(value, start=1):
        inner = place.inner(f"number {n}")
        if not isinstance(one, list) or len(one) != 2:
            faults.found.extend(
                inner.error(
                    f"{shown_value(one)} is not two places",
                    'Write ["over-notch", "under-notch"], the over lap\'s first.',
                ).faults
            )
            continue
        places = [faults.read(place_on_line, point, inner) for point in one]
        found.append((places[0], places[1]))
    faults.raise_if_any()
    return tuple(found)


@kind("list of `[across, down]`", "points")
def moves(value: object, place: Place) -> tuple[Move, ...]:
    """Take how far each control point moves: the first and the last end, or all of them."""
    read: tuple[Move, ...] = points(value, place)
    return read


@kind("list of `[level, by]`", "points")
def cuts(value: object, place: Place) -> tuple[Move, ...]:
    """Take a list of levels and how much longer the edge becomes there."""
    if not isinstance(value, list) or not 0 < len(value) <= MOST_CUTS:
        raise place.error(f"{shown_value(value)} lengthens nothing", 'Write [["300 mm", "15 mm"]], the level and by.')
    faults = Faults()
    read_pair = pair(any_length, "the level and by how much", "300 mm", "15 mm")
    read = tuple(faults.read(read_pair, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1))
    faults.raise_if_any()
    return read
