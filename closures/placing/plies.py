"""What each ply of cloth of a lap is for: outside, sewn in behind that, facing it, or lining it.

Terms: the *outer* cloth is what shows; an *interlining* is sewn in behind it and cut with it; the *facing* closes the
band on its inside; a *lining* lies behind that. A plan tells its layers from the outside inwards, and may say of each
what it is for. What it says stands; what follows from that and from the order is filled in; of three plies of more than
one cloth, of which nothing is said, one is taken to be sewn in, and asked about.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section
from closures.frozen import frozen
from closures.placing.single_layer import (
    BAND_AND_FACING,
    MADE_ALREADY,
    all_over,
    is_interfacing,
    lying_all_over,
)
from closures.placing.stack import UNNAMED, layers_on
from closures.plan.layers import BOTH_SIDES, NAMED

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.errors import Where
    from closures.placing.stack import Layer
    from closures.plan.layers import LayerWish, Purpose
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")
_INWARDS: tuple[Purpose, ...] = ("outer", "", "interlining", "facing", "lining")
"""In which order plies lie, from the outside inwards; what is more of the outer cloth lies next to it; geometry."""


@frozen
class Plies:
    """The plies of cloth that lie all over a lap, by what each is for.

    Attributes:
        each: for each, from the outside inwards, what it is for, empty of what is more of a cloth than that tells, and
            which of the lap's layers of cloth it is a ply of.
        layers: those layers, as the plan tells them.
        is_settled: the plan tells it, or it follows from what the plan tells.
    """

    each: tuple[tuple[Purpose, int], ...]
    layers: tuple[Layer, ...]
    is_settled: bool

    def of(self, purpose: Purpose) -> tuple[Layer, ...]:
        """The layers whose plies are for something, each as often as it has such a ply."""
        return tuple(self.layers[n] for own, n in self.each if own == purpose)

    @property
    def within(self) -> tuple[Layer, ...]:
        """What is sewn in behind the outer cloth."""
        return self.of("interlining")

    @property
    def outer(self) -> Layer:
        """What shows."""
        return self.of("outer")[0]

    @property
    def facing(self) -> Layer | None:
        """What the facing is of; a lining that lies in its place is one. None of a single layer."""
        return next(iter((*self.of("facing"), *self.of("lining"))), None)


def plies_on(plan: Plan, lap: LapName, catalogue: Catalogue) -> Plies | None:
    """Tell what the plies of cloth all over a lap are for.

    Args:
        plan: with its layers.
        lap: which.
        catalogue: where cloths are looked up.

    Returns:
        Them; None where nothing tells it and nothing is taken: two plies are a band and its facing whatever they are,
        and a strap is cut by its own section.
    """
    cloths, _ = all_over(plan, lap, catalogue)
    if not any(one.purpose for one in cloths):
        found = _taken(cloths, is_sewn_here(plan)) if plan.strap is None else None
    else:
        found = _told(cloths)
    # What was laid where it was taken to lie is told no better than before.
    is_put = any(one.is_taken for one in plan.layers if one.on in (lap, "both"))
    return replace(found, is_settled=False) if found is not None and is_put else found


def _told(cloths: list[Layer]) -> Plies | None:
    """Fill in what follows from what some layers are told to be for, and from their order."""
    each: list[tuple[Purpose, int]] = []
    for n, layer in enumerate(cloths):
        each += [(purpose, n) for purpose in _purposes_of(layer)]
    is_settled = True
    if not any(purpose == "outer" for purpose, _ in each):
        if each[0][0]:
            # What is told first and is no outer cloth is refused where the plan is placed.
            return None
        each[0] = ("outer", each[0][1])
    if not any(purpose == "facing" for purpose, _ in each):
        untold = [at for at, (purpose, _) in enumerate(each) if not purpose]
        if untold:
            each[untold[-1]] = ("facing", each[untold[-1]][1])
            is_settled = len({each[at][1] for at in untold}) == 1
    facing = max((at for at, (purpose, _) in enumerate(each) if purpose == "facing"), default=len(each))
    is_settled = is_settled and all(purpose or at < facing for at, (purpose, _) in enumerate(each))
    # What is left of a layer that is outer cloth or facing may be an allowance as well: only another cloth is sewn in.
    known = {n for purpose, n in each if purpose in ("outer", "facing")}
    filled: list[tuple[Purpose, int]] = [(purpose or ("" if n in known else "interlining"), n) for purpose, n in each]
    return Plies(tuple(sorted(filled, key=lambda one: _INWARDS.index(one[0]))), tuple(cloths), is_settled)


def _purposes_of(layer: Layer) -> tuple[Purpose, ...]:
    return ("outer", "facing") if layer.purpose == BOTH_SIDES else (layer.purpose,) * layer.plies


def _taken(cloths: list[Layer], is_cut: bool) -> Plies | None:
    """Take one of three plies of more than one cloth to be sewn in, where a plan says of none what it is for.

    It is told last, as a fusible is, where one layer of two plies comes before it, and else between band and facing:
    our own rule. What is made already lies as it is told.
    """
    plies = [n for n, one in enumerate(cloths) for _ in range(one.plies)]
    is_known = all(one.structures for one in cloths)
    if not is_known or len(plies) != BAND_AND_FACING + 1 or len({one.name for one in cloths}) == 1:
        return None
    band, middle, last = plies
    if band == middle and not is_cut:
        return None
    if band == middle:
        middle, last = last, middle
    each: tuple[tuple[Purpose, int], ...] = (("outer", band), ("interlining", middle), ("facing", last))
    # The same cloth on either side is band and facing of what lies between; two plies told as one layer lie alike.
    is_settled = middle == last or (band != last and cloths[band].name == cloths[last].name)
    return Plies(each, tuple(cloths), is_settled)


def sewn_in(plan: Plan, lap: LapName, catalogue: Catalogue) -> Plies | None:
    """Find what is sewn in behind the outer cloth of a lap, as organza is; None where nothing is known to be."""
    found = plies_on(plan, lap, catalogue)
    return found if found is not None and found.within else None


def interfacings_told(plan: Plan, lap: LapName, catalogue: Catalogue) -> int | None:
    """Count the interfacings that layers tell all over a lap: what is made for it, and what of cloth is sewn in.

    Args:
        plan: with its layers.
        lap: which.
        catalogue: where cloths are looked up.

    Returns:
        How many; None where nothing is told, or layers were measured with whatever lay there.
    """
    told = layers_on(lap, plan.layers, catalogue)
    if not told or not all(layer.structures or layer.purpose for layer in told):
        return None
    _, behind = all_over(plan, lap, catalogue)
    found = sewn_in(plan, lap, catalogue)
    return sum(layer.plies for layer in behind) + (0 if found is None else len(found.within))


def laid_as_sewn(plan: Plan, catalogue: Catalogue) -> Plan:
    """Tell the layers in the order in which they come to lie: what is told last and sewn in lies before the facing.

    Args:
        plan: with its layers.
        catalogue: where cloths are looked up.

    Returns:
        The same layers, each on the laps that it is told of; the plan as it is, where they lie as they are told, or
        nobody told what they are for and they are sewn already.
    """
    own = {lap: tuple(wish for wish in plan.layers if wish.on in (lap, "both")) for lap in _LAPS}
    laid = {lap: _laid(wishes, plan, lap, catalogue) for lap, wishes in own.items()}
    if laid == own:
        return plan
    if laid["over"] == laid["under"]:
        return replace(plan, layers=laid["over"])
    return replace(plan, layers=tuple(replace(wish, on=lap) for lap, wishes in laid.items() for wish in wishes))


def is_sewn_here(plan: Plan) -> bool:
    """Whether band and facing are cut of cloth and sewn: not of a strap, of knitting, nor of what is made already."""
    return plan.strap is None and plan.gauge is None and plan.state not in MADE_ALREADY


def _laid(wishes: tuple[LayerWish, ...], plan: Plan, lap: LapName, catalogue: Catalogue) -> tuple[LayerWish, ...]:
    """The layers of one lap with their plies of cloth in their order; what else lies there keeps its place."""
    plies = plies_on(plan, lap, catalogue)
    if plies is None or not (plies.is_settled or is_sewn_here(plan)):
        return wishes
    made = zip(wishes, layers_on(lap, wishes, catalogue), strict=True)
    slots = [at for at, (wish, layer) in enumerate(made) if wish.lies_all_over and not is_interfacing(layer)]
    cloths = [wishes[at] for at in slots]
    lying = []
    for n, same in groupby(plies.each, key=lambda one: one[1]):
        purposes = [purpose for purpose, _ in same]
        is_parted = len(purposes) < cloths[n].count and cloths[n].purpose == BOTH_SIDES
        purpose = purposes[0] if is_parted else cloths[n].purpose
        lying.append(replace(cloths[n], count=len(purposes), purpose=purpose))
    if lying == cloths:
        return wishes
    if not plies.is_settled:
        lying = [replace(one, is_taken=True) for one in lying]
    *first, last = slots
    before = [lying[slots.index(at)] if at in first else wish for at, wish in enumerate(wishes) if at < last]
    return (*before, *lying[len(first) :], *wishes[last + 1 :])


def hidden_cloths(plan: Plan, catalogue: Catalogue) -> frozenset[str]:
    """Name the cloths that lie between two others wherever they lie, so that nobody sees what a pin does to them."""
    laps = [all_over(plan, lap, catalogue)[0] for lap in _LAPS]
    found = [plies.within for lap in _LAPS if (plies := sewn_in(plan, lap, catalogue)) is not None]
    between = {one.name for within in found for one in within}
    return frozenset(between - {one.name for cloths in laps if cloths for one in (cloths[0], cloths[-1])})


def refuse_told_apart(plan: Plan, catalogue: Catalogue) -> None:
    """Refuse what layers are told to be for that their order or their kind contradicts.

    Args:
        plan: with its layers.
        catalogue: where cloths are looked up.

    Raises:
        PlanError: a fusible is told to be more than an interlining, or a layer to lie where another is told.
    """
    where = in_section("layer", "as", is_repeated=True)
    for lap in _LAPS:
        wishes = lying_all_over([one for one in plan.layers if one.on in (lap, "both")])
        cloths: list[tuple[Purpose, str]] = []
        for wish, layer in zip(wishes, layers_on(lap, wishes, catalogue), strict=True):
            if "fusible" not in layer.structures:
                cloths.append((wish.purpose, "a measured layer" if layer.name == UNNAMED else layer.name))
            elif wish.purpose not in ("", "interlining"):
                raise PlanError(
                    f"{layer.name} is told as {NAMED[wish.purpose]}, and is a fusible, which is ironed on to a cloth",
                    where=where,
                    mend='Write as = "interlining", or leave as out.',
                )
        _refuse_order(cloths, lap, where)


def _refuse_order(cloths: Sequence[tuple[Purpose, str]], lap: LapName, where: Where) -> None:
    """Refuse layers of one lap that are told to be for what lies further out than what is told before them."""
    mend = "Tell the layers of a lap from the outside inwards: the outer cloth first."
    if cloths and any(purpose for purpose, _ in cloths):
        purpose, name = cloths[0]
        if purpose not in ("", "outer", BOTH_SIDES):
            raise PlanError(
                f"{name} is told as {NAMED[purpose]}, before any other cloth of the {lap} lap: the first is "
                "what lies outside, and is marked",
                where=where,
                mend=mend,
            )
    for at, (purpose, name) in enumerate(cloths[1:], 1):
        if purpose in ("outer", BOTH_SIDES):
            raise PlanError(
                f"{name} is told as {NAMED[purpose]}, after {cloths[0][1]}: the first of the {lap} lap is what lies "
                "outside",
                where=where,
                mend=mend,
            )
        lined = next((other for told, other in cloths[:at] if told == "lining"), None)
        if purpose == "facing" and lined is not None:
            raise PlanError(
                f"{name} is told as the facing, after {lined} as the lining: a lining of the {lap} lap lies behind its "
                "facing",
                where=where,
                mend="Tell the lining after the facing; where it is the facing, write so.",
            )
