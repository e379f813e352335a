"""A sheet for a colleague or a factory, and the same as a table file."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from closures.checks.finding import share_in_words
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.paper.words import Chapter, Section, Table
from closures.jobs.swap.patches import parts_outside
from closures.jobs.table.handover import hand_over, handover_csv
from closures.lengths import format_length, format_mm
from closures.placing.column import FOR_SHOW
from closures.placing.marking import are_along_alike
from closures.placing.nothing_set import nothing_set
from closures.placing.role import HELPER, face_of, from_edge, role_of, told_role
from closures.placing.taped import taped_in_words

if TYPE_CHECKING:
    from closures.catalogue.values import LapName
    from closures.placing.marking import Mark
    from closures.placing.placement import Placement
    from closures.plan.top import Units


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    placement = drawn.placement
    handover = hand_over(placement, drawn.catalogue)
    # In mm alone: a sixteenth of an inch would allow more than it says.
    within = f"± {format_mm(handover.tolerance_mm)} on its own lap, so that the halves meet"
    unset = nothing_set(placement)
    measured = (
        *(() if unset is None else (unset.hand_over,)),
        *handover.measured,
        *(() if unset is not None else drawn.marked_within),
        f"Tolerance of every centre: {within} ({handover.tolerance_source}).",
    )
    layers = tuple(f"{lap} lap: {'; '.join(rows)}" for lap, rows in handover.layers.items())
    sections = (
        Section("How measured", measured),
        Section("Parts", (*handover.sizes, *_parts(placement, _cut_already(drawn)), *taped_in_words(placement))),
        Section("Layers under one closure", layers),
    )
    return (Chapter("Handing over, both laps", (*sections, _table(placement)), own_sheet=True),)


def _cut_already(drawn: Drawn) -> frozenset[int]:
    """Numbers of the marks whose buttonhole is there already, and serves a new button again."""
    swap = drawn.swap
    return frozenset() if swap is None or not swap.old.made else frozenset(mark for mark, _ in swap.offer.reused)


def _parts(placement: Placement, cut_already: frozenset[int]) -> list[str]:
    rows = []
    for lap in placement.laps.both:
        side = f", {lap.whose}" if lap.whose else ""
        for share in placement.shares:
            if not share.on(lap.name):
                continue
            names = " + ".join(part.name for part in share.fastener.parts_on(lap.name)) or "buttonhole"
            which = f", {share_in_words(share)}" if placement.is_mixed else ""
            new = [mark.n for mark in share.new_on(lap.name) if mark.n not in placement.sewn_apart]
            serves = 0 if share.fastener.parts_on(lap.name) else sum(n in cut_already for n in new)
            fresh = len(new) - serves
            rows += [f"{lap.name} lap{side}: {serves} × (old buttonhole) there already, serves again"] if serves else []
            there = len(share.on(lap.name)) - len(share.new_on(lap.name))
            held = ", planned and held back" if placement.is_withheld else ""
            rows += [f"{lap.name} lap{side}: {fresh} × ({names}){which}{held}"] if fresh else []
            rows += [f"{lap.name} lap{side}: {there} × ({names}) there already, not to be set"] if there else []
        besides = (*parts_outside(placement), *placement.besides)
        held = ", planned and held back" if placement.is_withheld else ""
        rows += [f"{lap.name} lap{side}: {count} × {part}{held}" for part, on, count in besides if on == lap.name]
    return rows


def _table(placement: Placement) -> Table:
    own = placement.plan.units
    other: Units = "in" if own == "mm" else "mm"
    start, has_own_line = placement.ends[0], not are_along_alike(placement.all_marks)
    along = [f"from {start}, {own}", f"the same, {other}"]
    if has_own_line:
        along = [f"over lap from {start}, {own}", f"the same, {other}", f"under lap from {start}, {own}"]
        along.append(f"the same, {other}")
    head = ("mark", *along, f"level, {own}", f"over, {own}", f"under, {own}", "what it is")
    rows, show = [], partial(_bare, units=own)
    for mark in placement.all_marks:
        edges = [from_edge(placement, mark, lap, show) for lap in ("over", "under")]
        cells = [_bare(mark.along_mm, units) for units in (own, other)]
        if has_own_line:
            cells += ["" if mark.under is None else _bare(mark.under.along_mm, units) for units in (own, other)]
        rows.append((str(mark.n), *cells, _bare(mark.level_mm, own), *edges, _role(placement, mark)))
    heading = "Where each centre lies (over, under: from that lap's edge)"
    if any(mark.level_mm < 0 for mark in placement.all_marks):
        heading = "Where each centre lies (over, under: from that lap's edge; a level below 0 lies above its zero)"
    return Table(heading, head, tuple(rows), (2.0, *([3.4] * len(along)), 2.6, 3.6, 3.6, 4.4), wide=True)


def _role(placement: Placement, mark: Mark) -> str:
    """What a mark is; of one that is hidden or for show, where its part is sewn on."""
    role, told = role_of(placement, mark.n), told_role(placement, mark.n)
    if role == HELPER:
        return f"{told}, {placement.fastener_of(mark.n).name}, on the inner faces"
    if role not in ("hidden", FOR_SHOW):
        return told
    sewn: LapName = "over" if placement.fastener_of(mark.n).parts_on("over") else "under"
    return f"{told}: {face_of(placement, mark.n, sewn)} of {sewn} lap"


def _bare(mm: float, units: Units) -> str:
    return format_length(mm, units).removesuffix(f" {units}").replace("-", "−")


def _files(drawn: Drawn) -> dict[str, bytes]:
    return {"handover.csv": handover_csv(hand_over(drawn.placement, drawn.catalogue))}


EXTRA = Extra(
    "handover",
    "a page for a colleague or a factory, and handover.csv",
    70,
    *switched("handover"),
    chapters=_chapters,
    files=_files,
)
