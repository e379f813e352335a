"""Rules on the row as a whole: its gaps, its anchors, its clear zones, its ends and its curve.

Terms: a *strain point* is a place that pulls the opening apart, such as the bust; an anchor
left between two closures gapes there.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import Checked, Limits
from closures.checks.finding import Finding, Result
from closures.lengths import SAME_MM
from closures.placing.usual import usual_gap_key

if TYPE_CHECKING:
    from closures.placing.placement import Mark, PlacedZone

# Looked at between two ends of a zone, to find the part of it that a rim is nearest to.
_ZONE_SAMPLES = 32


# A coat, a cape or a duvet is not judged by the front of a shirt.
_NOT_SHIRTS = ("gap, coat", "gap, duvet", "gap, babywear", "eyelet spacing")


def check_widest_gap(checked: Checked) -> list[Finding]:
    """Is any gap wider than was wished, or, where nothing was wished, than is usual?"""
    (_, _, plan), spacing = checked.placement.plan.along_an_edge, checked.placement.spacing
    # With no gap the whole line is the gap.
    gaps = spacing.gaps_mm or (checked.placement.laps.line.length_mm,)
    garment = checked.placement.plan.garment
    is_elsewhere = garment is not None and garment.opens not in (None, "front", "back")
    usual = usual_gap_key(checked.placement.plan, checked.fastener, checked.catalogue)
    if plan.widest_mm is None and (is_elsewhere or usual in _NOT_SHIRTS):
        gap = max(gaps)
        place = gaps.index(gap) + 1
        text, source = _told_only(checked, gap, usual)
        return [Finding("widest gap", "pass", text, source, None, place, gap, None)]
    limit, source = _widest(checked)
    wide = [(i, gap) for i, gap in enumerate(gaps, 1) if gap > limit + SAME_MM]
    if not wide:
        gap = max(gaps)
        place = gaps.index(gap) + 1
        text = f"The largest gap is {checked.show(gap)}; at most {checked.show(limit)} is wanted."
        return [Finding("widest gap", "pass", text, source, None, place, gap, limit)]
    told = "wished" if plan.widest_mm is not None else "usual on a shirt front"
    if not spacing.gaps_mm:
        text = (
            f"There is only one closure, so the whole line is the gap: {checked.show(gaps[0])}, wider than is {told} "
            f"({checked.show(limit)}). It may gape on either side: use more closures."
        )
        return [Finding("widest gap", "warn", text, source, None, 1, gaps[0], limit)]
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


def _told_only(checked: Checked, gap_mm: float, usual: str) -> tuple[str, str]:
    """Tell the largest gap of a row that no published limit speaks of, with what is usual there where that is known."""
    if usual not in _NOT_SHIRTS:
        return f"The largest gap is {checked.show(gap_mm)}; no limit is known for such an opening.", "our own rule"
    rule = checked.rule(usual)
    kind = rule.text.removesuffix("; our own rule")
    text = f"The largest gap is {checked.show(gap_mm)}; about {checked.show(rule.value.value)} is usual ({kind})."
    return text, rule.value.provenance.text


def _widest(checked: Checked) -> tuple[float, str]:
    _, _, spacing = checked.placement.plan.along_an_edge
    if spacing.widest_mm is not None:
        return spacing.widest_mm, "the plan"
    rule = checked.rule("gap, shirt front")
    usual = rule.value.value if rule.high is None else rule.high.value
    if spacing.pitch_mm is not None and spacing.pitch_mm > usual:
        placement = checked.placement
        return placement.spacing.largest_mm or placement.laps.line.length_mm, "the plan"
    return usual, rule.value.provenance.text


def check_strain_point(checked: Checked) -> list[Finding]:
    """Has every anchor a closure at it, and none been left between two?"""
    limit, source = checked.limit_mm("strain point"), checked.source("strain point")
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
                f"between two closures and may gape. Lessen `within`, or move the row."
            )
            result = "warn"
        findings.append(Finding("strain point", result, text, source, None, mark.n, shift, limit))
    return findings


def check_clear_zone(checked: Checked) -> list[Finding]:
    """Do all rims, or centres where the plan says so, keep out of every clear zone?"""
    findings = []
    for zone in checked.placement.zones:
        found, nearest = min(
            ((_to_zone(checked, mark, zone) - _room_at(checked, mark, zone), mark) for mark in checked.placement.marks),
            key=lambda one: one[0],
        )
        part = "rim" if zone.room == "rim" else "centre"
        if found < -SAME_MM:
            text = f"{zone.name}: the {part} of mark {nearest.n} reaches {checked.show(-found)} into it."
        else:
            stays = checked.show(max(found, 0.0))
            text = f"{zone.name}: the nearest {part}, of mark {nearest.n}, stays {stays} out of it."
        result: Result = "fail" if found < -SAME_MM else "pass"
        findings.append(Finding("clear zone", result, text, "the plan", None, nearest.n, found, 0.0))
    return findings


def _room_at(checked: Checked, mark: Mark, zone: PlacedZone) -> float:
    return checked.placement.fastener_of(mark.n).rim_mm if zone.room == "rim" else 0.0


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
    marks, length = checked.placement.marks, checked.placement.laps.line.length_mm
    findings = []
    first, last = checked.placement.ends
    ends = (("first", marks[0], marks[0].along_mm, first), ("last", marks[-1], length - marks[-1].along_mm, last))
    for name, mark, found, end in ends:
        rim_mm = checked.placement.fastener_of(mark.n).rim_mm
        usual, source = max(
            (checked.limit_mm("ends least"), checked.source("ends least")),
            # The flange of a large part wants the same cloth beyond it here as at the long edge.
            (rim_mm + checked.limit_mm("edge fail extra"), checked.source("edge fail extra")),
        )
        limits = Limits(usual, rim_mm, source, "geometry")
        result, limit, why = limits.judge(found)
        text = f"The {name} centre lies {checked.show(found)} from the {end}"
        if result == "fail":
            text += f", and its rim hangs {checked.show(rim_mm - found)} past it. Move it in."
        else:
            text += f"; at least {checked.show(limit)} is usual." + (" Move it in." if result == "warn" else "")
        findings.append(Finding("end distance", result, text, why, None, mark.n, found, limit))
    return findings
