"""A lap's sheet: the drawing, and everything that its pages say of it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.checks.page_words import worst_missed
from closures.drawing.ink.extents import boxes_of_words
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED
from closures.drawing.ink.shapes import Box, Item, Layers, Path, Point, moved
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.whole_sheet import drawing_origin, whole_frame
from closures.drawing.sheets.lap_drawing import draw_lap, extent_of, whole_part
from closures.drawing.sheets.lap_words import strip_rows
from closures.drawing.sheets.marks import RINGED
from closures.drawing.sheets.sheet_text import KeepClear, LapDrawing, Orientation, SheetText
from closures.frozen import frozen
from closures.placing.looped import loop_of
from closures.placing.nothing_set import nothing_set
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from closures.catalogue.values import Fastener, LapName
    from closures.checks.finding import Finding
    from closures.drawing.sheets.subject import Subject
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.band import Face
    from closures.plan.top import Units


@frozen
class Sheet:
    """One lap on one face, 1:1, in mm from the top left corner of its whole sheet.

    Attributes:
        lap, face: which.
        flipped: whether it is turned over: then a point (x, y) of the garment lies at
            (origin x - x, y + origin y), else at (x + origin x, y + origin y).
        origin_mm: see above.
        drawing: the lap.
        edge: its finished edge.
        box: the room that the drawing takes.
        keep_clear: the marks.
        orientations: which way the ends and the edge lie, place by place.
        text: the words.
        size_mm: width and height of the whole sheet.
        stem: what its file is called where that is not the lap alone.
        layers: what of it a reader can show or hide, None where it always shows whole.
    """

    lap: LapName
    face: Face
    flipped: bool
    origin_mm: Point
    drawing: tuple[Item, ...]
    edge: Path
    box: Box
    keep_clear: tuple[KeepClear, ...]
    orientations: tuple[Orientation, ...]
    text: SheetText
    size_mm: tuple[float, float]
    stem: str = ""
    layers: Layers | None = None

    @property
    def name(self) -> str:
        """What the sheet is called among the results: its lap, and the side where it comes in a pair."""
        return self.stem or self.lap

    @property
    def file(self) -> str:
        """The name of its file."""
        return f"{self.name}.svg"

    @property
    def title(self) -> str:
        """The plan's title."""
        return self.text.title

    @property
    def words(self) -> tuple[Box, ...]:
        """The boxes of the lettering on the drawing."""
        return boxes_of_words(self.drawing)


def lap_sheet(subject: Subject, findings: Sequence[Finding] = ()) -> Sheet:
    """Draw the sheet of one lap, whole, as the garment was drawn.

    Args:
        subject: the lap, and how it is drawn.
        findings: what the checks found; failed ones are named on the sheet.
    """
    part = whole_part(subject)
    drawn = draw_lap(subject, subject.view(UNTURNED), part, strip_rows(subject, part, "", ""))
    text = _tell(subject.placement, subject.name, subject.face, findings, subject.swap)
    return set_on_sheet(drawn, subject.name, subject.face, subject.is_flipped, text)


def faces_of_sheets(sheets: Iterable[Sheet]) -> dict[LapName, Face]:
    """Which face of the cloth of either lap lies up on its sheets."""
    return {sheet.lap: sheet.face for sheet in sheets}


def set_on_sheet(drawn: LapDrawing, lap: LapName, face: Face, flipped: bool, text: SheetText, stem: str = "") -> Sheet:
    """Put a drawing where the drawings of whole sheets stand."""
    box = extent_of(drawn)
    left, top = drawing_origin(text)
    dx, dy = (math.ceil((room - low) * 10.0) / 10.0 for room, low in ((left, box[0]), (top, box[1])))
    edge = moved(drawn.edge, dx, dy)
    if not isinstance(edge, Path):
        raise TypeError("an edge is a path")
    orientations = tuple(
        Orientation((one.at[0] + dx, one.at[1] + dy), one.to_first_end, one.to_edge, one.mark)
        for one in drawn.orientations
    )
    placed = (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)
    frame = whole_frame(placed, text, orientations)
    return Sheet(
        lap,
        face,
        flipped,
        (dx, dy),
        tuple(moved(item, dx, dy) for item in drawn.items),
        edge,
        placed,
        tuple(replace(m, x=m.x + dx, y=m.y + dy) for m in drawn.keep_clear),
        orientations,
        text,
        (frame.width_mm, frame.height_mm),
        stem,
    )


def _tell(placement: Placement, lap: LapName, face: Face, findings: Sequence[Finding], swap: Swap | None) -> SheetText:
    fastener, marks, units = placement.fastener, placement.marks, placement.plan.units
    apart = sorted(mark.n for mark in marks if mark.on(lap) and mark.n in placement.sewn_apart)
    count = sum(1 for mark in marks if mark.on(lap)) - len(apart)
    cap = f", {both_ways(fastener.cap_mm, units)[0]} {fastener.cap_way}" if fastener.cap_mm else ""
    closure = f"{fastener.name}{cap} · {count} on this lap"
    stay = sorted(mark.n for mark in marks if mark.on(lap) and mark.n in placement.staying)
    if stay:
        verb = "stays" if len(stay) == 1 else "stay"
        which = "all of which" if count > 1 else "which"
        closure += f", {which} {verb}" if placement.is_all_there else f", of which {numbers_in_words(stay)} {verb}"
    if apart and placement.helper is not None:
        closure += f", and the helper at {numbers_in_words(apart)}, {helper_in_words(placement.helper, units)}"
    if differ := sorted(n for one in placement.differing[1:] for n in one.marks):
        closure += f", but {numbers_in_words(differ)} differ{'s' if len(differ) == 1 else ''}"
    if others := sorted(mark.n for one in placement.beside for mark in one.marks):
        closure += f", and {numbers_in_words(others)} beside them"
    unset = nothing_set(placement)
    return SheetText(
        placement.plan.title,
        closure,
        " — ".join(
            word
            for word in (
                f"{lap.upper()} LAP",
                placement.laps[lap].whose,
                f"{face} face up",
                placement.cloth_state,
                "" if unset is None else unset.strip,
            )
            if word
        ),
        _check_distances(placement, lap),
        failures_in_words(findings, placement.side_word),
        (*signs_on(placement, lap), *_old_signs(swap, lap)),
        ways=(placement.ends[0], "finished edge"),
        run=run_mark(placement),
        grown=type_scale(placement.plan.has_large_letters).grown,
        reasons=failures_in_words(findings, placement.side_word, units),
    )


def helper_in_words(helper: Fastener, units: str) -> str:
    """Name what is sewn on apart from the row, with its size and how wide it is."""
    across = f", {both_ways(helper.cap_mm, units)[0]} across" if helper.cap_mm else ""
    return f"a {helper.name}{across}"


def _check_distances(placement: Placement, lap: LapName) -> tuple[str, ...]:
    marks, units = placement.on(lap), placement.plan.units
    if len(marks) < 2:
        return ()
    first, last = marks[0], marks[-1]
    figures = " / ".join(both_ways(math.dist(first.at, last.at), units))
    return (f"mark {first.n} to mark {last.n}, straight:", figures)


def failures_in_words(findings: Sequence[Finding], side_word: str, units: Units | None = None) -> str:
    """Name the failed checks, each rule and lap once, with the marks that failed; laps that fail alike go together.

    Args:
        findings: of all rules.
        side_word: what lies over or under, a lap or the end of a strap.
        units: to tell by how much each is missed as well; None to name them alone.
    """
    marks: dict[tuple[str, str | None], set[int]] = {}
    failed: dict[tuple[str, str | None], list[Finding]] = {}
    for finding in findings:
        if finding.result == "fail":
            failed.setdefault((finding.rule, finding.lap), []).append(finding)
            at = marks.setdefault((finding.rule, finding.lap), set())
            if finding.mark is not None:
                at.add(finding.mark)
    laps: dict[tuple[str, str, str], list[str]] = {}
    for (rule, lap), numbers in marks.items():
        missed = worst_missed(failed[rule, lap], units) if units else ""
        laps.setdefault((rule, numbers_in_words(sorted(numbers)), missed), []).extend([lap] if lap else [])
    parts = []
    for (rule, named, missed), on in laps.items():
        where = (
            f"{rule}, both {side_word}s" if len(on) > 1 else ", ".join([rule, *(f"{lap} {side_word}" for lap in on)])
        )
        told = f"{where}: {named}" if named else where
        parts.append(f"{told} ({missed})" if missed else told)
    return "; ".join(parts)


_SIGNS_OF_STYLE = {
    "prick": (),
    "hole": ("hole",),
    "stitch points": ("stitch",),
    "button": ("stitch",),
    "shank": ("stitch ring",),
    "buttonhole": ("buttonhole",),
    "two slits": ("slits",),
    "hook": ("stitch ring",),
    "eye": ("stitch ring",),
    "bar": ("stitch",),
    "bore": ("hole",),
    "loop": ("loop",),
}


def signs_of_mark(fastener: Fastener, lap: LapName) -> tuple[str, ...]:
    """Name the signs that the mark of a closure adds to the key; a tape is not sewn on at its hooks and eyes."""
    return () if fastener.is_taped else _SIGNS_OF_STYLE.get(fastener.mark.on(lap), ())


def signs_on(placement: Placement, lap: LapName) -> tuple[str, ...]:
    """Name the signs that a lap's drawing uses, in the order of a key."""
    chosen = placement.laps[lap]
    set_here = [share.fastener for share in placement.shares]
    if placement.helper is not None:
        set_here.append(placement.helper)
    styles = list(dict.fromkeys((one.mark.on(lap), bool(one.cap_mm)) for one in set_here))
    loop = loop_of(placement)
    loop_sign = "loop" if loop is not None and loop.feet_mm else "loop on one foot"
    is_rimmed = any(has_cap and style not in ("hook", "eye", "bar", "loop") for style, has_cap in styles)
    to_make = (
        "mark",
        *(("rim",) if is_rimmed else ()),
        *dict.fromkeys(loop_sign if sign == "loop" else sign for one in set_here for sign in signs_of_mark(one, lap)),
    )
    return (
        "edge",
        *(("inner",) if chosen.inner is not None and not chosen.is_far else ()),
        "line",
        *(() if placement.is_all_there else to_make),
        *(("stays" if placement.fastener.mark.on(lap) in RINGED else "stays, no rim",) if placement.staying else ()),
        *(("anchor",) if placement.anchors else ()),
        *(("clear",) if placement.zones else ()),
    )


def _old_signs(swap: Swap | None, lap: str) -> tuple[str, ...]:
    if swap is None:
        return ()
    from closures.drawing.sheets.old_marks import old_signs

    return old_signs(swap, lap)
