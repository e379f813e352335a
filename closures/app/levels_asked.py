"""From where levels were measured: asked where any was told, since a tape that began at the shoulder reads more."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from closures.app import slips
from closures.app.asking import judged, key_of, length_told, one_of, section_of, understood, why
from closures.app.ends_asked import ends_told
from closures.drawing.ink.numbers import number
from closures.errors import ClosureError
from closures.lengths import parse_length_mm
from closures.plan.editing import set_key, value_of

if TYPE_CHECKING:
    from closures.app.asking import Asking
    from closures.edges.listing import Listing

_ABOVE = re.compile(r" (?:above|higher|further up|up)\b.*$", re.IGNORECASE)
_NONE_ABOVE = re.compile(r"(?:from )?(?:the )?(?:neck|top|edge|first)?(?: end| itself)?|0(?: ?mm| ?in)?", re.I)
# As many as a list on a screen shows at once: our own rule.
_MOST_POINTS = 20


def level_zero_asked(text: str, asking: Asking) -> str:
    """Ask from where the levels of a plan were measured, where it has any; put the answer in."""
    rows = [row for name in ("anchor", "clear") for row in value_of(text, name) or ()]
    if not any("level" in row for row in rows):
        return text
    first = ends_told(text)[0]
    end = first if first.endswith("end") else f"{first} end"
    unknown = (
        f"Then they are counted from the {end} of the edge, and the answer says so. See where your tape began: one "
        "that began at the shoulder reads more than one from the neck."
    )
    drawing = value_of(text, "", "drawing")
    if drawing is None:
        return _above(text, asking, end, unknown)
    points = [point.name for point in asking.drawing(drawing).points if point.name][:_MOST_POINTS]
    if not points:
        top_mm = _top_mm(value_of(text, "edge", "path"), asking.drawing(drawing))
        if top_mm is not None:
            return _above(text, asking, end, unknown, top_mm)
        asking.tell(f"No point of the drawing has a name. {unknown}")
        return text
    itself = f"the {end} of the edge itself"
    chosen = one_of(asking, "Measured straight down from where?", dict.fromkeys((itself, *points), ""), unknown)
    return text if chosen in (None, itself) else set_key(text, "edge", "level_zero", chosen)


def _top_mm(path: object, listing: Listing) -> float | None:
    """The height in a drawing of the upper end of a line that is chosen as the edge; None where that is not known."""
    chosen = next((one.line for one in listing.candidates if one.path == path), None)
    if chosen is None or not listing.has_size or chosen.is_closed:
        return None
    return min(chosen.start[1], chosen.end[1])


def _above(text: str, asking: Asking, end: str, unknown: str, top_mm: float | None = None) -> str:
    """Ask how far above its edge a tape began: of an edge in a drawing its upper end lies at a height there."""
    question = f"Measured straight down from the {end} of the edge (Enter), or how far above it? Such as 3 in"
    length, zero = (key_of(section_of("edge"), name) for name in ("straight", "level_zero"))
    while True:
        told = " ".join(asking.ask(question).split())
        if slips.is_unknown(told):
            asking.tell(f"  {unknown}")
            return text
        if slips.is_no(told) or _NONE_ABOVE.fullmatch(told):
            return set_key(text, "edge", "level_zero", "0 mm" if top_mm is None else f"{number(top_mm, 2)} mm")
        meant = length_told(_ABOVE.sub("", told).removeprefix("-"), text)
        try:
            judged(section_of("edge"), length, meant, asking, text)
            judged(section_of("edge"), zero, f"-{meant}", asking, text)
        except ClosureError as error:
            asked = (
                ""
                if re.search(r"\d", told)
                else f"\n  Lay a tape straight down from there to the {end}: what does it read?"
            )
            asking.tell(why(error) + asked)
        else:
            understood(asking, told, meant, f" above the {end}")
            if top_mm is None:
                return set_key(text, "edge", "level_zero", f"-{meant}")
            units = "in" if value_of(text, "", "units") == "in" else "mm"
            return set_key(text, "edge", "level_zero", f"{number(top_mm - parse_length_mm(meant, units), 2)} mm")
