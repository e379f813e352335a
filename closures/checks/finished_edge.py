"""Is the line that was told the finished edge, as it is meant and as it was drawn or measured?

Nothing here fails a row: each is looked at by who knows the garment.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.checks.usual import as_read_within, is_far, meant_in, usual_mm
from closures.said import for_author, to_both

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.checks.checked import Checked
    from closures.edges.dents import Dent
    from closures.edges.strays import Stray
    from closures.edges.within import Within
    from closures.placing.placed import Placement

# A line drawn so near the closing line, or the seam of the band, is that line and no seam of the edge: our own rule.
_SAME_LINE_MM = 1.0


def check_finished_edge(checked: Checked) -> list[Finding]:
    """Is it the finished edge, and not the line along which the piece is cut; and does its cloth lie on that side?"""
    placement = checked.placement
    within, piece, over = placement.seen.within, placement.seen.piece, placement.laps.over
    found: list[str] = []
    if within is not None and _may_be_its_seam(within, placement):
        by = checked.show(within.mm)
        if_not = "" if within.on is None or within.is_named_seam else " If it is a fold or a topstitching, all is well."
        found.append(
            f'In the drawing "{within.name}" runs {by} inside this edge, as a seam line runs inside a cutting line. '
            "The closures are laid from the finished edge, as it is after sewing: where that is the inner line, every "
            f"mark lies {by} too far out." + for_author(f' Then write path = "{within.name}" under [edge].') + if_not
        )
    elif placement.seen.called_cut:
        found.append(
            f'The drawing calls this edge "{placement.seen.called_cut}", as a line along which the piece is cut. The '
            "closures are laid from the finished edge, as it is after sewing: where an allowance is still to be turned "
            "in or sewn off, every mark lies that much too far out."
            + for_author(" Then draw the finished edge, and name that as path under [edge].")
            + " If the edge stays where it is cut, all is well."
        )
    if piece is not None and piece.inside != over.cloth_on:
        name = f'"{piece.name}"' if piece.name else "a piece of the drawing"
        runs = f"runs {checked.show(piece.away_mm)} inside" if piece.is_doubtful else "lies along"
        found.append(
            f"This edge {runs} {name}, and that piece lies on the other side of it than the cloth was taken to lie. "
            "If it is the over lap's own piece, every mark would lie beside it or in its facing"
            + for_author(": look at lap, opens, reverse, seen_from and cloth.", ".")
            + " If it is another piece or a facing folded out, all is well."
        )
    if (stray := placement.seen.stray) is not None:
        found.append(_of_stray(checked, stray))
    if placement.seen.rough_mm:
        found.append(_of_rough_points(placement.seen.rough_mm))
    if placement.seen.dents:
        found.append(_of_notches(checked, placement.seen.dents))
    found += _unusual_length(checked)
    return [Finding("finished edge", "warn", to_both(text), "our own rule") for text in found]


def _of_stray(checked: Checked, stray: Stray) -> str:
    """Ask for a point that may be mistyped to be measured again."""
    which = "first" if stray.number == 1 else "last"
    if stray.is_end and stray.meant_mm is None:
        return (
            f"Point {stray.number} of the measured edge, its {which}, lies {checked.show(stray.off_mm)} off where the "
            "points beside it lead, and it alone tells that the edge bends there. Measure it again, and one between it "
            "and the next: where the figure is mistyped, the end of the edge lies elsewhere, and so do the marks "
            "near it; where the edge bends, nothing tells where that begins."
        )
    if stray.meant_mm is None:
        return (
            f"Point {stray.number} of the measured edge lies {checked.show(stray.off_mm)} off the line through the "
            "points beside it, and the edge is smooth without it. Measure it again: where a figure is mistyped, the "
            "edge bulges there, and every mark below it moves."
        )
    told, meant = checked.show(stray.told_mm), checked.show(stray.meant_mm)
    return (
        f"Point {stray.number} of the measured edge, its {which}, lies {checked.show(stray.off_mm)} off where the "
        f"points beside it lead; told as {meant} in place of {told} it would lie there. Measure it again: where the "
        "figure is mistyped, the end of the edge lies elsewhere, and so do its length and the marks near it. If the "
        "edge bends there, all is well."
    )


def _of_rough_points(rough_mm: float) -> str:
    """Tell that an edge follows points that are rougher than they were taken to be."""
    told = as_read_within(rough_mm)
    return (
        f"The points that stand for this edge are out by {rough_mm:.2f} mm to either side, more than they were taken "
        "to be, so the edge goes to and fro with them where a smooth one would not, and may turn corners that are "
        "none. Lay a tape on yours, and draw it with fewer points or as a curve"
    ) + for_author(f'; or, if they are that rough, write read_within = "{told}" under [edge].', ".")


def _of_notches(checked: Checked, dents: Sequence[Dent]) -> str:
    """Tell what was taken out of an edge for a notch of its pattern."""
    told = "; ".join(f"{checked.show(one.deep_mm)} deep at x {one.at[0]:.0f}, y {one.at[1]:.0f} mm" for one in dents)
    notches, them = ("Notches are", "them") if len(dents) > 1 else ("A notch is", "it")
    return (
        f"{notches} drawn into this edge, {told}. The edge was taken to run straight on across {them}, as it does once "
        "it is sewn: if the garment is truly so shaped there, these sheets are not for it."
    )


def _may_be_its_seam(within: Within, placement: Placement) -> bool:
    """Whether a line inside the edge may be its seam line, and is not drawn where the row or the band's seam lies."""
    over = placement.laps.over
    if within.on is None or within.is_named_seam:
        return within.on in (None, over.cloth_on)
    theirs = any(abs(within.mm - own_mm) <= _SAME_LINE_MM for own_mm in (over.inset_mm, over.width_mm))
    return within.on == over.cloth_on and not theirs


def _unusual_length(checked: Checked) -> list[str]:
    """Tell an edge that is longer or shorter than such an opening is."""
    placement = checked.placement
    opens, edge_mm = placement.laps.garment.opens, placement.laps.over.edge.length_mm
    usual = usual_mm(checked.catalogue, opens)
    if usual is None or not is_far(edge_mm, usual):
        return []
    over = edge_mm > usual[1]
    wish, _, spacing = placement.told_plan.along_an_edge
    if not over and spacing.count == 1:
        # A waistband that closes with one button is told by its height.
        return []
    is_told = wish.straight_mm is not None or wish.arc is not None
    likely = meant_in(edge_mm, placement.plan.units, usual) if is_told else []
    meant = f" Was it meant as {' or as '.join(likely)}?" if likely else ""
    limit = checked.show(usual[1] if over else usual[0])
    return [
        f"The finished edge is {checked.show(edge_mm)} long, {'over' if over else 'under'} {limit}. Lay a "
        f"tape on yours: a length in another unit or a drawing at another scale comes out so.{meant}"
    ]
