"""Backing: pieces that closures bite into where the cloth alone does not hold.

Terms: a *strip* follows the closing line under the whole row; a *patch* lies under one closure; the
*flange* is the part of a closure that presses on the cloth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.jobs.table.lap_area import Ring, chords, lap_area, ring_of
from closures.lengths import format_mm
from closures.placing.stack import ends_within

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

PAST_FLANGE_MM = 5.0
"""How far a backing reaches past every flange, at least: common practice."""

MADE_SIDE = "against its inner face, since the band is closed; it shows there"
"""Where a backing lies on a band that is sewn already: common practice."""

_SPARE_MM = 0.2
"""Added to that, so that cutting on the line and the chords of curves take nothing from it."""

# Patches are cut for so few closures: common practice.
_FEW = 3
_CIRCLE_QUARTER = 32


@frozen
class BackingPiece:
    """A piece to cut.

    Attributes:
        outline: in mm in the garment's frame; of a patch, round the first mark it is for.
        width_mm: across the closing line; the diameter of a patch.
        marks: the closures that it backs.
        copies: how many to cut.
    """

    outline: Ring
    width_mm: float
    marks: tuple[int, ...]
    copies: int


@frozen
class Backing:
    """What backs one lap.

    Attributes:
        lap: which.
        form: strip or patches.
        reasons: why, in whole sentences.
        pieces: to cut; empty where none fits.
        trouble: why none fits, empty where it does.
        cloth: what it is cut from, None where the plan does not say.
        is_on_facing: its closures are held by the facing alone.
        is_knitted: it lies behind a knitted band, which is one layer.
        is_made: the band is closed already, and nothing can be laid into it.
    """

    lap: LapName
    form: Literal["strip", "patches"]
    reasons: tuple[str, ...]
    pieces: tuple[BackingPiece, ...]
    trouble: str
    cloth: str | None
    is_on_facing: bool = False
    is_knitted: bool = False
    is_made: bool = False

    @property
    def side(self) -> str:
        """On which side it lies."""
        if self.is_on_facing:
            return (
                f"on the inside of the {self.lap} lap: against the wrong side of the facing, which each part goes "
                "through, under the outer cloth"
            )
        if self.is_knitted:
            return f"on the inside of the {self.lap} lap, against the wrong side of the knitted band"
        if self.is_made:
            return f"on the inside of the {self.lap} lap, {MADE_SIDE}"
        return f"on the inside of the {self.lap} lap: against the wrong side of the outer cloth, under the facing"

    @property
    def grain(self) -> str:
        """How it is cut from the cloth."""
        if self.form == "strip":
            return "the way that does not stretch runs along the strip"
        return "the way that does not stretch runs along the closing line"


def back_laps(placement: Placement, findings: Sequence[Finding]) -> tuple[Backing, ...]:
    """Find the backing of either lap.

    Args:
        placement: closures along an edge.
        findings: what the checks say, from which the need for backing is read.

    Returns:
        The backing of each lap that needs it, or of both where the plan wishes for it; none where it does not.
    """
    wish = placement.plan.sheets
    if wish is None or wish.backing is None or placement.strap is not None:
        return ()
    backings, knitted = [], placement.plan.gauge is not None
    for lap in placement.laps.both:
        reasons = _reasons(findings, lap.name)
        marks = placement.on(lap.name)
        if knitted and lap.name == placement.fastener.mark.buttonhole_lap:
            # A buttonhole that is knitted needs nothing to be set in, and a backing would lie over it.
            continue
        if not marks or (wish.backing == "as needed" and not reasons and wish.backing_cloth is None):
            continue
        if not reasons:
            reasons = _without(wish.backing_cloth, marks)
        form = _form(wish.backing, placement, len(marks))
        pieces: tuple[BackingPiece, ...] = ()
        trouble = ""
        try:
            pieces = _cut(placement, lap, marks, form, wish.backing_width_mm)
        except EdgeError as error:
            trouble = str(error)
        within = placement.is_beneath or ends_within(placement.fastener, placement.plan)
        on_facing = lap.name == "over" and within
        is_opened = ends_within(placement.fastener, placement.plan)
        made = is_made(placement.plan) and not is_opened
        told = Backing(lap.name, form, reasons, pieces, trouble, wish.backing_cloth, on_facing, knitted, made)
        backings.append(told)
    return tuple(backings)


def is_made(plan: Plan) -> bool:
    """Whether the bands are closed before a closure is set, as far as the plan tells."""
    return plan.state in ("sewn band", "finished")


def _reasons(findings: Sequence[Finding], lap: LapName) -> tuple[str, ...]:
    told = []
    for finding in findings:
        if finding.lap != lap or finding.result == "pass":
            continue
        found, limit = finding.found_mm, finding.limit_mm
        thin = finding.rule == "layer thickness" and found is not None and limit is not None and found < limit
        if finding.rule == "backing" or (thin and finding.result == "fail"):
            told.append(finding.text)
    return tuple(dict.fromkeys(told))


def _without(cloth: str | None, marks: Sequence[LapMark]) -> tuple[str, ...]:
    """What the closures of a lap would hold in if the backing that is counted in the stack were not there."""
    for mark in marks:
        if cloth is None or mark.stack is None:
            continue
        left = [layer for layer in mark.stack.layers if layer.name != cloth]
        if left and all("knit" in layer.structures for layer in left):
            return ("Without it the closures would hold in knit alone, which stretches out from under them.",)
        if sum(layer.plies for layer in left) <= 1:
            return ("Without it the closures would hold in one layer alone and might tear out.",)
    return ("The plan asks for it.",)


def _form(wish: str, placement: Placement, count: int) -> Literal["strip", "patches"]:
    if wish == "strip":
        return "strip"
    if wish == "patches":
        return "patches"
    # Patches for a few closures that stand far apart; a strip is sooner cut and fused for a row.
    reach = 2 * (placement.rim_mm + PAST_FLANGE_MM)
    return "patches" if count <= _FEW and placement.spacing.smallest_mm > 2 * reach else "strip"


def _cut(
    placement: Placement, lap: Lap, marks: Sequence[LapMark], form: str, width_mm: float | None
) -> tuple[BackingPiece, ...]:
    from shapely.geometry import LineString, Point

    rim = placement.rim_mm
    least = 2 * (rim + PAST_FLANGE_MM + _SPARE_MM)
    width = math.ceil(least) if width_mm is None else width_mm
    if width < least - 1e-9:
        raise EdgeError(
            f"a backing {format_mm(width)} wide does not reach {format_mm(PAST_FLANGE_MM)} past the flange",
            where=in_section("sheets", "backing_width"),
            mend=f"Write {format_mm(math.ceil(least))} or more.",
        )
    area = lap_area(lap)
    if form == "patches":
        first = marks[0]
        for mark in marks:
            patch = Point(mark.at).buffer(width / 2, quad_segs=_CIRCLE_QUARTER)
            if not area.contains(patch):
                _refuse(area, mark, lap, rim, width / 2)
        outline = ring_of(Point(first.at).buffer(width / 2, quad_segs=_CIRCLE_QUARTER))
        return (BackingPiece(outline, width, tuple(mark.n for mark in marks), len(marks)),)
    line = lap.line
    past = width / 2 + 1.0
    start, end = max(0.0, marks[0].along_mm - past), min(line.length_mm, marks[-1].along_mm + past)
    strip = LineString(chords(line.stretch(start, end))).buffer(width / 2, cap_style="flat", join_style="round")
    strip = strip.intersection(area)
    for mark in marks:
        if strip.geom_type != "Polygon" or not covers(strip, mark, rim):
            _refuse(area, mark, lap, rim, rim + PAST_FLANGE_MM)
    return (BackingPiece(ring_of(strip), width, tuple(mark.n for mark in marks), 1),)


def covers(area: Any, mark: LapMark, rim_mm: float) -> bool:
    """Tell whether an area reaches the least distance past a mark's flange on every side."""
    from shapely.geometry import Point

    flange = Point(mark.at).buffer(rim_mm + PAST_FLANGE_MM, quad_segs=_CIRCLE_QUARTER)
    return bool(area.contains(flange))


def _refuse(area: Any, mark: LapMark, lap: Lap, rim_mm: float, reach_mm: float) -> None:
    from shapely.geometry import Point

    room = area.exterior.distance(Point(mark.at))
    raise EdgeError(
        f"at mark {mark.n} the {lap.name} lap reaches {format_mm(max(room - rim_mm, 0.0))} past the flange, and a "
        f"backing needs {format_mm(reach_mm - rim_mm)}",
        where=in_section("sheets", "backing"),
        mend="Take a wider band, a smaller closure, or a first closure further from the end.",
    )
