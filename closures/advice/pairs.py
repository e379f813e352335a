"""What sentences name of a strap that is made once, or twice: a shirt's cuffs come in pairs (common practice)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import format_length

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap
    from closures.plan.top import Units

_PAIR = (
    " What follows is done on both, each by its own sheets: the wearer's left one and right one are mirror images with "
    "the same numbers."
)


_SEAMS = {
    "waistband": "the garment's upper edge",
    "cuff": "the sleeve's lower edge",
    "collar": "the garment's neck edge",
}
"""What a piece that is worn on a garment is sewn to (common practice)."""

STITCHED_IN_MM = 3.0
"""How far from the edge layers of leather are stitched to each other: common practice."""


def made_once_or_twice(strap: Strap, units: Units) -> dict[str, str]:
    """Name a strap, or the pair of it, and how wide it is cut, by the words in the braces of the tables."""
    laid = {"what it is laid to": "the tip that it names", "the block": "a block of the cloth, larger than {the piece}"}
    laid["cut width"] = wide = format_length(strap.width_mm, units)
    if strap.made == "folded":
        laid["cut width"] = f"{format_length(2 * strap.width_mm, units)}, and folded lengthwise {wide}"
    laid |= _joined(strap, units) | _lined(strap) | {"if a waistband": ""}
    if strap.pieces == 1:
        return laid | {"the piece": f"the {strap.piece}", "its": "its", "it": "it", "each of it": "it", "pair": ""}
    both = f"both {strap.piece}s"
    return laid | {"the piece": both, "its": "their", "it": "each", "each of it": "each", "pair": _PAIR}


def _lined(strap: Strap) -> dict[str, str]:
    """How the lining of a leather strap is cut and laid: turned under, since it frays (common practice)."""
    if not strap.lining:
        return dict.fromkeys(("lining cut", "lining turned"), "")
    which = "the leather piece" if strap.pieces == 1 else "each leather piece"
    pressed = "Turn the allowance of the lining under and {lining held}{strap trimmed}"
    turned = f"{pressed}, and lay it on the wrong side of {which}"
    return {
        "lining cut": f": the leather alone, and the lining of {strap.lining_in_words}",
        "lining turned": f"{turned}, its fold a little inside the leather's edge" + "{strap raw}. ",
    }


def _joined(strap: Strap, units: Units) -> dict[str, str]:
    """How the layers of a strap are joined, and it to the garment that it is worn on (common practice)."""
    seam = _SEAMS.get(strap.piece, "")
    its, it = ("their", "each") if strap.pieces > 1 else ("its", "it")
    if strap.pieces > 1:
        seam = seam.replace("the sleeve's", "each sleeve's")
    name, own = f"the {strap.piece}", seam
    if strap.pieces > 1:
        name, own = f"each {strap.piece}", seam.replace("each sleeve's", "its sleeve's")
    if strap.made == "one layer":
        laid = f"Lay {name} over {own}, stitch it down there, and finish its edges"
        return {
            "joined": f", lay {it} over {own} and stitch it down there" if seam else "",
            "strap finished": laid if seam else f"Finish the edges of {name}",
            "inner sewn": "through the one layer of the over end, with thread of its colour, since it shows",
        }
    layers = f"Fold {name} lengthwise and join its halves" if strap.made == "folded" else f"Join the layers of {name}"
    between = ", {} taken in between {} layers"
    if strap.fold:
        between += f" along {its} {'upper' if strap.fold == 'lower edge' else 'lower'} edge, across from the fold"
    stitched = format_length(STITCHED_IN_MM, units)
    how = (
        ": glue them, with a glue that its pack names for leather, and stitch them all round, "
        f"{stitched} from the edge. Let the glue dry before anything is punched: a hole goes through all layers, and "
        "wet ones slip on each other. Finish {} edges"
    )
    return {
        "joined": between.format(seam, its) if seam else "",
        "strap finished": f"{layers}{between.format(own, 'its') if seam else ''}{how.format(its)}",
        "inner sewn": "through the inner layers of the over end",
    }


def pieces_fused(placement: Placement, words: Set[str]) -> dict[str, str]:
    """Of what a strap is cut that is cut twice, where its plan tells an interfacing on one of the two.

    The piece that lies outside is the one that is stiffened, and its facing stays soft: common practice.
    """
    strap = placement.strap
    is_folded = strap is not None and strap.made == "folded"
    if strap is None or not (is_folded or strap.cut_pieces == 2) or not {"fusible", "heat: bears"} <= words:
        return {}
    if strap.interfacings != 1:
        return {}
    if is_folded:
        # Fused all over, what is folded would hold the interfacing twice, and its stack is told with one.
        return {
            "the block": "one half of a block of the cloth, larger than {the piece}, as far as its fold",
            "of the block": " with the fold at the border of what is fused: the half that will lie outside is fused, "
            "the other is of the cloth alone",
        }
    if strap.pieces > 1:
        told = "the pieces that will lie outside of what is fused, and their facings of the cloth alone"
    else:
        told = "the piece that will lie outside of what is fused, and its facing of the cloth alone"
    return {"of the block": f", {told}"}


def all_of_it(row: Placement) -> str:
    """What is opened and closed to try it."""
    if row.strap is not None and row.strap.pieces > 1:
        return f"both {row.strap.piece}s"
    if len(row.all_marks) == 1:
        return "it"
    return "the whole row" if len(row.marks) > 1 else "every closure"
