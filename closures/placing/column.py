"""The second column of a double-breasted front, and the hidden closure behind it.

Both lie on a line of their own, parallel to the row's. The under lap's edge lies as far past the row as the over lap's
lies past the second column, so that on the under lap the second line is the one near the edge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.catalogue.by_lap import MarkStyle
from closures.catalogue.values import Part
from closures.errors import EdgeError, in_section
from closures.lengths import SAME_MM, format_length
from closures.placing.buttonhole import buttonhole_for
from closures.placing.column_room import STEP_MM, HiddenPlaces, half_behind, least_apart_mm, worst_told_across
from closures.placing.differing import Differing, fastener_of, refuse_hidden
from closures.placing.laps import laps_of
from closures.placing.line_named import line_beside
from closures.placing.marking import mark_row
from closures.placing.placed import Carried, Placement
from closures.placing.shrinkage import as_told
from closures.placing.stack import ends_within
from closures.series import a_or_an
from closures.spacing import Spacing

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.plan.closure import ClosureWish
    from closures.plan.column import InnerWish
    from closures.plan.plan import Plan

FOR_SHOW = "for show"


def with_column_insets(plan: Plan) -> Plan:
    """Let the under lap reach as far past the row as the over lap reaches past the second column, unless it is told."""
    if plan.column is None or plan.band is None or plan.band.is_under_inset_told:
        return plan
    under = plan.band.inset_mm + plan.column.apart_mm
    return replace(plan, band=replace(plan.band, under_inset_mm=under, assumes_under_inset=False, assumes_inset=False))


def column_laps(plan: Plan, edges: Edges) -> Laps | None:
    """Find the line of the second column on either lap; None where there is none.

    Raises:
        EdgeError: the under lap does not reach the second.
    """
    if plan.column is None or plan.band is None:
        return None
    apart, band = plan.column.apart_mm, plan.band
    if band.under_inset_mm <= apart:
        by, _ = as_told(plan)
        reach, away = (format_length(mm * by, plan.units) for mm in (band.under_inset_mm, apart))
        raise EdgeError(
            f"the under lap reaches {reach} past the row, and the second column lies {away} from it",
            where=in_section("band", "under_inset"),
            mend="Leave under_inset out, or write more than the columns are apart.",
        )
    own = replace(band, inset_mm=band.inset_mm + apart, under_inset_mm=band.under_inset_mm - apart)
    with line_beside(in_section("column", "apart"), "of the second column"):
        return laps_of(replace(plan, band=own), edges, by_feet=True)


def with_beside(
    placement: Placement, laps: Laps | None, catalogue: Catalogue, carried: Sequence[Carried] = ()
) -> Placement:
    """Place the second column and the hidden closure; their marks are numbered on from the row's.

    Args:
        placement: the row.
        laps: with the second line, None where there is none.
        catalogue: fasteners, cloths and rules.
        carried: where both lie, found on the washed garment; empty where they are to be found.

    Raises:
        EdgeError: the columns run into each other, or the level of the hidden closure does not meet the second line.
    """
    plan, wish = placement.plan, placement.plan.column
    if wish is None or laps is None:
        return placement
    spacing = placement.spacing
    count = len(spacing.positions_mm)
    plain = replace(plan, column=None, differs=(), anchors=(), clear=())
    row = replace(plain, closure=replace(plan.closure, spare=0, trial=0))
    fastener = placement.fastener if wish.works else for_show(placement.fastener)
    differing = _level_with(placement, wish.works)
    laps_of_show: list[frozenset[LapName]] = [] if wish.works else [frozenset(("over",))] * count
    across = _on_line(spacing, carried[0].along_mm) if carried else _square_across(placement, laps)
    under = carried[0].under_mm if carried else None
    column = beside_the_row(row, laps, fastener, across, count, catalogue, laps_of_show, under, differing)
    placed = replace(placement, beside=(column,))
    if plan.gauge is not None and plan.gauge.line == "front rows":
        off = max(abs(a.level_mm - b.level_mm) for a, b in zip(placement.marks, column.marks, strict=True))
        if off > plan.gauge.step_mm / 4:
            raise EdgeError(
                f"the rows of the front lie level, and the second column lies up to {format_length(off, plan.units)} "
                "higher or lower than the row, square across its edge",
                where=in_section("column"),
                mend="Tell the stretch of the edge that runs upright, by from and to under [edge], or "
                'line = "band rows" for a band of its own.',
            )
    if wish.inner is not None:
        placed = _with_hidden(placed, plain, wish.inner, catalogue, carried[1] if carried else None)
    # What was carried to unwashed cloth was held against its rims as it is worn.
    if not carried and wish.apart_mm * as_told(plan)[0] <= 2 * placement.rim_mm * worst_told_across(placement):
        raise EdgeError(
            "the two columns run into each other",
            where=in_section("column", "apart"),
            mend=apart_in_words(placed, catalogue),
        )
    return placed


def _level_with(placement: Placement, works: bool) -> tuple[Differing, ...]:
    """What is set in the second column level with the row's own; empty where all of it is alike.

    Spare and trial pieces are had for the row's. Of what is for show no buttonhole is made, so that none differs in it.
    """
    found: dict[Fastener | int, Differing] = {}
    for nth, one in enumerate(placement.differing):
        fastener = one.fastener if works else for_show(one.fastener)
        marks = frozenset(n + len(placement.marks) for n in one.marks)
        closure = replace(one.closure, spare=0, trial=0)
        had = found.get(nth if works else fastener)
        found[nth if works else fastener] = (
            Differing(marks, closure, fastener) if had is None else replace(had, marks=had.marks | marks)
        )
    return tuple(found.values()) if len(found) > 1 else ()


def _square_across(placement: Placement, laps: Laps) -> Spacing:
    """The row's places on the second line, square across the edge: on a bend they lie further along it, or less far."""
    line, spacing = placement.laps.line, placement.spacing
    near = [laps.line.nearest(line.point_at(along)).along_mm for along in spacing.positions_mm]
    if all(abs(a - b) <= SAME_MM for a, b in zip(near, spacing.positions_mm, strict=True)):
        return spacing
    return _on_line(spacing, near)


def _on_line(spacing: Spacing, places_mm: Sequence[float]) -> Spacing:
    gaps = tuple(b - a for a, b in pairwise(places_mm))
    return replace(spacing, positions_mm=tuple(places_mm), gaps_mm=gaps)


def apart_in_words(placement: Placement, catalogue: Catalogue) -> str:
    """Say how far the columns must be apart at the least, and what else that asks for, in whole sentences."""
    plan = placement.plan
    (by, _), step = as_told(plan), STEP_MM[plan.units]
    # Columns never run into each other, on whichever face of the cloth their parts lie.
    across = worst_told_across(placement)
    apart = (math.floor(2 * placement.rim_mm * across / step + SAME_MM) + 1) * step
    least = max(least_apart_mm(placement, catalogue), apart)
    told = [f"Write {format_length(least, plan.units)} or more as apart under [column]."]
    if plan.band is not None:
        if plan.band.is_under_inset_told and plan.band.under_inset_mm * by <= least:
            told.append("Leave under_inset out with it.")
        behind = _behind_mm(placement, catalogue) + catalogue.rule("ridge").value.value
        wide = least + plan.band.inset_mm * by + behind * across
        if min(plan.band.width_mm, plan.band.under_width_mm) * by < wide - SAME_MM:
            wide = math.ceil(wide / step - SAME_MM) * step
            told.append(f"The band must then be {format_length(wide, plan.units)} wide at the least.")
    return " ".join(told)


def _behind_mm(placement: Placement, catalogue: Catalogue) -> float:
    """How far anything of the column further in reaches past its line, away from the edge of the lap that it lies on.

    The second column is further in on the over lap, and the row on the under lap: holes of the row in the over lap, and
    that of a hidden closure in the under lap, lie on the line nearer the edge.
    """
    found, row = 0.0, {mark.n for mark in placement.marks}
    for one in placement.shares:
        n, lap = one.marks[0].n, one.fastener.mark.buttonhole_lap
        is_further_in = (lap == "over" and placement.is_second_column(n)) or (lap == "under" and n in row)
        hole = buttonhole_for(one.fastener, one.plan, catalogue) if is_further_in else None
        found = max(found, one.fastener.rim_mm, hole.after_mm if hole is not None and hole.way == "across" else 0.0)
    return found


def hidden_places(placement: Placement, hidden: Placement, catalogue: Catalogue) -> HiddenPlaces:
    """Where a hidden closure may lie beside a row and its second column."""
    hole = buttonhole_for(hidden.fastener, hidden.plan, catalogue)
    n = hidden.marks[0].n
    return HiddenPlaces.among(placement, hidden.laps, hidden.fastener, hole, n, catalogue)


def hidden_wish(closure: ClosureWish, inner: InnerWish) -> ClosureWish:
    """The hidden closure as it would be under ``[closure]``."""
    return replace(
        closure,
        kind=inner.kind,
        size=inner.size,
        cap_mm=None,
        grip_mm=None,
        thickness_mm=None,
        hole=inner.hole or closure.hole,
        # It lies on the inside, where the trade works one also behind bound ones.
        bound=False,
        halves="turned",
    )


def _with_hidden(
    placement: Placement, plain: Plan, inner: InnerWish, catalogue: Catalogue, carried: Carried | None
) -> Placement:
    closure = hidden_wish(plain.closure, inner)
    laps, positions = placement.beside[0].laps, placement.beside[0].spacing.positions_mm
    fastener = fastener_of(closure, catalogue, "column")
    refuse_hidden(fastener, in_section("column", "inner kind"))

    def at(along: float, under: tuple[float, ...] | None = None) -> Placement:
        alone = Spacing((along,), (), 0.0, 0.0, 0.0, None, (), "the hidden closure")
        plan, after = replace(plain, closure=closure), 2 * len(positions)
        return beside_the_row(plan, laps, fastener, alone, after, catalogue, [], under)

    hidden, assumed = (
        at(positions[0] if inner.level_mm is None else _at_level(laps, inner.level_mm, plain)),
        placement.assumed,
    )
    if inner.level_mm is None:
        places = hidden_places(placement, hidden, catalogue)
        met = places.met_at(positions[0])
        along = None if met is None else _free_along(placement, places)
        if carried is not None:
            along = None if abs(carried.along_mm[0] - positions[0]) <= SAME_MM else carried.along_mm[0]
            hidden = at(carried.along_mm[0], carried.under_mm)
        if met is not None and along is not None:
            hidden = at(along) if carried is None else hidden
            told = (
                f"The hidden closure lies {format_length(along, plain.units)} along: level with the first mark "
                f"it would come too near to mark {met.second}."
            )
            assumed = (*assumed, told)
    elif carried is not None:
        hidden = at(carried.along_mm[0], carried.under_mm)
    elif (found := half_behind(placement, hidden)) is not None:
        n, other, apart = found
        level = hidden.marks[0].level_mm
        free = hidden_places(placement, hidden, catalogue).free_levels(level, plain.units)
        where = [format_length(one, plain.units) for one in free]
        raise EdgeError(
            f"the hidden closure, mark {n}, lies {format_length(apart, plain.units)} from mark {other}, half on it",
            where=in_section("column", "inner level"),
            mend=f"It is free at {' and at '.join(where)}." if where else "Leave level out within inner.",
        )
    return replace(placement, beside=(*placement.beside, hidden), assumed=assumed)


def _free_along(placement: Placement, places: HiddenPlaces) -> float | None:
    """Half way between two marks, as near to the first as can be; else where there is room, None where nowhere."""
    positions = placement.beside[0].spacing.positions_mm
    if placement.plan.gauge is not None:
        # Its buttonhole is knitted too: level with another closure it begins with a whole row or stitch as theirs do.
        return next((along for along in positions if places.is_free(along)), None)
    step = STEP_MM[placement.plan.units]
    between = ((a + b) / 2 for a, b in pairwise(positions))
    anywhere = (k * step for k in range(math.ceil(places.laps.line.length_mm / step)))
    nearest = sorted(anywhere, key=lambda along: abs(along - positions[0]))
    return next((along for along in (*between, *nearest) if places.is_free(along)), None)


def for_show(fastener: Fastener) -> Fastener:
    """The part of a closure that shows, sewn to the over lap alone.

    Raises:
        EdgeError: it is no button.
    """
    if fastener.setting == "tack button":
        raise EdgeError(
            "a tack button is driven on, so it is not sewn on for show",
            where=in_section("column", "works"),
            mend="Write works = true, or take a button that is sewn on.",
        )
    if fastener.family != "button":
        raise EdgeError(
            f"{a_or_an(fastener.kind)} is not sewn on for show",
            where=in_section("column", "works"),
            mend="Write works = true, or take buttons; one closure of another kind is a [[single]] beside the columns.",
        )
    return replace(
        fastener,
        kind=f"{fastener.kind} {FOR_SHOW}",
        parts=(Part("button", "over"),),
        mark=MarkStyle("button", "button"),
        setting="sewn button",
        hole=None,
        clamps=(),
        grip=None,
    )


def _at_level(laps: Laps, level_mm: float, plan: Plan) -> float:
    crossings = laps.line.crossings_of_level(level_mm + laps.level_zero_mm)
    if len(crossings) != 1:
        raise EdgeError(
            f"the level {format_length(level_mm * as_told(plan)[1], plan.units)} does not meet the second column once",
            where=in_section("column", "inner level"),
            mend="Write a level between those of both ends, or leave it out.",
        )
    return crossings[0]


def beside_the_row(
    plan: Plan,
    laps: Laps,
    fastener: Fastener,
    spacing: Spacing,
    after: int,
    catalogue: Catalogue,
    carried: list[frozenset[LapName]],
    under_mm: Sequence[float] | None = None,
    differing: tuple[Differing, ...] = (),
) -> Placement:
    """Place what lies beside the row, on a line of its own, its marks numbered on after those before it."""
    numbers = range(1, len(spacing.positions_mm) + 1)
    there = [next((one.fastener for one in differing if n + after in one.marks), fastener) for n in numbers]
    rims = [one.rim_mm for one in there]
    within = {n for n, one in zip(numbers, there, strict=True) if ends_within(one, plan)}
    bare = replace(spacing, shifts=())
    marks = mark_row(plan, laps, rims, bare, (), catalogue, carried=carried, under_mm=under_mm, within=within)
    numbered = tuple(
        replace(
            mark,
            n=mark.n + after,
            over=None if mark.over is None else replace(mark.over, n=mark.n + after),
            under=None if mark.under is None else replace(mark.under, n=mark.n + after),
        )
        for mark in marks
    )
    return Placement(plan, laps, fastener, bare, numbered, (), (), differing=differing)
