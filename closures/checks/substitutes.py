"""Other closures, and other stacks, that would hold where the one in hand does not.

Terms: *prongs* pierce by themselves, a *post* needs a punched hole; a *baby* or *light* snap is a small one
for little strain. What may be offered depends on the cloth first, on how strong the closure must be next, and
on its grip last.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.thinning import how_to_thin
from closures.lengths import SAME_MM, format_mm
from closures.placing.cloth_marks import face_among, has_nap_alone, has_ribs, is_flattened
from closures.placing.interfaced import way_held
from closures.placing.layers_between import worked_structures
from closures.placing.stack import clamped_part, cloths_among
from closures.series import a_or_an, in_a_row

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Cloth, Fastener
    from closures.checks.checked import Checked
    from closures.placing.interfaced import Held
    from closures.placing.stack import Stack
    from closures.plan.plan import Plan

# A closure in place of another may be so much larger or smaller across and still hold as strongly and look alike:
# our own rule.
_ALIKE_MM = 3.0
_MOST = 3
_PUNCHED = ("hole", "bore")
FINE = frozenset({"silk", "sheer"})
_HELD = {"glue": "glued in", "tape": "taped in", "sew": "sewn in"}
SEWN_ON = "Cloth so fine is closed with what is sewn on, a sew-on snap, a hook or a button."


def why_not_borne(fastener: Fastener, structures: frozenset[str]) -> str:
    """Say why cloth made like this does not bear the holes that a fastener needs, a sentence; empty where it does.

    All of it is common practice.

    Args:
        fastener: the one thought of.
        structures: how the layers are made.
    """
    way = "none" if fastener.hole is None else fastener.hole.way
    if way in _PUNCHED and "knit" in structures:
        return f"The hole that {a_or_an(fastener.kind)} needs widens in a knit, and the part pulls out of it."
    if way in (*_PUNCHED, "slits", "awl") and "sheer" in structures:
        return f"The hole that {a_or_an(fastener.kind)} needs frays in a sheer, and the part pulls out of it."
    if way in (*_PUNCHED, "awl") and "fine" in structures:
        return f"The hole that {a_or_an(fastener.kind)} needs frays in cloth so fine, and the part pulls out of it."
    if way == "pierced" and "openwork" in structures:
        return f"The prongs of {a_or_an(fastener.kind)} meet the gaps of net or lace, and have no threads to hold in."
    if way in ("pierced", "awl") and "leather" in structures:
        what = (
            "Prongs bend on leather" if way == "pierced" else f"The point of {a_or_an(fastener.kind)} bends on leather"
        )
        return f"{what}, which wants a punched hole and a post."
    return ""


def bears(fastener: Fastener, structures: frozenset[str], plan: Plan | None = None) -> bool:
    """Whether a fastener may be offered for cloth made like this.

    Beyond the holes that the cloth bears: a part made for leather is no part for a child's wear or for cloth that is
    not leather (common practice).

    Args:
        fastener: the one thought of.
        structures: how the layers are made.
        plan: who wears it; None where nobody is told.
    """
    is_for_child = plan is not None and plan.is_for_child
    if "leather" in fastener.kind and ("leather" not in structures or is_for_child):
        return False
    if fastener.family == "magnetic snap" and (is_for_child or _has_question(plan)):
        return False
    return not why_not_borne(fastener, structures)


def of_the_same_use(checked: Checked, stack: Stack) -> tuple[str, ...]:
    """Name kinds of the same family that these layers bear and that some size holds in, in the catalogue's order."""
    own = checked.fastener
    kinds = [
        other.kind
        for other in checked.catalogue.fasteners
        if other.family == own.family
        and other.kind != own.kind
        and bears(other, worked_structures(stack), checked.placement.plan)
        and holds(other, stack.clamped_mm, checked.catalogue)
    ]
    return tuple(dict.fromkeys(kinds))[:_MOST]


def _has_question(plan: Plan | None) -> bool:
    wearer = None if plan is None else plan.wearer
    return wearer is not None and "implants" in wearer.profiles and wearer.implants != "none"


def fitting_others(checked: Checked, stack: Stack, *, is_alike: bool = True) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Find sizes and kinds that this cloth bears and whose grip holds this stack.

    Args:
        checked: the placement and its catalogue.
        stack: what is clamped.
        is_alike: those of about the same diameter; else those that are clearly larger or smaller.

    Returns:
        Those that are set as the one in hand is (prongs for prongs, posts for posts), then those that are not; each
        nearest in diameter first.
    """
    own, catalogue = checked.fastener, checked.catalogue
    fits = [
        other
        for other in catalogue.fasteners
        if other.family == own.family
        and (other.kind, other.size) != (own.kind, own.size)
        and (abs(other.cap_mm - own.cap_mm) <= _ALIKE_MM) == is_alike
        and bears(other, worked_structures(stack), checked.placement.plan)
        and other.grip is not None
        and holds(other, stack.clamped_mm, catalogue)
    ]
    fits.sort(key=lambda other: (other.kind != own.kind, abs(other.cap_mm - own.cap_mm)))
    alike = [f"{other.kind} {other.size}" for other in fits if _way(other) == _way(own)]
    unlike = [f"{other.kind} {other.size}" for other in fits if _way(other) != _way(own)]
    return tuple(alike[:_MOST]), tuple(unlike[:_MOST])


def holds(fastener: Fastener, clamped_mm: tuple[float, float], catalogue: Catalogue) -> bool:
    """Whether enough of a clamped stack's range lies within a fastener's grip."""
    if fastener.grip is None:
        return True
    wanted = catalogue.rule("overlap with the grip").value.value
    grip = (fastener.grip[0].value, fastener.grip[1].value)
    return part_within(clamped_mm, grip) >= wanted - SAME_MM


def part_within(clamped_mm: tuple[float, float], grip_mm: tuple[float, float]) -> float:
    """Which part of a range lies within a grip, from 0 to 1; a range of one figure lies in it or not."""
    low, high = max(clamped_mm[0], grip_mm[0]), min(clamped_mm[1], grip_mm[1])
    length = clamped_mm[1] - clamped_mm[0]
    if length <= SAME_MM:
        return 1.0 if high >= low - SAME_MM else 0.0
    return max(0.0, high - low) / length


def _way(fastener: Fastener) -> str:
    return "none" if fastener.hole is None else fastener.hole.way


def for_too_thick(checked: Checked, stack: Stack) -> str:
    """Say what to do about a stack that a fastener does not reach through, in sentences."""
    alike, unlike = fitting_others(checked, stack)
    thinner = how_to_thin(checked, stack)
    told = [thinner or "Nothing in these layers can be trimmed."]
    if alike:
        take = "Or take" if thinner else "Take"
        told.append(f"{take} {_named(checked, longer=True)}: {in_a_row(alike, 'or')}.")
    if unlike:
        other = "Or another" if thinner or alike else "Take another"
        told.append(f"{other} way of setting that this cloth bears: {in_a_row(unlike, 'or')}.")
    if not alike and not unlike:
        told.append("The catalogue holds no longer one of about this size that this cloth bears; your shop may.")
        others = sum(fitting_others(checked, stack, is_alike=False), ())
        if others:
            told.append(f"Of another size, if the band has room for it: {in_a_row(others[:_MOST], 'or')}.")
    return " ".join(told)


def for_too_thin(checked: Checked, stack: Stack, grip_mm: tuple[float, float]) -> str:
    """Say what to do about a stack that leaves a fastener loose, in sentences."""
    # Thick enough under the thinnest that the stack may be, and not too thick on the thickest; to 0.01 mm, inwards.
    least = math.ceil(100 * (grip_mm[0] - stack.clamped_mm[0]) - SAME_MM) / 100
    most = math.floor(100 * (grip_mm[1] - stack.clamped_mm[1]) + SAME_MM) / 100
    if least <= most:
        backing = _backing_for(checked.catalogue, stack.clamped_mm, grip_mm)
        if how := _HELD.get(_way_held(checked, stack)):
            # Such cloth may not bear the iron of a fusible, or stiffens under so much: its thickness is named alone.
            backing = backing.replace(" (", " (as thick as ").replace(" would do)", f", {how})")
        thick = format_mm(least, 2) if least == most else f"{format_mm(least, 2)} to {format_mm(most, 2)}"
        told = [f"Add a layer of backing of {thick}, as it is when squeezed{backing}."]
    else:
        told = [
            "Between the thinnest and the thickest that these layers may be lies more than the fastener takes: squeeze "
            "them and measure, before you choose a layer of backing."
        ]
    if checked.fastener.family != "eyelet" and cloths_among(stack.layers) & FINE:
        told = [f"{SEWN_ON} Or: {told[0][0].lower()}{told[0][1:]}", *told[1:]]
    alike, unlike = fitting_others(checked, stack)
    if alike:
        told.append(f"Or take {_named(checked, longer=False)}: {in_a_row(alike, 'or')}.")
    if unlike:
        told.append(f"Or another way of setting that this cloth bears: {in_a_row(unlike, 'or')}.")
    return " ".join(told)


def _way_held(checked: Checked, stack: Stack) -> Held:
    """How a backing is held: on pieces to the one cloth that it lies on, in a made band to all that it is of."""
    is_cut = checked.placement.plan.state in (None, "cut pieces")
    face = face_among(stack.layers)
    layers = (face,) if is_cut and face is not None else stack.layers
    made = cloths_among(layers) - ({"pile"} if has_nap_alone(layers, checked.catalogue) else set())
    return way_held(made, is_flattened=is_flattened(made, is_ribbed=has_ribs(layers, checked.catalogue)))


def _named(checked: Checked, *, longer: bool) -> str:
    way = _way(checked.fastener)
    part = {"pierced": "prongs", "hole": "posts"}.get(way)
    much = "longer" if longer else "shorter"
    return f"one with {much} {part}" if part else f"a {much} one"


def _backing_for(catalogue: Catalogue, clamped_mm: tuple[float, float], grip_mm: tuple[float, float]) -> str:
    """Name the thinnest interfacing of the catalogue that brings a whole stack into a grip, one or two layers of it."""
    fusibles = sorted((cloth for cloth in catalogue.cloths if "fusible" in cloth.structures), key=_thickness)
    for count in (1, 2):
        for cloth in fusibles:
            least, most = clamped_part(cloth.structures, catalogue)
            low, high = (count * cloth.low.value * least, count * cloth.high.value * most)
            if clamped_mm[0] + low >= grip_mm[0] - SAME_MM and clamped_mm[1] + high <= grip_mm[1] + SAME_MM:
                return f" ({count} × {cloth.name} would do)"
    return ""


def lightest_backing(catalogue: Catalogue) -> tuple[float, float, str]:
    """The thinnest interfacing of the catalogue: what it comes to when squeezed, least and most, and its name."""
    thinnest = min((cloth for cloth in catalogue.cloths if "fusible" in cloth.structures), key=_thickness)
    least, most = clamped_part(thinnest.structures, catalogue)
    return thinnest.low.value * least, thinnest.high.value * most, thinnest.name


def _thickness(cloth: Cloth) -> float:
    return cloth.typical.value
