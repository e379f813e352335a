"""What the cloth decides in a sentence: how it is fused, marked and worked.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.backing import back_side, held_down, shrinks_too
from closures.advice.cloth_facts import material_of
from closures.advice.holes_left import (
    bears_no_pin,
    hole_left,
    keeps_needle_holes,
    laid_in,
    laid_in_strap,
    lies_within,
    needle_holes_left,
    needle_holes_that,
    pricks_left,
    shows_needle_holes,
    straight_down,
)
from closures.advice.washing import spoilt_by_a_wash
from closures.placing.interfaced import is_waxed, rewaxed

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.advice.worked import Worked

_BUTTONHOLES = "{worked marks?the buttonhole|the buttonholes}"
_ROUND_OLD = (
    ", the iron led round the old closures and never over them: plastic melts, and metal takes the heat on and is "
    "pressed into the cloth"
)
"""Common practice."""
_AS_A_KNIT = ", setting the iron down and lifting it: pushed along, it stretches a knit"
"""Common practice."""
_TAPE_TORN = " Stitch through the tape, and tear it off before the cloth is cut."
_FRAYS = {"cloth: woven", "cloth: sheer", "cloth: knit", "cloth: silk", "cloth: satin"}
"""What frays or runs where it is slit and no stitch closes over it (common practice)."""
_UNTOLD = (
    ", as the cloth bears, which the plan does not tell: wool and silk are steamed or cleaned, and leather and coated "
    "cloth are neither washed nor pressed"
)
_SILK_IS_NOT = ", where it is not of silk: a silk one is steamed or cleaned instead, so that it keeps its body"
_FUSE = (
    "Fuse {} to the wrong side{{fused where}}, and let it cool lying flat; fuse before you mark, since "
    "fusing moves cloth and heat changes many marks."
)
_FUSE_BLOCK = (
    "Fuse the interfacing to the wrong side of {fused} and let it cool lying flat; fuse before you cut and mark, since "
    "fusing moves cloth and heat changes many marks."
)


def phrases_at(worked: Worked) -> dict[str, str]:
    """Gather what the cloth decides of what is done to one lap, or to cloth that is prepared by itself."""
    told = {"material": material_of(worked.words), "spoilt": spoilt_by_a_wash(worked.words)}
    if "set: magnetic" in worked.words:
        told |= {"draw slits": _draw_slits(worked.marked)}
    return phrases_of(worked.words, worked.face) | told


def _is_often_silk(words: Set[str]) -> bool:
    """Whether a cloth is of a kind that is sold of silk as well as of the fibre that it is taken for."""
    return bool({"cloth: sheer", "cloth: satin"} & words) and "melts" in words and "cloth: silk" not in words


def phrases_of(words: Set[str], seen: Set[str] | None = None) -> dict[str, str]:
    """Gather what the cloth decides, by the words in the braces of the tables.

    Args:
        words: the facts of a job.
        seen: the same, were all its cloth that which lies outside; None where nothing is marked.
    """
    outside = words if seen is None else seen
    keeps = keeps_needle_holes(words)
    is_untold = "cloth: not told" in words
    return {
        "rest": _rest(words),
        "the interfacing": _interfacing(words),
        "The interfacing": _interfacing(words).capitalize(),
        "fuse": _fuse(words),
        "fuse scrap": _fuse_scrap(words),
        **_fused(words),
        "press cloth": _press_cloth(words),
        "untold": _UNTOLD if is_untold else _SILK_IS_NOT * _is_often_silk(words),
        "before what": "before the band closes" if "state: cut pieces" in words else "before anything is set",
        "press over": pressed_over(words, outside),
        "as a knit": _AS_A_KNIT if "cloth: knit" in words else "",
        "round old": _ROUND_OLD if "old made" in words else "",
        "pinned": "clip" if keeps_needle_holes(words) else "pin",
        "scrap face": _scrap_face(words),
        "hold down": held_down(words),
        "shrinks too": shrinks_too(words),
        **_laid_to_press(words),
        "lies as on it": _lies_as_on_it(outside),
        "lay in": laid_in(words),
        "lies within": lies_within(words),
        "lay in the strap": laid_in_strap(words),
        "the child": " the child" if "wearer: child" in words else "",
        "held shut": "by hand" if "wearer: child" in words or bears_no_pin(words) else "with a pin",
        **_covered(words, outside),
        "straight down": straight_down(words),
        "helper mark": "a point on paper tape" if keeps else "a loose stitch" if held_by_thread(words) else "chalk",
        "why thread": why_thread(outside),
        "flatten": flattened(words, outside),
        "back side": back_side(words),
        "back beneath": " on the over lap on its inner layers alone," if "hiding: beneath" in words else "",
        "tacked": "on paper tape" if keeps_needle_holes(outside) else "with tacking thread",
        "tacked off": _TAPE_TORN * keeps_needle_holes(outside),
        "needle holes": needle_holes_left(words),
        "needle holes that": needle_holes_that(words),
        "hole stays": hole_left(words, outside),
        "pricks": pricks_left(words),
        "work holes": _work_holes(words, outside),
        **_magnet(words),
        "slit": _slit(words, outside),
        "slit stop": _slit_stop(words),
        "small hole": "stitched round and slit as leather bears it"
        if "cloth: leather" in outside
        else "worked and cut",
        "work and cut": "Stitch and slit" if "cloth: leather" in outside else "Work and cut",
    }


def _laid_to_press(words: Set[str]) -> dict[str, str]:
    """How a made garment lies while its closing edges are pressed, and when they are: what no table holds flat closed
    is pressed open."""
    if "closed by turns" in words:
        thing = "garment" if "worn" in words else "opening"
        return {"closed thing": f"{thing} open, either lap by itself,", "edges lie": "Either edge lies flat by itself"}
    beside = "Both edges lie flat beside each other, as they are worn"
    return {
        "closed thing": "garment closed as it is worn" if "worn" in words else "opening closed and flat",
        "edges lie": beside if "ends: meeting" in words else "Both edges lie flat on each other",
    }


def _press_cloth(words: Set[str]) -> str:
    """What an iron that is set down flat asks for, to follow what it does."""
    if _shines(words):
        return ", from the wrong side and under a press cloth"
    if "napped" in words:
        return ", from the wrong side"
    return _UNTOLD * ("cloth: not told" in words)


def _rest(words: Set[str]) -> str:
    if "cloth: leather" in words:
        return "it takes neither water nor heat"
    if "cloth: coated" in words:
        return "its coating takes no heat, and it is washed as its maker tells"
    return "the plan says that it is never washed"


def _shines(words: Set[str]) -> bool:
    """Whether an iron set down on the face would be seen there."""
    return bool({"press: steam", "press: damp", "cloth: satin", "cloth: silk", "melts"} & words)


def held_by_thread(words: Set[str]) -> bool:
    """Whether a place that another half is held against is kept by a loose stitch."""
    return (
        not keeps_needle_holes(words)
        and "pens do" not in words
        and ("cloth: not told" not in words or "any bound" in words)
    )


def _lies_as_on_it(words: Set[str]) -> str:
    """How a trial buttonhole lies: across its grain, or near an edge, another one draws and stretches otherwise."""
    grain = "" if "cloth: leather" in words else "along the same grain and "
    return f" {grain}as far from a finished edge as on the garment"


def _interfacing(words: Set[str]) -> str:
    """What is fused: where cloth is sewn in as an interfacing besides, the other one."""
    if "cloth laid in" not in words:
        return "the interfacing"
    return f"the other interfacing{', where the page of bands has it,' if 'bands' in words else ''}"


def _fuse(words: Set[str]) -> str:
    told = _FUSE.format(_interfacing(words)) if "on: strap" not in words else _FUSE_BLOCK
    if "cloth: not told" in words:
        return f"{told} Try it on a scrap first: leather and coated cloth may not bear the heat."
    if not _shines(words):
        return told
    early = "cut or mark" if "on: strap" in words else "mark"
    then = f"Then treat {{fused}} in the same way, before you {early}, and let {{fused them}} cool lying flat."
    return f"{_fuse_scrap(words)} {then}"


def _fuse_scrap(words: Set[str]) -> str:
    how = " and under a press cloth" if _shines(words) else ""
    return (
        f"Fuse {_interfacing(words)} to a scrap first, from the wrong side{how}{_on_itself(words)}, and "
        f"look at its face: {_scrap_face(words)}, sew an interfacing of the same thickness in"
        f"{', cut with the seam allowance' if 'bands' in words else ''}."
    )


def _fused(words: Set[str]) -> dict[str, str]:
    """What is fused: pieces that were cut out, or of a strap, which is cut by its own sheets, a block of its cloth."""
    if "on: strap" not in words:
        return {"fused": "{fused pieces}", "fused is": "the pieces are", "fused them": "them", "fused its": "their"} | {
            "of the block": ""
        }
    told = {"fused": "{the block},", "fused is": "the block is", "fused them": "it"}
    of_it = " of what is fused" if {"fusible", "heat: bears"} <= words else ""
    return told | {"fused its": "its", "of the block": of_it}


def _on_itself(words: Set[str]) -> str:
    return ", its face down on a piece of itself" if "cloth: pile" in words else ""


def _scrap_face(words: Set[str]) -> str:
    if not _shines(words):
        return "where it bubbles"
    return "where the pile lies flat, or it bubbles" if "cloth: pile" in words else "where it shines or bubbles"


def why_thread(words: Set[str]) -> str:
    """Why a mark is a stitch of thread."""
    if "cloth: knit" in words and "loops keep" not in words:
        return "a pin would cut loops, and a cut loop runs"
    if "cloth: pile" in words:
        return "pricks and chalk are lost in the pile"
    if "loops keep" in words:
        return "pricks and chalk are lost in so thick a nap"
    if "cloth: padded" in words:
        return "through all that is quilted together, so that it does not shift"
    return "pricks and pens stay to be seen in such cloth"


def flattened(words: Set[str], face: Set[str]) -> str:
    """How an edge is made flat, by all the cloth in it.

    Args:
        words: the facts, were all the cloth of the job that of the lap.
        face: the same, were it all that which lies outside on the lap.
    """
    if "cloth: not told" in words:
        return "flatten"
    if _is_tapped(words, face):
        return "tap"
    if {"press: iron", "press: damp"} & words:
        return "press"
    return "steam and smooth" if "press: steam" in words and "wash: after" not in words else "smooth"


def pressed_over(words: Set[str], face: Set[str]) -> str:
    """What lies between the iron and an edge that is pressed, to stand after it; arguments as of `flattened`."""
    if "cloth: not told" in words:
        ways = "leather with a mallet, coated cloth and pile by hand, others by an iron that they bear"
        return f" as the cloth bears: {ways}"
    if _is_tapped(words, face):
        return " with a mallet, the allowances glued down or topstitched"
    if "cloth: leather" in words:
        return " by hand, with no mallet and no iron"
    if "press: none" in words and "cloth: coated" in words:
        return " by hand, topstitched where it does not lie flat by itself"
    if {"press: steam", "cloth: silk"} <= words and "wash: after" not in words:
        return ", the steam held so far above that no drop of it falls on the silk, which keeps the spots"
    if not {"press: iron", "press: damp"} & words:
        return ""
    if "wash: after" in words:
        return " with a dry iron and no steam" + " under a press cloth" * _shines(words)
    if "cloth: silk" in words:
        return " with a dry iron under a press cloth"
    if "press: damp" in words:
        return " under a damp cloth"
    return " under a press cloth" if _shines(words) or "napped" in words else ""


def _is_tapped(words: Set[str], face: Set[str]) -> bool:
    """Whether an edge is of leather outside, and no mallet crushes what lies behind it."""
    soft = {"cloth: pile", "cloth: padded", "cloth: nonwoven"}
    return "cloth: leather" in face and not soft & words


def _covered(words: Set[str], outside: Set[str]) -> dict[str, str]:
    """How an old hole that is left beside the new closures is hidden, by what the face that is seen bears."""
    if keeps_needle_holes(outside):
        what = "glue" if "cloth: leather" in outside else "sew" if is_waxed(outside) else "tape or glue"
        return {
            "cover each now": f"{what} a patch of its kind over each now{rewaxed(outside)},",
            "cover through": f", and sew nothing {'else ' if what == 'sew' else ''}on",
        }
    with_what = "a patch, no button more," if "wearer: child" in words else "a patch or a button for show,"
    return {"cover each now": f"cover each now with {with_what}", "cover through": ", through the outer cloth alone"}


def _work_holes(words: Set[str], face: Set[str]) -> str:
    if "cloth: leather" in face:
        box = (
            "Stitch a narrow box round the line of {worked marks?the|each} buttonhole, 2 mm from it all round, "
            "with a leather needle and stitches of about 3 mm; closer ones cut it through, and no line can be sewn "
            "twice."
        )
        lined = " Glue the cloth behind the leather to it inside the box first, so that it does not fray at the slit."
        if "faced apart" in words:
            # The facing is sewn down all round by now, and was glued before.
            lined = (
                " Keep the box within what is glued behind it, so that no cloth frays at the slit; where nothing is "
                "glued there yet, glue it first."
            )
        return box + lined * bool(_FRAYS & words)
    if "cloth: leather" in words:
        return (
            f"Work {_BUTTONHOLES} round with a leather needle, its stitches no closer than the cloth outside needs: "
            "close ones cut the leather within through, and the holes of the needle stay there, also where the work is "
            "unpicked."
        )
    if keeps_needle_holes(words):
        return f"Work {_BUTTONHOLES} round; the holes of the needle stay, also where the work is unpicked."
    if shows_needle_holes(words):
        return f"Work {_BUTTONHOLES} round; unpicked, the holes of the needle may stay to be seen."
    return f"Work {_BUTTONHOLES} round; up to here {{worked marks?it|they}} can be unpicked."


def _magnet(words: Set[str]) -> dict[str, str]:
    """How the slits of a magnetic half are drawn, on the face that meets the other lap."""
    told = {"bring within": "", "draw slits": ""}
    if "set: magnetic" not in words:
        return told
    told |= {"draw slits": _draw_slits(words)}
    is_finished = "state: finished" in words
    is_opened = "opened for magnets" in words and "on: strap" not in words
    if not is_opened or "marked where it meets" in words or keeps_needle_holes(words):
        return told
    point = "a loose stitch" if held_by_thread(words) else "chalk"
    bring = "Where the band was opened, bring" if is_finished else "Bring"
    bring += " {first marks?the|each} mark through to the face that meets the other lap, "
    bring += f"{straight_down(words)}, {point} at its point. "
    return told | {"bring within": bring}


def _draw_slits(words: Set[str]) -> str:
    """How the slits are drawn through the slots of a washer, as the cloth bears it (common practice)."""
    if "cloth: leather" in words:
        return "scribe both slits lightly through its slots with the awl, where the part will cover them"
    if "cloth: coated" in words:
        return "draw both slits through its slots on the tape"
    if held_by_thread(words):
        return "take one loose stitch through either slot, as long as the slot is"
    if "cloth: not told" in words:
        return "draw both slits through its slots, in the way that your cloth bears"
    return "draw both slits through its slots with sharp chalk"


def _slit_stop(words: Set[str]) -> str:
    """What stops the blade at the end of a slit."""
    if keeps_needle_holes(words):
        return ""
    if bears_no_pin(words):
        return ", a fine pin across each end in the stitches alone"
    return ", a pin across each end"


def _slit(words: Set[str], face: Set[str]) -> str:
    if "cloth: leather" in face:
        return "Slit the leather between the stitches, with a knife on a board, from either end to the middle,"
    if keeps_needle_holes(words):
        return "Cut {lead marks?the buttonhole|the buttonholes} open from either end to the middle"
    return "Cut {lead marks?the buttonhole|the buttonholes} open"
