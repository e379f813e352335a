"""Whether a band of its width can follow the edge, as it is cut.

Terms: a *straight strip* is eased round a curve, so that its edges are strained by half its width over the radius; a
*shaped* band is cut to the curve and is not strained.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import Checked
from closures.checks.corner import CORNER_DEG
from closures.checks.finding import Finding, Result
from closures.curve import parallel
from closures.errors import EdgeError
from closures.lengths import SAME_MM
from closures.placing.cloth_marks import own_layers
from closures.placing.lap import offset_sign
from closures.placing.stack import layers_on

if TYPE_CHECKING:
    from closures.placing.lap import Lap

_NAMES = {
    "straight": "cut along the grain",
    "cross": "cut across the grain",
    "bias": "cut on the bias",
    "knit": "of knit",
}


def check_curve(checked: Checked) -> list[Finding]:
    """Can a band of this width, cut as it is, follow the edge?"""
    return [_judge(checked, lap) for lap in checked.placement.laps.both]


def _judge(checked: Checked, lap: Lap) -> Finding:
    tightest = lap.line.tightest("both")
    radius = tightest.radius_mm
    found = None if math.isinf(radius) else radius
    corners = lap.line.corners()
    at_mm, turn_deg = max(corners, key=lambda corner: abs(corner[1]), default=(0.0, 0.0))

    def say(result: Result, text: str, source: str, limit: float | None = None) -> Finding:
        return Finding("curve", result, text, source, lap.name, None, found, limit, "least")

    if lap.inner is None:
        wide = checked.show(lap.width_mm)
        text = f"The band is {wide} wide and its inner edge cannot follow: {_why_no_inner(lap)}."
        return say("fail", text, "geometry", lap.width_mm)
    if abs(turn_deg) >= CORNER_DEG and not _is_shaped(checked, lap):
        text = (
            f"The closing line has a corner of {abs(turn_deg):.0f}° at {checked.show(at_mm)} along: a straight "
            "strip will not turn there. Mitre the band, or cut it to the shape of the edge with a facing."
        )
        return say("warn", text, "common practice")
    if found is None:
        told = f"straight but for corners of less than {CORNER_DEG:.0f}°" if corners else "straight"
        return say("pass", f"The closing line is {told}.", "geometry")
    if _is_shaped(checked, lap):
        by = "" if _cut_told(checked) == "shaped" else " by its own piece"
        text = f"The band is cut{by} to the edge, which turns at a radius of {checked.show(radius)} or more."
        return say("pass", text, "the plan")
    return _strained(checked, lap, radius, tightest.along_mm)


def _strained(checked: Checked, lap: Lap, radius_mm: float, along_mm: float) -> Finding:
    """Hold the strain of a straight strip against what its cut bears."""
    strain = lap.width_mm / (2 * radius_mm)
    cut = _cut(checked, lap)
    rule = checked.rule(f"strip bears, {cut or 'straight'}")
    least = rule.value.value
    most = least if rule.high is None else rule.high.value
    limit = lap.width_mm / (2 * least)
    lies = (
        f"At its tightest, near {checked.show(along_mm)} along, the line turns at a radius of "
        f"{checked.show(radius_mm)}, which strains a straight strip of {checked.show(lap.width_mm)} by {strain:.1%}"
    )
    result: Result = "pass" if strain <= least + SAME_MM / radius_mm else "warn"
    if result == "pass":
        text = f"{lies}; one {_NAMES[cut or 'straight']} bears {least:.0%} and more."
    elif cut is None:
        text = f"{lies}. {_what_bears(checked, strain)} Say how it is cut: cut = under [band]."
    elif strain <= most:
        text = f"{lies}; one {_NAMES[cut]} bears {least:.0%} to {most:.0%}. Try it, or cut the band to the edge."
    else:
        text = f"{lies}; one {_NAMES[cut]} bears {most:.0%} at the most. Cut the band to the shape of the edge."
    return Finding("curve", result, text, rule.value.provenance.text, lap.name, None, radius_mm, limit, "least")


def _what_bears(checked: Checked, strain: float) -> str:
    """Say which cuts would lie flat, from memory."""
    for cut in ("cross", "bias"):
        rule = checked.rule(f"strip bears, {cut}")
        high = rule.value if rule.high is None else rule.high
        if strain <= high.value:
            return f"A strip {_NAMES[cut]} bears it, one along the grain does not; a band cut to the edge always does."
    return "No straight strip of woven cloth bears it; a band cut to the edge does."


def _cut(checked: Checked, lap: Lap) -> str | None:
    """How the strip is cut, or that it is of knit, whose loops give on any grain; None where nothing tells it.

    A backing is no part of the strip.
    """
    layers = layers_on(lap.name, own_layers(checked.placement.plan), checked.catalogue)
    cloths = [layer for layer in layers if "fusible" not in layer.structures]
    is_knit = bool(cloths) and all("knit" in layer.structures for layer in cloths)
    return "knit" if is_knit else _cut_told(checked)


def _cut_told(checked: Checked) -> str | None:
    return checked.placement.plan.along_an_edge[1].cut


def _is_shaped(checked: Checked, lap: Lap) -> bool:
    """Whether the band is cut to the edge: told so, or by pieces that are asked for and are drawn from that edge."""
    bands = None if checked.placement.is_withheld else checked.placement.plan.bands
    is_cut_here = bands is not None and bands.made != "folded" and not lap.has_strip_without_edge
    return is_cut_here or _cut_told(checked) == "shaped"


def _why_no_inner(lap: Lap) -> str:
    """What keeps the inner edge of a band from running beside its finished edge."""
    try:
        parallel(lap.edge, offset_sign(lap.cloth_on) * lap.width_mm, "inner edge of the band")
    except EdgeError as error:
        return error.faults[0].what
    return "it folds"
