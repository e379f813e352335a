"""What a name tells of the body: which end of an edge is the upper one, what is a neck, a stand, a bust.

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
_STANDS = ("collar", "stand", "neckband")
"""What a piece is called that may be the stand of a collar."""
_SEWN_TO_NECKS = ("neck", "collar", "stand")
"""What either end of a short edge is called that closes a neck, and no waistband."""
_MAY_BE_NECKS = ("neck", "first end")
"""What the first end is called where a row may begin at a neck: an edge of which nobody told what opens is a front."""
_FROM_THE_NECK = ("neck", "stand's top", "lapel")
"""What the first end is called of a front or a back that runs down from the neck, by words of this program."""
_RELATIVE = ("top", "upper", "lower", "bottom", "above", "below", "under", "over")
"""Words that tell where on a piece, or beside what, a place lies, and not where on the body."""
NAMES_OF_BUST = ("bust", "apex")
"""What is in the name of a place that is told at the bust."""
NAMES_OF_WAIST = ("waist",)
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


def _words(name: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]+", name.casefold()))


def _height(name: str) -> int | None:
    """How far down the body a place is, as a rank; None for a name that does not tell one."""
    ranks = {_RANK[word] for word in _words(name) if word in _RANK}
    return ranks.pop() if len(ranks) == 1 else None


def runs_upwards(ends: tuple[str, str]) -> bool:
    """Whether the first of two ends is known to lie lower on the body than the last."""
    first, last = map(_height, ends)
    return first is not None and last is not None and first > last


def is_neck(name: str) -> bool:
    """Whether an end is called a neck."""
    return not _words(name).isdisjoint(_NECKS)


def is_hood(name: str) -> bool:
    """Whether an end is called a hood."""
    return "hood" in _words(name)


_HEMS = tuple(word for place in ("hip", "thigh", "knee", "ankle", "hem") for word in _DOWN[_RANK[place]])


def may_be_hem(name: str) -> bool:
    """Whether an end is called as a hem is, or by where on the body a garment has one.

    What ends at a waist, a crotch, a yoke or at what nobody here knows ends in a seam, and is held shut down to it.
    """
    return name == "last end" or not _words(name).isdisjoint(_HEMS)


def is_hip(name: str) -> bool:
    """Whether an end is called by the hips, to which a jacket reaches and below which a coat does."""
    return not _words(name).isdisjoint(_DOWN[_RANK["hip"]])


def is_stand(name: str) -> bool:
    """Whether a piece is called as the stand of a collar is."""
    return not _words(name).isdisjoint(_STANDS)


def closes_a_neck(ends: tuple[str, str]) -> bool:
    """Whether a short edge, by what its ends are called, is one at a neck."""
    return any(not _words(end).isdisjoint(_SEWN_TO_NECKS) for end in ends)


def may_be_neck(name: str) -> bool:
    """Whether a row that begins at this end may begin at a neck, for all that is told."""
    return name in _MAY_BE_NECKS


def begins_at_neck(name: str) -> bool:
    """Whether a front or a back whose first end is called so is known to run down from the neck."""
    return name in _FROM_THE_NECK


def is_bust(name: str) -> bool:
    """Whether a place is told at the bust."""
    return any(word in name.casefold() for word in NAMES_OF_BUST)


def is_below_neck(name: str) -> bool:
    """Whether an end is known to be none that a collar is sewn to."""
    rank = _height(name)
    return rank is not None and rank > _NECK


def opens_a_neck(opens: Opening | None, ends: tuple[str, str]) -> bool:
    """Whether a row may open the neck from its edge down, by where it opens and what its first end is called."""
    if opens in ("left shoulder", "right shoulder"):
        return True
    return opens in (None, "front", "back") and (begins_at_neck(ends[0]) or not is_below_neck(ends[0]))


def lies_past(name: str, ends: tuple[str, str]) -> str:
    """Whether a place is known to lie "above" or "below" a whole edge that runs down; empty where it is not known.

    What may lie a little further up or down than another, as where a wrap crosses, is none past it, and a hem is
    wherever a garment ends. Of an edge from one leg to the other nothing is known.
    """
    rank, first, last = _height(name), _height(ends[0]), _height(ends[1])
    is_there_and_back = first is not None and first == last
    if rank is None or rank == _RANK["hem"] or is_there_and_back or not _words(name).isdisjoint(_RELATIVE):
        return ""
    if first is not None and rank < first - 1:
        return "above"
    return "below" if last is not None and rank > last + 1 else ""


def lies_lower(name: str, other: str) -> bool:
    """Whether one place is known to lie lower on the body than another.

    Nothing is known of an upper or a lower one, of the pit of a neck, which lies below its shoulder, or of a hem.
    """
    is_of_body = _words(name).isdisjoint(_RELATIVE) and _words(other).isdisjoint(_RELATIVE)
    ranks = (_height(name), _height(other))
    is_between = all(rank is not None and _RANK["bust"] <= rank < _RANK["hem"] for rank in ranks)
    return is_of_body and is_between and runs_upwards((name, other))
