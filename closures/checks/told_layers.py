"""Are the layers that the plan tells the cloth itself, or only what lies within or behind it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.placing.stack import layers_on
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.checked import Checked
    from closures.placing.stack import Layer

_LAPS: tuple[LapName, ...] = ("over", "under")
_OURS = "our own rule"


def check_told_layers(checked: Checked) -> list[Finding]:
    """Does a lap consist of more than interfacing, and is what is knitted told as knitted?"""
    found = []
    for lap in _LAPS:
        layers = layers_on(lap, checked.placement.plan.layers, checked.catalogue)
        text = _only_interfacing(layers) or _not_knitted(checked, layers)
        if text:
            found.append(Finding("cloth", "warn", text, _OURS, lap))
    return found


def _only_interfacing(layers: tuple[Layer, ...]) -> str:
    if not layers or not all("fusible" in layer.structures for layer in layers):
        return ""
    return (
        f"The only layer told is {_names(layers)}, which is ironed onto a cloth, and no cloth is told: thickness, "
        "buttonholes and steps are those of interfacing alone. Add a [[layer]] of the cloth itself."
    )


def _not_knitted(checked: Checked, layers: tuple[Layer, ...]) -> str:
    if checked.placement.plan.gauge is None or not layers:
        return ""
    if not all(layer.structures for layer in layers) or any("knit" in layer.structures for layer in layers):
        return ""
    return (
        f"[gauge] says that this lap is knitted, and the layers told are {_names(layers)}, which is no knitting. Where "
        "that only backs it, add a [[layer]] of the knitting with its measured thickness; where the lap is not "
        "knitted, leave [gauge] out."
    )


def _names(layers: tuple[Layer, ...]) -> str:
    return in_a_row(list(dict.fromkeys(layer.name for layer in layers)))
