"""A seam line inside an edge: the edge named may be the line along which the piece is cut.

A seam line is drawn as a closed line inside the cutting line, or as open ones along each seam; whether one of the other
open lines along an edge is meant as something else is told by its name alone.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from closures.edges.hand import Hand, other_hand
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.edges.drawing import Drawn

MOST_ALLOWANCE_MM = 20.0
"""An edge that keeps one distance of no more than this to a closed line is the finished edge of a piece cut by it."""

LEAST_ALLOWANCE_MM = 4.0
"""A line that keeps less than this inside an edge is a topstitch, or the same line drawn twice."""

_CUT = {"cut", "cuts", "cutting", "cutline", "cutlines", "cuttingline"}
"""Words by which a name or a layer says that a line is cut along."""

_SEWN = {"seam", "sewn", "seamline", "seams", "sew", "sewing", "sewline", "stitch", "stitching", "stitchline"}
"""Words by which a name or a layer says that a line is sewn along; a DXF has layer 14 for it (ASTM D6673)."""

_OTHER = (
    "fold", "topstitch", "top stitch", "top-stitch", "edgestitch", "edge-stitch", "facing", "grain", "notch", "drill",
    "internal", "centre", "center", "closing", "button", "snap", "placket", "band", "hem", "pocket", "dart", "tuck",
    "pleat", "quilt", "elastic", "casing", "binding", "piping", "interfacing", "lining", "match", "stripe", "guide",
)  # fmt: skip
"""Words in the name or layer of a line inside an edge that is drawn for something else than the seam of the edge."""

_OTHER_LAYERS = {"4", "7", "8", "13"}
"""Layers of an exchanged pattern that hold notches, grain line, internal lines and drill holes: ASTM D6673, from
memory."""

_SIZE_WORDS = {"xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl"}

_COUNTED = {"", "path", "line", "polyline", "handle", "chain", "shape", "curve", "rect", "layer", "g", "e"}
"""What drawing programs number by themselves: such names that differ in a number are no sizes of one line."""


@frozen
class Within:
    """A line that runs evenly inside an edge, as a sewing line runs inside a cutting line.

    Attributes:
        name: what a plan calls it.
        mm: how far inside the edge it runs, in the middle.
        on: the hand on which it lies for somebody who walks the edge; None of a closed line, which tells itself that
            its piece lies on that side.
        is_named_seam: its name or its layer says that it is sewn along.
    """

    name: str
    mm: float
    on: Hand | None = None
    is_named_seam: bool = False

    def walked_back(self) -> Within:
        """The same for somebody who walks the edge from its other end, or of the edge turned over."""
        return Within(self.name, self.mm, None if self.on is None else other_hand(self.on), self.is_named_seam)


def open_within(edge_names: Collection[str], lines: Iterable[tuple[Drawn, float, Hand]]) -> Within | None:
    """The one open line that may be the seam line of an edge.

    Args:
        edge_names: what the plan names: the edge itself and lines that it tells the meaning of.
        lines: every open line that runs evenly beside the edge, how far from it in mm, and on which hand.

    Returns:
        The line; None where there is none, where several run so, as in a nest of sizes, or where one runs on each side:
        then the edge is the inner one already.
    """
    near = [one for one in lines if one[0].name not in edge_names]
    if len(near) != 1:
        return None
    line, away_mm, hand = near[0]
    words = words_of(line)
    is_other = line.layer in _OTHER_LAYERS or any(other in words for other in _OTHER)
    is_size = any(_are_sizes(line.name, name) for name in edge_names)
    if is_other or is_size or not LEAST_ALLOWANCE_MM <= away_mm <= MOST_ALLOWANCE_MM:
        return None
    return Within(line.name, away_mm, hand, line.layer == "14" or not _SEWN.isdisjoint(_split(words)))


def named_cut(names: Iterable[str], lines: Iterable[Drawn]) -> str:
    """What calls an edge a line that is cut along: its own name or its layer's; empty where nothing does."""
    called = [*names, *(line.name for line in lines), *(line.layer for line in lines)]
    return next((one for one in called if not _CUT.isdisjoint(_split(one.casefold()))), "")


def words_of(line: Drawn) -> str:
    """Name and layer of a line in small letters."""
    return f"{line.name} {line.layer}".casefold()


def _split(words: str) -> set[str]:
    return set(re.split(r"[^a-z]+", words))


def _are_sizes(one: str, other: str) -> bool:
    """Whether two names are of one line in two sizes, as front-36 and front-38, or front-S and front-M."""
    stems = [
        "-".join(part for part in re.split(r"[^a-z]+", name.casefold()) if part and part not in _SIZE_WORDS)
        for name in (one, other)
    ]
    return stems[0] == stems[1] and stems[0] not in _COUNTED
