"""Words of a page, all read from two of its sides: from below, and, where they run down the page, from its left."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from closures.drawing.ink.lettering import ink_of, start_of, width_of
from closures.drawing.ink.shapes import Group, Item, Point, Words

LEAST_DEG, MOST_DEG = -65.0, 115.0
"""Between these, words are read with the head bent one way only: an upright line, or one that runs down the page."""

_NEXT_ROW = 2.0
"""Rows of one block lie no further apart than so many times their size."""


def upright(items: Sequence[Item]) -> tuple[Item, ...]:
    """Turn half round whatever lettering would be read from above or from the right, each where it stands.

    Rows that lie one under the other in a group of their own are turned together, so that their order stays.

    Args:
        items: as they lie on the page, y down.
    """
    return tuple(_upright(item) for item in items)


def blocks_turned(items: Sequence[Item]) -> tuple[Item, ...]:
    """Turn every block of rows half round, as a page may need it.

    Rows of unlike length that run aslant reach elsewhere then; a row alone, turned about its own middle, does not.
    """
    found: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            rows = _rows_of(item)
            turned = tuple(_turned(row, _centre(rows)) for row in rows) if rows else blocks_turned(item.items)
            item = replace(item, items=turned)
        found.append(item)
    return tuple(found)


def _upright(item: Item) -> Item:
    if isinstance(item, Words):
        return item if _is_readable(item) else _turned(item, _centre((item,)))
    if not isinstance(item, Group):
        return item
    rows = _rows_of(item)
    if rows and not _is_readable(rows[0]):
        centre = _centre(rows)
        return replace(item, items=tuple(_turned(row, centre) for row in rows))
    return replace(item, items=upright(item.items))


def _is_readable(words: Words) -> bool:
    angle = (words.angle_deg + 180.0) % 360.0 - 180.0
    return LEAST_DEG < angle <= MOST_DEG


def _rows_of(group: Group) -> tuple[Words, ...]:
    """The rows of a block: a group of words alone, which run one way, each next to the one before."""
    rows = tuple(item for item in group.items if isinstance(item, Words))
    if len(rows) < 2 or len(rows) != len(group.items):
        return ()
    far = _NEXT_ROW * max(row.size_mm for row in rows)
    near = all(math.dist((a.x, a.y), (b.x, b.y)) <= far for a, b in pairwise(rows))
    return rows if near and all(row.angle_deg == rows[0].angle_deg for row in rows) else ()


def _centre(rows: Sequence[Words]) -> Point:
    """The middle of what rows that run one way take, looked at as they run."""
    angle = math.radians(rows[0].angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    lows_u, highs_u, lows_v, highs_v = [], [], [], []
    for row in rows:
        u, v = row.x * cos + row.y * sin, row.y * cos - row.x * sin
        left, _ = start_of(row)
        low, high = ink_of(row.text, row.weight)
        lows_u.append(u + left)
        highs_u.append(u + left + width_of(row.text, row.size_mm, row.weight))
        lows_v.append(v - high * row.size_mm)
        highs_v.append(v - low * row.size_mm)
    u, v = (min(lows_u) + max(highs_u)) / 2, (min(lows_v) + max(highs_v)) / 2
    return (u * cos - v * sin, u * sin + v * cos)


def _turned(words: Words, centre: Point) -> Words:
    angle = round((words.angle_deg + 360.0) % 360.0 - 180.0, 9)
    return replace(words, x=2 * centre[0] - words.x, y=2 * centre[1] - words.y, angle_deg=angle or 0.0)
