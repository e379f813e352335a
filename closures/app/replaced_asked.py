"""What closes a finished garment now, where others are to take its place: asked last, and skipped by Enter."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from closures.app import slips
from closures.app.asking import judged, key_of, length_told, needed, section_of, understood, why
from closures.app.closure_asked import kind_meant, size_asked
from closures.app.ends_asked import ends_told
from closures.errors import ClosureError
from closures.plan.editing import set_key, value_of
from closures.plan.one_line import spaced

if TYPE_CHECKING:
    from closures.app.asking import Asking

_UNKNOWN = "Then nothing is taken to be there. Where something is, its holes stay in the cloth: look before you print."
_WHERE = (
    "Nothing can be placed without it: new holes must not meet the old ones. Lay a tape along the row, its end at the "
    "{}, and read it at the middle of each."
)
_ONE_BARE = (
    "Is it {0} closures, or one alone at {0} {1}? The places of all are wanted, one after the other; one alone is "
    "written with its unit, such as {0} {1}."
)
# A figure without a unit, as decimals or a fraction.
_BARE = re.compile(r"[\d\s.,/⁄½¼¾⅛⅜⅝⅞]+")
_WAYS = {
    "along": "up and down, along the edge",
    "across": "from the edge inwards",
}
_WAY = "Look at one of them: it runs the way of the edge, or square to it."


def replaced_asked(text: str, asking: Asking) -> str:
    """Ask what closes it now; a plan of the answers is one of a swap."""
    kind = _kind(asking)
    if kind is None:
        return text
    text = size_asked(text, asking, "swap", kind)
    text = set_key(text, "garment", "state", "finished")
    text = set_key(text, "swap", "places", _places(text, asking))
    if "button" in kind and not kind.startswith("loop"):
        way = needed(asking, "Which way do its buttonholes run?", _WAYS, _WAY)
        text = set_key(text, "swap", "hole", {"way": way, "made": True})
    return text


def _kind(asking: Asking) -> str | None:
    kinds = asking.catalogue.kinds()
    while told := asking.ask(
        "Is it finished, and closed by others now, which these are to replace? Their name (Enter: no)"
    ).strip():
        if slips.is_no(told):
            return None
        if slips.is_unknown(told):
            asking.tell(f"  {_UNKNOWN}")
            return None
        found = slips.choice_meant(told, kinds, has_numbers=False)
        if len(found) == 1:
            return understood(asking, told, found[0]) if found[0].casefold() != told.casefold() else found[0]
        if found:
            asking.tell(f"  That may be {' or '.join(found)}. Type its name as it stands there.")
            continue
        try:
            if slips.is_yes(told):
                asking.tell(f"  Type which: {', '.join(kinds)}.")
                continue
            meant = kind_meant(asking, told)
        except ClosureError as error:
            asking.tell(why(error))
            continue
        if meant is None:
            asking.tell(f"  Type its name, such as {kinds[0]}. Enter alone for none.")
        else:
            return understood(asking, told, meant)
    return None


def _places(text: str, asking: Asking) -> list[str]:
    first, last = ends_told(text)
    section = section_of("swap")
    asked = f"Where do they sit? From the {first} to the {last} one after the other: 60, 147, 234"
    while True:
        told = asking.ask(asked).strip().rstrip(".")
        if not told or slips.is_unknown(told):
            asking.tell(f"  {_WHERE.format(first)}")
            continue
        bare = slips.length_meant(told)
        in_a_row = spaced(bare)
        if not in_a_row and _BARE.fullmatch(bare) and not re.search(r"[;,]\s", bare):
            asking.tell(f"  {_ONE_BARE.format(bare, value_of(text, '', 'units') or 'mm')}")
            continue
        parts = in_a_row or re.split(r"[;,]\s|[;\n]|\band\b", told)
        places = [length_told(part.strip(), text) for part in parts if part.strip()]
        try:
            judged(section, key_of(section, "places"), places, asking, text)
        except ClosureError as error:
            asking.tell(why(error))
        else:
            return places
