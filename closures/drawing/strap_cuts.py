"""By which line of a strap's end paper and cloth are cut: what its cover says of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.ink.figures import both_ways

if TYPE_CHECKING:
    from closures.drawing.sheets.subject import Subject


def cloth_beyond_mm(subject: Subject) -> tuple[float, ...]:
    """How far the cut line of a strap lies outside its finished edge, each width once; none where it has none."""
    strap = subject.placement.strap
    if strap is None:
        return ()
    return tuple(mm for mm in dict.fromkeys((strap.allowance_mm, strap.under_allowance_mm)) if mm)


def how_to_cut_an_end(subject: Subject) -> str:
    """Tell which line of a strap's end the cloth is cut on, which the paper, and when."""
    strap = subject.placement.strap
    piece = strap.piece if strap is not None else ""
    whose = f"{subject.opening}: the" if subject.opening and subject.opening != piece else f"the {piece}'s"
    wide = " and ".join(both_ways(mm, subject.units)[0] for mm in cloth_beyond_mm(subject))
    fold = ", its fold on the fold" if strap is not None and strap.made == "folded" else ""
    # Bound buttonholes are marked before the strap is made up.
    bound = subject.placement.plan.closure.bound
    lies = f"the seam line of the {piece}" if bound else f"the edge of the made-up {piece}"
    whose = whose[:1].upper() + whose[1:]
    what = "the cloth"
    if strap is not None and strap.lining:
        what, fold = "the lining", f"{fold}, and draw the leather by the inner, heavy one"
    return (
        f"{whose} ends have two lines, {wide} apart: cut {what} on the outer, thin one{fold}, "
        "while the paper is whole. Then cut the paper on the inner, heavy one, the finished edge, lay that edge on "
        f"{lies}, tip on tip, and mark as the signs say."
    )
