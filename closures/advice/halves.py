"""Which half of a closure goes where, through which face and which layers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.column_room import back_to_back
from closures.placing.role import is_for_show
from closures.said import for_author

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement

_THIN = frozenset({"cloth: silk", "cloth: sheer"})
"""Cloth too thin to sew to its back alone: common practice."""


def halves_in_words(placement: Placement) -> str:
    """Say which half goes on which lap, by what convention, and whether it is turned."""
    fastener = placement.fastener
    told, side = [], placement.side_word
    for lap in ("over", "under"):
        names = " and ".join(part.name for part in fastener.parts if part.lap == lap) or "buttonhole"
        told.append(f"{lap} {side}: {names}")
    where = f"{'; '.join(told)}.".capitalize()
    if told[0].removeprefix(f"over {side}: ") == told[1].removeprefix(f"under {side}: "):
        return f"Both {side}s carry the same: {told[0].removeprefix(f'over {side}: ')}."
    basis = "" if fastener.halves is None else f" ({fastener.halves.text})"
    if placement.plan.closure.halves == "turned":
        return f"{where} Turned on purpose: the halves are the other way round than usual{basis}."
    if placement.fastener.mark.buttonhole_lap is not None:
        # Nobody wants the buttonhole beneath and the button on the wrong face.
        return f"{where} That is the usual side of each half{basis}."
    if placement.row.staying:
        # What stays lies as it lies, and what is new goes by it.
        turned = placement.plan.in_words(
            'where yours lie the other way round, write halves = "turned" under [closure].'
        )
        return f"{where} Those that stay are taken to lie so" + for_author(f"; {turned}", ".")
    basis = f" That is the usual side of each half{basis}." if basis else ""
    row, n = placement.row, placement.marks[0].n
    if row.is_single(n):
        # Beside the row a closure is hidden or stands the usual way.
        return f"{where}{basis}"
    section = "[closure]" if placement.plan.closure.kind == row.plan.closure.kind else "[[differs]]"
    turned = placement.plan.in_words(f'To change them over, write halves = "turned" under {section}.')
    return f"{where}{basis}" + for_author(f" {turned}")


def faces_pushed_through(lead: LapName, words: frozenset[str]) -> dict[str, str]:
    """From which face a part is pushed through either lap: from the one that does not meet the other lap.

    Of the over lap that is the face that shows, of the under lap the inside: pushed through from its outside, a half
    beneath would end up against the body, and nothing could meet it.
    """
    outer = "the face inside the band" if "hiding: beneath" in words else "the face that will show"
    inner = "the face next to the wearer" if "worn" in words else "the inside"
    meets = ", on the face that meets the over {}".format("end" if "on: strap" in words else "lap")
    if lead == "over":
        return {"lead face": outer, "lead side": "", "other face": inner}
    return {"lead face": inner, "lead side": meets, "other face": outer}


def sewn_through(lap: LapName, words: frozenset[str], which: str, *, is_single: bool, is_backed: bool = False) -> str:
    """What a part that is sewn on is sewn through: on the over lap, and where edges meet, it lies on the inside.

    `which` is the figure of the marks that it is said of, to agree with their number; a single lap has no facing.
    A backing behind all of them is a back to sew to, also where the cloth is too thin to have one (common practice).
    """
    if is_single and (lap == "over" or "ends: meeting" in words):
        if is_backed:
            return "through what backs the cloth alone, so that no stitch shows outside"
        if words & _THIN:
            return (
                "taking up one or two threads at a stitch: cloth so thin has no back to take up, and pricks will show"
            )
        return "taking up the back of the cloth alone, so that no stitch shows outside"
    if lap == "over" or "ends: meeting" in words:
        return "through the inner layers only"
    each = "" if words & {"set: hook tape", "set: snap tape"} else f"{{{which}?|each }}"
    if is_single:
        return f"{each}through its one layer and what backs that"
    return f"{each}through the layer it lies on and what backs that, not through to the inside"


def held_by(lap: LapName, words: frozenset[str], placement: Placement, *, is_single: bool) -> str:
    """What a sewn button is held by: one on the over lap lies on the inside, and behind it is the face that shows."""
    if lap == "under":
        return "and a small patch or flat button on the inside where there is strain"
    held = "the back of the cloth" if is_single else "the inner layers"
    held = "the backs of the stitches" if "knitted" in words else held
    met = back_to_back(placement, [one for one in placement.row.shares if is_for_show(one)])
    if met is not None:
        # The stitches that show lie under the button for show.
        return (
            f"on the inside of that lap. Mark {met[0]} lies back to back with mark {met[1]}, for show: mark that one "
            "first, on the outside of the over lap, by its sheet with the outside face up. Sew the two on "
            "together with the same stitches through all layers, each the other's stay; where the hidden one had to "
            "move to meet its buttonhole, sew them on apart, the one for show where its sheet has it and the hidden "
            f"one through {held} alone"
        )
    return f"on the inside of that lap, through {held} alone: no stitch comes through to the face that shows"


def covered_first(placement: Placement, lead: LapName, first: LapName) -> dict[str, str]:
    """Say where halves are covered with cloth: before the first of either is sewn on, whichever lap comes first."""
    which = "Cover both halves of {lead marks?the|each} snap"
    if placement.strap is not None and len(placement.on("over")) != len(placement.on("under")):
        # A strap carries more of the one half than of the other.
        which = "Cover every ball half and every socket half"
    told = f"{which} with a circle of thin lining, gathered behind: the ball pierces it when the snap is closed for "
    told += "the first time. "
    return {"cover lead": told if lead == first else "", "cover other": "" if lead == first else told}
