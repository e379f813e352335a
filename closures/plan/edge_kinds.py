"""The kinds of value that only the edge's section holds."""

from __future__ import annotations

import math
from typing import Any

from closures.lengths import shown_value
from closures.plan.edge_values import JoinWish, LevelPlace, PlaceWish
from closures.plan.kinds import Faults, Kind, Place, length, pair, points, text, whole

MOST_NAMES = 200
"""Pieces that one edge is joined of: more pages than any pattern has."""

MOST_PIXELS = 100_000
"""Pixels on a side of a picture; a scan of a metre at 1200 dpi has half as many."""

MOST_WHICH = 1000

TABLES = (".csv", ".tsv", ".txt")
"""How the name of a table of points ends."""

_point = pair(length(least_mm=None), "across and down", "6 mm", "80 mm")


def name_or_names(value: object, place: Place) -> str | tuple[str, ...]:
    """Take the name of one line in the drawing, or a list of the pieces it is joined of."""
    if not isinstance(value, list):
        return str(text(value, place))
    if not 0 < len(value) <= MOST_NAMES:
        raise place.error(f"a list of {len(value)} names", f"Write one to {MOST_NAMES} names.")
    faults = Faults()
    names = tuple(faults.read(text, one, place.inner(f"number {n}")) for n, one in enumerate(value, start=1))
    faults.raise_if_any()
    return names


def points_or_file(value: object, place: Place) -> str | tuple[tuple[float, float], ...]:
    """Take measured points, or the name of a file that holds them."""
    if isinstance(value, str) and value.strip().lower().endswith(TABLES):
        return str(text(value, place))
    read: tuple[tuple[float, float], ...] = points(value, place)
    return read


def three_points(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take the three points through which an arc goes."""
    read: tuple[tuple[float, float], ...] = points(value, place)
    if len(read) != 3:
        raise place.error(f"{len(read)} points do not tell an arc", "Write its first end, its middle and its last end.")
    return read


def place_on_line(value: object, place: Place) -> PlaceWish:
    """Take a place on a line: an id, a point, or ``{ level = "120 mm", which = 1 }``."""
    if isinstance(value, str):
        return str(text(value, place))
    if isinstance(value, list):
        across, down = _point(value, place)
        return (across, down)
    if isinstance(value, dict) and "level" in value and not set(value) - {"level", "which"}:
        faults = Faults()
        level = faults.read(length(least_mm=None), value["level"], place.inner("level"))
        which = None
        if "which" in value:
            which = faults.read(whole(1, MOST_WHICH), value["which"], place.inner("which"))
        faults.raise_if_any()
        return LevelPlace(level, which)
    raise place.error(
        f"{shown_value(value)} is not a place",
        'Write an id, a point such as ["12 mm", "340 mm"], or { level = "340 mm" }.',
    )


def layer_names(value: object, place: Place) -> tuple[tuple[str, str], ...]:
    """Take a table that says which layer holds what, such as ``{ "sew line" = "14" }``."""
    if not isinstance(value, dict) or not value or len(value) > MOST_NAMES:
        raise place.error(f"{shown_value(value)} is not a table of layers", 'Write { "sew line" = "14" }.')
    faults = Faults()
    named = tuple((str(key), faults.read(text, name, place.inner(str(key)))) for key, name in value.items())
    faults.raise_if_any()
    return named


def pixels(value: object, place: Place) -> tuple[tuple[float, float], ...]:
    """Take at least two places in a picture, each in pixels across and down."""
    example = "Write pixels across and down, such as [[120, 340], [180, 2210]]."
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_NAMES:
        raise place.error(f"{shown_value(value)} does not tell where the edge runs", example)
    read = []
    for n, one in enumerate(value, start=1):
        if not isinstance(one, list) or len(one) != 2 or not all(map(_is_pixel, one)):
            raise place.inner(f"point {n}").error(f"{shown_value(one)} is not a place in a picture", example)
        read.append((float(one[0]), float(one[1])))
    return tuple(read)


def number(least: float, most: float) -> Kind:
    """Take a plain number between two limits."""

    def read(value: object, place: Place) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            raise place.error(f"{shown_value(value)} is not a number from {least:g} to {most:g}", "Write one.")
        return float(value)

    return read


def joins(value: object, place: Place) -> tuple[JoinWish, ...]:
    """Take a list of tables, each with two points of a page and where they lie on another."""
    example = (
        'Write [{ page = 2, onto = 1, at = [["10 mm", "20 mm"], ["10 mm", "250 mm"]], '
        'there = [["190 mm", "20 mm"], ["190 mm", "250 mm"]] }].'
    )
    if not isinstance(value, list) or not 0 < len(value) <= MOST_NAMES:
        raise place.error(f"{shown_value(value)} does not join pages", example)
    return tuple(_join(one, place.inner(f"number {n}"), example) for n, one in enumerate(value, start=1))


def _join(value: object, place: Place, example: str) -> JoinWish:
    if not isinstance(value, dict) or set(value) != {"page", "onto", "at", "there"}:
        raise place.error(f"{shown_value(value)} does not join two pages", example)
    faults = Faults()
    page = faults.read(whole(1, MOST_PIXELS), value["page"], place.inner("page"))
    onto = faults.read(whole(1, MOST_PIXELS), value["onto"], place.inner("onto"))
    ends: dict[str, Any] = {}
    for key in ("at", "there"):
        ends[key] = faults.read(points, value[key], place.inner(key))
    faults.raise_if_any()
    if page == onto or any(len(two) != 2 or math.dist(*two) < 10 for two in ends.values()):
        raise place.error("two points, 10 mm apart or more, on two different pages are needed", example)
    return JoinWish(page, onto, ends["at"], ends["there"])


def _is_pixel(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= MOST_PIXELS


__all__ = [
    "joins",
    "layer_names",
    "name_or_names",
    "number",
    "pixels",
    "place_on_line",
    "points_or_file",
    "three_points",
]
