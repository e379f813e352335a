"""Which cloth each piece of a band is cut of: of two that the layers tell, band and facing are of one each."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from closures.advice.cloth_facts import material_of
from closures.jobs.table.backing_side import is_behind_facing
from closures.placing.cloth_marks import face_among
from closures.placing.plies import plies_on, sewn_in
from closures.placing.single_layer import all_over
from closures.placing.stack import UNNAMED, layers_on, worked_cloths
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.jobs.table.bands import BandPiece
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer


def cloth_of_laps(placement: Placement, laps: Sequence[LapName], catalogue: Catalogue) -> str:
    """What pieces of laps are cut of, in the word that the order has for it: of which their outermost cloth is."""
    plan = placement.plan
    told = [layers_on(lap, plan.layers, catalogue) for lap in laps]
    faces = [face for own in told if (face := face_among(own)) is not None]
    layers = faces or [layer for own in told for layer in own]
    made = worked_cloths(layers, plan, placement.fastener.kind)
    return material_of(frozenset(f"cloth: {word}" for word in made))


def two_cloths(placement: Placement, lap: LapName, catalogue: Catalogue) -> tuple[Layer, Layer] | None:
    """The cloth of a lap's band and that of its facing, where the layers tell two; None where both are of one."""
    cloths, _ = all_over(placement.plan, lap, catalogue)
    if (plies := plies_on(placement.plan, lap, catalogue)) is not None:
        cloths = [plies.outer] if plies.facing is None else [plies.outer, plies.facing]
    if len(cloths) != 2 or len({(one.name, one.structures) for one in cloths}) != 2:
        return None
    return cloths[0], cloths[1]


def cloth_of_piece(placement: Placement, piece: BandPiece, catalogue: Catalogue) -> str:
    """What one piece is cut of, named where its layer is."""
    two = None if piece.name == "folded band" else two_cloths(placement, piece.lap, catalogue)
    if two is None:
        return cloth_of_laps(placement, (piece.lap,), catalogue)
    return named_cloth(two[0] if piece.name == "band" else two[1])


def lie_behind(placement: Placement, piece: BandPiece, catalogue: Catalogue) -> tuple[str, ...]:
    """What is cut to lie behind a piece, each with its number: interfacing, and by its name cloth that is sewn in."""
    plies = sewn_in(placement.plan, piece.lap, catalogue) if piece.interfacing else None
    within = () if plies is None else plies.within[: piece.interfacing]
    other = piece.interfacing - len(within)
    told = (f"{other} of interfacing",) if other else ()
    counted = Counter(named_cloth(one) for one in within)
    return (*told, *(f"{count} of {name} to sew in" for name, count in counted.items()))


def laid_in_words(placement: Placement, catalogue: Catalogue) -> str:
    """Name the cloth that is sewn in as an interfacing; empty where none is."""
    found = [sewn_in(placement.plan, lap.name, catalogue) for lap in placement.laps.both]
    names = list(dict.fromkeys(named_cloth(one) for plies in found if plies is not None for one in plies.within))
    return in_a_row(names) if names else ""


def laid_in_where(placement: Placement, catalogue: Catalogue) -> str:
    """Name the one lap in which cloth is sewn in as an interfacing; empty where it is in both."""
    laps = [lap.name for lap in placement.laps.both if sewn_in(placement.plan, lap.name, catalogue) is not None]
    return f" of the {laps[0]} lap" if len(laps) == 1 else ""


def is_caught(placement: Placement, lap: LapName, catalogue: Catalogue) -> bool:
    """Whether the interfacing of a lap's band is caught in its seams, and cut with the allowance for it.

    What is cloth itself is held by them, and coated cloth bears neither an iron nor a needle outside its seams (common
    practice).
    """
    if sewn_in(placement.plan, lap, catalogue) is not None:
        return True
    layers = layers_on(lap, placement.plan.layers, catalogue)
    cloth = face_among(layers[::-1] if is_behind_facing(placement, lap) else layers)
    return cloth is not None and "coated" in cloth.structures and "leather" not in cloth.structures


def cloths_of_facing(placement: Placement, lap: LapName, catalogue: Catalogue) -> frozenset[str]:
    """What a lap's facing is made as; empty where no layer tells it."""
    two = two_cloths(placement, lap, catalogue)
    cloths = (two[1],) if two is not None else tuple(all_over(placement.plan, lap, catalogue)[0])
    return worked_cloths(cloths, placement.plan, placement.fastener.kind)


def named_cloth(layer: Layer) -> str:
    """A layer's own name, or what it is made as where it has none."""
    if layer.name != UNNAMED:
        return layer.name
    return material_of(frozenset(f"cloth: {word}" for word in layer.structures))
