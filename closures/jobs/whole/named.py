"""What an opening is called in its garment, held against its plan: every sheet and piece of it bears that name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from closures.placing.garment import ends_called
from closures.plan.ends import RUNS_DOWN, lies_past
from closures.plan.garment import ONCE, SIDES_OF, opening_in_words
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan

_OPENINGS = {str(opens): opens for opens in SIDES_OF if opens is not None}
_OPPOSITES = (("left", "right"), ("front", "back"))
_NOT_AT = {
    "cuff": {"front", "back", "side", "shoulder", "crotch"},
    "cuffs": {"front", "back", "side", "shoulder", "crotch"},
    "sleeve": {"front", "back", "side", "crotch"},
    "collar": {"side", "crotch", "inseam"},
}
"""Pieces, and where on a body no edge of theirs opens (common practice)."""
_STRAPS = {"cuff": "cuff", "cuffs": "cuff", "collar": "collar", "waistband": "waistband"}
"""What straps are called, and the piece that a plan tells of each."""
_PLACES = {
    "front": "front",
    "back": "back",
    "rear": "back",
    "side": "side",
    "shoulder": "shoulder",
    # A row along the inseam runs through the crotch, and is called by either.
    "crotch": "crotch",
    "inseam": "crotch",
}
"""Where a body is closed, as names of openings and ``opens`` say it."""


def misnamed(opening: Opening, plan: Plan) -> tuple[str, str] | None:
    """Tell an opening whose name says another place, or the other side of the body, than its plan does.

    Sides and shoulders are the wearer's left or right ones; of a crotch no plan tells the side. Nothing is held against
    the names of straps whose plan tells no place, or of flat goods.

    Args:
        opening: with its name.
        plan: as it is worked, turned over where the opening is mirrored.

    Returns:
        What is wrong and how to mend it; None where nothing is.
    """
    opens = _opens(plan)
    said = set(re.findall(r"[a-z]+", opening.name.casefold()))
    if plan.strap is not None and not opens and said and said <= {*_PLACES, "left", "right"}:
        what = "belt" if plan.belt is not None else plan.row.piece if plan.row is not None else "strap"
        return (
            f"'{opening.name}' says where an edge opens, and its plan, {opening.plan}, is of a {what}",
            f"Look whether the plans of two openings were exchanged; or say {what} in its name.",
        )
    own_piece = None if plan.row is None else plan.row.piece
    other = next((word for word in _STRAPS if word in said), None)
    if own_piece in _STRAPS.values() and other is not None and _STRAPS[other] != own_piece and own_piece not in said:
        return (
            f"'{opening.name}' says {other}, and its plan, {opening.plan}, is of a {own_piece}: its sheets would bear "
            "the one and be of the other",
            "Look whether the plans of two openings were exchanged, and at piece under [row] of "
            f"{opening.plan}; or say {own_piece} in its name.",
        )
    away = next((word for word, places in _NOT_AT.items() if word in said and set(opens.split()) & places), None)
    if away is not None and plan.strap is None and plan.garment is not None and not said & set(opens.split()):
        return (
            f"'{opening.name}' says {away}, and its plan, {opening.plan}, {_tells(opening, plan, opens)}: its "
            "sheets would bear the one and be of the other",
            f"Look whether the plans of two openings were exchanged; or give the opening a name that says {opens}.",
        )
    if (past := _past_ends(opening, plan)) is not None:
        return past
    elsewhere = _elsewhere(said, opens)
    if elsewhere is not None:
        tells = _tells(opening, plan, opens)
        places = sorted(one for one in _OPENINGS if elsewhere in one.split()) or ["back"]
        mend = in_a_row([f'opens = "{place}"' for place in places], "or")
        return (
            f"'{opening.name}' says {elsewhere}, and its plan, {opening.plan}, {tells}: its sheets would bear the one "
            "and be of the other",
            f"Write {mend} under [garment] of {opening.plan}, where it opens there; look whether the plans of two "
            f"openings were exchanged; or give the opening a name that says {opens}.",
        )
    for pair in _OPPOSITES:
        own = next((word for word in pair if word in opens.split()), None)
        other = next((word for word in pair if word != own), "")
        if own is None or other not in said or own in said:
            continue
        tells = _tells(opening, plan, opens)
        return (
            f"'{opening.name}' says {other}, and its plan, {opening.plan}, {tells}: its sheets would bear the one "
            "and be of the other",
            f"{_mend(opening, own, opens, opens.replace(own, other))}; or give the opening a name that says "
            f"{opens.split()[0]}.",
        )
    return None


def _past_ends(opening: Opening, plan: Plan) -> tuple[str, str] | None:
    """Tell a name of a place on the body, as a neck, that the edge of its plan does not come to."""
    opens = None if plan.garment is None else plan.garment.opens
    ends = ends_called(plan.garment)
    past = "" if plan.strap is not None or opens not in RUNS_DOWN else lies_past(opening.name, ends)
    if not past:
        return None
    return (
        f"'{opening.name}' says a place that lies {past} the edge of its plan, {opening.plan}, which runs from the "
        f"{ends[0]} to the {ends[1]}: its sheets would bear the one and be of the other",
        f"Look whether the plans of two openings were exchanged, and at ends under [garment] of {opening.plan}; or "
        "give the opening another name.",
    )


def _elsewhere(said: set[str], opens: str) -> str | None:
    """A word of a name that says another place than the plan opens at; None where none does, or one says that too."""
    own = {_PLACES[word] for word in opens.split() if word in _PLACES}
    told = {word: _PLACES[word] for word in sorted(said) if word in _PLACES}
    if not own or not told or own & set(told.values()):
        return None
    return next(iter(told))


def _tells(opening: Opening, plan: Plan, opens: str) -> str:
    """Where a plan opens, as it says so."""
    if plan.garment is None or plan.garment.opens is None:
        return "does not tell what opens, and is taken as the front"
    tells = f"opens {opening_in_words(_OPENINGS[opens])}"
    return f"turned over by mirrored = true, {tells}" if opening.mirrored else tells


def _mend(opening: Opening, own: str, opens: str, other: str) -> str:
    """What makes the plan what the name says."""
    if own in ONCE:
        return f'Write opens = "{other}" under [garment] of {opening.plan}, where it opens there'
    if opening.mirrored:
        return f"Leave mirrored out, where it is the {other}"
    return f"Where it is the {other}, write mirrored = true below its name"


def _opens(plan: Plan) -> str:
    """Where a row opens: the front where nothing is told, as in its plan alone; nothing of a strap that is not told."""
    if plan.garment is not None and plan.garment.opens is not None:
        return plan.garment.opens
    return "" if plan.strap is not None else "front"


def misnamed_openings(told: Sequence[tuple[Opening, Plan]]) -> Iterator[tuple[str, str]]:
    """Tell all openings whose names and plans say two sides of one body."""
    found = (misnamed(opening, plan) for opening, plan in told)
    return (one for one in found if one is not None)
