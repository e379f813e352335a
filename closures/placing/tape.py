"""What a tape laid on the user's own piece must show: the proof of scale, of ends and of the right piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.edges.hand import lies_in_words, seen_as, viewers_side
from closures.edges.ways.registry import way_of
from closures.lengths import format_inches, format_mm

if TYPE_CHECKING:
    from closures.placing.placement import Placement
    from closures.plan.top import Units


def length_both_ways(mm: float, units: Units) -> str:
    """Write a length in the plan's units, with the other beside it in brackets."""
    return f"{format_mm(mm)} ({format_inches(mm)})" if units == "mm" else f"{format_inches(mm)} ({format_mm(mm)})"


def tape_in_words(placement: Placement) -> str:
    """Say how long the finished edge is and between which ends, so that a tape can prove it.

    Args:
        placement: of closures along an edge, or of a strap.

    Returns:
        One line, such as "Finished edge 691.3 mm (27 3/16 in), neck to hem. Lay a tape on yours."
    """
    units, strap, laps = placement.plan.units, placement.strap, placement.laps
    if strap is not None:
        length = f"{length_both_ways(strap.finished_mm, units)}{strap.in_size}"
        return f"Finished {strap.piece} {length}, tip to tip. Lay a tape on yours."
    first, last = laps.garment.ends
    over = length_both_ways(laps.over.edge.length_mm, units)
    if laps.is_apart:
        under = length_both_ways(laps.under.edge.length_mm, units)
        return (
            f"Finished edges {over} on the over lap, {under} on the under lap, {first} to {last}. Lay a tape on "
            f"yours.{unwashed_in_words(placement)}"
        )
    told = f"Finished edge {over}, {first} to {last}. Lay a tape on yours.{unwashed_in_words(placement)}"
    return f"{told}{_cloth_in_words(placement)}"


def unwashed_in_words(placement: Placement) -> str:
    """Say of cloth that shrinks for which state of it the sheets are: marked once washed, a row would lie wrong."""
    wish = placement.plan.shrinkage
    if placement.washed is None or wish is None:
        return ""
    loses = f"{100 * wish.along:g} % down and {100 * wish.across:g} % across"
    return f" These sheets are for unwashed cloth, which loses {loses}: mark before the first wash."


def _cloth_in_words(placement: Placement) -> str:
    """Say on which side of a drawn edge the cloth was taken to lie, so that a wrong lap shows."""
    wish, over = placement.plan.edge, placement.laps.over
    if wish is None or way_of(wish, placement.plan.where).is_in_words:
        return ""
    side = viewers_side(over.cloth_on, over.edge.start, over.edge.end, placement.plan.is_turned)
    told = f" The {wish.shows} lap's cloth lies {lies_in_words(side)} it as drawn"
    if placement.plan.is_turned and side in ("left", "right"):
        # Of the other side of a body, or seen from inside, the sheets show the drawing turned over.
        return (
            f"{told}, and {lies_in_words(seen_as(side, is_turned=True))} it on these sheets, which show it turned over."
        )
    return f"{told}."
