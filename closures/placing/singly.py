"""Single closures beside the row, each on a line of its own, parallel to the row's.

On the closed garment a line lies as far inside the over lap's edge as its inset says: from the under lap's edge it
lies further than the row's line by what the row's own inset is more than that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import EdgeError, in_section
from closures.lengths import format_length
from closures.offered import at_most
from closures.placing.column import beside_the_row
from closures.placing.column_room import half_behind
from closures.placing.differing import fastener_of, refuse_hidden
from closures.placing.edge_to_edge import (
    BOTH,
    drawn_beyond,
    ends_in_words,
    inset_in_words,
    of_threads,
    unwashed,
    where_it_bends,
)
from closures.placing.laps import laps_of
from closures.placing.line_named import line_beside
from closures.placing.shrinkage import as_told
from closures.spacing import Spacing

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.edges.reading import Edges
    from closures.errors import Where
    from closures.placing.lap import Laps
    from closures.placing.placed import Carried, Placement
    from closures.plan.band import BandWish
    from closures.plan.plan import Plan
    from closures.plan.single import SingleWish


def single_laps(plan: Plan, edges: Edges, catalogue: Catalogue, index: int) -> tuple[Laps, tuple[str, ...]]:
    """Find the line of a single closure on either lap.

    Args:
        plan: with a band, its insets settled.
        edges: the curves that its edge arrived as.
        catalogue: fasteners, and how near to its edge a hook is usual.
        index: which of its single closures.

    Returns:
        The laps with its line, and what was taken, a line each.

    Raises:
        EdgeError: the closure would lie off a lap, or its line cannot follow the edge.
    """
    _, band, _ = plan.along_an_edge
    wish, nth = plan.singles[index], index + 1
    # What is refused is told in the state in which the plan was measured.
    by, _ = as_told(plan)
    where = in_section("single", nth=nth, is_repeated=True)
    fastener = fastener_of(wish.closure(plan.closure), catalogue, "single", nth)
    inset, near = _inset(plan, edges, band, wish, fastener, nth, catalogue)
    under = band.under_inset_mm + band.inset_mm - inset
    reaches = (band.under_inset_mm + band.inset_mm) * by
    overlap = format_length(reaches, plan.units)
    if under <= 0:
        raise EdgeError(
            f"{format_length(inset * by, plan.units)} inside the over lap's edge there is no under lap: it reaches "
            f"{overlap} under the over lap",
            where=where,
            mend=f"Write an inset of less than {at_most(reaches, plan.units)}, or more under_inset under [band].",
        )
    if inset >= band.width_mm or under >= band.under_width_mm:
        lap = "over" if inset >= band.width_mm else "under"
        raise EdgeError(
            f"it lies past the {lap} lap's band, {format_length(max(inset, under) * by, plan.units)} from its edge",
            where=where,
            mend=f"Write another inset, or a wider {'width' if lap == 'over' else 'under_width'} under [band].",
        )
    own = replace(band, inset_mm=inset, under_inset_mm=under, assumes_inset=False, assumes_under_inset=False)
    with line_beside(where.but(key="inset"), "through it"):
        found = laps_of(replace(plan, band=own), edges, by_feet=True, is_alone=True)
    # Refused in the state in which the plan was told, which is prepared first.
    _along(wish, found, plan, where)
    return found, near


def _inset(
    plan: Plan, edges: Edges, band: BandWish, wish: SingleWish, fastener: Fastener, nth: int, catalogue: Catalogue
) -> tuple[float, tuple[str, ...]]:
    """How far inside the over lap's edge a single closure lies, and what was taken: in one line, or none.

    A hook's end lies 1/8 in inside the edge of the lap that carries it, and that is the under lap where it is hidden.
    """
    if wish.inset_mm is not None:
        beyond = drawn_beyond(plan, edges, fastener, "over")
        where = in_section("single", "inset", nth=nth, is_repeated=True)
        threads = of_threads(wish.inset_mm, beyond, plan, where)
        return threads, where_it_bends(threads, plan, edges, fastener, "over")
    rule = catalogue.rule("hook from edge").value
    inset = rule.value * unwashed(plan, edges)
    to_change = "To change it: inset under [[single]]"
    # Where the under lap's edge is drawn beneath the over lap, no inset says how far from it anything lies.
    is_beneath = plan.edge is not None and plan.edge.under is not None and edges.under_lies != "apart"
    for lap in BOTH:
        if fastener.mark.on(lap) == "hook" and not (lap == "under" and is_beneath):
            near = ends_in_words(inset, plan, edges, fastener, lap, f"the {lap} lap's edge")
            told = f"The end of its hook, {wish.kind} {wish.size}, lies {near} ({rule.provenance.text}). {to_change}"
            if lap == "over":
                return inset, (f"{told}.",)
            return band.inset_mm + band.under_inset_mm - inset, (f"{told}, which is from the over lap's edge.",)
    near = inset_in_words(band.inset_mm, plan, "the over lap's edge")
    return band.inset_mm, (f"{wish.kind} {wish.size} lies on the row's line, {near} (our own rule). {to_change}.",)


def with_singles(
    placement: Placement, laps: tuple[Laps, ...], catalogue: Catalogue, carried: Sequence[Carried] = ()
) -> Placement:
    """Place the single closures; their marks are numbered on from the row's.

    Args:
        placement: the row, with a second column where there is one.
        laps: with the line of each.
        catalogue: fasteners, cloths and rules.
        carried: where each lies, found on the washed garment; empty where the plan's own places hold.

    Raises:
        EdgeError: the place does not lie on its line.
    """
    plan = placement.plan
    plain = replace(plan, singles=(), anchors=(), clear=())
    beside: list[Placement] = []
    for nth, (wish, own) in enumerate(zip(plan.singles, laps, strict=True)):
        closure = wish.closure(plan.closure)
        fastener = fastener_of(closure, catalogue, "single", nth + 1)
        if wish.hidden:
            refuse_hidden(fastener, in_section("single", "kind", nth=nth + 1, is_repeated=True))
        if plan.gauge is not None and fastener.mark.buttonhole_lap is not None:
            raise EdgeError(
                "its buttonhole would have to be knitted, and rows or stitches are counted for those of the row alone",
                where=in_section("single", "kind", nth=nth + 1, is_repeated=True),
                mend="Take a hook and eye or a snap here, which are sewn on.",
            )
        found = carried[nth] if carried else None
        where = in_section("single", nth=nth + 1, is_repeated=True)
        along = _along(wish, own, plan, where) if found is None else found.along_mm[0]
        spacing = Spacing((along,), (), 0.0, 0.0, 0.0, None, (), "a closure beside the row")
        after = len(placement.all_marks) + nth
        under = None if found is None else found.under_mm
        single = beside_the_row(replace(plain, closure=closure), own, fastener, spacing, after, catalogue, [], under)
        on = half_behind(replace(placement, beside=(*placement.beside, *beside)), single)
        if on is not None:
            raise EdgeError(
                f"mark {on[0]} lies {format_length(on[2], plan.units)} from mark {on[1]}, half on it",
                where=where,
                mend="Move it: another place along, or another inset.",
            )
        beside.append(single)
    return replace(placement, beside=(*placement.beside, *beside)) if beside else placement


def _along(wish: SingleWish, laps: Laps, plan: Plan, where: Where) -> float:
    length = laps.line.length_mm
    if wish.along_mm is not None:
        if wish.along_mm <= length:
            return wish.along_mm
        what = f"{format_length(wish.along_mm, plan.units)} along lies past the end of its line"
    else:
        crossings = laps.line.crossings_of_level((wish.level_mm or 0.0) + laps.level_zero_mm)
        if len(crossings) == 1:
            return crossings[0]
        _, by = as_told(plan)
        _, top, _, bottom = laps.line.box
        level, *reaches = (
            format_length(mm * by, plan.units)
            for mm in (wish.level_mm or 0.0, top - laps.level_zero_mm, bottom - laps.level_zero_mm)
        )
        if not crossings:
            raise EdgeError(
                f"the level {level} does not meet its line, which runs between levels {reaches[0]} and {reaches[1]}",
                where=where.but(key="level"),
                mend="Check the level and the level zero, or write along in its place.",
            )
        what = f"the level {level} meets its line {len(crossings)} times"
    raise EdgeError(what, where=where, mend=f"Write a place on the line, {at_most(length, plan.units)} long.")
