"""What lies under a flange: the stack that one fastener clamps, on one lap.

Terms: a *layer* is cloth, interfacing or a seam allowance, lying somewhere on a lap; the
*stack* is all of them that lie under the *flange*, the part of the fastener that presses
on the cloth; a *step* is a change of thickness under the flange. *Free* thickness is that of cloth
lying under a light foot; *clamped* thickness is what is left of it when a fastener has closed on it,
and never one figure: a range is carried from here to the rules.

A layer is told by how far it reaches from the finished edge (`across`) and between which
distances on the closing line (`along`). The two laps clamp separate stacks; they are
never added.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import in_section, naming
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish, Purpose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Cloth, Fastener
    from closures.plan.plan import Plan


@frozen
class Layer:
    """A layer with its thickness known.

    Attributes:
        name: what people call it.
        low_mm, typical_mm, high_mm: free thickness of all its plies together.
        plies: how many.
        structures: how it is made, as the catalogue and the plan tell it; empty where neither does.
        across_mm, along_mm: where it lies; None for everywhere.
        clamped_mm: least and most thickness of all its plies together under a flange.
        is_taken_as_clamped: the user measured it and said neither what it is nor whether it was squeezed.
        is_bulky: one ply of it is thick enough to ask for a longer buttonhole.
        fibre: of its cloth; empty where no cloth is named.
        purpose: what it is for; empty where the plan does not say.
    """

    name: str
    low_mm: float
    typical_mm: float
    high_mm: float
    plies: int
    structures: frozenset[str]
    across_mm: tuple[float, float] | None
    along_mm: tuple[float, float] | None
    clamped_mm: tuple[float, float]
    is_taken_as_clamped: bool = False
    is_bulky: bool = False
    fibre: str = ""
    purpose: Purpose = ""


@frozen
class Stack:
    """What one fastener clamps on one lap.

    Attributes:
        low_mm, typical_mm, high_mm: free thickness of the thickest place under the flange.
        clamped_mm: least and most that it comes to when the fastener has closed on it.
        thinnest_mm: the typical thickness at the thinnest place under the flange.
        layers: the layers at the thickest place.
        border_mm: from the centre to the nearest border of a layer, None where there is none
            near the flange.
        beyond: a layer that lies there and is not clamped, since the fastener ends within the band.
    """

    low_mm: float
    typical_mm: float
    high_mm: float
    thinnest_mm: float
    layers: tuple[Layer, ...]
    border_mm: float | None
    clamped_mm: tuple[float, float]
    beyond: tuple[Layer, ...] = ()

    @property
    def structures(self) -> frozenset[str]:
        """How its layers are made, all words together."""
        return frozenset(word for layer in self.layers for word in layer.structures)

    @property
    def step_mm(self) -> float:
        """The step in thickness under the flange."""
        return self.typical_mm - self.thinnest_mm


def clamped_layers(plan: Plan, *, is_backed: bool = True) -> tuple[LayerWish, ...]:
    """List everything of a plan that a flange may clamp.

    Args:
        plan: its layers, the cloth of its backing and of its patches, and what is turned under at the inner edge of
            its facings.
        is_backed: whether the backing is cut there.

    Returns:
        The layers as told, then those that follow from the rest of the plan.
    """
    found = list(plan.layers)
    if is_backed and plan.sheets is not None and plan.sheets.backing_cloth is not None:
        found.append(LayerWish(cloth=plan.sheets.backing_cloth))
    if plan.swap is not None and plan.swap.patch_cloth is not None and plan.swap.patch_mm is not None:
        found.append(LayerWish(cloth=plan.swap.patch_cloth))
    if plan.bands is not None and plan.bands.turn_cloth is not None and plan.band is not None:
        turn = plan.bands.turn_mm
        for lap, width in (("over", plan.band.width_mm), ("under", plan.band.under_width_mm)):
            across = Range(max(width - turn, 0.0), width)
            found.append(LayerWish(cloth=plan.bands.turn_cloth, on=lap, across_mm=across))  # type: ignore[arg-type]
    return tuple(found)


def layers_on(lap: str, wishes: Sequence[LayerWish], catalogue: Catalogue) -> tuple[Layer, ...]:
    """List the layers of one lap with their thickness.

    Args:
        lap: "over" or "under".
        wishes: the plan's layers.
        catalogue: where a cloth's thickness is looked up.

    Returns:
        The layers, in the plan's order.

    Raises:
        CatalogueError: a cloth that the catalogue does not hold.
    """
    return tuple(_layer(wish, catalogue) for wish in wishes if wish.on in (lap, "both"))


def cloths_among(layers: Sequence[Layer]) -> frozenset[str]:
    """Tell what layers are for those who work on them: how each is made, and whether silk or satin is among them.

    Silk, and the floats of a satin whatever its fibre, keep every prick (common practice).
    """
    found = {structure for layer in layers for structure in layer.structures}
    found |= {"silk"} if any(layer.fibre == "silk" for layer in layers) else set()
    return frozenset(found | ({"satin"} if any("satin" in layer.name for layer in layers) else set()))


UNNAMED = "measured layer"
MADE = ("woven", "knit", "pile", "sheer", "leather", "coated", "padded", "nonwoven", "silk", "satin")
"""The words for how cloth is made, as those who work on it need them."""


def worked_cloths(layers: Sequence[Layer], plan: Plan, kind: str) -> frozenset[str]:
    """Tell what layers are, and where they do not tell it, what the plan's kinds are made for.

    Args:
        layers: of both laps.
        plan: a gauge in it tells that it is knitting, however its thickness was told.
        kind: of the closures.
    """
    made = cloths_among(layers)
    if plan.gauge is not None:
        made = made | {"knit"}
    kinds = (kind, "" if plan.swap is None else plan.swap.kind)
    if not made & set(MADE) and any(one.startswith("leather") for one in kinds):
        # Such a kind is made for leather, whose thickness is all that was told.
        made = made | {"leather"}
    return made


def _layer(wish: LayerWish, catalogue: Catalogue) -> Layer:
    across = None if wish.across_mm is None else (wish.across_mm.low_mm, wish.across_mm.high_mm)
    along = None if wish.along_mm is None else (wish.along_mm.low_mm, wish.along_mm.high_mm)
    cloth = None
    if wish.cloth is not None:
        with naming(in_section("layer", "cloth", is_repeated=True)):
            cloth = catalogue.cloth(wish.cloth)
    structures = frozenset(wish.structure) | (frozenset() if cloth is None else cloth.structures)
    low, typical, high = _free_mm(wish, cloth)
    # A stack of which nothing else is known was pinched together to be measured: nobody lays a rule on one loose.
    is_taken = wish.thickness_mm is not None and not structures and wish.clamped is None
    if wish.clamped or is_taken:
        clamped = (low, high)
    else:
        least, most = clamped_part(structures, catalogue)
        clamped = (low * least, high * most)
        if cloth is not None and cloth.clamped is not None:
            seen = (cloth.clamped[0].value, cloth.clamped[1].value)
            # By its name alone a cloth is as thick as in the tables, and those were not measured on this one.
            clamped = seen if wish.thickness_mm is None else _as_seen(clamped, seen, high)
    n = wish.count
    # Squeezed or pinched together, it is its cloth that says how it lies.
    is_squeezed = wish.clamped or is_taken
    lies_mm = typical if not is_squeezed else 0.0 if cloth is None else cloth.typical.value
    bulky_mm = catalogue.rule("bulky cloth").value.value
    return Layer(
        UNNAMED if cloth is None else cloth.name,
        n * low,
        n * typical,
        n * high,
        n,
        structures,
        across,
        along,
        (n * clamped[0], n * clamped[1]),
        is_taken,
        lies_mm >= bulky_mm,
        "" if cloth is None else cloth.fibre,
        wish.purpose,
    )


def _as_seen(reckoned: tuple[float, float], seen: tuple[float, float], free_mm: float) -> tuple[float, float]:
    """Narrow what is reckoned of a measured layer by what a trial showed of its cloth.

    Where the two do not meet, what was seen stands, unless the layer in hand is thinner than that, lying free.
    """
    low, high = max(reckoned[0], seen[0]), min(reckoned[1], seen[1])
    if low <= high:
        return low, high
    return seen if seen[1] <= free_mm else reckoned


def _free_mm(wish: LayerWish, cloth: Cloth | None) -> tuple[float, float, float]:
    if wish.thickness_mm is not None:
        return wish.thickness_mm, wish.thickness_mm, wish.thickness_mm
    if cloth is None:
        raise ValueError("a layer is told by its cloth, its thickness or both")
    return cloth.low.value, cloth.typical.value, cloth.high.value


# What gives way least decides, but for pile and wadding, which give way whatever they stand on.
_CLAMPED = (
    ("padded", "pile"),
    ("pile", "pile"),
    ("leather", "firm"),
    ("coated", "firm"),
    ("fusible", "firm"),
    ("knit", "knit"),
    ("sheer", "woven"),
    ("woven", "woven"),
    ("nonwoven", "felt"),
)


def clamped_part(structures: frozenset[str], catalogue: Catalogue) -> tuple[float, float]:
    """Find which part of its free thickness is left of a cloth under a flange.

    Args:
        structures: how it is made; where nothing is known, anything from the softest woven to the firmest is allowed.
        catalogue: where the parts are kept, all from memory.

    Returns:
        The least and the most.
    """
    # Cloth that was felted after it was woven or knitted has a nap and no pile: it gives way as its threads do.
    made = structures - {"pile"} if "nonwoven" in structures else structures
    for word, key in _CLAMPED:
        if word in made:
            rule = catalogue.rule(f"clamped part, {key}")
            return rule.value.value, rule.value.value if rule.high is None else rule.high.value
    woven, firm = catalogue.rule("clamped part, woven"), catalogue.rule("clamped part, firm")
    return woven.value.value, firm.value.value if firm.high is None else firm.high.value


def ends_within(fastener: Fastener, plan: Plan) -> bool:
    """Whether a fastener holds the layers that meet the other lap alone: a magnet's washer lies within an open band."""
    return fastener.family == "magnetic snap" and plan.state != "finished" and plan.gauge is None


def far_and_near(layers: Sequence[Layer], lap: str) -> tuple[tuple[Layer, ...], tuple[Layer, ...]]:
    """Part the layers of a lap: one ply of cloth away from the other lap, and the rest.

    Args:
        layers: of the lap, from the outside inwards.
        lap: "over" or "under".

    Returns:
        The outermost cloth of an over lap, the innermost of an under lap, and what is left; nothing and all where
        there is only one ply of cloth, or the stack was told as one.
    """
    outwards = list(layers) if lap == "over" else list(reversed(layers))
    cloths = [layer for layer in outwards if "fusible" not in layer.structures]
    if sum(layer.plies for layer in cloths) < 2:
        return (), tuple(layers)
    # What is told by its count goes round the edge, and lies away from the other lap and next to it.
    far = next((layer for layer in cloths if layer.plies > 1), cloths[0])
    rest = [plies_of(layer, layer.plies - 1) if layer is far else layer for layer in layers]
    return (plies_of(far, 1),), tuple(layer for layer in rest if layer.plies)


def plies_of(layer: Layer, plies: int) -> Layer:
    """So many plies of a layer that has several."""
    part = plies / layer.plies
    return replace(
        layer,
        plies=plies,
        low_mm=layer.low_mm * part,
        typical_mm=layer.typical_mm * part,
        high_mm=layer.high_mm * part,
        clamped_mm=(layer.clamped_mm[0] * part, layer.clamped_mm[1] * part),
    )


def stack_under(
    layers: Sequence[Layer],
    edge_distance_mm: float,
    along_mm: float,
    flange_mm: float,
    ridge_mm: float,
    within: str | None = None,
) -> Stack | None:
    """Find the stack under a flange.

    Args:
        layers: of one lap.
        edge_distance_mm: from the lap's finished edge to the centre.
        along_mm: of the centre, on the closing line.
        flange_mm: radius of the flange.
        ridge_mm: how far outside the flange a border still matters.
        within: the lap, where the fastener holds the layers that meet the other lap alone; None where it holds all.

    Returns:
        The stack at the thickest place under the flange, or None where no layers are told.
    """
    if not layers:
        return None
    places = _places(layers, edge_distance_mm, along_mm, flange_mm)
    stacks = [_lying_at(layers, across, along) for across, along in places]
    parted = [((), stack) if within is None else far_and_near(stack, within) for stack in stacks]
    stacks = [near for _, near in parted]
    beyond, thickest = max(parted, key=lambda one: _typical(one[1]))
    return Stack(
        low_mm=sum(layer.low_mm for layer in thickest),
        typical_mm=_typical(thickest),
        high_mm=sum(layer.high_mm for layer in thickest),
        thinnest_mm=min(_typical(stack) for stack in stacks),
        layers=thickest,
        border_mm=_nearest_border(layers, edge_distance_mm, along_mm, flange_mm + ridge_mm),
        clamped_mm=(sum(layer.clamped_mm[0] for layer in thickest), sum(layer.clamped_mm[1] for layer in thickest)),
        beyond=beyond,
    )


def _typical(stack: Sequence[Layer]) -> float:
    return sum(layer.typical_mm for layer in stack)


def _places(layers: Sequence[Layer], across: float, along: float, radius: float) -> tuple[tuple[float, float], ...]:
    """One place inside the flange for each patch that the layers' borders cut it into."""
    columns = _between([layer.across_mm for layer in layers], across, radius)
    rows = _between([layer.along_mm for layer in layers], along, radius)
    inside = [(a, s) for a in columns for s in rows if (a - across) ** 2 + (s - along) ** 2 <= radius**2 + SAME_MM]
    return tuple(inside) or ((across, along),)


def _between(ranges: Sequence[tuple[float, float] | None], centre: float, radius: float) -> list[float]:
    """The places between the borders that fall within a radius, nearest the centre in each strip."""
    borders = {end for pair in ranges if pair is not None for end in pair if abs(end - centre) < radius}
    ends = [centre - radius, *sorted(borders), centre + radius]
    strips = [(low, high) for low, high in itertools.pairwise(ends) if high - low > SAME_MM]
    return [min(max(centre, low + SAME_MM), high - SAME_MM) for low, high in strips] or [centre]


def _lying_at(layers: Sequence[Layer], across: float, along: float) -> tuple[Layer, ...]:
    return tuple(layer for layer in layers if _within(layer.across_mm, across) and _within(layer.along_mm, along))


def _within(span: tuple[float, float] | None, value: float) -> bool:
    return span is None or span[0] <= value <= span[1]


def _nearest_border(layers: Sequence[Layer], across: float, along: float, reach: float) -> float | None:
    """From the centre to the nearest border of a layer, where one comes within reach.

    A border at the finished edge itself is the fold, no ridge, and is passed over.
    """
    found = [
        abs(end - across)
        for layer in layers
        if layer.across_mm is not None
        for end in layer.across_mm
        if end > SAME_MM and _touches(layer.along_mm, along, reach)
    ]
    found += [
        abs(end - along)
        for layer in layers
        if layer.along_mm is not None
        for end in layer.along_mm
        if end > SAME_MM and _touches(layer.across_mm, across, reach)
    ]
    nearest = min(found, default=None)
    return nearest if nearest is not None and nearest < reach - SAME_MM else None


def _touches(span: tuple[float, float] | None, centre: float, reach: float) -> bool:
    return span is None or (span[0] < centre + reach and span[1] > centre - reach)
