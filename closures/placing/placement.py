"""The main job: a plan becomes marks on one closing line.

Read `place` to see where the marks come from: the laps give the closing line, the anchors
and clear zones are met with it, the best spacing is found on it as plain numbers, and each
number becomes one point that both laps share.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.errors import Gathering, in_section, naming
from closures.lengths import format_length
from closures.offered import STEP_MM
from closures.placing.backed import with_backing_as_cut, with_backing_that_is_cut
from closures.placing.buttonhole import buttonhole_for, slit_reach_mm
from closures.placing.carrying import (
    row_as_told,
    with_longest_holes,
    with_row_as_told,
)
from closures.placing.choosing import choose_row
from closures.placing.column import with_beside, with_column_insets
from closures.placing.counted_from import levels_counted_from, refuse_falling_levels, saying_level_zero
from closures.placing.differing import (
    Differing,
    all_fasteners,
    differing_in,
    fastener_of,
    refuse_hole,
)
from closures.placing.edge_to_edge import ends_beyond, refuse_unlike, unwashed, with_own_insets
from closures.placing.knitted_inset import with_knitted_insets
from closures.placing.lacing import taken_of_lace
from closures.placing.laps import laps_of
from closures.placing.level_holes import refuse_leaning_holes
from closures.placing.line_named import line_of_band
from closures.placing.looped import drawn_as_loop
from closures.placing.lying import lines_beside
from closures.placing.marking import LapMark, Mark, mark_row
from closures.placing.meeting import PlacedAnchor, PlacedZone, meet_anchor
from closures.placing.own_rooms import closed_by, row_by_own_rooms, zones_of
from closures.placing.pins import pins_at_corners
from closures.placing.placed import Carried, Placement, Prepared, Washed
from closures.placing.plies import refuse_told_apart
from closures.placing.sewn_metal import carry_metal, metal_reaches, with_metal
from closures.placing.single_layer import refuse_fewer_told
from closures.placing.singly import with_singles
from closures.placing.slips import refuse_ends_beyond, refuse_slip
from closures.placing.stack import ends_within
from closures.placing.stand import with_stand_first
from closures.placing.taped import refuse_drift, with_tape_ends
from closures.placing.usual import with_usual, with_usual_way
from closures.placing.usual_ends import prepared_with_usual, spaced_anew
from closures.placing.usual_row import Found, Told
from closures.placing.ways_beside import with_ways_beside
from closures.plan.shrinkage import UNCARRIED
from closures.spacing import Anchor, NoSpacing, Spacing, Wish, evaluate_spacing

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.placing.usual_ends import Spaced
    from closures.plan.plan import Plan
    from closures.plan.top import Units

__all__ = [
    "Differing",
    "LapMark",
    "Mark",
    "PlacedAnchor",
    "PlacedZone",
    "Placement",
    "Prepared",
    "Washed",
    "place",
    "place_on",
    "prepare",
]


def place(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Place a garment's closures as well as they can be.

    Args:
        plan: what is asked.
        edges: the curves that the plan's edge arrived as, in mm, seen from outside.
        catalogue: fasteners, cloths and rules.

    Returns:
        The placement.

    Raises:
        CatalogueError: a fastener or cloth that the catalogue does not hold.
        EdgeError: the band cannot follow the edge, or a level does not meet the closing line.
        SpacingError: no row of closures meets the wishes.
    """
    with saying_level_zero(plan, edges):
        return _place(plan, edges, catalogue) if plan.shrinkage is None else _place_shrinking(plan, edges, catalogue)


def _place(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Space the row on cloth that is worn as it is marked."""

    def spaced(found: Found) -> Spaced:
        prepared = prepare(plan, edges, catalogue, found)
        return prepared, prepared, _chosen(prepared, catalogue)

    prepared, _, row = spaced_anew(spaced, catalogue)
    return with_backing_that_is_cut(_placed(prepared, row, catalogue), catalogue)


def _chosen(prepared: Prepared, catalogue: Catalogue) -> Spacing:
    return row_by_own_rooms(prepared, lambda one: _best_of(one, catalogue), catalogue)


def _best_of(prepared: Prepared, catalogue: Catalogue) -> Spacing:
    plan = prepared.plan
    hole = buttonhole_for(prepared.fastener, plan, catalogue)
    refuse_ends_beyond(prepared.wish, shown_in(plan.units))
    try:
        with naming(in_section("spacing")):
            return choose_row(
                plan,
                prepared.laps,
                prepared.wish,
                prepared.rim_mm,
                shown_in(plan.units),
                STEP_MM[plan.units],
                hole,
            )
    except NoSpacing as error:
        error.level_at = prepared.laps.level_at
        raise


def _place_shrinking(plan: Plan, edges: Edges, catalogue: Catalogue) -> Placement:
    """Space the row as the garment is worn, washed, and carry its places to the cloth as it is marked."""
    if plan.shrinkage is not None and plan.shrinkage.holes != UNCARRIED:
        raise ValueError("this plan was carried to unwashed cloth already: place `told_plan` anew")

    def spaced(found: Found) -> Spaced:
        worn, marked = prepared_with_usual(plan, edges, lambda one, its: prepare(one, its, catalogue, found))
        worn = with_row_as_told(worn, marked)
        return worn, marked, row_as_told(worn, marked, lambda one: _chosen(one, catalogue), shown_in(plan.units))

    worn, marked, row = spaced_anew(spaced, catalogue)
    marked = with_metal(worn, marked, catalogue)
    reaches = metal_reaches(marked.fastener)
    places = [
        carry_metal(place, worn.laps.over, marked.laps.over, marked.plan, reaches[0]) for place in row.positions_mm
    ]
    spacing = evaluate_spacing(marked.wish, places, show=shown_in(plan.units))
    under = _carried_under(marked.plan, worn.laps, marked.laps, row.positions_mm, reaches[1])
    as_worn = _placed(worn, row, catalogue)
    marked = with_longest_holes(marked, as_worn)
    beside = tuple(_carried_beside(marked.plan, as_worn, marked))
    placed = with_backing_that_is_cut(_placed(marked, spacing, catalogue, under, beside), catalogue)
    # Pieces are cut and laid before the first wash: whether they have the room is asked of that cloth alone.
    as_worn = with_backing_as_cut(as_worn, placed.unbacked)
    washed = Washed(row.positions_mm, row.gaps_mm, worn.laps.line.length_mm, as_worn, plan)
    reason = (
        f"{row.reason} These are lengths of the washed garment; the sheets are for the cloth before its first wash."
    )
    return replace(placed, spacing=replace(placed.spacing, reason=reason, wish=row.wish), washed=washed)


def place_on(
    prepared: Prepared, places_mm: Sequence[float], catalogue: Catalogue, staying: frozenset[int] = frozenset()
) -> Placement:
    """Place closures where they are told to be, whether or not that is a good row.

    Args:
        prepared: the closing line.
        places_mm: along the closing line from its first end, ascending.
        catalogue: cloths and rules.
        staying: numbers of the marks whose closure is there already: no backing is cut for it.

    Returns:
        The placement; the rules say what is wrong with it.

    Raises:
        SpacingError: places that are not finite or do not ascend.
    """
    row = evaluate_spacing(prepared.wish, places_mm, show=shown_in(prepared.plan.units))
    return with_backing_that_is_cut(_placed(prepared, row, catalogue, staying=staying), catalogue)


def prepare(plan: Plan, edges: Edges, catalogue: Catalogue, found: Found | None = None) -> Prepared:
    """Find the closing line of a plan, with everything that closures are spaced by.

    Args:
        plan, edges, catalogue: as of `place`, and so are the errors.
        found: what is known of the row, where one was found already.
    """
    refuse_hole(plan, catalogue)
    fasteners = all_fasteners(plan, catalogue)
    fastener = fasteners[0]
    # Which mark differs is known when the row is spaced: until then every one has the room of the largest.
    rim_mm = max(one.rim_mm for one in fasteners)
    refuse_unlike(plan, fasteners)
    plan, insets = with_own_insets(plan, edges, fastener, catalogue)
    fastener = drawn_as_loop(plan, fastener, unwashed(plan, edges))
    plan, way = with_usual_way(plan, fastener, catalogue, unwashed(plan, edges))
    plan, knitted = with_knitted_insets(plan, fastener, catalogue)
    plan = with_column_insets(plan)
    with line_of_band(plan.band):
        laps = laps_of(plan, edges, by_feet=plan.column is not None)
    wrong = Gathering()
    anchors = wrong.each(lambda wish: meet_anchor(wish, laps, edges.point, plan.units), plan.anchors)
    plan, beside = with_ways_beside(plan, fastener, catalogue, laps.line.length_mm, unwashed(plan, edges))
    column, singles, near = lines_beside(plan, edges, laps, rim_mm, catalogue, wrong)
    plan = with_stand_first(plan)
    set_in_it = (plan.closure, *(one.closure(plan.closure) for one in plan.differs))
    slit_mm = slit_reach_mm(zip(set_in_it, fasteners, strict=True), plan, catalogue)
    zones = zones_of(plan, laps, rim_mm, slit_mm, catalogue, wrong)
    wrong.raise_if_any()
    refuse_falling_levels(plan, laps)
    refuse_told_apart(plan, catalogue)
    refuse_fewer_told(plan, catalogue, laps)
    plan = with_tape_ends(plan, laps.line.length_mm)
    least_mm = max(one.least_pitch.value for one in fasteners)
    told = Told(laps.line.length_mm, anchors, zones, least_mm, found or Found())
    refuse_slip(plan, least_mm, shown_in(plan.units))
    plan, usual, assumed = with_usual(plan, fastener, told, catalogue, ends_beyond(plan, edges, fastener))
    wish = replace(
        _spacing_wish(plan, laps, least_mm, anchors, zones),
        even_departure=catalogue.rule("even departure").value.value,
        even_spread=catalogue.rule("even spread").value.value,
    )
    return Prepared(
        plan,
        fastener,
        rim_mm,
        laps,
        anchors,
        zones,
        wish,
        (*edges.notes, *_one_of_pair(plan)),
        edges.picture,
        (
            *plan.bare.told,
            *levels_counted_from(plan, laps),
            *insets,
            *near,
            *taken_of_lace(plan, edges, shown_in(plan.units)),
            *assumed,
            *way,
            *beside,
            *knitted,
            *_at_corners(anchors, shown_in(plan.units)),
            *pins_at_corners(plan, edges, laps, shown_in(plan.units)),
            *_within_its_piece(plan, edges, shown_in(plan.units)),
        ),
        edges.outline,
        edges.read,
        edges.under_outline,
        column,
        singles,
        edges.seen,
        usual,
    )


def _one_of_pair(plan: Plan) -> Iterator[str]:
    """Say that this is one of two rows: on the page a plan is looked at by itself."""
    if plan.garment is not None and plan.garment.pair_of_rows:
        yield "This is one of two rows, by pair_of_rows: the other side of the body is in the set of both."


def _at_corners(anchors: Sequence[PlacedAnchor], show: Callable[[float], str]) -> Iterator[str]:
    """Say which anchors lie where a corner leaves two places equally near."""
    for anchor in anchors:
        if anchor.feet_mm is not None:
            low, high = map(show, anchor.feet_mm)
            yield (
                f"{anchor.name!r} lies at a corner, where {low} and {high} along the closing line are equally near: "
                f"taken is the middle, {show(anchor.along_mm)} along."
            )


def _within_its_piece(plan: Plan, edges: Edges, show: Callable[[float], str]) -> Iterator[str]:
    """Say what an edge was taken for that runs evenly inside the line of its piece."""
    piece, wish = edges.seen.piece, plan.edge
    if piece is None or piece.is_on or piece.is_doubtful or not piece.name or edges.line is not None or wish is None:
        return
    yield (
        f'The edge is the finished edge, and "{piece.name}", {show(piece.away_mm)} outside it, the line along which '
        f"the piece is cut. If that is the finished edge and this the line on which the garment closes, write line = "
        f'"{wish.names[0]}" and path = "{piece.name}" under [edge], with from and to.'
    )


def _carried_under(
    plan: Plan, worn: Laps, marked: Laps, places_mm: Sequence[float], reach_mm: float = 0.0
) -> tuple[float, ...] | None:
    """Where a row of the washed garment lies along the unwashed under lap's own line; None where both have one."""
    if marked.under.line is marked.line:
        return None
    own = worn.under
    return tuple(carry_metal(own.along(place), own, marked.under, plan, reach_mm) for place in places_mm)


def _carried_beside(plan: Plan, worn: Placement, marked: Prepared) -> Iterator[Carried]:
    """Where what lies beside a row of the washed garment lies on the lines of the unwashed cloth."""
    own = [] if marked.column is None else [marked.column] * (len(worn.beside) - len(marked.singles))
    for one, laps in zip(worn.beside, (*own, *marked.singles), strict=True):
        places = one.spacing.positions_mm
        over, under = metal_reaches(one.fastener)
        along = tuple(carry_metal(place, one.laps.over, laps.over, plan, over) for place in places)
        yield Carried(along, _carried_under(plan, one.laps, laps, places, under))


def _placed(
    prepared: Prepared,
    spacing: Spacing,
    catalogue: Catalogue,
    under_mm: Sequence[float] | None = None,
    carried: Sequence[Carried] = (),
    staying: frozenset[int] = frozenset(),
) -> Placement:
    """Lay marks; behind which of them a backing is cut is still to be asked."""
    plan, laps, fastener = prepared.plan, prepared.laps, prepared.fastener
    differing = differing_in(plan, spacing, prepared.anchors, laps.garment.ends, catalogue)
    set_there = [
        next((one.fastener for one in differing if n in one.marks), fastener)
        for n in range(1, len(spacing.positions_mm) + 1)
    ]
    rims = [one.rim_mm for one in set_there]
    within = {n for n, one in enumerate(set_there, 1) if ends_within(one, plan)}
    marks = mark_row(plan, laps, rims, spacing, prepared.anchors, catalogue, under_mm=under_mm, within=within)
    anchors, zones = prepared.anchors, prepared.zones
    placed = Placement(
        plan,
        laps,
        fastener,
        spacing,
        marks,
        anchors,
        zones,
        notes=prepared.notes,
        outline=prepared.outline,
        under_outline=prepared.under_outline,
        seen=prepared.seen,
        read=prepared.read,
        picture=prepared.picture,
        assumed=prepared.assumed,
        differing=differing,
        staying=staying,
    )
    placed = with_beside(refuse_drift(placed), prepared.column, catalogue, carried)
    placed = with_singles(placed, prepared.singles, catalogue, carried[len(placed.beside) :])
    return refuse_leaning_holes(placed, catalogue)


def shown_in(units: Units) -> Callable[[float], str]:
    """The way a length is written for people in these units."""
    return lambda mm: format_length(mm, units)


def chosen_fastener(plan: Plan, catalogue: Catalogue) -> Fastener:
    """Look up the plan's closure, with the plan's own measures in place of the catalogue's."""
    return fastener_of(plan.closure, catalogue)


def _spacing_wish(
    plan: Plan,
    laps: Laps,
    least: float,
    anchors: tuple[PlacedAnchor, ...],
    zones: tuple[PlacedZone, ...],
) -> Wish:
    """Put the plan's spacing on the closing line as numbers."""
    _, _, spacing = plan.along_an_edge
    first, last = spacing.ends
    return Wish(
        length_mm=laps.line.length_mm,
        first=(first.low_mm, first.high_mm),
        last=(last.low_mm, last.high_mm),
        closest_mm=max(least, spacing.closest_mm or 0.0),
        least_mm=least,
        widest_mm=math.inf if spacing.widest_mm is None else spacing.widest_mm,
        pitch_mm=spacing.pitch_mm,
        count=spacing.count,
        anchors=tuple(Anchor(a.name, a.along_mm, a.within_mm) for a in anchors),
        clear=closed_by(zones),
        ends=laps.garment.ends,
    )
