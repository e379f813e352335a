"""Are the layers that the plan tells the cloth itself, or only what lies within or behind it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.placing.plies import interfacings_told, is_sewn_here, plies_on
from closures.placing.single_layer import all_over
from closures.placing.stack import layers_on
from closures.placing.strap.thickness import strap_thickness_mm, told_beyond
from closures.said import for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.placing.stack import Layer

_LAPS: tuple[LapName, ...] = ("over", "under")
_OURS = "our own rule"
_MOST_UNLIKE = 2.0
"""So many times a strap's thickness may differ from its layers', free cloth against squeezed: our own rule."""

MOST_UNLIKE_MEASURED = 1.5
"""So many times a layer of one cloth may be as thick as another of it, both measured: our own rule."""


def check_told_layers(checked: Checked) -> list[Finding]:
    """Does a lap consist of more than interfacing, is what is knitted told so, and a strap as thick as its layers?"""
    found = []
    for lap in _LAPS:
        layers = layers_on(lap, checked.placement.plan.layers, checked.catalogue)
        text = _only_interfacing(layers) or _not_knitted(checked, layers)
        if text:
            found.append(Finding("cloth", "warn", text, _OURS, lap))
        if text := _folded_of_two(checked, lap) or _other_interfacing(checked, lap):
            found.append(Finding("cloth", "warn", text, _OURS, lap))
        if text := _untold(checked, lap):
            found.append(Finding("cloth", "warn", text, _OURS, lap))
    return found + _more_than_cut(checked) + _not_as_thick(checked) + _measured_apart(checked)


def _untold(checked: Checked, lap: LapName) -> str:
    """Ask what three plies of more than one cloth are for, where nobody told it and their order leaves it open."""
    placement = checked.placement
    plies = plies_on(placement.plan, lap, checked.catalogue)
    if plies is None or plies.is_settled or placement.is_withheld or not is_sewn_here(placement.plan):
        return ""
    within = in_a_row(list(dict.fromkeys(layer.name for layer in plies.within)))
    outer, facing = plies.outer.name, "" if plies.facing is None else plies.facing.name
    if facing == outer:
        return (
            f"Nobody told what {within} is for: it is taken to be sewn in between the band and its facing, both of "
            f"{outer}, and is cut, pictured and sewn so, and its pricks are taken to be hidden. A lining would lie "
            "innermost, where it is seen"
        ) + for_author(
            ': write as = "interlining" in its [[layer]] where that is so; as = "lining" where it lies '
            "innermost; where it lies outside, tell it first.",
            ".",
        )
    return (
        f"Nobody told what {within} and {facing} are for: {within} is taken to be sewn in between the band of {outer} "
        f"and the facing, which is of {facing}, and they are cut and sewn so. Where the facing is of {within}, "
        f"{facing} lines it"
    ) + for_author(
        f': write as = "interlining" in the [[layer]] of {within} where that is so; else as = "facing" there, and '
        f'as = "lining" in that of {facing}.',
        ".",
    )


def _folded_of_two(checked: Checked, lap: LapName) -> str:
    """Ask of a piece that is folded whether the layers tell its one cloth twice, and not a second cloth behind it."""
    bands, strap = checked.placement.plan.bands, checked.placement.strap
    piece = "band" if bands is not None and bands.made == "folded" else ""
    if strap is not None and strap.made == "folded":
        piece = strap.piece
    cloths, _ = all_over(checked.placement.plan, lap, checked.catalogue)
    if not piece or len({(layer.name, layer.structures) for layer in cloths}) < 2:
        return ""
    section = "[bands]" if strap is None else "its section"
    return (
        f"The {piece} is one piece, folded, and the layers tell {_names(tuple(cloths))}: folded, the first of them "
        f"lies twice under every closure, and the stack counts it once."
    ) + for_author(
        f' Tell it alone, with count = 2; or write made = "two pieces" in {section}, where the other is cut by itself.'
    )


def _other_interfacing(checked: Checked, lap: LapName) -> str:
    """Ask of the interfacing that is cut for the bands, told or usual, whether the layers tell as much."""
    bands = checked.placement.plan.bands
    if bands is None or bands.interfacing is None or lap in bands.bare:
        return ""
    cloths, behind = all_over(checked.placement.plan, lap, checked.catalogue)
    if not behind or not all(layer.structures for layer in cloths):
        # Where the layers tell none, or were measured with whatever lay there, it is asked elsewhere.
        return ""
    told = interfacings_told(checked.placement.plan, lap, checked.catalogue)
    cut = bands.interfacings_of(lap)
    if told == cut:
        return ""
    return (
        for_author(
            f"For [bands] interfacing = {cut} is cut,",
            f"{cut} of interfacing {'is' if cut == 1 else 'are'} cut for the band,",
        )
        + f" and the layers tell {told} of it on this lap: every stack counts what the layers tell."
        + for_author(" Let interfacing under [bands] be as they tell, or the [[layer]]s as is cut.")
    )


def _more_than_cut(checked: Checked) -> list[Finding]:
    """Is a strap that is cut in one layer told as more?"""
    plan, strap = checked.placement.plan, checked.placement.strap
    if strap is None or strap.made != "one layer":
        return []
    told = told_beyond(strap.made, plan.layers, checked.catalogue)
    if told is None:
        return []
    text = (
        f"The plan tells {told} layers of cloth and cuts the {strap.piece} in one: every stack counts {told}."
    ) + for_author(
        " Where allowances are turned under, let them lie under every closure; where it is lined, leave made out, or "
        'write made = "two pieces"; else write count = 1.'
    )
    return [Finding("cloth", "warn", text, _OURS)]


def _not_as_thick(checked: Checked) -> list[Finding]:
    """Is a strap as thick as its layers make it? Its length is reckoned round that thickness."""
    plan = checked.placement.plan
    told = None if plan.strap is None else plan.strap.thickness_mm
    layers = strap_thickness_mm(None, plan.layers, checked.catalogue)
    if told is None or not layers or 1 / _MOST_UNLIKE <= told / layers <= _MOST_UNLIKE:
        return []
    text = (
        f"The strap is told {checked.show(told)} thick, and the layers that are told come to {checked.show(layers)}: "
        "how long it is cut is reckoned by the first, and what the parts clamp by the second. Lay the layers on each "
        "other and measure them"
    ) + for_author("; then mend thickness, or add the [[layer]] that is missing.", ".")
    return [Finding("cloth", "warn", text, _OURS)]


def _measured_apart(checked: Checked) -> list[Finding]:
    """Is one cloth told with one thickness, wherever it lies?"""
    layers, found = checked.placement.plan.layers, []
    for cloth, is_clamped in dict.fromkeys((layer.cloth, bool(layer.clamped)) for layer in layers):
        of_it = [one for one in layers if one.cloth == cloth and bool(one.clamped) == is_clamped]
        thick = [one.thickness_mm for one in of_it if one.thickness_mm is not None]
        if cloth is None or not thick or max(thick) <= MOST_UNLIKE_MEASURED * min(thick):
            continue
        text = (
            f"One layer of {cloth} is told {checked.show(min(thick))} thick, and another {checked.show(max(thick))}. "
            "One cloth has one thickness: measure one layer of it again"
        ) + for_author(
            "; where they are two cloths, leave cloth out beside the thickness, or give each a name of its own.", "."
        )
        found.append(Finding("cloth", "warn", text, _OURS))
    return found


def _only_interfacing(layers: tuple[Layer, ...]) -> str:
    if not layers or not all("fusible" in layer.structures for layer in layers):
        return ""
    return (
        f"The only layer told is {_names(layers)}, which is ironed onto a cloth, and no cloth is told: thickness, "
        "buttonholes and steps are those of interfacing alone."
    ) + for_author(" Add a [[layer]] of the cloth itself.")


def _not_knitted(checked: Checked, layers: tuple[Layer, ...]) -> str:
    if checked.placement.plan.gauge is None or not layers:
        return ""
    if not all(layer.structures for layer in layers) or any("knit" in layer.structures for layer in layers):
        return ""
    return (
        for_author("[gauge] says", "The plan says")
        + f" that this lap is knitted, and the layers told are {_names(layers)}, which is no knitting."
        + for_author(
            " Where that only backs it, add a [[layer]] of the knitting with its measured thickness; where the lap is "
            "not knitted, leave [gauge] out."
        )
    )


def _names(layers: tuple[Layer, ...]) -> str:
    return in_a_row(list(dict.fromkeys(layer.name for layer in layers)))
