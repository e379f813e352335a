"""What a hand asks of the plan in the picture, read and handed to what does it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from closures.app.web.moves import move_anchor, move_zone, unlock_mark
from closures.app.web.row_moves import add_mark, add_place, add_stretch, move_mark, remove_mark, taken_out
from closures.errors import PlanError

if TYPE_CHECKING:
    from closures.app.web.moves import InHand, Part
    from closures.app.web.table import Hand


def moved(held: InHand, hand: Hand, verb: str, rest: list[str]) -> str:
    """Find the text of a plan with what a hand moves, sets, takes out or lets go.

    Args:
        held: the plan in hand.
        hand: what is asked.
        verb, rest: its words.

    Raises:
        PlanError: it cannot be understood, or there is no such thing.
    """
    if verb == "unlock":
        return unlock_mark(held, number_of(rest))
    if verb == "without":
        what, n = (rest or [""])[0], number_of(rest[1:])
        return remove_mark(held, n) if what == "mark" else taken_out(held, what, n)
    if verb == "set":
        ways = {"mark": add_mark, "anchor": add_place, "clear": add_stretch}
        return ways.get((rest or [""])[0], add_mark)(held, _figure(hand.typed))
    if verb != "move":
        raise PlanError(f"'{verb[:20]}' is nothing that can be done here", mend="Load the page anew.")
    what, n, along = hand.typed.get("what", ""), number_of([hand.typed.get("n", "")]), _figure(hand.typed)
    if what == "mark":
        return move_mark(held, n, along)
    if what == "anchor":
        return move_anchor(held, n, along)
    parts: Mapping[str, Part] = {"whole": "whole", "from": "from", "to": "to"}
    return move_zone(held, n, parts.get(hand.typed.get("part", ""), "whole"), along)


def number_of(words: list[str]) -> int:
    """Read which one is meant.

    Raises:
        PlanError: it is not said.
    """
    if not words or not re.fullmatch(r"\d{1,6}", words[0]):
        raise PlanError("it is not said which one", mend="Load the page anew.")
    return int(words[0])


def _figure(typed: Mapping[str, str]) -> float:
    text = typed.get("along", "")
    if not re.fullmatch(r"-?\d{1,7}(\.\d{1,12})?", text):
        raise PlanError("it is not said where to", mend="Load the page anew.")
    return float(text)
