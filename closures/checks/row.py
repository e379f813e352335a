"""Rules on the row as a whole: its gaps, its anchors, its clear zones, its ends and its curve.

Terms: a *strain point* is a place that pulls the opening apart, such as the bust; an anchor
left between two closures gapes there.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import Checked, Limits, first_least
from closures.checks.columns import ends_beside
from closures.checks.far_down import bust_at_neck, far_above, far_below, hidden_beyond_row
from closures.checks.feet import foot_beyond_mm, foot_past_end
from closures.checks.finding import Finding, Result
from closures.checks.tape import further_from_end
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.buttonhole import slits_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from closures.curve import Point
    from closures.placing.placement import Mark, PlacedZone
    from closures.spacing.fixed_pitch import End

# Looked at between two ends of a zone, to find the part of it that a rim is nearest to.
_ZONE_SAMPLES = 32


def check_strain_point(checked: Checked) -> list[Finding]:
    """Has every anchor a closure at it, and none been left between two?"""
    limit, source = checked.limit_mm("strain point"), checked.source("strain point")
    placement = checked.placement
    findings = []
    for anchor in placement.anchors:
        shifts = [(abs(mark.along_mm - anchor.along_mm), mark) for mark in placement.marks]
        shift, mark = first_least(shifts, lambda one: one[0])
        result: Result
        if shift <= limit + SAME_MM:
            place = "at it" if shift <= SAME_MM else f"{checked.show(shift)} from it"
            text, result = f"{anchor.name}: mark {mark.n} sits {place}.", "pass"
        else:
            side = "below" if mark.along_mm > anchor.along_mm else "above"
            # Edges that stand apart are drawn together by a lace, and nothing lies between two closures to gape.
            garment = placement.plan.garment
            apart = garment is not None and garment.gap_mm > 0
            left = "it is not drawn in where it was wanted" if apart else "it is left between two closures and may gape"
            sits = f"{anchor.name}: the nearest mark, {mark.n}, sits {checked.show(shift)} {side} it"
            if shift <= anchor.within_mm + SAME_MM and not apart:
                # What is allowed is met, in the table of offers too: it is looked at because it is no closure at it.
                sits = f"{sits}. Its within allows that, yet what is over {checked.show(limit)} off counts as beside it"
            text = f"{sits}, so {left}. Lessen within under [[anchor]], or move the row."
            result = "warn"
        findings.append(Finding("strain point", result, text, source, None, mark.n, shift, limit, "most"))
        findings += filter(None, (bust_at_neck(checked, anchor),))
    return findings


def check_clear_zone(checked: Checked) -> list[Finding]:
    """Do all rims and buttonholes, or centres where the plan says so, keep out of every clear zone?"""
    findings = []
    slits = _reaches(checked)
    for zone in checked.placement.zones:
        found, nearest = first_least(_near_zone(checked, zone), lambda one: one[0])
        part = "rim" if zone.room == "rim" else "centre"
        if slits and zone.room == "rim":
            cut, at = first_least(_slits_near(zone, slits), lambda one: one[0])
            if cut < found - SAME_MM:
                found, nearest, part = cut, at, "buttonhole"
        if found < -SAME_MM:
            what = f"the {part} of mark {nearest.n} reaches {checked.show(-found)} into it"
            text = f"{zone.name}: {what}{_beside(checked, nearest)}."
        else:
            stays = checked.show(max(found, 0.0))
            text = f"{zone.name}: the nearest {part}, of mark {nearest.n}, stays {stays} out of it."
        result: Result = "fail" if found < -SAME_MM else "pass"
        findings.append(Finding("clear zone", result, text, "the plan", None, nearest.n, found, 0.0, "least"))
    return findings


def _beside(checked: Checked, mark: Mark) -> str:
    """What to do for a mark that the row's own spacing does not place."""
    is_beside = mark.n > len(checked.placement.marks)
    return "; it stands beside the row: move the zone, the row, or its own place" if is_beside else ""


def _room_at(checked: Checked, mark: Mark, zone: PlacedZone) -> float:
    return checked.placement.fastener_of(mark.n).rim_mm if zone.room == "rim" else 0.0


def _near_zone(checked: Checked, zone: PlacedZone) -> list[tuple[float, Mark]]:
    """How far the marks that may be nearest to a zone stay out of it, in their order.

    A mark that even a box round the zone is further from than the nearest one found is not looked at: with many zones
    and many closures each zone has few that may be nearest.
    """
    line = checked.placement.laps.line
    points = [
        line.point_at(low + (high - low) * i / _ZONE_SAMPLES)
        for low, high in (zone.stretches_mm if zone.level_mm is None else ())
        for i in range(_ZONE_SAMPLES + 1)
    ]
    marks = checked.placement.all_marks
    rooms = [_room_at(checked, mark, zone) for mark in marks]
    box = [(min(axis), max(axis)) for axis in zip(*points, strict=True)]
    in_row = len(checked.placement.marks) if box else 0
    least = [
        (_to_box(mark, box) if k < in_row else _to_zone(checked, mark, zone, points)) - rooms[k]
        for k, mark in enumerate(marks)
    ]
    found: dict[int, float] = {}
    best = math.inf
    for k in sorted(range(len(marks)), key=least.__getitem__):
        if least[k] > best + SAME_MM:
            break
        found[k] = _to_zone(checked, marks[k], zone, points) - rooms[k]
        best = min(best, found[k])
    return [(found[k], marks[k]) for k in sorted(found)]


@frozen
class _Reach:
    """From where to where the buttonhole of a mark reaches: in levels, and along the line (none if across)."""

    mark: Mark
    levels_mm: tuple[float, float]
    along_mm: tuple[float, float]


def _reaches(checked: Checked) -> list[_Reach]:
    slits = {n: slit for (_, n), slit in slits_of(checked.placement, checked.catalogue).items()}
    reaches = []
    for mark in checked.placement.all_marks:
        if mark.n in slits:
            (_, one), (_, other) = slits[mark.n].ends_mm
            before, after = (
                (math.hypot(*end) for end in slits[mark.n].ends_mm) if slits[mark.n].way == "along" else (0.0, 0.0)
            )
            levels = (mark.level_mm + min(one, other), mark.level_mm + max(one, other))
            reaches.append(_Reach(mark, levels, (mark.along_mm - before, mark.along_mm + after)))
    return reaches


def _slits_near(zone: PlacedZone, slits: Sequence[_Reach]) -> Iterator[tuple[float, Mark]]:
    """How far each buttonhole stays out of a zone, negative by as much as it reaches into it."""
    spans = zone.stretches_mm if zone.level_mm is None else (zone.level_mm,)
    for slit in slits:
        from_mm, to_mm = slit.along_mm if zone.level_mm is None else slit.levels_mm
        yield min(max(low - to_mm, from_mm - high) for low, high in spans), slit.mark


def _to_box(mark: Mark, box: Sequence[tuple[float, float]]) -> float:
    (left, right), (top, bottom) = box
    return math.hypot(max(left - mark.x_mm, mark.x_mm - right, 0.0), max(top - mark.y_mm, mark.y_mm - bottom, 0.0))


def _to_zone(checked: Checked, mark: Mark, zone: PlacedZone, points: Sequence[Point]) -> float:
    """Straight from a centre to the zone: to its levels where it has levels, else to the points along its stretches.

    Negative by as much as a centre lies in a zone that keeps centres out; of one that keeps rims out it is 0 there.
    """
    spans = zone.stretches_mm if zone.level_mm is None else (zone.level_mm,)
    place = mark.along_mm if zone.level_mm is None else mark.level_mm
    depth = min(max(low - place, place - high) for low, high in spans)
    if zone.level_mm is not None or mark.n > len(checked.placement.marks) or depth < 0.0:
        # Beside the row it lies far from the row's line: what counts is how far along its own it is.
        return depth if zone.room == "centre" else max(depth, 0.0)
    centre = (mark.x_mm, mark.y_mm)
    return min(math.dist(centre, point) for point in points)


def _below_neck(checked: Checked, mark: Mark) -> tuple[float, str]:
    """How far below a neck the first button sits, since a collar or a binding is sewn on there; 0 of other closures."""
    fastener = checked.placement.fastener_of(mark.n)
    if fastener.mark.buttonhole_lap is None or checked.placement.plan.stand is not None:
        return 0.0, ""
    return fastener.cap_mm + checked.limit_mm("first buttonhole extra"), checked.source("first buttonhole extra")


def _above_hem(checked: Checked, mark: Mark, found_mm: float, end: str) -> str:
    """What one text leaves below the last buttonhole above a hem, where it is more than is left here."""
    gaps_mm = checked.placement.spacing.gaps_mm
    has_hole = checked.placement.fastener_of(mark.n).mark.buttonhole_lap is not None
    if end != "hem" or not has_hole or not gaps_mm or checked.placement.plan.gauge is not None:
        return ""
    gaps, source = checked.limit_mm("last buttonhole intervals"), checked.source("last buttonhole intervals")
    asked_mm = gaps * sum(gaps_mm) / len(gaps_mm)
    if found_mm >= asked_mm - SAME_MM:
        return ""
    return (
        f" One text leaves at least {gaps:g} gaps below the last buttonhole, here {checked.show(asked_mm)} ({source})."
    )


def _begins_at_end(checked: Checked, mark: Mark) -> bool:
    """Whether a closure holds the end itself: nothing lies behind edges that meet, and they part beyond it."""
    family = checked.placement.fastener_of(mark.n).family
    return family == "loop" or (family == "hook" and checked.placement.laps.garment.is_meeting)


def _end_of_meeting(checked: Checked, name: str, mark: Mark, found: float, end: str) -> Finding:
    """Where edges meet, closures begin right at the end: what hangs past it fails, and above one far in they part."""
    rim_mm, most_mm = checked.placement.fastener_of(mark.n).rim_mm, checked.limit_mm("first loop at most")
    text, source = f"The {name} centre lies {checked.show(found)} from the {end}", checked.source("first loop at most")
    what, part = ("Loops", "its button") if checked.placement.fastener_of(mark.n).family == "loop" else ("Hooks", "it")
    foot_mm = foot_beyond_mm(checked, name)
    if found < foot_mm - SAME_MM and foot_mm > rim_mm:
        text += foot_past_end(checked, name, found, foot_mm)
        return Finding("end distance", "fail", text, "geometry", None, mark.n, found, foot_mm, "least")
    if found < rim_mm - SAME_MM:
        text += f", and {part} hangs {checked.show(rim_mm - found)} past it. Move it in."
        return Finding("end distance", "fail", text, "geometry", None, mark.n, found, rim_mm, "least")
    tape = checked.placement.plan.tape
    # A tape is cut half way between two closures, and each end of it stands so far past the last of them.
    half_mm = 0.0 if tape is None else tape.pitch_mm / 2
    least_mm = max(rim_mm, foot_mm, half_mm)
    if name == "first" and found > least_mm + most_mm + SAME_MM:
        begin = checked.show_up(checked.told_from_end(name, least_mm))
        text += f": the edges may part above it. {what} begin right at the {end}, here from {begin} on"
        text += ", half of the tape's pitch." if half_mm and least_mm == half_mm else "."
        return Finding("end distance", "warn", text, source, None, mark.n, found, least_mm + most_mm, "most")
    text += f"; where edges meet, {what.lower()} begin and end right there."
    return Finding("end distance", "pass", text, source, None, mark.n, found, least_mm, "least")


def check_end_distance(checked: Checked) -> list[Finding]:
    """Do the first and the last closure keep away from the finished ends?"""
    marks, length = checked.placement.marks, checked.placement.laps.line.length_mm
    findings = []
    first, last = checked.placement.ends
    ends: tuple[tuple[End, Mark, float, str], ...] = (
        ("first", marks[0], marks[0].along_mm, first),
        ("last", marks[-1], length - marks[-1].along_mm, last),
    )
    for name, mark, found, end in ends:
        rim_mm = checked.placement.fastener_of(mark.n).rim_mm
        if _begins_at_end(checked, mark):
            findings.append(_end_of_meeting(checked, name, mark, found, end))
            continue
        # The flange of a large part wants the same cloth beyond it here as at the long edge.
        wanted = [(rim_mm + checked.limit_mm("edge fail extra"), checked.source("edge fail extra"))]
        if checked.placement.fastener_of(mark.n).family != "hook":
            # A hook holds the end itself shut, as at a waist, and lies as near it as its wire lets it.
            wanted.append((checked.limit_mm("ends least"), checked.source("ends least")))
        if name == "first" and end == "neck":
            wanted.append(_below_neck(checked, mark))
        usual, source = max(wanted)
        if len(marks) == 1 and length < 2 * usual:
            # So short an edge leaves its one closure no more at both ends.
            usual, source = rim_mm + checked.limit_mm("edge fail extra"), checked.source("edge fail extra")
        far = (far_below if name == "first" else far_above)(checked, found, usual)
        if far is not None:
            findings.append(far)
            continue
        limits = Limits(usual, rim_mm, source, "geometry")
        result, limit, why = limits.judge(found)
        text = f"The {name} centre lies {checked.show(found)} from the {end}"
        if result == "fail":
            text += f", and its rim hangs {checked.show(rim_mm - found)} past it. Move it in."
        else:
            spacing = checked.placement.plan.spacing
            told = None if spacing is None else spacing.first if name == "first" else spacing.last
            # Within a range it is this program that chose the place.
            is_chosen = told is not None and told.low_mm < limit <= told.high_mm
            move = (
                f" Let {name} under [spacing] begin at {checked.show_up(checked.told_from_end(name, limit))}."
                if is_chosen
                else " Move it in."
            )
            if checked.placement.plan.tape is not None:
                move = f" {further_from_end(checked, name, limit)}"
            text += f"; at least {checked.show(limit)} is usual." + (move if result == "warn" else "")
            if name == "last" and result == "pass":
                text += _above_hem(checked, mark, found, end)
        findings.append(Finding("end distance", result, text, why, None, mark.n, found, limit, "least"))
    return [*findings, *filter(None, (hidden_beyond_row(checked),)), *ends_beside(checked)]
