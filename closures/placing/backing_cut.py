"""Pieces of backing as areas: what each closure needs of one, and a strip or patches cut within a lap's band.

Terms: the *flange* is the part of a closure that presses on the cloth, the *slit* that of a buttonhole, which a backing
reaches past at both ends; of hooks and eyes it lies under the *rings*, by which alone they are sewn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.lengths import SAME_MM
from closures.placing.buttonhole import hole_at
from closures.placing.lap_area import SAGITTA_MM, Ring, chords, lap_area, ring_of

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.plan.shown import Show

PAST_FLANGE_MM = 5.0
"""How far a backing reaches past every flange, at least: common practice."""

_ALL_OVER = "; or lay interfacing over the whole width of the band, from edge to edge, and tell it as a layer."
WIDER_OR_ALL_OVER = f"Take a wider band, a smaller closure, or a first or last closure further from its end{_ALL_OVER}"
"""What is done where a piece has no room: what ends at the edges alone ends under no flange (common practice)."""
_ACROSS = f"Take a wider band or a smaller closure{_ALL_OVER}"
"""The same where it is the width of the band that lacks, and not its length."""

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
class Need:
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


def past_slit(slit: Buttonhole) -> tuple[float, float]:
    """How far a piece behind a slit reaches from its mark, along the closing line and across it, either way."""
    long, wide = max(slit.before_mm, slit.after_mm) + PAST_FLANGE_MM, PAST_FLANGE_MM
    if slit.way == "along":
        return long, wide
    return wide + abs(slit.aslant) * max(slit.before_mm, slit.after_mm), long


def need_at(placement: Placement, lap: Lap, mark: LapMark, catalogue: Catalogue, ring_mm: float) -> Need:
    """What a backing must take in at a mark, whose rings have a radius or are none."""
    from shapely.geometry import LineString, Point, Polygon

    share = placement.share_of(mark.n)
    slit = hole_at(share, lap, mark, catalogue) if share.fastener.mark.buttonhole_lap == lap.name else None
    if slit is None:
        reach = placement.rim_mm + PAST_FLANGE_MM
        centre = Point(mark.at)
        flange = centre.buffer(reach, quad_segs=_CIRCLE_QUARTER)
        if not ring_mm:
            return Need(mark, None, reach, reach, centre, flange, flange)
        # Rings lie near the edge by their nature, an eye's nearest: its backing ends there with the band.
        (tx, ty), far = mark.tangent, 2 * reach
        corners = ((-far, -far), (far, -far), (far, -ring_mm), (-far, -ring_mm))
        past = [lap.moved_in((mark.x_mm + a * tx, mark.y_mm + a * ty), mark.tangent, b) for a, b in corners]
        return Need(mark, None, reach, reach, centre, flange.difference(Polygon(past)), flange, ring_mm)
    x, y = slit.way_in(mark.tangent, lap.inward(mark.tangent))
    ends = ((mark.x_mm + by * x, mark.y_mm + by * y) for by in (-slit.before_mm, slit.after_mm))
    line = LineString(list(ends))
    whole = line.buffer(PAST_FLANGE_MM, cap_style="square")
    # A slit across runs towards the edge and the inner line of the band, and its backing ends there with the band.
    least = whole if slit.way == "along" else line.buffer(PAST_FLANGE_MM, cap_style="flat")
    return Need(mark, slit, *past_slit(slit), line, least, whole)


def form_of(wish: str, placement: Placement, needs: Sequence[Need]) -> Literal["strip", "patches"]:
    """Strip or patches, as the plan asks, or as few closures far apart suggest."""
    if wish == "strip" and not placement.staying:
        return "strip"
    # A strip would run through the closures that stay between new ones.
    if wish == "patches" or placement.staying:
        return "patches"
    # Patches for a few closures that stand far apart; a strip is sooner cut and fused for a row.
    reach = 2 * max(need.along_mm for need in needs)
    return "patches" if len(needs) <= _FEW and placement.spacing.smallest_mm > 2 * reach else "strip"


def cut_within(
    rim_mm: float, lap: Lap, needs: Sequence[Need], form: str, width_mm: float | None, show: Show
) -> tuple[BackingPiece, ...]:
    """Cut a strip, or a patch that serves all marks.

    Args:
        rim_mm: of the largest closure.
        lap: whose band it is cut within.
        needs: of each mark.
        form: strip or patches.
        width_mm: as the plan tells it; None for as narrow as will do.
        show: how a length is written for people.

    Raises:
        EdgeError: at a mark the band has no room for it.
    """
    from shapely.geometry import LineString, Point

    marks, has_slits = tuple(need.mark for need in needs), any(need.slit for need in needs)
    has_rings = any(need.ring_mm for need in needs)
    past = "slit" if has_slits else needs[0].past
    area = lap_area(lap)
    lacking = [need for need in needs if not area.buffer(SAGITTA_MM).contains(need.least)]
    if lacking:
        # Where the width lacks at every mark, a cure of one of them is none.
        is_every = len(lacking) == len(needs) > 1 and all(map(_lacks_width, needs))
        _refuse(area, lacking[0], lap, show, at="every mark" if is_every else "")
    to_edge, to_inner = _across(needs)
    least = 2 * (max(to_edge, to_inner) + _SPARE_MM)
    # Behind slits along the line it is no narrower than under the buttons, where the band has the room.
    usual = least if not has_slits else max(least, 2 * (rim_mm + PAST_FLANGE_MM + _SPARE_MM))
    width: float = math.ceil(usual) if width_mm is None else width_mm
    if width < least - 1e-9:
        raise EdgeError(
            f"a backing {show(width)} wide does not reach {show(PAST_FLANGE_MM)} past the {past}",
            where=in_section("sheets", "backing_width"),
            mend=f"Write {show(math.ceil(least))} or more.",
        )
    numbers = tuple(mark.n for mark in marks)

    def is_round_within(need: Need) -> bool:
        return bool(area.contains(Point(need.mark.at).buffer(width / 2, quad_segs=_CIRCLE_QUARTER)))

    if form == "patches" and not has_slits and width_mm is None and not all(map(is_round_within, needs)):
        # Where a whole millimetre has no room, what it needs may.
        width = least
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
    # What the band cuts off of it is no part of its width.
    behind = [width / 2 if (one := mark.inner_distance_mm) is None else min(width / 2, one) for mark in marks]
    width = max(min(width / 2, mark.edge_distance_mm) for mark in marks) + max(behind)
    return (BackingPiece(ring_of(strip), width, numbers, 1),)


def _across(needs: Sequence[Need]) -> tuple[float, float]:
    """How far a piece reaches from the closing line, towards the edge and away from it: to the band's end at most."""
    to_edge, to_inner = [], []
    for need in needs:
        behind, ends = need.mark.inner_distance_mm, need.ends_with_band
        across = math.ceil(need.across_mm) if ends else need.across_mm
        short = _SHORT_OF_EDGE_MM if need.ring_mm else 0.0
        to_edge.append(min(across, max(need.mark.edge_distance_mm - short, need.ring_mm)) if ends else across)
        to_inner.append(min(across, behind) if ends and behind is not None else across)
    return max(to_edge), max(to_inner)


def _oblong(area: Any, lap: Lap, needs: Sequence[Need], across_mm: tuple[float, float], show: Show) -> BackingPiece:
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


def _lacks_width(need: Need) -> bool:
    """Whether the band is too narrow beside a mark, however far the band goes on along it."""
    inner, flange = need.mark.inner_distance_mm, _flange_mm(need)
    room = min(need.mark.edge_distance_mm, math.inf if inner is None else inner) - flange
    return not need.ends_with_band and room < PAST_FLANGE_MM - SAME_MM


def _flange_mm(need: Need) -> float:
    return need.along_mm - PAST_FLANGE_MM if need.slit is None else 0.0


def _refuse(area: Any, need: Need, lap: Lap, show: Show, needed_mm: float = PAST_FLANGE_MM, at: str = "") -> None:
    """Refuse a piece that has no room at a mark, or what is said of several by the first of them."""
    from shapely.geometry import LineString

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
    room = border.distance(need.core) - _flange_mm(need) if area.contains(need.core) else 0.0
    raise EdgeError(
        f"at {at or f'mark {need.mark.n}'} the {lap.name} lap reaches {show(max(room, 0.0))} past the {need.past}, "
        f"and a backing needs {show(needed_mm)}",
        where=in_section("sheets", "backing"),
        mend=_ACROSS if _lacks_width(need) else WIDER_OR_ALL_OVER,
    )
