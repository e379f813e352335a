"""Read a finished set back and hold it against what was promised; what is wrong with it comes out in words.

The sheets are measured as drawn: where each mark lies, how far along the drawn closing line, how far from the next.
The report must say the same, and every hard rule must hold on what was measured.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import chain, pairwise
from typing import Any

from closures.cores import all_done
from closures.verifying.edges import faults_of_edge
from closures.verifying.measured import ALONG_MM, Measured, Point, measured
from closures.verifying.nests import faults_of_nest
from closures.verifying.pages import Wanted, faults_of_pages
from closures.verifying.promises import AnchorPromised, Promises, SlitPromised, ZonePromised, with_touching
from closures.verifying.sheet_read import SheetRead, read_sheet
from closures.verifying.slits import faults_of_bars
from closures.verifying.stands import faults_of_stand, lies_aside, with_stands_line
from closures.verifying.steps import faults_of_rows, faults_of_steps

POSITION_MM = 0.002
"""How far a mark on a sheet may lie from what the report says: the promise for sheets."""
SLIT_MM = 0.05
"""How far an end of a buttonhole may lie from where it must."""
_SQUARES = {"square-50-mm": 50.0, "square-2-in": 50.8}
_SIDE = re.compile(r"WEARER'S ([^<>]+), (?:OVER|UNDER) END")
"""How the sheets of a pair say which of the two they are for."""


class UnsoundError(Exception):
    """A finished result that does not keep what it must; it is never written.

    Args:
        faults: what is wrong, one sentence each.
    """

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


def require_sound(files: Mapping[str, bytes], promises: Promises | None) -> None:
    """Refuse a finished set that does not keep what it must.

    Args:
        files: name to content; one of them the report. Pages among them are read as well.
        promises: of the row and its buttonholes; None where only what is drawn is compared with the report.

    Raises:
        UnsoundError: something in it is wrong.
    """

    def faults(report: Mapping[str, Any]) -> Iterator[str]:
        yield from faults_of(report, files, promises)
        yield from _faults_of_file(files, "marking.pdf", report, _wanted(report, files))

    _require(files, faults)


def require_sound_sizes(files: Mapping[str, bytes], promises: Mapping[str, Promises | None], cores: int = 1) -> None:
    """The same of a set of several sizes, each with its own promises by its name, on as many cores as are told.

    Raises:
        UnsoundError: something in it is wrong.
    """

    def faults(report: Mapping[str, Any]) -> Iterator[str]:
        told = [own for size in promises for own in report["sizes"] if own["size"] == size]
        if [own["size"] for own in told] != [*promises]:
            yield "report.json: it does not tell every size once"

        def of_all() -> list[str]:
            nested = [replace(one, size=own["size"]) for own in told for one in _wanted(own, files)]
            return list(_faults_of_file(files, "marking.pdf", report, nested))

        def of_size(own: Mapping[str, Any]) -> list[str]:
            pages = re.sub(r"^over-(.*)\.svg$", r"marking-\1.pdf", own["sheets"][0]["file"])
            found = faults_of(own, files, promises[own["size"]])
            return [*found, *_faults_of_file(files, pages, report, _wanted(own, files))]

        jobs: list[Callable[[], list[str]]] = [of_all, *(partial(of_size, own) for own in told)]
        together, *each = all_done(jobs, cores)
        yield from chain(*each, together)
        for nest in report["nest"]:
            yield from (f"{nest['file']}: {fault}" for fault in faults_of_nest(files[nest["file"]], nest, told))

    _require(files, faults)


def require_sound_garment(files: Mapping[str, bytes], openings: Mapping[str, str]) -> None:
    """Refuse the pages of a garment that do not show what the sheets of its openings show, which were read already.

    Args:
        files: name to content.
        openings: the name of each opening, and what the names of its files begin with.

    Raises:
        UnsoundError: something in them is wrong.
    """

    def faults(report: Mapping[str, Any]) -> Iterator[str]:
        wanted: list[Wanted] = []
        for name, start in openings.items():
            own = json.loads(files[f"{start}report.json"])
            laps = _wanted(own, files)
            wanted += [replace(one, opening=", ".join(filter(None, (name, one.opening)))) for one in laps]
        yield from _faults_of_file(files, "marking.pdf", report, wanted)

    _require(files, faults)


def _require(files: Mapping[str, bytes], faults_in: Callable[[Mapping[str, Any]], Iterator[str]]) -> None:
    try:
        faults = tuple(faults_in(json.loads(files["report.json"])))
    except (ValueError, KeyError, TypeError, IndexError) as error:
        faults = (f"it cannot be read back: {error!r}",)
    if faults:
        raise UnsoundError(faults)


def _wanted(report: Mapping[str, Any], files: Mapping[str, bytes]) -> list[Wanted]:
    """The laps of a report with their finished sheets."""
    found = []
    for told in report["sheets"]:
        if told["lap"] in ("over", "under"):
            svg = files[told["file"]]
            side = _SIDE.search(svg.decode())
            found.append(Wanted("" if side is None else side[1], told["lap"], "", read_sheet(svg)))
    return found


def _faults_of_file(
    files: Mapping[str, bytes], name: str, report: Mapping[str, Any], wanted: Sequence[Wanted]
) -> Iterator[str]:
    if name in files:
        told = report.get("print_correction", {"across": 1.0, "down": 1.0})
        for fault in faults_of_pages(files[name], wanted, (told["across"], told["down"])):
            yield f"{name}: {fault}"


def faults_of(report: Mapping[str, Any], files: Mapping[str, bytes], promises: Promises | None) -> Iterator[str]:
    """Say what is wrong with the sheets of one report, one sentence each."""
    on_edge = not {"belt", "row"} & set(report)
    for told in report["sheets"]:
        name = told["file"]
        try:
            sheet = read_sheet(files[name])
        except (ValueError, KeyError) as error:
            yield f"{name}: {error}"
            continue
        yield from (f"{name}: {fault}" for fault in _faults_of_sheet(sheet, told))
        lap = told["lap"]
        if lap not in ("over", "under"):
            continue
        wrong = list(_faults_of_marks(sheet, told, report, lap, promises))
        yield from (f"{name}: {fault}" for fault in wrong)
        if promises is not None and not wrong:
            yield from (f"{name}: {fault}" for fault in _faults_of_slits(sheet, told, lap, promises))
            yield from (f"{name}: {fault}" for fault in _faults_of_reaches(sheet, told, lap, promises))
            yield from (f"{name}: {fault}" for fault in faults_of_stand(sheet, lap, promises))
        if not wrong:
            yield from (f"{name}: {fault}" for fault in faults_of_edge(sheet, report, lap, promises))
        if on_edge and not wrong and (lap == "over" or not _has_own_line(report, lap, promises)):
            yield from (f"{name}: {fault}" for fault in _faults_of_row(sheet, report, lap, promises))


def _faults_of_sheet(sheet: SheetRead, told: Mapping[str, Any]) -> Iterator[str]:
    if math.dist(sheet.size_mm, told["size_mm"]) > POSITION_MM or math.dist(sheet.units_mm, (1.0, 1.0)) > 1e-9:
        yield f"its size is {sheet.size_mm} with units of {sheet.units_mm} mm, and the report says {told['size_mm']}"
    for square, side in _SQUARES.items():
        width, height = sheet.squares_mm.get(square, (0.0, 0.0))
        if abs(width - side) > POSITION_MM or abs(height - side) > POSITION_MM:
            yield f"{square} measures {width:.4f} by {height:.4f} mm"


def _has_own_line(report: Mapping[str, Any], lap: str, promises: Promises | None) -> bool:
    """Whether a lap is marked on a line of its own: its marks do not lie where those of the closed garment do."""
    return any(
        math.dist(
            (mark[lap].get("x_mm", mark["x_mm"]), mark[lap].get("y_mm", mark["y_mm"])), (mark["x_mm"], mark["y_mm"])
        )
        > POSITION_MM
        for mark in report["marks"][lies_aside(promises, lap) :]
        if mark[lap] is not None
    )


def _place_of(mark: Mapping[str, Any], lap: str, told: Mapping[str, Any]) -> Point:
    own = {**mark, **{key: value for key, value in mark[lap].items() if key in ("x_mm", "y_mm")}}
    (ox, oy), sign = told["origin_mm"], -1.0 if told["flipped"] else 1.0
    return (ox + sign * own["x_mm"], oy + own["y_mm"])


def _faults_of_marks(
    sheet: SheetRead, told: Mapping[str, Any], report: Mapping[str, Any], lap: str, promises: Promises | None
) -> Iterator[str]:
    """Each mark of the report stands on the sheet, where it says, and no other."""
    every = (*report["marks"], *report.get("beside", ()))
    wanted = {(lap, mark["n"]): _place_of(mark, lap, told) for mark in every if mark[lap] is not None}
    if set(wanted) != set(sheet.marks):
        yield f"it has the marks {sorted(sheet.marks)}, and the report tells {sorted(wanted)}"
        return
    for (_, n), place in wanted.items():
        off = math.dist(place, sheet.marks[lap, n])
        if not off <= POSITION_MM:
            yield f"mark {n} lies {off:.4f} mm from where the report says"
    # Of a stand's own line the straight distance is that of the over lap.
    from_n = int(lap == "under" and lies_aside(promises, lap))
    for one, other in pairwise(report["marks"][from_n:]):
        if (lap, one["n"]) in wanted and (lap, other["n"]) in wanted and not _has_own_line(report, lap, promises):
            straight = math.dist(sheet.marks[lap, one["n"]], sheet.marks[lap, other["n"]])
            if not abs(straight - one["straight_to_next_mm"]) <= 2 * POSITION_MM:
                yield f"from mark {one['n']} to the next it is {straight:.4f} mm, not {one['straight_to_next_mm']}"


def _faults_of_slits(sheet: SheetRead, told: Mapping[str, Any], lap: str, promises: Promises) -> Iterator[str]:
    """Each buttonhole stands at its mark, as long as it must be, and runs its way."""
    sign = -1.0 if told["flipped"] else 1.0
    for (own, n), centre in sheet.marks.items():
        if own != lap:
            continue
        wanted, drawn = promises.slits.get((lap, n)), sheet.slits.get((lap, n), ())
        if len(drawn) != (wanted is not None):
            yield f"mark {n} has {len(drawn)} buttonholes drawn, and needs {int(wanted is not None)}"
        elif wanted is not None:
            wrong = list(_faults_of_slit(n, centre, drawn[0], wanted, sign))
            yield from wrong or faults_of_bars(n, drawn[0], sheet.bars.get((lap, n), ()))


def _faults_of_slit(
    n: int, centre: Point, drawn: tuple[Point, Point], wanted: SlitPromised, sign: float
) -> Iterator[str]:
    ends = [(centre[0] + sign * x, centre[1] + y) for x, y in wanted.ends_mm]
    # Which of its ends a stroke begins at says nothing.
    off = min(max(math.dist(one, other) for one, other in zip(ends, way, strict=True)) for way in (drawn, drawn[::-1]))
    if not off <= SLIT_MM:
        yield (
            f"the buttonhole of mark {n} is drawn {math.dist(*drawn):.3f} mm long, an end {off:.3f} mm from where it "
            f"belongs; it runs {wanted.way} the line, {math.dist(*ends):.3f} mm long"
        )


def _faults_of_reaches(sheet: SheetRead, told: Mapping[str, Any], lap: str, promises: Promises) -> Iterator[str]:
    """Each hook, eye, bar and loop lies the way it must, as far from its mark as it must."""
    sign = -1.0 if told["flipped"] else 1.0
    for (own, n), wanted in promises.reaches.items():
        if own != lap or (lap, n) not in sheet.marks:
            continue
        (x, y), (wx, wy) = sheet.marks[lap, n], wanted.way
        drawn = [sign * (px - x) * wx + (py - y) * wy for px, py in sheet.parts.get((lap, n), ())]
        aside = [sign * (px - x) * -wy + (py - y) * wx for px, py in sheet.parts.get((lap, n), ())]
        if not drawn:
            yield f"the part of mark {n} is not drawn"
        elif wanted.reach_mm is not None and not abs(max(drawn) - wanted.reach_mm) <= SLIT_MM:
            yield f"the part of mark {n} reaches {max(drawn):.3f} mm its way, and must {wanted.reach_mm:.3f} mm"
        elif not max(drawn) >= -min(drawn) - SLIT_MM:
            yield f"the part of mark {n} reaches the wrong way"
        elif not abs(max(aside) + min(aside)) <= 2 * SLIT_MM:
            yield f"the part of mark {n} lies askew"


def _faults_of_row(sheet: SheetRead, report: Mapping[str, Any], lap: str, promises: Promises | None) -> Iterator[str]:
    centres = [sheet.marks[lap, mark["n"]] for mark in report["marks"]]
    if promises is not None and promises.worn is not None and promises.worn.stand and lies_aside(promises, lap):
        line, centres = with_stands_line(sheet, centres, promises.worn.stand[0])
    else:
        line = _line_through(sheet, centres, report["closing_line"]["length_mm"])
    if line is None:
        yield "no line is drawn on which all marks lie"
        return
    along = [line.place_of(centre)[0] for centre in centres]
    for mark, found in zip(report["marks"], along, strict=True):
        if not abs(found - mark["along_mm"]) <= ALONG_MM:
            yield f"mark {mark['n']} lies {found:.3f} mm along the drawn line, and the report says {mark['along_mm']}"
    if promises is not None:
        zero = centres[0][1] - report["marks"][0]["level_mm"]
        if promises.worn is not None:
            drawn = sheet.parts.get((lap, report["marks"][0]["n"]), ())
            line, along = promises.worn.worn(line, centres, lap, drawn)
            zero *= promises.worn.along
        yield from faults_of_places(along, line, zero, promises)
        if promises.steps is not None:
            yield from faults_of_steps(along, line, zero, promises.steps)
            if lap == "over":
                yield from faults_of_rows(along, line, sheet.edges, promises.steps)
        row = {
            (lap, n): slit
            for mark in report["marks"]
            if (wanted := promises.slits.get((lap, n := mark["n"]))) is not None and wanted.way == "along"
            for slit in sheet.slits.get((lap, n), ())
        }
        for zone in promises.zones:
            if zone.keeps_slits:
                yield from _faults_of_slits_in_zone(row, line, zero, zone)


def _faults_of_slits_in_zone(
    slits: Mapping[tuple[str, int], tuple[Point, Point]], line: Measured, zero: float, zone: ZonePromised
) -> Iterator[str]:
    """A buttonhole along the line is cut out of the cloth of a zone no more than a rim is set into it."""
    for (_, n), ends in slits.items():
        if zone.level_mm is not None:
            reach = sorted(y - zero for _, y in ends)
            low, high = zone.level_mm
        elif zone.along_mm is not None:
            reach = sorted(line.place_of(end)[0] for end in ends)
            low, high = max(zone.along_mm[0], 0.0), min(zone.along_mm[1], line.length_mm)
        else:
            continue
        within = min(reach[1], high) - max(reach[0], low)
        if not within <= SLIT_MM:
            yield f"the buttonhole of mark {n} reaches {within:.3f} mm into {zone.name!r}"


def _line_through(sheet: SheetRead, centres: list[Point], length_mm: float) -> Measured | None:
    """The line drawn on the cloth on which every centre lies, from the first mark's end to the last's."""
    drawn = [measured(points) for points in sheet.lines if len(points) >= 2]
    # The end of a band crosses the line at its end, where a single mark may lie, and may be longer than the line.
    for line in sorted(drawn, key=lambda one: abs(one.length_mm - length_mm)):
        if all(line.place_of(centre)[1] <= 2 * POSITION_MM for centre in centres):
            backwards = line.place_of(centres[0])[0] > line.place_of(centres[-1])[0]
            return measured(line.points[::-1]) if backwards else line
    return None


def faults_of_places(along: list[float], line: Measured, zero: float, promises: Promises) -> Iterator[str]:
    """Hold places on a line against every hard rule.

    Args:
        along: of each closure, ascending.
        line: the closing line.
        zero: the y from which levels count.
        promises: what they must keep.

    Returns:
        What is wrong, one sentence each.
    """
    if promises.count is not None and len(along) != promises.count:
        yield f"there are {len(along)} closures, and {promises.count} were asked for"
    first, last = along[0], line.length_mm - along[-1]
    for name, found, (low, high) in (("first", first, promises.first_mm), ("last", last, promises.last_mm)):
        if not low - ALONG_MM <= found <= high + ALONG_MM:
            yield f"the {name} closure lies {found:.3f} mm from its end, and {low:.3f} to {high:.3f} mm was asked for"
    low, high = promises.closest_mm, promises.widest_mm
    for n, gap in enumerate((b - a for a, b in pairwise(along)), 1):
        if not low - ALONG_MM <= gap <= high + ALONG_MM:
            yield f"the gap after mark {n} is {gap:.3f} mm, and {low:.3f} to {high:.3f} mm was asked for"
    for anchor in promises.anchors:
        yield from _faults_at_anchor(along, line, zero, anchor)
    for zone in with_touching(promises.zones):
        yield from _faults_in_zone(along, line, zero, zone)


def _faults_at_anchor(along: list[float], line: Measured, zero: float, anchor: AnchorPromised) -> Iterator[str]:
    places = (anchor.along_mm,) if anchor.along_mm is not None else line.at_level(zero + (anchor.level_mm or 0.0))
    off = min((abs(place - at) for place in places for at in along), default=math.inf)
    if not off <= anchor.within_mm + ALONG_MM:
        yield f"the nearest closure to {anchor.name!r} lies {off:.3f} mm from it, and may by {anchor.within_mm:.3f} mm"


def _faults_in_zone(along: list[float], line: Measured, zero: float, zone: ZonePromised) -> Iterator[str]:
    for n, at in enumerate(along, 1):
        point = line.at(at)
        if zone.level_mm is not None:
            low, high = zone.level_mm
            clear = max(low - (point[1] - zero), (point[1] - zero) - high)
        elif zone.along_mm is not None:
            low, high = max(zone.along_mm[0], 0.0), min(zone.along_mm[1], line.length_mm)
            if low >= high:
                continue
            if low < at < high:
                clear = -min(at - low, high - at)
            else:
                clear = math.dist(point, line.at(low if at <= low else high))
        else:
            continue
        room = zone.own_mm.get(n, zone.room_mm)
        if not clear >= room - ALONG_MM:
            yield f"mark {n} lies {clear:.3f} mm from {zone.name!r}, which keeps {room:.3f} mm clear"
