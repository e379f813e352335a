"""What a needle, a pin or a buttonhole leaves in the cloth, and what is done where that would show.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.interfaced import is_waxed

if TYPE_CHECKING:
    from collections.abc import Set

_NO_HEAT = {"cloth: leather", "cloth: coated"}
_SHOWS_PRICKS = {"cloth: silk", "cloth: satin", "cloth: sheer", "marks"}


def keeps_needle_holes(words: Set[str]) -> bool:
    """Whether what a needle or a pin goes through keeps the hole."""
    return bool(_NO_HEAT & words)


def shows_needle_holes(words: Set[str]) -> bool:
    """Whether a needle's hole may stay to be seen: the threads of such cloth do not move back over it."""
    return bool(_SHOWS_PRICKS & words)


CLIPPED = "held by clips: a pin's hole stays"
"""How layers are held till they are sewn together, where a pin would leave its hole."""


def seam_opened(words: Set[str]) -> str:
    """What is said before a sewn seam is opened in cloth that keeps its holes; empty of any other."""
    if not keeps_needle_holes(words):
        return ""
    leaks = seal = ""
    if "cloth: coated" in words:
        leaks = ", and where that keeps water out lets some through"
        seal = "; seal them on the inside, with what the maker of the cloth names, once that is done"
    return (
        f" Every hole of its seam stays in {such_cloth(words)}{leaks}: cut the stitches one by one, and sew it shut "
        f"later through the same holes{seal}."
    )


def bears_no_pin(words: Set[str]) -> bool:
    """Whether a pin would leave its hole in the cloth, or cut its loops."""
    cuts = "cloth: knit" in words and "loops keep" not in words
    return keeps_needle_holes(words) or shows_needle_holes(words) or cuts


def straight_down(words: Set[str]) -> str:
    """What brings a mark through to the layers within."""
    if keeps_needle_holes(words):
        return "an awl straight down"
    return "a fine blunt needle straight down, between the threads" if bears_no_pin(words) else "a pin straight down"


def pricks_left(words: Set[str]) -> str:
    """What becomes of the pricks of a part that came off, to follow a semicolon."""
    if keeps_needle_holes(words):
        return f"they stay in {such_cloth(words)}"
    if _SHOWS_PRICKS & words:
        return f"they stay {seen_in(words)}"
    if "loops keep" in words:
        return "they are hardly seen in such cloth"
    how = "in the first wash" if "wash: after" in words else "after steaming"
    if "cloth: knit" in words:
        return "a knit often runs from them"
    if "cloth: woven" in words:
        return f"woven cloth may close {how}"
    return f"woven cloth may close {how}, knits often run"


def seen_in(words: Set[str]) -> str:
    """Where a hole may stay to be seen: in the cloth, or where only what lies within keeps it, on the inside."""
    return "on the inside" if "marks within" in words else "in such cloth"


def such_cloth(words: Set[str]) -> str:
    """What the cloth that keeps a hole is called."""
    return "leather" if "cloth: leather" in words else "such cloth"


def needle_holes_left(words: Set[str]) -> str:
    """What becomes of the holes of a needle, a half sentence."""
    if keeps_needle_holes(words):
        return f"the needle holes stay in {such_cloth(words)}"
    if _SHOWS_PRICKS & words:
        return f"the needle holes may stay to be seen {seen_in(words)}"
    if "wash: after" in words:
        return "the needle holes close in the first wash"
    return "the needle holes close with steam"


def needle_holes_that(words: Set[str]) -> str:
    """The holes of a needle, and what becomes of them."""
    if keeps_needle_holes(words):
        return f"needle holes, which stay in {such_cloth(words)}"
    if _SHOWS_PRICKS & words:
        return f"needle holes, which may stay to be seen {seen_in(words)}"
    if "wash: after" in words:
        return "needle holes, which the first wash closes in most cloth"
    return "needle holes, which steam closes in most cloth"


def hole_left(words: Set[str], face: Set[str]) -> str:
    """What becomes of the buttonhole of a button that came off, by the cloth it lies in and what is outside."""
    if "knitted holes" in words:
        return "A buttonhole that was knitted is sewn shut by hand."
    if "bound" in words:
        return "The lips of a bound buttonhole can be sewn together by hand; it remains in sight."
    if "cloth: leather" in face:
        return "A slit in leather can be backed with a patch, and remains in sight."
    return "A cut buttonhole can be sewn shut by hand or backed with a patch, and remains in sight."


def laid_in(words: Set[str]) -> str:
    """How an interfacing is held in cloth that bears no heat and keeps every hole of a needle."""
    if "cloth: leather" in words:
        return "glue it to the wrong side{fused where}, before anything is marked"
    if is_waxed(words):
        return (
            "cut it with the seam allowance, and sew it to the wrong side{caught where} within the allowance, before "
            "anything is marked: tape and glue hold badly on wax"
        )
    caught = (
        "cut it with the seam allowance, and tape it to the wrong side{caught where}, or sew it in there within the"
    )
    return f"{caught} allowance, before anything is marked"


def lies_within(words: Set[str]) -> str:
    """When an interfacing is held right that is laid in so."""
    if "cloth: leather" in words:
        return "holds all over, and no glue has come through"
    return "no stitch of it lies outside the seam allowance"


def laid_in_strap(words: Set[str]) -> str:
    """How an interfacing is held in a strap of such cloth."""
    if "cloth: leather" in words:
        return "glue it between the layers when they are joined"
    if is_waxed(words):
        return "sew it to the wrong side of one layer, within its allowance: tape and glue hold badly on wax"
    return "tape it to the wrong side of one layer"
