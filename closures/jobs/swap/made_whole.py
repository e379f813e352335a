"""Old holes under a new row: what is found of them, and how one is made whole where the new closure holds in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.jobs.swap.clash import Clash, between_mm
from closures.jobs.swap.patches import BITES, Patch, patch_at
from closures.jobs.swap.words import held_by, keeps_holes
from closures.lengths import SAME_MM
from closures.placing.cloth_marks import is_flattened
from closures.placing.interfaced import rewaxed, way_held
from closures.series import runs_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence, Set

    from closures.catalogue.values import LapName
    from closures.curve import Curve
    from closures.jobs.swap.offer import Shop
    from closures.jobs.swap.old_row import OldHole
    from closures.placing.placement import Placement


def check_holes(
    shop: Shop,
    placement: Placement,
    clashes: Sequence[Clash],
    reused: Collection[tuple[int, int, LapName]],
    patches: Sequence[Patch],
    cloth: Set[str],
    slits: Mapping[int, Curve],
) -> tuple[Finding, ...]:
    """Does a made hole lie so near to a new closure that the part would hold in darning?"""
    old, rule = shop.old, shop.catalogue.rule("old hole from rim")
    limit, source = shop.hole_room_mm, rule.value.provenance.text
    if not old.holes or placement.is_all_there:
        return ()
    if not old.made:
        text = "The old holes are only drawn: none is in the way."
        return (Finding("old hole", "pass", text, source, None, None, None, limit),)
    found = []
    for clash in clashes:
        patch = patch_at(patches, clash)
        if patch is None or not (clash.kind == "overlaps" or _holds_there(shop, clash, slits, limit)):
            continue
        lies = (clash.lap, clash.mark, clash.distance_mm, limit)
        text = _in_the_way(shop, clash, patch, cloth)
        found.append(Finding("old hole", "warn", text, source, *lies, "least"))
    if found:
        return tuple(found)
    covered = sorted({clash.hole for clash in clashes})
    least = clashes_least(placement, old.holes, reused, {(clash.hole, clash.lap) for clash in clashes})
    text = (
        "No old hole comes near a new rim"
        if least is None
        else f"No old hole comes nearer to a new rim than {shop.show(least)}"
    )
    hidden = f"; hidden under a cap, a patch or a button: {runs_of(covered)}" if covered else ""
    return (Finding("old hole", "pass", f"{text}{hidden}.", source, None, None, least, limit, "least"),)


def _holds_there(shop: Shop, clash: Clash, slits: Mapping[int, Curve], limit_mm: float) -> bool:
    """Whether a part bites, or a slit is cut, at a hole that a cap or a button hides: it holds no better for that."""
    if shop.prepared.fastener.family in BITES:
        return clash.distance_mm < limit_mm - SAME_MM
    slit = slits.get(clash.mark)
    if slit is None or clash.lap != shop.prepared.fastener.mark.buttonhole_lap:
        return False
    hole = next(hole for hole in shop.old.holes if (hole.n, hole.lap) == (clash.hole, clash.lap))
    return between_mm(slit, hole) < limit_mm - SAME_MM


def clashes_least(
    placement: Placement,
    holes: Sequence[OldHole],
    reused: Collection[tuple[int, int, LapName]],
    covered: Collection[tuple[int, LapName]],
) -> float | None:
    """The least distance from a new rim to an old hole that is neither hidden nor used again; None without any."""
    found = [
        hole.nearest_mm(mark.at) - placement.fastener.rim_mm
        for hole in holes
        for mark in placement.on(hole.lap)
        if mark.n not in placement.staying
        if (hole.n, hole.lap) not in covered and (mark.n, hole.n, hole.lap) not in reused
    ]
    return min(found, default=None)


def _in_the_way(shop: Shop, clash: Clash, patch: Patch, cloth: Set[str]) -> str:
    if clash.distance_mm < 0:
        lies = f"An old hole runs {shop.show(-clash.distance_mm)} under the rim"
    elif clash.distance_mm == 0:
        lies = "An old hole reaches the rim"
    else:
        lies = f"An old hole lies {shop.show(clash.distance_mm)} from the rim"
    stays = keeps_holes(cloth) and shop.old.is_round_on(clash.lap)
    return f"{lies}: {'' if stays else 'close it, and '}{backing_in_words(shop, patch, cloth)}."


def held_on(shop: Shop, patch: Patch | None, cloth: Set[str]) -> str:
    """How a patch is held on a cloth, by what either bears: what is no fusible is not fused (common practice)."""
    if keeps_holes(cloth):
        return held_by(cloth)
    made = {word.removeprefix("cloth: ") for word in cloth}
    of = None if patch is None or patch.layer is None else patch.layer.cloth
    backing = None if of is None else shop.catalogue.cloth(of).structures
    return way_held(made, is_flattened=is_flattened(made, is_ribbed=False), backing=backing)


def backing_in_words(shop: Shop, patch: Patch, cloth: Set[str]) -> str:
    """Say how to back a closed hole so that the new closure holds over it.

    Args:
        shop: what offers are made from.
        patch: behind the hole.
        cloth: words such as ``cloth: leather``, which is neither fused nor sewn where glue does.
    """
    family, told = shop.prepared.fastener.family, patch.told(shop.show)
    firm = keeps_holes(cloth)
    if family == "button":
        hold = held_on(shop, patch, cloth)
        return f"{hold} {told} behind it{rewaxed(cloth)} before a new buttonhole is cut or a button sewn on there"
    if family not in BITES:
        return f"sew the part on through {told}" + (
            f", which you {held_by(cloth)} behind it first{rewaxed(cloth)}" if firm else ""
        )
    sheets = shop.prepared.plan.sheets
    besides = (
        "" if sheets is None or sheets.backing is None else ", besides a piece of backing where one is cut for it,"
    )
    unknown = "" if patch.layer is not None else "; the plan tells no cloth for it, so it is not in the stack"
    back = f"{held_by(cloth)} {told} flat behind it{rewaxed(cloth)}" if firm else f"back it with {told}"
    return f"{back}{besides} before a part bites there{unknown}"
