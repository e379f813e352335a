"""On which hand of an edge its cloth lies, by what the plan says.

A *hand* is that of somebody who walks the over lap's finished edge from its first end to its last, in the drawing seen
from outside: it stays the same however the drawing is turned.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError, in_section

if TYPE_CHECKING:
    from closures.curve import Point
    from closures.plan.edge import ClothSide
    from closures.plan.garment import Opening

Hand = Literal["right", "left"]

# Where a garment opens from the top down, the side that lies on the viewer's left. Seen from outside, the wearer's
# right is on the viewer's left at the front and on the right at the back; on the wearer's left side the front is on
# the left.
_ON_VIEWERS_LEFT: dict[Opening | None, str] = {
    None: "right",
    "front": "right",
    "back": "left",
    "left side": "front",
    "right side": "back",
}
UPRIGHT: frozenset[Opening | None] = frozenset(_ON_VIEWERS_LEFT)
"""The openings that run from the top of the wearer down, or are taken to."""

_OVER_LEAF: dict[ClothSide, ClothSide] = {"left": "right", "right": "left"}

# A chord that leans less than this from upright or level does not tell left from right, or above from below.
_LEAST_LEAN = 0.05


def other_hand(hand: Hand) -> Hand:
    """The hand on the other side."""
    return "left" if hand == "right" else "right"


def hand_by_words(opens: Opening | None, lap: str) -> Hand | None:
    """The hand on which the over lap's cloth lies by the opening and the lap; None where they do not tell it."""
    on_left = _ON_VIEWERS_LEFT.get(opens)
    if on_left is None:
        return None
    # Walked from the top down, the right hand is on the viewer's left.
    return "right" if lap.split(" over ")[0] == on_left else "left"


def hand_by_key(cloth: ClothSide, start: Point, end: Point, is_turned: bool = False) -> Hand:
    """The hand that a side of the edge as drawn is.

    Args:
        cloth: the side, as the user's drawing shows it.
        start, end: of the edge, seen from outside, in mm.
        is_turned: what was drawn was turned over on reading: its left is right here.

    Raises:
        EdgeError: the edge runs so that the word does not tell one of its two sides.
    """
    (x0, y0), (x1, y1) = start, end
    length = math.hypot(x1 - x0, y1 - y0)
    # Into the cloth on the right hand: (-ty, tx).
    across, down = (y0 - y1) / length, (x1 - x0) / length
    lean = across if cloth in ("left", "right") else down
    if abs(lean) < _LEAST_LEAN:
        others = '"above" or "below"' if cloth in ("left", "right") else '"left" or "right"'
        raise EdgeError(
            f'"{cloth}" does not tell a side of this edge, which runs {"across" if abs(across) < 0.5 else "down"} the '
            "drawing",
            where=in_section("edge", "cloth"),
            mend=f"Write {others}.",
        )
    wanted = -1.0 if seen_as(cloth, is_turned) in ("left", "above") else 1.0
    return "right" if lean * wanted > 0 else "left"


def seen_as(side: ClothSide, is_turned: bool) -> ClothSide:
    """A side as it is on the other face of the cloth, where what was drawn is turned over."""
    return _OVER_LEAF.get(side, side) if is_turned else side


def viewers_side(hand: Hand, start: Point, end: Point, is_turned: bool = False) -> ClothSide:
    """On which side of an edge, as drawn, a hand lies.

    Args:
        hand: for somebody who walks the edge as it lies here, seen from outside.
        start, end: of the edge, in mm.
        is_turned: what was drawn was turned over on reading.
    """
    (x0, y0), (x1, y1) = start, end
    sign = 1.0 if hand == "right" else -1.0
    across, down = sign * (y0 - y1), sign * (x1 - x0)
    if abs(across) >= abs(down):
        return seen_as("left" if across < 0 else "right", is_turned)
    return "above" if down < 0 else "below"


def lies_in_words(side: ClothSide) -> str:
    """Say where cloth lies, so that "this edge" can follow."""
    return side if side in ("above", "below") else f"on the {side} of"


def unknown_hand(start: Point, end: Point, ends: tuple[str, str], is_turned: bool = False) -> EdgeError:
    """The refusal of an edge of which nothing tells where its cloth lies."""
    one, other = (viewers_side(hand, start, end, is_turned) for hand in ("right", "left"))
    return EdgeError(
        f"nothing tells on which side of the edge the over lap's cloth lies, as it is drawn from the {ends[0]} to the "
        f"{ends[1]}",
        where=in_section("edge", "cloth"),
        mend=f'Write cloth = "{one}" or cloth = "{other}" under [edge] (or --cloth-lies {one}), as you have '
        "drawn it; or draw the piece as a closed outline, along this edge.",
    )
