"""Why a swap cannot work as it stands, and what was tried that would make it work."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.rules import check
from closures.errors import ClosureError
from closures.placing.placement import place_on, prepare
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.edges.reading import Edges
    from closures.jobs.swap.needs import LapNeed
    from closures.jobs.swap.offer import Offer
    from closures.plan.plan import Plan

_MOST_SIZES = 4


def why_none_works(offers: Sequence[Offer]) -> tuple[str, ...]:
    """Say why every offer fails a check; empty where one fails none.

    What fails in all of them is told once; where they fail differently, the best of them is told.
    """
    if any(offer.result != "fail" for offer in offers):
        return ()
    failed = [{(f.rule, f.lap) for f in offer.findings if f.result == "fail"} for offer in offers]
    shared = set.intersection(*failed)
    told = min(offers, key=lambda offer: sum(f.result == "fail" for f in offer.findings))
    chosen = shared or {(f.rule, f.lap) for f in told.findings if f.result == "fail"}
    sentences: dict[tuple[str, str | None], str] = {}
    for finding in told.findings:
        place = (finding.rule, finding.lap)
        if finding.result == "fail" and place in chosen:
            lap = f", {finding.lap} lap" if finding.lap else ""
            sentences.setdefault(place, f"{finding.rule}{lap}: {finding.text}")
    return tuple(sentences.values())


def what_would_work(
    plan: Plan, edges: Edges, catalogue: Catalogue, offers: Sequence[Offer], needs: Sequence[LapNeed]
) -> tuple[str, ...]:
    """Try single changes until some make an offer pass, and tell those.

    Args:
        plan: the plan, after any change of the pattern.
        edges: its edges.
        catalogue: fasteners, cloths, rules.
        offers: the offers, all of which fail.
        needs: what the laps lack.

    Returns:
        Sentences; each was tried, and left an offer without a failed check.
    """
    rows = [offer.places_mm for offer in offers]
    found = []
    show = shown_beside(plan.units)
    grow = max((need.grow_mm for need in needs), default=0.0)
    widen = max((need.widen_mm for need in needs), default=0.0)
    if grow or widen:
        step = math.ceil(grow * 10 - 1e-9) / 10
        behind = math.ceil(widen * 10 - 1e-9) / 10
        if _works(_wider(plan, step, behind), edges, catalogue, rows):
            pieces = " and ".join(need.pieces for need in needs if need.grow_mm or need.widen_mm)
            parts = [f"{show(step)} past the closing line"] if step else []
            parts += [f"{show(behind)} behind it"] if behind else []
            found.append(f"Laps wider by {' and '.join(parts)}: {pieces}.")
    sizes = list(_sizes_that_work(plan, edges, catalogue, rows))
    if sizes:
        found.append(f"Another closure: {', '.join(sizes)}.")
    return tuple(found)


def _wider(plan: Plan, reach_mm: float, behind_mm: float) -> Plan:
    band = plan.band
    if band is None:
        return plan
    more = reach_mm + behind_mm
    return replace(
        plan,
        band=replace(
            band,
            width_mm=band.width_mm + more,
            under_width_mm=band.under_width_mm + more,
            inset_mm=band.inset_mm + reach_mm,
            under_inset_mm=band.under_inset_mm + reach_mm,
        ),
    )


def _sizes_that_work(
    plan: Plan, edges: Edges, catalogue: Catalogue, rows: Sequence[tuple[float, ...]]
) -> Iterator[str]:
    wished = catalogue.fastener(plan.closure.kind, plan.closure.size, cap_mm=plan.closure.cap_mm)

    def far(other: Fastener) -> tuple[bool, float]:
        return (other.kind != wished.kind, abs(other.cap_mm - wished.cap_mm))

    told = 0
    for other in sorted((f for f in catalogue.fasteners if f.family == wished.family), key=far):
        closure = replace(plan.closure, kind=other.kind, size=other.size, cap_mm=None, grip_mm=None)
        if _works(replace(plan, closure=closure), edges, catalogue, rows):
            yield other.name
            told += 1
        if told == _MOST_SIZES:
            return


def _works(plan: Plan, edges: Edges, catalogue: Catalogue, rows: Sequence[tuple[float, ...]]) -> bool:
    """Whether any of these rows passes every check with a changed plan."""
    try:
        prepared = prepare(plan, edges, catalogue)
        return any(
            all(finding.result != "fail" for finding in check(place_on(prepared, row, catalogue), catalogue))
            for row in dict.fromkeys(rows)
            if row[-1] <= prepared.laps.line.length_mm
        )
    except ClosureError:
        return False
