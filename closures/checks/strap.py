"""Rules on the ends of a strap, where a closure has a tip before it and a long side to either hand.

Terms: the *rim* is the outer boundary of the largest part; the *tip* the finished end. Limits that
the plan itself gives, from rim to rim and from rim to edge, stand in place of the usual ones.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.checked import Checked, Limits, first_least, judge_least
from closures.checks.finding import Finding, Result
from closures.checks.place import edge_limits, marked_part, rule_of_room
from closures.checks.usual import is_far, usual_mm
from closures.lengths import SAME_MM
from closures.placing.buttonhole import buttonhole_for
from closures.placing.strap.buttons_between import buttoned_end, buttons_between
from closures.said import for_author, to_both
from closures.series import how_many, in_a_row

if TYPE_CHECKING:
    from collections.abc import Callable

    from closures.catalogue.values import LapName
    from closures.placing.placement import LapMark, Mark
    from closures.placing.strap.values import Strap

    _Say = Callable[[Result, float, float], str]


def check_strap_edges(checked: Checked, strap: Strap) -> list[Finding]:
    """Is there cloth enough between each rim and the tip, and between each rim and the long sides?"""
    own = strap.rim_to_edge_mm
    limits = edge_limits(checked)
    if own is not None:
        limits = Limits(checked.rim_mm + own, checked.rim_mm + own, "the plan", "the plan")
    findings = []
    for lap, marks in checked.on_laps():
        ends = [(mark.n, on_lap.to_end_mm) for mark, on_lap in marks if on_lap.to_end_mm is not None]
        sides = [(mark.n, on_lap.to_side_mm) for mark, on_lap in marks if on_lap.to_side_mm is not None]
        for where, found, mend in (
            ("finished tip", ends, "Move it inwards or take a smaller size."),
            ("long side", sides, "Move it towards the middle, widen the strap or take a smaller size."),
        ):
            findings += judge_least("edge distance", lap.name, found, limits, _say_edge(checked, where, mend, lap.name))
    return findings


def _say_edge(checked: Checked, where: str, mend: str, lap: LapName) -> _Say:
    part = marked_part(checked, lap)
    of = part[0].lower() + part[1:]

    def say(result: Result, found: float, limit: float) -> str:
        if found < 0:
            return f"{part} lies {checked.show(-found)} beyond the {where}, off the cloth. {mend}"
        rim = found - checked.rim_mm
        lies = f"From {of} to the {where} {checked.show(found)}"
        if of == "the centre":
            lies += f", from the rim {checked.show(max(rim, 0.0))}"
        if result == "pass":
            return f"{lies}; at least {checked.show(limit)} from {of} is wanted."
        much = "less than a fastener of this size can hold in" if result == "fail" else "less than is usual"
        return f"{lies}: {much} ({checked.show(limit)} from {of}). {mend}"

    return say


def check_strap_neighbours(checked: Checked, strap: Strap) -> list[Finding]:
    """Is there room between two rims of one end for the tool or the needle, along the strap and across it?"""
    rule = rule_of_room(checked.fastener, checked.fastener)
    source = checked.source(rule)
    limits = Limits(checked.limit_mm(rule), SAME_MM, source, source)
    if strap.between_rims_mm is not None:
        limits = Limits(strap.between_rims_mm, max(strap.between_rims_mm, SAME_MM), "the plan", "the plan")

    def say(result: Result, found: float, limit: float) -> str:
        if result == "pass":
            return f"At least {checked.show(found)} lies between two rims; {checked.show(limit)} is wanted."
        if found <= SAME_MM:
            over = f" (overlap {checked.show(-found)})" if found < -SAME_MM else ""
            return f"The rim meets that of its nearest neighbour{over}. Move them apart or take a smaller size."
        return (
            f"Only {checked.show_under(found, limit)} lies between this rim and its nearest neighbour's, and "
            f"{checked.show(limit)} is wanted. Move them apart or take a smaller size."
        )

    findings = []
    for lap, marks in checked.on_laps():
        findings += judge_least("neighbour distance", lap.name, _rooms(checked, marks), limits, say)
    return findings


def _rooms(checked: Checked, marks: list[tuple[Mark, LapMark]]) -> list[tuple[int | None, float]]:
    """From each rim to its nearest neighbour's, straight across."""
    centres = [(mark.n, (mark.x_mm, mark.y_mm)) for mark, _ in marks]
    return [
        (n, min(math.dist(centre, other) for m, other in centres if m != n) - 2 * checked.rim_mm)
        for n, centre in centres
        if len(centres) > 1
    ]


def check_strap_tips(checked: Checked, strap: Strap) -> list[Finding]:
    """Does the closure nearest to each tip keep away from it?"""
    if checked.fastener.family == "hook" or strap.rim_to_edge_mm is not None:
        return []
    limit, source = checked.limit_mm("ends least"), checked.source("ends least")
    findings = []
    for lap, marks in checked.on_laps():
        measured = [(on_lap.from_tip_mm, m.n) for m, on_lap in marks if on_lap.from_tip_mm is not None]
        if not measured:
            continue
        found, n = first_least(measured, lambda entry: entry[0])
        short = found < limit - SAME_MM
        text = f"The nearest centre lies {checked.show(found)} from the {lap.name} end's tip"
        more = f" {_further_in(checked, strap, found)}" if short else ""
        text += f"; at least {checked.show(limit)} is usual.{more}"
        result: Result = "warn" if short else "pass"
        findings.append(Finding("end distance", result, text, source, lap.name, n, found, limit, "least"))
    return findings


def _further_in(checked: Checked, strap: Strap, found_mm: float) -> str:
    """What keeps a closure from its tip: in a short overlap, moved in on the one end, it comes nearer the other's."""
    overlap, least = strap.target.overlap_mm, checked.limit_mm("ends least")
    if len(strap.over) == len(strap.under) == 1 and overlap < 2 * least - SAME_MM:
        wanted = max(overlap - found_mm, least) + least
        by = checked.show_up(wanted)
        return f"Let the ends overlap by {by} or more: moved in here, it would lie nearer the other end's tip."
    return "Move it in."


def check_strap_round(checked: Checked, strap: Strap) -> list[Finding]:
    """Is a belt meant for a body? What it goes round may have been told in another unit."""
    belt = checked.placement.plan.belt
    rounds = [] if belt is None else [belt.waist_mm, belt.target_mm, *(size for _, size in belt.sizes)]
    usual = usual_mm(checked.catalogue, "belt")
    far = [one for one in rounds if one is not None and usual is not None and is_far(one, usual)]
    if not far or usual is None:
        return []
    than = "less" if far[0] < usual[0] else "more"
    text = (
        f"{in_a_row([checked.show(one) for one in far])} round is {than} than a belt goes round a body. Look "
        "at the figure and its unit; for what is no body, a strap of its own, it is right as it is."
    )
    return [Finding("round", "warn", to_both(text), "our own rule")]


def check_strap_buttonholes(checked: Checked, strap: Strap) -> list[Finding]:
    """Does the end hold its buttonholes, with cloth beyond them and between them?"""
    hole = buttonhole_for(checked.fastener, checked.placement.plan, checked.catalogue)
    if hole is None:
        return []
    carries = checked.fastener.mark.buttonhole_lap
    least, source = checked.limit_mm("ridge"), checked.source("ridge")
    half = hole.length_mm / 2
    rooms: list[tuple[int | None, float]] = []
    for lap, marks in checked.on_laps():
        if lap.name == carries:
            for mark, on_lap in marks:
                end, side = on_lap.to_end_mm or 0.0, on_lap.to_side_mm or 0.0
                if hole.way == "across":
                    rooms.append((mark.n, end - hole.before_mm))
                else:
                    rooms.append((mark.n, side - max(half, hole.before_mm, hole.after_mm)))

    def say(result: Result, found: float, limit: float) -> str:
        runs = "along the strap, where it takes the pull" if hole.way == "across" else "across the strap"
        text = f"The buttonhole is {checked.show(hole.length_mm)} long and runs {runs}, with {checked.show(found)}"
        if result == "pass":
            return f"{text} beyond it. Cut a trial one first."
        return f"{text} of cloth beyond it; {checked.show(limit)} is wanted. Move it inwards or take a smaller button."

    return judge_least("buttonhole", carries, rooms, Limits(least, 0.0, source, source), say)


def check_buttons_between(checked: Checked, strap: Strap) -> list[Finding]:
    """Does a button lie between the closed ends, where one buttonhole goes over one button of several?"""
    count = buttons_between(checked.placement)
    if not count:
        return []
    end, other = buttoned_end(checked.placement), checked.fastener.mark.buttonhole_lap
    text = (
        f"One buttonhole goes over one of {how_many(count, 'button')}: at every setting but the loosest, those nearer "
        f"the {end} end's tip lie between the closed ends and keep them from lying flat. Take one button on the {end} "
        f"end, and a buttonhole on the {other} end for each setting"
        + for_author(f": in a strap of its own, one place told under {end} and several under {other} in [row]")
        + "."
    )
    return [Finding("buttonhole", "warn", text, "common practice", end)]
