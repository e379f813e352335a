"""Edges that meet: nothing lies on top, and each side's row lies at its own inset from its own edge; and hooks on laps.

Terms: the *working end* of a hook is its bend, of an eye its bow: they meet when the garment is closed. The side
that is told first in `lap` is called the over lap here too: it carries the hooks.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.catalogue.values import LapName
from closures.errors import EdgeError, Where, in_section
from closures.lengths import format_length
from closures.offered import at_least
from closures.placing.looped import with_loops
from closures.placing.sewn_metal import metal_reach_mm
from closures.placing.shrinkage import as_measured
from closures.said import to_change
from closures.series import a_or_an

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.curve import Curve, Point
    from closures.edges.reading import Edges
    from closures.placing.garment import Garment
    from closures.placing.placed import Placement
    from closures.plan.band import BandWish
    from closures.plan.plan import Plan

BOTH: tuple[LapName, LapName] = ("over", "under")


def with_own_insets(plan: Plan, edges: Edges, fastener: Fastener, catalogue: Catalogue) -> tuple[Plan, tuple[str, ...]]:
    """Give each side of edges that meet the inset that its half wants, and a lap its hooks near its edge.

    A hook's end lies 1/8 in inside its edge where nothing else is told, and where edges meet the bow of its eye stands
    out past its own edge by as much (New Mexico State Univ., Guide C-232; ASDP), and by the gap besides: closed, both
    are one point. Eye or bar of a lap lie where its own inset has them.

    Args:
        plan: whose edges meet or lap.
        edges: in the plan's state.
        fastener: the closure.
        catalogue: where the eighth of an inch is kept.

    Returns:
        The plan, an eye's inset less than 0; and what was taken, a line each.

    Raises:
        EdgeError: a closure that needs laps, or an eye whose place is told apart from its hook's.
    """
    wish, band = plan.garment, plan.band
    if fastener.is_taped != (plan.tape is not None):
        raise EdgeError(
            f"{a_or_an(fastener.kind)} has a pitch of its own, and none is told"
            if plan.tape is None
            else f"{a_or_an(fastener.kind)} comes singly, and not on a tape",
            where=in_section("closure", "kind") if plan.tape is None else in_section("tape"),
            mend='Measure the tape over ten closures, and add [tape] with pitch = "19 mm", say.'
            if plan.tape is None
            else 'Leave [tape] out, or write kind = "hook tape" under [closure], or "snap tape".',
        )
    if plan.lacing is not None and fastener.family != "eyelet":
        raise EdgeError(
            f"nothing is laced through {a_or_an(fastener.kind)}",
            where=in_section("lacing"),
            mend='Leave [lacing] out, or write kind = "eyelet" under [closure].',
        )
    if band is None:
        return plan, ()
    if "loop" in (fastener.mark.over, fastener.mark.under) and (wish is None or not wish.is_meeting):
        raise EdgeError(
            f"{a_or_an(fastener.kind)} closes edges that meet, and these lap",
            where=in_section("garment", "edges"),
            mend='Write edges = "meeting", also where a facing lies beneath; or take a button with a buttonhole.',
        )
    if wish is None or not wish.is_meeting:
        return _with_hooks_at_edge(plan, edges, band, fastener, catalogue)
    if fastener.mark.over == "eye" or fastener.mark.under == "loop":
        what = "hooks" if fastener.mark.over == "eye" else "loops"
        raise EdgeError(
            f"the side that is told first carries the {what} of edges that meet, and the halves are turned",
            where=in_section("closure", "halves"),
            mend=f"Leave halves out, and tell the side with the {what} first in lap.",
        )
    if fastener.mark.over == "loop":
        if plan.bands is not None and plan.bands.made == "folded":
            raise EdgeError(
                "loops are caught in the seam of band and facing, and a folded band has none at its edge",
                where=in_section("bands", "made"),
                mend='Write made = "two pieces".',
            )
        return with_loops(plan, band, fastener, catalogue, unwashed(plan, edges))
    if fastener.mark.under not in ("eye", "bore"):
        raise EdgeError(
            f"{a_or_an(fastener.kind)} holds two layers that lie on each other, and these edges only meet",
            where=in_section("garment", "edges"),
            mend='Take hooks and eyes, eyelets, or loops with buttons; or write edges = "lapped".',
        )
    told: tuple[str, ...] = ()
    if fastener.mark.under == "eye":
        if band.is_under_inset_told:
            raise EdgeError(
                "the bow of an eye stands out past its edge by as much as the hook's end lies inside its own",
                where=in_section("band", "under_inset"),
                mend="Leave under_inset out; inset alone says how far.",
            )
        beyond = drawn_beyond(plan, edges, fastener, "over")
        inset = of_threads(band.inset_mm, beyond, plan, in_section("band", "inset"))
        if not band.is_inset_told:
            rule = catalogue.rule("hook from edge").value
            inset = rule.value * unwashed(plan, edges)
            told = (
                f"The hook's end lies {ends_in_words(inset, plan, edges, fastener, 'over', 'its edge')} "
                f"({rule.provenance.text})." + to_change("inset under [band]"),
            )
        else:
            told = where_it_bends(inset, plan, edges, fastener, "over")
        # The gap is one of the garment as it is worn, whatever its cloth was measured in.
        under_inset = -(inset + wish.gap_mm * unwashed(plan, edges))
    else:
        inset = band.inset_mm
        under_inset = band.under_inset_mm if band.is_under_inset_told else inset
    band = replace(band, inset_mm=inset, under_inset_mm=under_inset, assumes_under_inset=False, assumes_inset=False)
    return replace(plan, band=band), told


def unwashed(plan: Plan, edges: Edges) -> float:
    """By what an inset must be longer here than once washed, so that a hook lies near the washed edge.

    In the measure of `banded`. An inset of a plan told unwashed is one length of that cloth all along: where the edge
    bends it is what keeps clear of the edge also where it shrinks most.

    Args:
        plan: in either state.
        edges: in the same state.
    """
    wish = plan.shrinkage
    if wish is None:
        return 1.0
    if wish.measured == "washed":
        return wish.holes[1]
    return wish.stretched[0] / _lefts(plan, edges)[0]


def _lefts(plan: Plan, edges: Edges) -> tuple[float, float]:
    """What is left, once washed, of a length square across the edge: the least and the most along it."""
    wish = plan.shrinkage
    if wish is None:
        return 1.0, 1.0
    told = edges if edges.before is None else edges.before.edges
    x, y = 1.0 - wish.across, 1.0 - wish.along
    ways = [way for edge in (told.over, told.under) if edge is not None for way in _furthest_ways(edge)]
    # Between two parallels of direction (c, s): the area grows by x y, their length by hypot(x c, y s).
    lefts = [x * y / math.hypot(x * c, y * s) for c, s in ways]
    return min(lefts), max(lefts)


def _furthest_ways(edge: Curve) -> list[Point]:
    """Unit tangents of an edge among which are its steepest and its flattest, however short the stretch that has them.

    Between two such places in a row (ends of segments, where it bends the other way, where it is level or upright) it
    grows ever steeper or ever flatter.
    """
    return [
        segment.tangent(t)
        for segment in edge.segments
        for t in (0.0, *segment.turning_places(), *segment.level_places(0), *segment.level_places(1), 1.0)
    ]


def drawn_beyond(plan: Plan, edges: Edges, fastener: Fastener, lap: LapName) -> float:
    """By what the working end of a half lies further in on unwashed cloth of the plan's figures than its threads do.

    Its rings shrink towards the edge and the metal keeps its length: so the end of one sewn on unwashed cloth comes
    nearer to the edge than the cloth beneath it would. In the measure of `banded`; 0 where the plan tells washed cloth.
    """
    wish = plan.shrinkage
    if wish is None or wish.measured == "washed":
        return 0.0
    return metal_reach_mm(fastener, lap) * (unwashed(plan, edges) - wish.stretched[0])


def _least_beyond(plan: Plan, edges: Edges, fastener: Fastener, lap: LapName) -> float:
    """The same where the edge shrinks least across: a working end lies by so much further in there."""
    wish = plan.shrinkage
    if wish is None or wish.measured == "washed":
        return 0.0
    _, most = _lefts(plan, edges)
    return metal_reach_mm(fastener, lap) * wish.stretched[0] * (1.0 / most - 1.0)


def ends_beyond(plan: Plan, edges: Edges, fastener: Fastener) -> tuple[tuple[float, float], ...]:
    """Both on the over lap, and both on the under lap, of a plan whose insets were settled; 0 where of no threads."""
    if plan.column is not None or (plan.edge is not None and plan.edge.line is not None):
        return (0.0, 0.0), (0.0, 0.0)
    return tuple((_least_beyond(plan, edges, fastener, lap), drawn_beyond(plan, edges, fastener, lap)) for lap in BOTH)


def of_threads(inset_mm: float, beyond_mm: float, plan: Plan, where: Where) -> float:
    """Where the cloth lies unwashed that a working end lies on once washed."""
    if inset_mm > beyond_mm or not beyond_mm:
        return inset_mm - beyond_mm
    by, state = as_measured(plan)
    raise EdgeError(
        f"{format_length(inset_mm * by, plan.units)} inside its edge{state}, the end of a hook stands out past it once "
        "washed: the cloth shrinks and the metal does not",
        where=where,
        mend=f"Leave {where.key} out, or write more than {at_least(beyond_mm * by, plan.units)}.",
    )


def inset_in_words(mm: float, plan: Plan, edge: str) -> str:
    """How far inside an edge something lies, in the figure in which the plan would tell it, with the state of that."""
    by, state = as_measured(plan)
    return f"{format_length(mm * by, plan.units)} inside {edge}{state}"


def ends_in_words(threads_mm: float, plan: Plan, edges: Edges, fastener: Fastener, lap: LapName, edge: str) -> str:
    """The same of working ends that come to lie on threads so far inside their edge: one figure, or from and to."""
    _, state = as_measured(plan)
    low, high = _ends(threads_mm, plan, edges, fastener, lap)
    bends = "" if low == high else ", less where it shrinks less across"
    return f"{from_to(low, high)} inside {edge}{state}{bends}"


def from_to(low: str, high: str) -> str:
    """Two figures, as one where they read alike."""
    return low if low == high else f"{low} to {high}"


def where_it_bends(
    threads_mm: float, plan: Plan, edges: Edges, fastener: Fastener, lap: LapName, *, is_told: bool = True
) -> tuple[str, ...]:
    """Say that working ends keep to an inset that was told only where their edge shrinks most across.

    Args:
        threads_mm: the inset, as it was carried to the cloth on which the ends come to lie.
        plan, edges, fastener, lap: as of `drawn_beyond`.
        is_told: whether it was told at all.

    Returns:
        One line, or none where they keep to it.
    """
    low, high = _ends(threads_mm, plan, edges, fastener, lap)
    if not is_told or low == high:
        return ()
    ends = ends_in_words(threads_mm, plan, edges, fastener, lap, f"the {lap} lap's edge")
    return (
        f"The ends of its hooks and eyes lie {ends} (geometry), and not {high} all along: the metal keeps its length, "
        "and the edge bends. For one figure all along, tell the lengths of the washed garment.",
    )


def _ends(threads_mm: float, plan: Plan, edges: Edges, fastener: Fastener, lap: LapName) -> tuple[str, str]:
    by, _ = as_measured(plan)
    beyond = (_least_beyond(plan, edges, fastener, lap), drawn_beyond(plan, edges, fastener, lap))
    low, high = (format_length((threads_mm + mm) * by, plan.units) for mm in beyond)
    return low, high


def refuse_unlike(plan: Plan, fasteners: Sequence[Fastener]) -> None:
    """Refuse closures that differ on edges that meet where their halves lie otherwise than the row's.

    Raises:
        EdgeError: one of them would be placed by the working ends of another kind.
    """
    if plan.garment is None or not plan.garment.is_meeting:
        return
    row, *others = fasteners
    for other in others:
        if other.mark != row.mark:
            raise EdgeError(
                f"on edges that meet {a_or_an(other.kind)} does not lie where {a_or_an(row.kind)} does",
                where=in_section("differs", "kind", is_repeated=True),
                mend="Give it a plan of its own, or take the row's kind in another size.",
            )


def _with_hooks_at_edge(
    plan: Plan, edges: Edges, band: BandWish, fastener: Fastener, catalogue: Catalogue
) -> tuple[Plan, tuple[str, ...]]:
    """Bring the hooks of laps to the edge of the lap that carries them, where no inset of that lap is told."""
    rule = catalogue.rule("hook from edge").value
    inset = rule.value * unwashed(plan, edges)
    is_drawn = plan.edge is not None and (plan.edge.line is not None or plan.edge.under is not None)
    if plan.column is not None or (plan.edge is not None and plan.edge.line is not None):
        return plan, ()
    over, under = (drawn_beyond(plan, edges, fastener, lap) for lap in BOTH)
    if band.is_inset_told and over:
        band = replace(band, inset_mm=of_threads(band.inset_mm, over, plan, in_section("band", "inset")))
    if band.is_under_inset_told and under:
        told_under = of_threads(band.under_inset_mm, under, plan, in_section("band", "under_inset"))
        band = replace(band, under_inset_mm=told_under)
    bent = (
        *where_it_bends(band.inset_mm, plan, edges, fastener, "over", is_told=band.is_inset_told),
        *where_it_bends(band.under_inset_mm, plan, edges, fastener, "under", is_told=band.is_under_inset_told),
    )
    if fastener.mark.over == "hook" and not band.is_inset_told:
        band = replace(band, inset_mm=inset, assumes_inset=False, assumes_under_inset=not band.is_under_inset_told)
        key = "inset"
    elif fastener.mark.under == "hook" and not band.is_under_inset_told and not is_drawn:
        band = replace(band, under_inset_mm=inset, assumes_under_inset=False)
        key = "under_inset"
    else:
        return replace(plan, band=band), bent
    lap: LapName = "over" if key == "inset" else "under"
    near = ends_in_words(inset, plan, edges, fastener, lap, f"the {lap} lap's edge")
    told = f"The end of each hook lies {near} ({rule.provenance.text})." + to_change(f"{key} under [band]")
    return replace(plan, band=band), (told, *bent)


def as_two_pieces(edges: Edges, garment: Garment) -> tuple[Edges, Garment]:
    """Take edges that meet as two pieces with an edge each; as they are where they lap.

    Raises:
        EdgeError: a closing line that both would share, or a second piece of which no edge is told.
    """
    if not garment.is_meeting:
        return edges, garment
    if edges.line is not None:
        raise EdgeError(
            "edges that meet have no closing line in common",
            where=in_section("edge", "line"),
            mend="Leave line out: each side's row lies at its own inset from its own edge.",
        )
    if edges.under is not None:
        return replace(edges, under_lies="apart"), garment
    if garment.pieces == "separate":
        raise EdgeError(
            "the two pieces are separate, and only one edge is told",
            where=in_section("edge", "under"),
            mend='Name the other piece\'s edge as under, or write pieces = "pair" under [garment].',
        )
    # A straight edge is its own mirror image; a curved one of which nothing is told is refused as ever.
    return edges, garment


def worn_apart(placement: Placement) -> tuple[float, float] | None:
    """How far apart edges that meet are worn, at the first end and at the last; None where nothing is left between."""
    worn = placement.as_worn
    wish = worn.plan.garment
    if wish is None or not worn.laps.garment.is_meeting:
        return None
    return wish.gaps_mm if any(wish.gaps_mm) else None


def apart_in_words(placement: Placement, show: Callable[[float], str]) -> str:
    """The same in words, such as "4 mm apart"; empty where nothing is left between."""
    ends = worn_apart(placement)
    if ends is None:
        return ""
    first, last = map(show, ends)
    if first == last:
        return f"{first} apart"
    return f"{first} apart at the {placement.ends[0]} and {last} at the {placement.ends[1]}"
