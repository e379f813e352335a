"""Backing: pieces that closures bite into where the cloth alone does not hold.

Terms: a *strip* follows the closing line under the whole row; a *patch* lies under one closure; the
*flange* is the part of a closure that presses on the cloth, the *slit* that of a buttonhole, which a backing
reaches past at both ends; of hooks and eyes it lies under the *rings*, by which alone they are sewn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.jobs.table.backing_side import is_made, lies_on_facing, made_side
from closures.jobs.table.lap_area import SAGITTA_MM, Ring, chords, lap_area, ring_of
from closures.jobs.table.seats import at_rings, refuse_unbacked, ring_mm
from closures.lengths import SAME_MM
from closures.placing.buttonhole import hole_at
from closures.placing.layers_between import is_one_alone
from closures.placing.marked_face import is_sewn_within
from closures.placing.single_layer import single_laps
from closures.placing.stack import ends_within
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.plan.shown import Show

PAST_FLANGE_MM = 5.0
"""How far a backing reaches past every flange, at least: common practice."""


_SPARE_MM = 0.2
"""Added to that, so that cutting on the line and the chords of curves take nothing from it."""

# A patch that has no more room ends so far inside the edge, out of sight on a bend too: our own rule.
_SHORT_OF_EDGE_MM = 1.0

# Patches are cut for so few closures: common practice.
_FEW = 3
_CIRCLE_QUARTER = 32


@frozen
class BackingPiece:
    """A piece to cut.

    Attributes:
        outline: in mm in the garment's frame; of a patch, round the first mark it is for.
        width_mm: across the closing line; the diameter of a patch that is round.
        marks: the closures that it backs.
        copies: how many to cut.
        along_mm: of a patch behind a slit, along the closing line; None of what is round, and of a strip.
    """

    outline: Ring
    width_mm: float
    marks: tuple[int, ...]
    copies: int
    along_mm: float | None = None


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
        is_sewn: they are sewn to what it backs, and go through nothing.
        is_knitted: it lies behind a knitted band, which is one layer.
        made: where it lies on a band that is closed already; empty where the band is open.
        is_single: the plan tells one layer, and so no facing.
    """

    lap: LapName
    form: Literal["strip", "patches"]
    reasons: tuple[str, ...]
    pieces: tuple[BackingPiece, ...]
    trouble: str
    cloth: str | None
    is_on_facing: bool = False
    is_sewn: bool = False
    is_knitted: bool = False
    made: str = ""
    is_single: bool = False

    @property
    def side(self) -> str:
        """On which side it lies."""
        if self.is_on_facing:
            held = "is sewn to" if self.is_sewn else "goes through"
            return (
                f"on the inside of the {self.lap} lap: against the wrong side of the facing, which each part {held}, "
                "under the outer cloth"
            )
        if self.is_knitted:
            return f"on the inside of the {self.lap} lap, against the wrong side of the knitted band"
        if self.made:
            return f"on the inside of the {self.lap} lap, {self.made}"
        if self.is_single:
            return f"on the inside of the {self.lap} lap, against the wrong side of its one layer"
        return f"on the inside of the {self.lap} lap: against the wrong side of the outer cloth, under the facing"

    def size(self, show: Callable[[float], str]) -> str:
        """How large each of its pieces is, in words; there must be one."""
        piece = self.pieces[0]
        if piece.along_mm is not None:
            return f"{show(piece.along_mm)} along the line and {show(piece.width_mm)} across"
        return f"{show(piece.width_mm)} {'across' if self.form == 'patches' else 'wide'}"

    @property
    def grain(self) -> str:
        """How it is cut from the cloth."""
        if self.form == "strip":
            return "the way that does not stretch runs along the strip"
        return "the way that does not stretch runs along the closing line"


@frozen
class _Need:
    """What a backing must take in at one mark.

    Attributes:
        mark: the mark; of a hook or an eye, the middle between its rings.
        slit: its buttonhole on this lap, None where a part lies there.
        ring_mm: the radius of each of its rings; 0 of a part that is held where its mark is.
        along_mm, across_mm: how far a piece reaches from it either way, along the closing line and across it.
        core: what presses or is cut, a shapely point or line.
        least: the area that must lie within the band; a shapely polygon.
        whole: the area that the piece takes in as far as the band goes; the same, or more.
    """

    mark: LapMark
    slit: Buttonhole | None
    along_mm: float
    across_mm: float
    core: Any
    least: Any
    whole: Any
    ring_mm: float = 0.0

    @property
    def past(self) -> str:
        """What a backing reaches past."""
        return "slit" if self.slit is not None else "rings" if self.ring_mm else "flange"

    @property
    def ends_with_band(self) -> bool:
        """Whether it lies so near to an edge by its nature that a backing ends there with the band."""
        return self.ring_mm > 0.0 or (self.slit is not None and self.slit.way == "across")


def back_laps(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue) -> tuple[Backing, ...]:
    """Find the backing of either lap.

    Args:
        placement: closures along an edge.
        findings: what the checks say, from which the need for backing is read.
        catalogue: rules, from which the lengths of buttonholes come.

    Returns:
        The backing of each lap that needs it, or of both where the plan wishes for it; none where it does not.
    """
    wish = placement.plan.sheets
    if wish is None or wish.backing is None or placement.strap is not None or placement.is_all_there:
        return ()
    backings, knitted, show = [], placement.plan.gauge is not None, shown_beside(placement.plan.units)
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
        pieces: tuple[BackingPiece, ...] = ()
        form: Literal["strip", "patches"] = "patches" if wish.backing == "patches" else "strip"
        trouble = ""
        try:
            refuse_unbacked(placement, lap.name)
            held = at_rings(placement, lap.name)
            needs = [
                _need(held, held.laps[lap.name], mark, catalogue, ring_mm(placement, lap.name, mark.n))
                for mark in held.on(lap.name)
            ]
            form = _form(wish.backing, held, needs)
            pieces = _cut(held.rim_mm, held.laps[lap.name], needs, form, wish.backing_width_mm, show)
        except EdgeError as error:
            # On a page of the set nobody looks for a key of the plan.
            trouble = " ".join(str(replace(fault, where="")) for fault in error.faults)
            trouble = trouble[:1].upper() + trouble[1:]
        is_opened = ends_within(placement.fastener, placement.plan)
        made = made_side(placement) if is_made(placement.plan) and not is_opened else ""
        single = lap.name in single_laps(placement.plan, catalogue)
        # What lies beneath an outer layer has an inner one, also where the plan tells one layer.
        on_facing = lies_on_facing(placement, lap.name) and (placement.is_beneath or not single)
        sewn = on_facing and is_sewn_within(placement, lap.name) and placement.fastener.family != "magnetic snap"
        own = (on_facing, sewn, knitted, made, single)
        backings.append(Backing(lap.name, form, reasons, pieces, trouble, wish.backing_cloth, *own))
    return tuple(backings)


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
        if cloth is None or mark.stack is None or all(layer.name != cloth for layer in mark.stack.layers):
            continue
        left = list(mark.stack.layers)
        # The backing is the last of its cloth: the garment may be of the same.
        del left[max(n for n, layer in enumerate(left) if layer.name == cloth)]
        if left and all("knit" in layer.structures for layer in left):
            return ("Without it the closures would hold in knit alone, which stretches out from under them.",)
        if left and is_one_alone(left):
            return ("Without it the closures would hold in one layer alone and might tear out.",)
    return ("The plan asks for it.",)


def past_slit(slit: Buttonhole) -> tuple[float, float]:
    """How far a piece behind a slit reaches from its mark, along the closing line and across it, either way."""
    long, wide = max(slit.before_mm, slit.after_mm) + PAST_FLANGE_MM, PAST_FLANGE_MM
    if slit.way == "along":
        return long, wide
    return wide + abs(slit.aslant) * max(slit.before_mm, slit.after_mm), long


def _need(placement: Placement, lap: Lap, mark: LapMark, catalogue: Catalogue, ring_mm: float) -> _Need:
    from shapely.geometry import LineString, Point, Polygon

    share = placement.share_of(mark.n)
    slit = hole_at(share, lap, mark, catalogue) if share.fastener.mark.buttonhole_lap == lap.name else None
    if slit is None:
        reach = placement.rim_mm + PAST_FLANGE_MM
        centre = Point(mark.at)
        flange = centre.buffer(reach, quad_segs=_CIRCLE_QUARTER)
        if not ring_mm:
            return _Need(mark, None, reach, reach, centre, flange, flange)
        # Rings lie near the edge by their nature, an eye's nearest: its backing ends there with the band.
        (tx, ty), far = mark.tangent, 2 * reach
        corners = ((-far, -far), (far, -far), (far, -ring_mm), (-far, -ring_mm))
        past = [lap.moved_in((mark.x_mm + a * tx, mark.y_mm + a * ty), mark.tangent, b) for a, b in corners]
        return _Need(mark, None, reach, reach, centre, flange.difference(Polygon(past)), flange, ring_mm)
    x, y = slit.way_in(mark.tangent, lap.inward(mark.tangent))
    ends = ((mark.x_mm + by * x, mark.y_mm + by * y) for by in (-slit.before_mm, slit.after_mm))
    line = LineString(list(ends))
    whole = line.buffer(PAST_FLANGE_MM, cap_style="square")
    # A slit across runs towards the edge and the inner line of the band, and its backing ends there with the band.
    least = whole if slit.way == "along" else line.buffer(PAST_FLANGE_MM, cap_style="flat")
    return _Need(mark, slit, *past_slit(slit), line, least, whole)


def _form(wish: str, placement: Placement, needs: Sequence[_Need]) -> Literal["strip", "patches"]:
    if wish == "strip":
        return "strip"
    if wish == "patches":
        return "patches"
    # Patches for a few closures that stand far apart; a strip is sooner cut and fused for a row.
    reach = 2 * max(need.along_mm for need in needs)
    return "patches" if len(needs) <= _FEW and placement.spacing.smallest_mm > 2 * reach else "strip"


def _cut(
    rim_mm: float, lap: Lap, needs: Sequence[_Need], form: str, width_mm: float | None, show: Show
) -> tuple[BackingPiece, ...]:
    from shapely.geometry import LineString, Point

    marks, has_slits = tuple(need.mark for need in needs), any(need.slit for need in needs)
    has_rings = any(need.ring_mm for need in needs)
    past = "slit" if has_slits else needs[0].past
    area = lap_area(lap)
    for need in needs:
        if not area.buffer(SAGITTA_MM).contains(need.least):
            _refuse(area, need, lap, show)
    to_edge, to_inner = _across(needs)
    least = 2 * (max(to_edge, to_inner) + _SPARE_MM)
    # Behind slits along the line it is no narrower than under the buttons, where the band has the room.
    usual = least if not has_slits else max(least, 2 * (rim_mm + PAST_FLANGE_MM + _SPARE_MM))
    width = math.ceil(usual) if width_mm is None else width_mm
    if width < least - 1e-9:
        raise EdgeError(
            f"a backing {show(width)} wide does not reach {show(PAST_FLANGE_MM)} past the {past}",
            where=in_section("sheets", "backing_width"),
            mend=f"Write {show(math.ceil(least))} or more.",
        )
    numbers = tuple(mark.n for mark in marks)

    def is_round_within(need: _Need) -> bool:
        return bool(area.contains(Point(need.mark.at).buffer(width / 2, quad_segs=_CIRCLE_QUARTER)))

    if form == "patches" and (has_slits or (has_rings and not all(map(is_round_within, needs)))):
        return (_oblong(area, lap, needs, (min(width / 2, to_edge), min(width / 2, to_inner)), show),)
    if form == "patches":
        for need in needs:
            if not is_round_within(need):
                _refuse(area, need, lap, show, width / 2 - rim_mm)
        outline = ring_of(Point(marks[0].at).buffer(width / 2, quad_segs=_CIRCLE_QUARTER))
        return (BackingPiece(outline, width, numbers, len(marks)),)
    line = lap.line
    beyond = max(width / 2, *(need.along_mm for need in needs)) + 1.0
    start, end = max(0.0, marks[0].along_mm - beyond), min(line.length_mm, marks[-1].along_mm + beyond)
    strip = LineString(chords(line.stretch(start, end))).buffer(width / 2, cap_style="flat", join_style="round")
    strip = strip.intersection(area)
    for need in needs:
        if strip.geom_type != "Polygon" or not strip.buffer(SAGITTA_MM).contains(need.whole.intersection(area)):
            _refuse(area, need, lap, show)
    if has_rings:
        # What the band cuts off of it is no part of its width.
        behind = [width / 2 if (one := mark.inner_distance_mm) is None else min(width / 2, one) for mark in marks]
        width = max(min(width / 2, mark.edge_distance_mm) for mark in marks) + max(behind)
    return (BackingPiece(ring_of(strip), width, numbers, 1),)


def _across(needs: Sequence[_Need]) -> tuple[float, float]:
    """How far a piece reaches from the closing line, towards the edge and away from it: to the band's end at most."""
    to_edge, to_inner = [], []
    for need in needs:
        behind, ends = need.mark.inner_distance_mm, need.ends_with_band
        across = math.ceil(need.across_mm) if ends else need.across_mm
        short = _SHORT_OF_EDGE_MM if need.ring_mm else 0.0
        to_edge.append(min(across, max(need.mark.edge_distance_mm - short, need.ring_mm)) if ends else across)
        to_inner.append(min(across, behind) if ends and behind is not None else across)
    return max(to_edge), max(to_inner)


def _oblong(area: Any, lap: Lap, needs: Sequence[_Need], across_mm: tuple[float, float], show: Show) -> BackingPiece:
    """A patch for slits: along by across, past both ends of every slit; across it ends with the band."""
    from shapely.geometry import Polygon

    along = math.ceil(max(need.along_mm for need in needs))
    pieces = []
    for need in needs:
        (tx, ty), (ix, iy), (x, y) = need.mark.tangent, lap.inward(need.mark.tangent), need.mark.at
        corners = ((-along, -across_mm[0]), (along, -across_mm[0]), (along, across_mm[1]), (-along, across_mm[1]))
        piece = Polygon([(x + a * tx + b * ix, y + a * ty + b * iy) for a, b in corners])
        if not area.buffer(2 * SAGITTA_MM).contains(piece):
            raise EdgeError(
                f"at mark {need.mark.n} a patch {show(2 * along)} along the line and "
                f"{show(sum(across_mm))} across does not lie within the {lap.name} lap",
                where=in_section("sheets", "backing"),
                mend='Write backing = "strip", or take a first closure further from the end.',
            )
        pieces.append(piece)
    return BackingPiece(ring_of(pieces[0]), sum(across_mm), tuple(need.mark.n for need in needs), len(needs), 2 * along)


def _refuse(area: Any, need: _Need, lap: Lap, show: Show, needed_mm: float = PAST_FLANGE_MM) -> None:
    from shapely.geometry import LineString

    flange = need.along_mm - PAST_FLANGE_MM if need.slit is None else 0.0
    border = area.exterior
    if need.ring_mm:
        edge = LineString(chords(lap.as_strip.edge))
        if edge.distance(need.core) < need.ring_mm - SAME_MM or not area.contains(need.core):
            raise EdgeError(
                f"at mark {need.mark.n} the rings do not lie on the cloth of the {lap.name} lap, and nothing can back "
                "them",
                where=in_section("sheets", "backing"),
                mend="Take a smaller gap, or longer hooks and eyes; tell how long yours is by cap under [closure].",
            )
        border = border.difference(edge.buffer(SAGITTA_MM))
    room = border.distance(need.core) - flange if area.contains(need.core) else 0.0
    raise EdgeError(
        f"at mark {need.mark.n} the {lap.name} lap reaches {show(max(room, 0.0))} past the {need.past}, and a "
        f"backing needs {show(needed_mm)}",
        where=in_section("sheets", "backing"),
        mend="Take a wider band, a smaller closure, or a first closure further from the end.",
    )
