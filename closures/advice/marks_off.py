"""How a mark is taken away again before its place is worked, so that the place is held till then.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.phrases import held_by_thread

if TYPE_CHECKING:
    from collections.abc import Set

TAPE_WAYS = ("tape", "leather tape")
"""Ways to mark that put the mark on paper tape, which comes off before a part goes in."""

_NEEDLE_AT_STITCH = (
    " Set the needle down at the loose stitch of one end before that is drawn out, and draw the other out when the "
    "work comes near it."
)
_BOTH_FEET = " Tack both feet of a loop down before the loose stitches there are drawn out."
_OVER_STITCH = (
    " Make one stitch at {marks?the|each} mark before the loose one there is drawn out, and sew the part on over it."
)
_PUNCH = " Punch through the loose stitch of {marks?the|each} place, and pick out what is left of it."
_AWL = " Put the awl in at the loose stitch of {marks?the|each} place, and draw the stitch out once the hole is open."
_TAPED = " Draw {marks?the|each} loose stitch out once the tape is pinned on both sides of it."
_STITCH_OUT = {
    "prong ring": " Leave {marks?the|each} loose stitch in till the prongs stand clear round it, and draw it out "
    "before the socket or stud is laid on.",
    "prong cap": " Press the prongs just so far through round {marks?the|each} loose stitch that they prick the "
    "cloth, draw the stitch out, and set the part into its own pricks.",
    "post": _PUNCH,
    "eyelet": _PUNCH,
    "plastic": _AWL,
    "tack button": _AWL,
    "magnetic": " Cut the slits to either side of {marks?the|each} loose stitch, along the stitches of their own, and "
    "draw all of them out before the washer goes on.",
    "hook tape": _TAPED,
    "snap tape": _TAPED,
}
"""How a loose stitch is drawn out, so that its place is held before the mark is gone (common practice)."""
_SLITS_ALONE = " Cut along the loose stitches of the slits, and draw every stitch out before the washer goes on."
"""Where a mark outside is no stitch, and those of its slits within are."""


def clear_marks(way: str, words: Set[str], slit: Set[str]) -> dict[str, str]:
    """How a mark is taken away before its place is worked, on the lap set first and on the other.

    Args:
        way: the key of the way to mark.
        words: the facts of a job.
        slit: those of the face on which the slits of magnets are drawn.
    """
    if way in ("thread", "bound"):
        set_in = next(word.removeprefix("set: ") for word in words if word.startswith("set: "))
        second = _STITCH_OUT.get(set_in, _OVER_STITCH)
        first = _BOTH_FEET if set_in == "loop" else second
        return {
            "draw out": _NEEDLE_AT_STITCH if "buttonholes" in words else _of(first, "first"),
            "clear second": _of(second, "second"),
        }
    if way not in TAPE_WAYS:
        slits = _SLITS_ALONE if "set: magnetic" in words and held_by_thread(slit) else ""
        return {"draw out": slits, "clear second": slits}
    first = " Stitch through the tape, and tear it off before a slit is cut." if "buttonholes" in words else ""
    return {"draw out": first or _of(_tape_off(words), "first"), "clear second": _of(_tape_off(words), "second")}


def _of(text: str, lap: str) -> str:
    """Let a sentence agree with the number of marks of the lap set first, or of the second."""
    return text.replace("{marks?", f"{{{lap} marks?")


def _tape_off(words: Set[str]) -> str:
    if {"press-set", "pierces"} <= words:
        # A prong makes its own hole, and no tape may stay under the ring.
        return (
            " Press the prongs through the tape just so far that they prick the cloth, take the tape off that place, "
            "and set the part into its own pricks."
        )
    if "sewn on" in words:
        return " Make one stitch at {marks?the|each} mark, take the tape off, and sew the part on over it."
    if words & {"set: hook tape", "set: snap tape"}:
        return " Clip the closures on by the points on the paper tape, and take that off before a stitch goes in."
    if "set: loop" in words:
        return " Hold both feet of a loop by the points, and take the tape off before they are sewn."
    told = {"set: post": "Punch", "set: eyelet": "Punch", "set: magnetic": "Cut"}
    how = next((how for word, how in told.items() if word in words), "Put the awl in")
    return f" {how} through the tape, and take the tape off before the part goes in."
