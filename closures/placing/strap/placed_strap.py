"""A belt or a row placed: the marks of its strap, closed at its target, on the one line that every row has."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError, in_section
from closures.placing.cloth_marks import face_among, faces_of
from closures.placing.differing import WHOLE_ROWS, refuse_alone, refuse_hole
from closures.placing.lying import refuse_layers_off
from closures.placing.marking import mark_row
from closures.placing.placement import Placement, chosen_fastener, shown_in
from closures.placing.plies import laid_as_sewn, plies_on
from closures.placing.single_layer import all_over
from closures.placing.stack import UNNAMED, layers_on
from closures.placing.strap.making import make_strap
from closures.placing.strap.thickness import notes_on_layers, strap_layers
from closures.placing.strap.usual import with_usual_strap
from closures.placing.usual import with_usual_way
from closures.spacing import Spacing

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.stack import Layer
    from closures.placing.strap.values import Strap
    from closures.plan.plan import Plan


def place_strap(plan: Plan, catalogue: Catalogue) -> Placement:
    """Place the closures of a belt or a row.

    Args:
        plan: with a belt or a row.
        catalogue: fasteners, cloths and rules.

    Returns:
        The placement, the strap closed at its target.

    Raises:
        ClosureError: the strap cannot be as asked, or the catalogue does not hold what the plan names.
        ValueError: the plan has neither belt nor row.
    """
    refuse_hole(plan, catalogue)
    fastener = chosen_fastener(plan, catalogue)
    if fastener.setting in WHOLE_ROWS:
        refuse_alone(fastener, in_section("closure", "kind"))
    if fastener.family == "eyelet":
        raise EdgeError(
            "eyelets are holes at both ends, and nothing here closes the one on the other",
            where=in_section("closure", "kind"),
            mend="Take one whose halves meet, such as a snap or a button; what is laced is a plan with an [edge].",
        )
    plan, places = with_usual_strap(laid_as_sewn(plan, catalogue), fastener, catalogue)
    plan, way = with_usual_way(plan, fastener, catalogue)
    assumed = (*plan.bare.told, *places, *way)
    faces = faces_of(plan, catalogue)
    is_of_leather = bool(faces) and all("leather" in face.structures for face in faces)
    strap = replace(make_strap(plan, fastener, catalogue), is_of_leather=is_of_leather)
    layers = layers_on("over", plan.layers, catalogue)
    stiff = sum(layer.plies for layer in layers if "fusible" in layer.structures)
    lining = _lining(plan, strap, catalogue)
    cloths = () if lining else _two_cloths(plan, strap, catalogue)
    within = _leather_within(plan, cloths, catalogue)
    # A core is cut beside the two, and no layer is left to be laid in.
    left = notes_on_layers(strap.made, plan.layers, catalogue) if within == "core" else ()
    notes = tuple(note for note in strap.notes if note not in left)
    strap = replace(strap, lining=lining, cloths=cloths, leather_within=within, interfacings=stiff, notes=notes)
    layout = strap.layout
    refuse_layers_off(plan, [layout.laps], fastener.rim_mm)
    gaps = tuple(b - a for a, b in pairwise(layout.along_mm))
    least, most = (min(gaps), max(gaps)) if gaps else (0.0, 0.0)
    spacing = Spacing(layout.along_mm, gaps, least, most, most - least, None, (), _settings_in_words(plan, strap))
    measured = None if plan.strap is None else plan.strap.thickness_mm
    clamped = replace(plan, layers=strap_layers(measured, plan.layers))
    rims = [fastener.rim_mm] * len(layout.along_mm)
    marks = mark_row(clamped, layout.laps, rims, spacing, (), catalogue, carried=layout.carried, points=layout.points)
    return Placement(plan, layout.laps, fastener, spacing, marks, (), (), strap, assumed=assumed)


_ENDS_RAW = {"leather", "coated", "nonwoven", "fusible"}
"""What is cut to its outline and does not fray: common practice."""


def _lining(plan: Plan, strap: Strap, catalogue: Catalogue) -> str:
    """Name the cloth of the inner piece of a leather strap, where it is one that frays; else empty."""
    if not strap.is_of_leather or strap.made != "two pieces" or strap.is_made:
        return ""
    ends: tuple[LapName, LapName] = ("over", "under")
    inner = [face_among(layers_on(end, plan.layers, catalogue)[::-1]) for end in ends]
    frays = [one for one in inner if one is not None and one.structures and not _ENDS_RAW & one.structures]
    return frays[0].name if len(frays) == len(ends) and frays[0].name == frays[1].name else ""


def _two_cloths(plan: Plan, strap: Strap, catalogue: Catalogue) -> tuple[str, ...]:
    """Name the outer and the inner cloth of a strap in two pieces, where its layers tell two; else nothing."""
    if strap.made != "two pieces" or strap.is_made:
        return ()
    ends: tuple[LapName, ...] = ("over", "under")
    told = {tuple(one.name for one in _outer_and_inner(plan, end, catalogue)) for end in ends}
    if len(told) != 1:
        return ()
    names = next(iter(told))
    is_two = len(names) == len(set(names)) == len(ends) and UNNAMED not in names
    return names if is_two else ()


def _outer_and_inner(plan: Plan, end: LapName, catalogue: Catalogue) -> list[Layer]:
    """The layers of cloth all along an end; where the plan tells what they are for, without what is sewn in."""
    plies = plies_on(plan, end, catalogue)
    if plies is None or plies.facing is None or not plies.within:
        return all_over(plan, end, catalogue)[0]
    return [plies.outer, plies.facing]


_BESIDE_A_CORE = 2
"""How many layers of cloth lie round a core: one outside, and one next to the wearer; geometry."""


def _leather_within(plan: Plan, cloths: tuple[str, ...], catalogue: Catalogue) -> Literal["", "lining", "core"]:
    """Tell whether leather lies behind one layer of cloth as its lining, or between two as their core; else nothing."""
    if not cloths:
        return ""
    outer, inner = _outer_and_inner(plan, "over", catalogue)
    if "leather" in outer.structures or "leather" not in inner.structures or inner.plies != 1:
        return ""
    return "lining" if outer.plies == 1 else "core" if outer.plies == _BESIDE_A_CORE else ""


def _settings_in_words(plan: Plan, strap: Strap) -> str:
    show = shown_in(plan.units)
    loosest, tightest = strap.settings[0].middle_mm, strap.settings[-1].middle_mm
    if len(strap.settings) == 1:
        return f"1 setting: closes at {show(loosest)}, along the middle of the strap."
    return (
        f"{len(strap.settings)} settings, from {show(tightest)} to {show(loosest)}, worn at "
        f"{show(strap.target.middle_mm)}, all along the middle of the strap."
    )
