"""The second column of a double-breasted front, and the hidden closure behind it.

Both lie on a line of their own, parallel to the row's. The under lap's edge lies as far past the row as the over lap's
lies past the second column, so that on the under lap the second line is the one near the edge.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.catalogue.values import MarkStyle, Part
from closures.errors import EdgeError, in_section
from closures.placing.differing import fastener_of
from closures.placing.laps import STRAIGHT_MM, laps_of, strays_mm
from closures.placing.marking import mark_row
from closures.placing.placed import Placement
from closures.spacing import Spacing

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.edges.reading import Edges
    from closures.placing.lap import Laps
    from closures.placing.placed import Prepared
    from closures.plan.plan import Plan

FOR_SHOW = "for show"


def with_column_insets(plan: Plan, edges: Edges) -> Plan:
    """Let the under lap reach as far past the row as the over lap reaches past the second column, unless it is told.

    Raises:
        EdgeError: the edge is curved.
    """
    if plan.column is None or plan.band is None:
        return plan
    if strays_mm(edges.over) > STRAIGHT_MM:
        raise EdgeError(
            "two columns beside a curved edge are not worked out",
            where=in_section("column"),
            mend="Tell the straight stretch that carries the closures, by from and to under [edge], or leave it out.",
        )
    if plan.band.is_under_inset_told:
        return plan
    under = plan.band.inset_mm + plan.column.apart_mm
    return replace(plan, band=replace(plan.band, under_inset_mm=under, assumes_under_inset=False, assumes_inset=False))


def column_laps(plan: Plan, edges: Edges, fastener: Fastener) -> Laps | None:
    """Find the line of the second column on either lap; None where there is none.

    Raises:
        EdgeError: the columns run into each other, or the under lap does not reach the second.
    """
    if plan.column is None or plan.band is None:
        return None
    apart, band = plan.column.apart_mm, plan.band
    if apart <= 2 * fastener.rim_mm:
        raise EdgeError(
            "the two columns run into each other",
            where=in_section("column", "apart"),
            mend=f"Write more than {2 * fastener.rim_mm:.1f} mm, the width of a closure.",
        )
    if band.under_inset_mm <= apart:
        raise EdgeError(
            f"the under lap reaches {band.under_inset_mm:.1f} mm past the row, and the second column lies "
            f"{apart:.1f} mm from it",
            where=in_section("band", "under_inset"),
            mend="Leave under_inset out, or write more than the columns are apart.",
        )
    own = replace(band, inset_mm=band.inset_mm + apart, under_inset_mm=band.under_inset_mm - apart)
    return laps_of(replace(plan, band=own), edges)


def beside_of(prepared: Prepared, spacing: Spacing, catalogue: Catalogue) -> tuple[Placement, ...]:
    """Place the second column and the hidden closure; their marks are numbered on from the row's.

    Args:
        prepared: with the second line.
        spacing: the row.
        catalogue: fasteners, cloths and rules.

    Raises:
        EdgeError: the level of the hidden closure does not meet the second line.
    """
    plan, laps, wish = prepared.plan, prepared.column, prepared.plan.column
    if wish is None or laps is None:
        return ()
    count = len(spacing.positions_mm)
    plain = replace(plan, column=None, anchors=(), clear=())
    row = replace(plain, closure=replace(plan.closure, spare=0, trial=0))
    fastener = prepared.fastener if wish.works else for_show(prepared.fastener)
    laps_of_show: list[frozenset[LapName]] = [] if wish.works else [frozenset(("over",))] * count
    found = [_placement(row, laps, fastener, spacing, count, catalogue, laps_of_show)]
    inner = wish.inner
    if inner is not None:
        closure = replace(
            plan.closure,
            kind=inner.kind,
            size=inner.size,
            cap_mm=None,
            grip_mm=None,
            thickness_mm=None,
            hole=inner.hole or plan.closure.hole,
            halves="turned",
        )
        along = spacing.positions_mm[0] if inner.level_mm is None else _at_level(laps, inner.level_mm)
        alone = Spacing((along,), (), 0.0, 0.0, 0.0, None, (), "the hidden closure")
        hidden = fastener_of(closure, catalogue, "column")
        found.append(_placement(replace(plain, closure=closure), laps, hidden, alone, 2 * count, catalogue, []))
    return tuple(found)


def for_show(fastener: Fastener) -> Fastener:
    """The part of a closure that shows, sewn to the over lap alone.

    Raises:
        EdgeError: it is no button.
    """
    if fastener.family != "button":
        raise EdgeError(
            f"a {fastener.kind} is not sewn on for show",
            where=in_section("column", "works"),
            mend="Write works = true, or take buttons.",
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


def _at_level(laps: Laps, level_mm: float) -> float:
    crossings = laps.line.crossings_of_level(level_mm + laps.level_zero_mm)
    if len(crossings) != 1:
        raise EdgeError(
            f"the level {level_mm:.1f} mm does not meet the second column once",
            where=in_section("column", "inner level"),
            mend="Write a level between those of both ends, or leave it out for that of the first mark.",
        )
    return crossings[0]


def _placement(
    plan: Plan,
    laps: Laps,
    fastener: Fastener,
    spacing: Spacing,
    after: int,
    catalogue: Catalogue,
    carried: list[frozenset[LapName]],
) -> Placement:
    rims = [fastener.rim_mm] * len(spacing.positions_mm)
    bare = replace(spacing, shifts=())
    marks = mark_row(plan, laps, rims, bare, (), catalogue, carried=carried)
    numbered = tuple(
        replace(
            mark,
            n=mark.n + after,
            over=None if mark.over is None else replace(mark.over, n=mark.n + after),
            under=None if mark.under is None else replace(mark.under, n=mark.n + after),
        )
        for mark in marks
    )
    return Placement(plan, laps, fastener, bare, numbered, (), ())
