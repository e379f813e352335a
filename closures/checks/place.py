"""Rules on where a closure sits on its lap: its edge, its neighbours, its band, its buttonhole.

Terms: the *rim* is the outer boundary of the largest part; the *edge distance* runs from the
centre to the nearest point of the lap's finished edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from closures.checks.checked import Checked, Limits, judge_least
from closures.checks.cures import SINGLE, further_in, nearer_to_edge, off_the_band, section_of
from closures.checks.feet import crossing_feet
from closures.checks.finding import Finding, Result, cut_in_words
from closures.checks.rings import rings_off_the_cloth
from closures.lengths import SAME_MM
from closures.placing.buttonhole import Buttonhole, buttonhole_for, cut_lengths
from closures.placing.knitted import KnittedHole, knitted_hole, step_along

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener, LapName
    from closures.curve.line import Point
    from closures.placing.lap import Lap
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


def check_edge_distance(checked: Checked) -> list[Finding]:
    """Is there cloth enough between the centre and the finished edge to hold?"""
    limits = edge_limits(checked)

    def say(lap: Lap, result: Result, found: float, limit: float) -> str:
        distance = checked.show(found) if result == "pass" else checked.show_under(found, limit)
        centre = f"The bow of the eye stands {checked.show(found)} past" if lap.past_edge_mm else None
        lies = f"{centre or f'{marked_part(checked, lap.name)} lies {distance} from'} the finished edge"
        if result == "pass":
            return f"{lies}; at least {checked.show(limit)} is wanted."
        part = "less than a fastener of this size can hold in" if result == "fail" else "less than is usual"
        more = further_in(checked, lap, checked.show_up((limit - found) * checked.told_across))
        if limit + checked.rim_mm > lap.width_mm + SAME_MM and not lap.past_edge_mm:
            more = f"{more.rstrip(',')} and the band with it,"
        # A smaller button draws its loop in by more than it needs less room itself.
        other = "" if checked.fastener.setting == "loop" else " or take a smaller size"
        return f"{lies}, {part}: {checked.show(limit)}. {more.rstrip(',') if not other else more}{other}."

    found = [
        finding
        for lap, marks in checked.on_laps()
        # Loops are sewn to the edge itself.
        if checked.fastener.mark.on(lap.name) != "loop"
        for finding in judge_least(
            "edge distance",
            lap.name,
            [(m.n, on_lap.edge_distance_mm) for m, on_lap in marks],
            limits,
            partial(say, lap),
        )
    ]
    far = _hooks_far_in(checked) + rings_off_the_cloth(checked)
    return [one for one in found if one.result != "pass" or one.lap not in {other.lap for other in far}] + far


def _hooks_far_in(checked: Checked) -> list[Finding]:
    """Does the end of every hook lie near enough to the edge that the edge stays shut? Its mark is that end."""
    if checked.fastener.family != "hook":
        return []
    most, source = checked.limit_mm("hook from edge, older texts"), checked.source("hook from edge, older texts")
    usual = checked.limit_mm("hook from edge")
    far = [
        (lap.name, mark.n, on_lap.edge_distance_mm)
        for lap, marks in checked.on_laps()
        if checked.fastener.mark.on(lap.name) == "hook"
        for mark, on_lap in marks
        if on_lap.edge_distance_mm > most + SAME_MM
    ]
    return [
        Finding(
            "edge distance",
            "warn",
            f"The end of the hook lies {checked.show(found)} inside the edge, which stands open beyond it: "
            f"{checked.show(usual)} is usual and {checked.show(most)} the most in print. "
            f"{nearer_to_edge(checked, lap)}",
            source,
            lap,
            n,
            found,
            most,
            "most",
        )
        for lap, n, found in far
    ]


_MARKED = {"hook": "The end of the hook", "eye": "The bow of the eye", "bar": "The bar"}


def marked_part(checked: Checked, lap: LapName) -> str:
    """What a mark stands for on a lap, to begin a sentence: of a hook its end, of most parts their centre."""
    return _MARKED.get(checked.fastener.mark.on(lap), "The centre")


def edge_limits(checked: Checked) -> Limits:
    """The least distances from a centre to a finished edge."""
    if checked.fastener.family == "hook":
        # A hook is set near its edge on purpose, so that the edges meet.
        least, source = checked.limit_mm("hook from edge"), checked.source("hook from edge")
        return Limits(least, 0.0, source, source)
    return Limits(
        checked.rim_mm + checked.limit_mm("edge warn extra"),
        checked.rim_mm + checked.limit_mm("edge fail extra"),
        checked.source("edge warn extra"),
        checked.source("edge fail extra"),
    )


def check_neighbour_distance(checked: Checked) -> list[Finding]:
    """Is there room between two rims for the tool, measured straight across?"""
    least, source = checked.limit_mm("rim to rim"), checked.source("rim to rim")
    own = {mark.n: checked.placement.fastener_of(mark.n) for mark in checked.placement.all_marks}
    rim_mm = {n: fastener.rim_mm for n, fastener in own.items()}
    rooms: dict[str, list[tuple[int | None, float]]] = {}
    for mark in checked.placement.all_marks:
        if mark.straight_to_next_mm is not None:
            rule = rule_of_room(own[mark.n], own[mark.n + 1])
            room = mark.straight_to_next_mm - rim_mm[mark.n] - rim_mm[mark.n + 1]
            rooms.setdefault(rule, []).append((mark.n, room))

    def say(result: Result, found: float, limit: float) -> str:
        if result == "pass":
            if not any(rim_mm.values()):
                far = f"From one mark to the next it is at least {checked.show(found)}"
                return f"{far}, and how wide each part is was not told; {checked.show(limit)} between them is wanted."
            return f"At least {checked.show(found)} lies between two rims; {checked.show(limit)} is wanted."
        if found <= SAME_MM:
            return f"The rim meets the next one (overlap {checked.show(-found)}). Use fewer or smaller closures."
        what = "the tool" if limit == least else "the needle"
        return (
            f"Only {checked.show_under(found, limit)} lies between this rim and the next, and {what} wants "
            f"{checked.show(limit)}. Use fewer or smaller closures."
        )

    across_mm = checked.limit_mm(rule_of_room(checked.fastener, checked.fastener))
    across = [
        Finding(
            "neighbour distance", "fail" if room <= SAME_MM else "warn", text, source, None, n, room, across_mm, "least"
        )
        for n, room, text in _across_the_cloth(checked, across_mm)
    ]
    across += crossing_feet(checked)
    beside: list[Finding] = []
    for rule, found in rooms.items():
        limits = Limits(checked.limit_mm(rule), SAME_MM, checked.source(rule), checked.source(rule))
        beside += judge_least("neighbour distance", None, found, limits, say)
    if len(rooms) > 1:
        # What passes is told once, of what a tool sets, and not beside what does not pass.
        short = [one for one in beside if one.result != "pass"]
        beside = short or beside[:1]
    return [one for one in beside if one.result != "pass" or not across] + across


def rule_of_room(one: Fastener, other: Fastener) -> str:
    """The rule of the room between two rims: a tool has to reach round what it sets, a needle in between alone.

    How far apart the rims of parts are of which nobody told how wide they are, is not known: those keep the tool's.
    """
    is_known = one.cap_mm and other.cap_mm
    return "rim to rim, sewn" if is_known and one.is_sewn and other.is_sewn else "rim to rim"


def _across_the_cloth(checked: Checked, least_mm: float) -> Iterator[tuple[int, float, str]]:
    """Marks that come near each other though others lie between them: on both sides of a tab or a tongue."""
    marks = checked.placement.marks
    rims = [checked.placement.fastener_of(mark.n).rim_mm for mark in marks]
    for i, k in _pairs_within([(mark.x_mm, mark.y_mm) for mark in marks], least_mm + 2 * max(rims, default=0.0)):
        mark, other = marks[i], marks[k]
        room = math.dist((mark.x_mm, mark.y_mm), (other.x_mm, other.y_mm)) - (rims[i] + rims[k])
        if k >= i + 2 and room < least_mm - SAME_MM:
            lies = f"overlaps it by {checked.show(-room)}" if room <= SAME_MM else f"is {checked.show(room)} away"
            text = (
                f"The line comes back near itself: the rim of mark {other.n} {lies}, and "
                f"{checked.show(least_mm)} is wanted. Keep one of the two sides clear with [[clear]]."
            )
            yield mark.n, room, text


def _pairs_within(places: Sequence[Point], reach_mm: float) -> list[tuple[int, int]]:
    """Every two places that could be so near each other, in order: only those of neighbouring cells are looked at."""
    cells: dict[tuple[int, int], list[int]] = {}
    size = max(reach_mm, 1.0)
    found = []
    for k, (x, y) in enumerate(places):
        column, row = math.floor(x / size), math.floor(y / size)
        for across in (column - 1, column, column + 1):
            for down in (row - 1, row, row + 1):
                found += [(i, k) for i in cells.get((across, down), ())]
        cells.setdefault((column, row), []).append(k)
    return sorted(found)


def check_band_width(checked: Checked) -> list[Finding]:
    """Does the whole flange lie on the band, clear of the line where the band is sewn on?"""
    typed = _unlikely_wide(checked)
    if checked.fastener.family == "hook":
        return typed
    least, source = checked.limit_mm("ridge"), checked.source("ridge")

    def say(lap: Lap, result: Result, found: float, limit: float) -> str:
        if result == "pass":
            return f"{checked.show(found)} of band lies behind the rim; {checked.show(limit)} is wanted."
        if result == "fail":
            past = f"The rim reaches {checked.show(-found)} past the band's inner edge"
            return f"{past}. {off_the_band(checked, lap.name)}."
        return (
            f"Only {checked.show_under(found, limit)} of band lies behind the rim, and {checked.show(limit)} keeps it "
            "off the seam. Widen the band or take a smaller size."
        )

    findings = typed
    for lap, marks in checked.on_laps():
        further = _reaches_further(checked, lap)
        rooms: list[tuple[int | None, float]] = [
            (
                mark.n,
                (
                    lap.width_mm - on_lap.edge_distance_mm
                    if on_lap.inner_distance_mm is None
                    else on_lap.inner_distance_mm
                )
                - checked.rim_mm,
            )
            for mark, on_lap in marks
        ]
        found = judge_least("band width", lap.name, rooms, Limits(least, 0.0, source, source), partial(say, lap))
        findings += [replace(one, text=one.text + further) if one.result == "fail" else one for one in found]
    return findings


def _unlikely_wide(checked: Checked) -> list[Finding]:
    """Tell a band that is as wide as no band is: a cm for a mm makes it so, and the line in its middle with it."""
    _, band, _ = checked.placement.plan.along_an_edge
    column = checked.placement.row.plan.column
    limit = checked.limit_mm("band seldom wider") + (0.0 if column is None else column.apart_mm)
    found: list[Finding] = []
    for lap, wide, key in (
        (checked.placement.laps.over, band.width_mm, "width"),
        (checked.placement.laps.under, band.under_width_mm, "under_width"),
    ):
        told = "width" if band.under_width_mm == band.width_mm else key
        if wide > limit + SAME_MM and not lap.is_piece and not (found and told == "width"):
            text = (
                f"The band is {checked.show(wide)} wide, and bands and facings are seldom wider than "
                f"{checked.show(limit)}: check {told} under [band], and its unit."
            )
            found.append(
                Finding(
                    "band width", "warn", text, checked.source("band seldom wider"), None, None, wide, limit, "most"
                )
            )
    return found


def _reaches_further(checked: Checked, lap: Lap) -> str:
    """What to write where a drawn lap ends before the row because its width was not told, as of a wrap."""
    edge, band, _ = checked.placement.plan.along_an_edge
    if lap.name != "under" or edge.under is None or band.under_width_mm != band.width_mm:
        return ""
    return " If the under lap's cloth reaches further, as a wrap's front does, write how far: under_width under [band]."


def _rooms_along(checked: Checked) -> Iterator[tuple[int | None, float]]:
    """What lies between two buttonholes, or a buttonhole and the rim of another closure, along the line, and at its
    ends; of a share, wherever one of its own takes part."""
    row = checked.placement.row
    if checked.placement.marks[0] not in row.marks:
        # Beside the row, a line of its own.
        row = next(line for line in row.beside if checked.placement.marks[0] in line.marks)
    reach = {mark.n: _reach_along(row.share_of(mark.n), checked) for mark in row.marks}
    own = {mark.n for mark in checked.placement.marks}
    for mark in row.marks:
        if mark.straight_to_next_mm is not None and own & {mark.n, mark.n + 1}:
            yield mark.n, mark.straight_to_next_mm - reach[mark.n][1] - reach[mark.n + 1][0]
    first, last = row.marks[0], row.marks[-1]
    if first.n in own:
        yield first.n, first.along_mm - reach[first.n][0]
    if last.n in own:
        yield last.n, row.laps.line.length_mm - last.along_mm - reach[last.n][1]


_LAST_DIGIT_MM = 1e-6


def _reach_along(share: Placement, checked: Checked) -> tuple[float, float]:
    """How far a closure reaches along the line, before its mark and after it: its buttonhole, else its rim."""
    hole = buttonhole_for(share.fastener, share.plan, checked.catalogue)
    if hole is None:
        return share.fastener.rim_mm, share.fastener.rim_mm
    if hole.way == "across":
        return 0.0, 0.0
    knitted, gauge = _as_knitted(share.plan, hole), share.plan.gauge
    if knitted is None or gauge is None:
        return hole.before_mm, hole.after_mm
    # A knitted hole begins with a whole stitch or row, and so reaches as far after its mark as whole ones take it, in
    # the stitches that the band has over its edge.
    return hole.before_mm, knitted.counts * step_along(gauge, share.laps.line.length_mm) - hole.before_mm


def _as_knitted(plan: Plan, hole: Buttonhole) -> KnittedHole | None:
    """The hole in whole stitches or rows, None where nothing is knitted."""
    return None if plan.gauge is None else knitted_hole(replace(plan.gauge, across=None), hole, 0.0)


def _trial_hole(hole: Buttonhole, checked: Checked) -> str:
    told = []
    if hole.is_bulky:
        told.append(f"{checked.show(checked.limit_mm('buttonhole bulky extra'))} of it are for bulky cloth.")
    if not hole.is_measured:
        thick = checked.show(hole.thickness_mm)
        told.append(f"It reckons with a button {thick} thick, as is usual: measure yours and write its thickness.")
    trial = "Cut a trial one first." if checked.placement.plan.gauge is None else "Knit one in the swatch first."
    return " ".join([*told, trial])


def check_buttonhole(checked: Checked) -> list[Finding]:
    """Does the band hold the buttonhole, with cloth beyond both its ends?"""
    hole = buttonhole_for(checked.fastener, checked.placement.plan, checked.catalogue)
    if hole is None:
        return []
    carries = checked.fastener.mark.buttonhole_lap
    length = f"The buttonhole is {checked.show(hole.length_mm)} long"
    if checked.marked is not None and checked.marked is not checked.placement:
        cuts = cut_lengths((checked.marked,), checked.catalogue)
        if cuts and cuts[0][0] != hole.length_mm:
            each = cut_in_words(cuts, checked.show)
            length = f"The buttonhole is {each} long in the unwashed cloth, to come to "
            length += f"{checked.show(hole.length_mm)} in its first wash"
    source = checked.source("buttonhole past line")
    least = checked.limit_mm("ridge")
    gauge, knitted = checked.placement.plan.gauge, _as_knitted(checked.placement.plan, hole)
    if knitted is not None:
        length = f"The buttonhole is {checked.show(knitted.length_mm)} long, {knitted.in_words}"
    if gauge is not None and knitted is not None and hole.way == "along" and knitted.over == "stitches":
        # A single stitch beside a hole, or between it and the end, tears out; a little less for the last digit.
        two = 2 * step_along(gauge, checked.placement.laps.line.length_mm)
        least, source = max(least, two - _LAST_DIGIT_MM), "common practice: two stitches"
    fails = 0.0
    if gauge is not None and gauge.across is None and hole.way == "across":
        # As where the band is told in rows or stitches: what comes to none of them beside the hole is no band there.
        fails = gauge.across_mm / 2
        least = max(least, fails)
    if hole.way == "along":
        rooms = list(_rooms_along(checked))
        where, mend = "to the next one or the end", "Move the row in, or use fewer or smaller buttons."
        if section_of(checked) == SINGLE:
            mend = f"Move it in, by along or level under {SINGLE}, or take a smaller button."
    else:
        rooms = []
        for lap, marks in checked.on_laps():
            if lap.name != carries:
                continue
            for mark, on_lap in marks:
                behind = on_lap.inner_distance_mm
                inner = lap.width_mm - on_lap.edge_distance_mm if behind is None else behind
                room = min(on_lap.edge_distance_mm - hole.before_mm, inner - hole.after_mm)
                rooms.append((mark.n, room))
        where = "between its end and the edge or seam"
        mend = "Widen the band, turn the buttonhole along the line, or take a smaller button."
        if section_of(checked) == SINGLE:
            mend = f"Write another inset under {SINGLE}, turn the buttonhole along the line, or take a smaller button."

    def say(result: Result, found: float, limit: float) -> str:
        runs = f"{length} ({hole.way} the closing line)"
        if result == "pass":
            return f"{runs}, with {checked.show(found)} {where}. {_trial_hole(hole, checked)}"
        if found < 0:
            return f"{runs}, {checked.show(-found)} more than there is room for {where}. {mend}"
        return f"{runs}, and only {checked.show(found)} is left {where}; {checked.show(limit)} is wanted. {mend}"

    return judge_least("buttonhole", carries, rooms, Limits(least, fails, source, source), say)
