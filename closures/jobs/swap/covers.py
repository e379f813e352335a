"""What hides an old hole from outside, and how far new parts keep from one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.jobs.swap.patches import BITES, laps_with_holes
from closures.jobs.swap.words import PRONGS
from closures.placing.backing_cut import PAST_FLANGE_MM
from closures.placing.cloth_marks import own_layers
from closures.placing.stack import layers_on, worked_cloths

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.jobs.swap.offer import Offer
    from closures.jobs.swap.old_row import OldHole, OldRow
    from closures.plan.plan import Plan
    from closures.plan.shown import Show

# So that what is told is no less for having been reckoned.
_HAIR_MM = 1e-9


def least_cover_mm(old: OldRow, catalogue: Catalogue) -> float:
    """The least diameter of what hides any old hole, centred on it; a tenth of a mm up, so that what is told does."""
    needed = max(hole.length_mm for hole in old.holes) + 2 * catalogue.rule("old hole hidden by").value.value
    return math.ceil(10 * needed - _HAIR_MM) / 10


def hole_past_button_mm(hole: OldHole, button_rim_mm: float) -> float:
    """How far a closed hole shows past a button sewn on over its closure's place; 0 where the button hides it."""
    return max(hole.farthest_mm(hole.centre) - button_rim_mm, 0.0)


def past_in_words(old: OldRow, offer: Offer, show: Show, least: str) -> str:
    """How large a patch on the outside is over a hole that is seen past a new part.

    It lies under the whole part, or the part would catch its border and tilt: as large as what is behind the hole.

    Args:
        old: the old row.
        offer: with its patches.
        show: writes a length.
        least: the size where no part stands on it, since parts are sewn to the inside or nothing is behind it.
    """
    past = {(hole.n, hole.lap) for hole in old.holes} & {(clash.hole, clash.lap) for clash in offer.overlaps}
    sizes = dict.fromkeys(one.size(show) for one in offer.patches if (one.hole, one.lap) in past and one.lap == "over")
    return least if offer.is_within or not sizes else f"at least {' or '.join(sizes)}, under all of the part"


def room_from_holes_mm(plan: Plan, fastener: Fastener, old: OldRow, catalogue: Catalogue) -> float:
    """How far the rim of a new part keeps from an old hole, mm.

    So far that the part holds in whole cloth; on leather and coated cloth, where a hole is held shut by a patch glued
    behind it and not by stitches, so far that the patch ends clear of a part that bites. One nearer stands on it.

    Args:
        plan: for its layers.
        fastener: the new closure.
        old: the old row.
        catalogue: cloths and rules.
    """
    whole = catalogue.rule("old hole from rim").value.value
    if fastener.family not in BITES or not old.made or old.fastener.setting in PRONGS:
        return whole
    if not keeps_needle_holes_where_old(plan, fastener, old, catalogue):
        return whole
    return max(whole, PAST_FLANGE_MM + catalogue.rule("ridge").value.value)


def keeps_needle_holes_where_old(plan: Plan, fastener: Fastener, old: OldRow, catalogue: Catalogue) -> bool:
    """Whether laps with old holes are of leather or coated cloth: no stitch closes one there, and none frays."""
    layers = [one for lap in laps_with_holes(old) for one in layers_on(lap, own_layers(plan), catalogue)]
    return bool(worked_cloths(layers, plan, fastener.kind) & {"leather", "coated"})
