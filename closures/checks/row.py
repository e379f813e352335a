"""Rules on the row as a whole: its gaps, its anchors, its clear zones, its ends and its curve.

Terms: a *strain point* is a place that pulls the opening apart, such as the bust; an anchor
left between two closures gapes there.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import SAME_MM, Checked, Limits
from closures.checks.corner import CORNER_DEG
from closures.checks.finding import Finding, Result
from closures.curve import parallel
from closures.errors import EdgeError
from closures.placing.lap import offset_sign

if TYPE_CHECKING:
    from closures.placing.lap import Lap
    from closures.placing.placement import Mark, PlacedZone

# Looked at between two ends of a zone, to find the part of it that a rim is nearest to.
_ZONE_SAMPLES = 32


def check_curve(checked: Checked) -> list[Finding]:
    """Can a band of this width follow the edge?"""
    laps = checked.placement.laps
    tightest = laps.line.tightest("both")
    corners = laps.line.corners()
    at_mm, turn_deg = max(corners, key=lambda corner: abs(corner[1]), default=(0.0, 0.0))
    findings = []
    for lap in laps.both:
        times = checked.limit_mm("curve radius per band width")
        limit = times * lap.width_mm
        source = checked.source("curve radius per band width")
        radius = tightest.radius_mm
        found = None if math.isinf(radius) else radius
        if lap.inner is None:
            findings.append(
                Finding(
                    "curve",
                    "fail",
                    f"The band is {checked.show(lap.width_mm)} wide and its inner edge cannot follow: "
                    f"{_why_no_inner(lap)}.",
                    "geometry",
                    lap.name,
                    None,
                    found,
                    lap.width_mm,
                )
            )
        elif radius < limit - SAME_MM:
            findings.append(
                Finding(
                    "curve",
                    "warn",
                    f"The closing line turns at a radius of {checked.show(radius)} near "
                    f"{checked.show(tightest.along_mm)} along: a straight strip will not lie flat round it. "
                    "Cut the band to the shape of the edge, with a facing.",
                    source,
                    lap.name,
                    None,
                    found,
                    limit,
                )
            )
        elif abs(turn_deg) >= CORNER_DEG:
            findings.append(
                Finding(
                    "curve",
                    "warn",
                    f"The closing line has a corner of {abs(turn_deg):.0f}° at {checked.show(at_mm)} along: a straight "
                    "strip will not turn there. Mitre the band, or cut it to the shape of the edge with a facing.",
                    "common practice",
                    lap.name,
                )
            )
        else:
            if found is not None:
                text = f"The closing line nowhere turns tighter than {checked.show(radius)}."
            elif corners:
                text = f"The closing line is straight but for corners of less than {CORNER_DEG:.0f}°."
            else:
                text = "The closing line is straight."
            findings.append(Finding("curve", "pass", text, source, lap.name, None, found, limit))
    return findings


def _why_no_inner(lap: Lap) -> str:
    """What keeps the inner edge of a band from running beside its finished edge."""
    try:
        parallel(lap.edge, offset_sign(lap.cloth_on) * lap.width_mm, "inner edge of the band")
    except EdgeError as error:
        return error.faults[0].what
    return "it folds"


def check_widest_gap(checked: Checked) -> list[Finding]:
    """Is any gap wider than was wished, or, where nothing was wished, than is usual?"""
    (_, _, plan), spacing = checked.placement.plan.along_an_edge, checked.placement.spacing
    if not spacing.gaps_mm:
        return []
    limit, source = _widest(checked)
    wide = [(i, gap) for i, gap in enumerate(spacing.gaps_mm, 1) if gap > limit + SAME_MM]
    if not wide:
        gap = spacing.largest_mm
        place = spacing.gaps_mm.index(gap) + 1
        text = f"The largest gap is {checked.show(gap)}; at most {checked.show(limit)} is wanted."
        return [Finding("widest gap", "pass", text, source, None, place, gap, limit)]
    told = "wished" if plan.widest_mm is not None else "usual on a shirt front"
    return [
        Finding(
            "widest gap",
            "warn",
            f"The gap to the next mark is {checked.show(gap)}, wider than is {told} "
            f"({checked.show(limit)}). It may gape under strain: use more closures or add an anchor there.",
            source,
            None,
            i,
            gap,
            limit,
        )
        for i, gap in wide
    ]


def _widest(checked: Checked) -> tuple[float, str]:
    _, _, spacing = checked.placement.plan.along_an_edge
    if spacing.widest_mm is not None:
        return spacing.widest_mm, "the plan"
    rule = checked.rule("gap, shirt front")
    usual = rule.value.value if rule.high is None else rule.high.value
    if spacing.pitch_mm is not None and spacing.pitch_mm > usual:
        return checked.placement.spacing.largest_mm, "the plan"
    return usual, rule.value.provenance.text


def check_strain_point(checked: Checked) -> list[Finding]:
    """Has every anchor a closure at it, and none been left between two?"""
    limit, source = checked.limit_mm("placement tolerance"), checked.source("placement tolerance")
    placement = checked.placement
    findings = []
    for anchor in placement.anchors:
        mark = min(placement.marks, key=lambda m: abs(m.along_mm - anchor.along_mm))
        shift = abs(mark.along_mm - anchor.along_mm)
        result: Result
        if shift <= limit + SAME_MM:
            place = "at it" if shift <= SAME_MM else f"{checked.show(shift)} from it"
            text, result = f"{anchor.name}: mark {mark.n} sits {place}.", "pass"
        else:
            side = "below" if mark.along_mm > anchor.along_mm else "above"
            text = (
                f"{anchor.name}: the nearest mark, {mark.n}, sits {checked.show(shift)} {side} it, so it is left "
                f"between two closures and may gape. Lessen `within` to {checked.show(limit)} or less."
            )
            result = "warn"
        findings.append(Finding("strain point", result, text, source, None, mark.n, shift, limit))
    return findings


def check_clear_zone(checked: Checked) -> list[Finding]:
    """Do all rims, or centres where the plan says so, keep out of every clear zone?"""
    findings = []
    for zone in checked.placement.zones:
        room = checked.rim_mm if zone.room == "rim" else 0.0
        nearest = min(checked.placement.marks, key=lambda mark: _to_zone(checked, mark, zone))
        found = _to_zone(checked, nearest, zone) - room
        part = "rim" if zone.room == "rim" else "centre"
        if found < -SAME_MM:
            text = f"{zone.name}: the {part} of mark {nearest.n} reaches {checked.show(-found)} into it."
        else:
            stays = checked.show(max(found, 0.0))
            text = f"{zone.name}: the nearest {part}, of mark {nearest.n}, stays {stays} out of it."
        result: Result = "fail" if found < -SAME_MM else "pass"
        findings.append(Finding("clear zone", result, text, "the plan", None, nearest.n, found, 0.0))
    return findings


def _to_zone(checked: Checked, mark: Mark, zone: PlacedZone) -> float:
    """Straight from a centre to the zone: to its levels where it has levels, else to its stretch."""
    if zone.level_mm is not None:
        low, high = zone.level_mm
        return max(low - mark.level_mm, mark.level_mm - high, 0.0)
    line = checked.placement.laps.line
    centre = (mark.x_mm, mark.y_mm)
    return min(
        math.dist(centre, line.point_at(low + (high - low) * i / _ZONE_SAMPLES))
        for low, high in zone.stretches_mm
        for i in range(_ZONE_SAMPLES + 1)
    )


def check_end_distance(checked: Checked) -> list[Finding]:
    """Do the first and the last closure keep away from the finished ends?"""
    usual, source = max(
        (checked.limit_mm("ends least"), checked.source("ends least")),
        # The flange of a large part wants the same cloth beyond it here as at the long edge.
        (checked.rim_mm + checked.limit_mm("edge fail extra"), checked.source("edge fail extra")),
    )
    limits = Limits(usual, checked.rim_mm, source, "geometry")
    marks, length = checked.placement.marks, checked.placement.laps.line.length_mm
    findings = []
    ends = (("first", marks[0], marks[0].along_mm), ("last", marks[-1], length - marks[-1].along_mm))
    for name, mark, found in ends:
        result, limit, why = limits.judge(found)
        text = f"The {name} centre lies {checked.show(found)} from the {name} end"
        if result == "fail":
            text += f", and its rim hangs {checked.show(checked.rim_mm - found)} past it. Move it in."
        else:
            text += f"; at least {checked.show(limit)} is usual." + (" Move it in." if result == "warn" else "")
        findings.append(Finding("end distance", result, text, why, None, mark.n, found, limit))
    return findings
