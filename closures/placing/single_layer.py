"""How many layers of cloth a lap is of: as many as the plan tells, which must be as many as are cut for it.

Checks, stacks and the order of work all reckon with that number; a lap of a single one has no facing to turn, to open
or to sew a part to.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section
from closures.placing.stack import layers_on

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.lap import Laps
    from closures.placing.stack import Layer
    from closures.plan.layers import LayerWish
    from closures.plan.plan import Plan
    from closures.plan.strap import Making

_LAPS: tuple[LapName, LapName] = ("over", "under")
BAND_AND_FACING = 2
"""Plies of cloth that a band and its facing come to; geometry."""
MADE_ALREADY = ("sewn band", "finished")
"""States in which the bands are sewn and nothing of them is cut; geometry."""


def told_plies(layers: Sequence[Layer]) -> int | None:
    """Count the layers of cloth among those of a lap; None where it is not known.

    Layers that were measured and not named may be anything, and a fusible is no cloth.
    """
    if not layers or not all(layer.structures for layer in layers):
        return None
    return sum(layer.plies for layer in layers if "fusible" not in layer.structures) or None


def lying_all_over(layers: Sequence[LayerWish]) -> list[LayerWish]:
    """Those of the layers that lie over the whole of what they lie on, and not on a stretch of it."""
    return [one for one in layers if one.lies_all_over]


def all_over(plan: Plan, lap: LapName, catalogue: Catalogue) -> tuple[list[Layer], list[Layer]]:
    """Find the layers that lie over the whole of a lap: those of cloth, and those of interfacing.

    Args:
        plan: with its layers.
        lap: which.
        catalogue: where cloths are looked up.
    """
    layers = layers_on(lap, lying_all_over(plan.layers), catalogue)
    return [one for one in layers if not is_interfacing(one)], [one for one in layers if is_interfacing(one)]


def is_interfacing(layer: Layer) -> bool:
    """Whether a layer is made to lie behind another: cloth that was felted after it was woven or knitted is not.

    What a plan tells to be outer cloth, a facing or a lining is none, however it is made.
    """
    if layer.purpose not in ("", "interlining"):
        return False
    felted = {"woven", "knit", "pile"} & layer.structures
    return "fusible" in layer.structures or ("nonwoven" in layer.structures and not felted)


def _but_interlinings(layers: Sequence[Layer]) -> list[Layer]:
    """Those of the layers that are not told to be sewn in as an interlining."""
    return [one for one in layers if one.purpose != "interlining"]


def made_of(plan: Plan, catalogue: Catalogue) -> Making:
    """Tell how a strap is cut: as the plan says, else in one layer where it is one of leather, else in two pieces.

    One that is made already is of as many layers as are told.
    """
    wish = plan.strap
    if wish is None or wish.made is not None:
        return "two pieces" if wish is None or wish.made is None else wish.made
    ends = [layers_on(lap, plan.layers, catalogue) for lap in _LAPS]
    if any(told_plies(layers) != 1 for layers in ends):
        return "two pieces"
    is_leather = all("leather" in layer.structures for layers in ends for layer in layers)
    return "one layer" if is_leather or plan.state in MADE_ALREADY else "two pieces"


def refuse_fewer_told(plan: Plan, catalogue: Catalogue, laps: Laps | None = None) -> None:
    """Refuse pieces to cut that come to more layers of cloth than the plan tells: every stack would lack one.

    Args:
        plan: of a strap, or with bands to cut.
        catalogue: where cloths are looked up.
        laps: of closures along an edge; a piece that reaches far past its lap gets no band.

    Raises:
        PlanError: a single layer is told of what is cut as two.
    """
    if plan.strap is not None:
        section = "belt" if plan.belt is not None else "row"
        cut: tuple[LapName, ...] = _LAPS
        named, why = "end", "a strap is cut in two layers where made does not say otherwise"
        if made_of(plan, catalogue) == "one layer" or plan.state in MADE_ALREADY:
            return
        if plan.strap.made is not None:
            why = f'made = "{plan.strap.made}" makes two layers of it'
        instead = 'made = "one layer"'
    elif plan.bands is not None:
        section, named, instead = "bands", "lap", "leave [bands] out"
        cut = tuple(lap.name for lap in (() if laps is None else laps.both) if not lap.is_far)
        why = "a band and its facing are two layers"
        if plan.bands.made == "folded":
            why = "a folded band is two layers"
    else:
        return
    single = [lap for lap in cut if told_plies(_but_interlinings(layers_on(lap, plan.layers, catalogue))) == 1]
    if single:
        where = f"the {single[0]} {named}" if len(single) < len(_LAPS) else f"either {named}"
        raise PlanError(
            f"{why}, and the plan tells one layer of cloth of {where}: every stack would lack the other",
            where=in_section(section, "made"),
            mend=f"Write count = 2 in its [[layer]], or add the other cloth as a [[layer]] of its own; else {instead}.",
        )


def single_laps(plan: Plan, catalogue: Catalogue) -> tuple[LapName, ...]:
    """List the laps that a plan tells a single layer of named cloth of, with or without interfacing on it.

    A layer that is only measured may stand for several, a lap of which nothing is told may have a facing, and bands
    that are cut for both have theirs. A strap that is cut in one layer is single, whatever is turned under on it.
    """
    if plan.strap is not None and plan.strap.made is not None:
        return _LAPS if plan.strap.made == "one layer" else ()
    return () if plan.bands is not None else tuple(lap for lap in _LAPS if _is_single(plan, catalogue, lap))


def is_of_one_layer(plan: Plan, catalogue: Catalogue) -> bool:
    """Whether both laps are single layers."""
    return single_laps(plan, catalogue) == _LAPS


def _is_single(plan: Plan, catalogue: Catalogue, lap: LapName) -> bool:
    told = [wish for wish in plan.layers if wish.on in (lap, "both")]
    # An interfacing is fused or sewn to the cloth: it is no facing.
    made = zip(told, layers_on(lap, told, catalogue), strict=True)
    own = [wish for wish, layer in made if "fusible" not in layer.structures and wish.purpose != "interlining"]
    return len(own) == 1 and own[0].count == 1 and own[0].cloth is not None and own[0].thickness_mm is None
