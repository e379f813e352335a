"""Which steps cannot be undone in some cloth, and why: what a needle, an awl or an iron leaves there.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.holes_left import keeps_needle_holes, seen_in, shows_needle_holes

if TYPE_CHECKING:
    from closures.advice.facts import Facts

_NEEDLE_HOLES = "the holes of a needle may stay to be seen"
MARKING = ("mark", "mark both", "mark ends", "mark buttonholes")
_MARKING_SECOND = "mark second end"
_COMPARING = ("compare", "compare meeting")
EDGES = ("edge", "edge of bedding", "edge open for magnets")
# Leather and coated cloth are neither basted nor unpicked: their edge is sewn once.
BOUND = ("bound", "bound on the stand")
_STRAPS = ("make the strap", "cut the strap", "finish the strap")
_KEPT_OF = {"scrap first": "fuse pieces", "cloth: leather": "cut out the strap"}
_FACINGS = ("facing down", "facing down past loops")
_SEAMS = {*EDGES, *_STRAPS, *_FACINGS, "bands on", "edge left open", "edge that meets", "edge of the buttons"}
_OPENED = ("open for magnets", "choose for magnets")
"""What opens a seam that is sewn: its holes stay in cloth that keeps them, and sewing it shut meets them again."""
_TOUCHED = {
    *_SEAMS,
    *_OPENED,
    *MARKING,
    _MARKING_SECOND,
    "back",
    "back with strip",
    "sew in",
    "edge with loops",
    "stand",
    "bones",
    "tape the edge",
    "close holes",
    "cover holes",
    "patch",
    "hide holes past",
    "bound mark",
    "draw slits first",
    "shorten holes",
}
"""What puts a needle, a pin or an iron to the garment's own cloth."""
_THINNED = ("take the wadding out", "take the wadding out of a strap", "take the wadding out of a band")
"""What takes wadding out of quilting, which does not go back into it."""


def kept_steps(facts: Facts, is_first_pointed: bool, is_second_pointed: bool) -> set[str]:
    """Keys of the steps that other cloth forgives and this one does not.

    The lap set first, and the other, are pointed where an awl marks them on the cloth itself.
    """
    kept = {*_THINNED, *(MARKING if is_first_pointed else ())}
    kept |= {"mark both", "mark ends", _MARKING_SECOND, *_COMPARING} if is_second_pointed else set()
    if keeps_needle_holes(facts.words) or shows_needle_holes(facts.words):
        # What other cloth forgives, a seam that is unpicked, leaves its holes here.
        kept |= {"work buttonholes", "shorten holes", "set first"}
    if "marks" in facts.words:
        kept |= _TOUCHED
    kept |= {key for word, key in _KEPT_OF.items() if word in facts.words}
    if keeps_needle_holes(facts.words):
        kept |= {*_SEAMS, *_OPENED}
        # An old buttonhole is drawn together by stitches; what is round is held by its patch alone.
        kept |= {"close holes"} if "slits to close" in facts.words else set()
    if not any(keeps_needle_holes(of.outer) or "marks" in of.outer for of in facts.laps.values()):
        # Bands are sewn to their laps before any facing meets them.
        kept.discard("bands on")
    return kept


def why_kept(key: str, facts: Facts, *, is_pointed: bool) -> str:
    """Why what other cloth forgives stays in this one."""
    if key in _THINNED:
        return "quilting that is opened and emptied stays so"
    if key == "fuse pieces":
        told = "what is fused stays fused, and what the iron does to the face of such cloth stays as well"
        if shows_needle_holes(facts.words):
            told += f"; {_NEEDLE_HOLES} {seen_in(facts.words)}"
        return told
    if key in (*MARKING, _MARKING_SECOND, *_COMPARING) and is_pointed:
        return "leather keeps every point of an awl"
    if key in ("cut the strap", "cut out the strap"):
        return f"{facts.figures['material']} that is cut stays cut, and it keeps every hole of a needle"
    told = f"{facts.figures['material']} keeps every hole of a needle"
    told += ", and where it keeps water out each lets some through" * ("cloth: coated" in facts.words)
    if not keeps_needle_holes(facts.words):
        told = f"{_NEEDLE_HOLES} {seen_in(facts.words)}"
    return f"{told}, and a cut buttonhole stays" if key == "work buttonholes" else told
