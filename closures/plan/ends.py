"""Which end of an edge is the upper one, by what both are called.

Rows run down the body from their first end: on which hand the cloth lies, what is below a neck and what is above a hem
all follow from that.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.plan.garment import Opening

RUNS_DOWN: frozenset[Opening | None] = frozenset({None, "front", "back", "left side", "right side", "inseam"})
"""The openings whose edges run down the body."""

_NECKS = ("neck", "neckline", "collar", "throat", "nape")
# From the neck down, as a body that stands has them; what may lie on either side of another shares its place.
_DOWN: tuple[tuple[str, ...], ...] = (
    (*_NECKS, "hood", "top", "upper"),
    ("shoulder", "yoke"),
    ("armhole", "armpit", "underarm", "bust", "chest", "lapel", "crossing"),
    ("waist", "waistline", "waistband"),
    ("hip", "hips"),
    ("crotch", "fork"),
    ("thigh",),
    ("knee",),
    ("ankle",),
    ("hem", "hemline", "bottom", "lower"),
)
_RANK = {name: rank for rank, names in enumerate(_DOWN) for name in names}
_NECK = _RANK["neck"]


def _height(name: str) -> int | None:
    """How far down the body a place is, as a rank; None for a name that does not tell one."""
    ranks = {_RANK[word] for word in re.findall(r"\w+", name.casefold()) if word in _RANK}
    return ranks.pop() if len(ranks) == 1 else None


def runs_upwards(ends: tuple[str, str]) -> bool:
    """Whether the first of two ends is known to lie lower on the body than the last."""
    first, last = map(_height, ends)
    return first is not None and last is not None and first > last


def is_neck(name: str) -> bool:
    """Whether an end is called a neck."""
    return not set(_NECKS).isdisjoint(re.findall(r"\w+", name.casefold()))


def is_below_neck(name: str) -> bool:
    """Whether an end is known to be none that a collar is sewn to."""
    rank = _height(name)
    return rank is not None and rank > _NECK
