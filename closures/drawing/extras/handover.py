"""One page for a colleague or a factory."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.page_sheet import TEXT_WIDTH_MM, Page, cells, extra_sheet, paged, text_block
from closures.drawing.ink.shapes import FINE, Item, moved, strokes
from closures.drawing.paper.column import Block
from closures.jobs.table.handover import hand_over, handover_csv
from closures.lengths import format_length, format_mm

if TYPE_CHECKING:
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.table.handover import Handover
    from closures.placing.placement import Placement

_COLUMNS = (0.0, 13.0, 36.0, 60.0, 80.0, 98.0)
_ROW_MM = 4.6
_ROWS = 30


def handover_sheets(placement: Placement, handover: Handover, failures: str) -> tuple[Sheet, ...]:
    """Set what is handed over on a page, or on more where the row is long."""
    # In mm alone: a sixteenth of an inch would allow more than it says.
    within = f"± {format_mm(handover.tolerance_mm)} on its own lap, so that the halves meet"
    measured = (*handover.measured, f"Tolerance of every centre: {within} (our own rule; {handover.tolerance_source}).")
    blocks = [
        text_block("How measured", measured),
        text_block("Parts", (*handover.sizes, *(_parts(placement)))),
        text_block(
            "Layers under one closure", [f"{lap} lap: {'; '.join(rows)}" for lap, rows in handover.layers.items()]
        ),
        *_tables(placement),
    ]
    pages = paged(blocks)
    return tuple(
        extra_sheet(
            placement, Page("handover" if n == 1 else f"handover-{n}", "HANDING OVER — both laps", failures), items
        )
        for n, items in enumerate(pages, 1)
    )


def _parts(placement: Placement) -> list[str]:
    rows = []
    for lap in placement.laps.both:
        names = " + ".join(part.name for part in placement.fastener.parts_on(lap.name)) or "buttonhole"
        side = f", {lap.whose}" if lap.whose else ""
        count = sum(1 for mark in placement.marks if mark.on(lap.name))
        rows.append(f"{lap.name} lap{side}: {count} × ({names})")
    return rows


def _tables(placement: Placement) -> list[Block]:
    own = placement.plan.units
    other = "in" if own == "mm" else "mm"
    heads = (
        "mark",
        f"from {placement.ends[0]}, {own}",
        f"the same, {other}",
        f"level, {own}",
        f"over, {own}",
        f"under, {own}",
    )
    rows = []
    for mark in placement.marks:
        edges = ["" if lap is None else _bare(lap.edge_distance_mm, own) for lap in (mark.over, mark.under)]
        along = [_bare(mark.along_mm, units) for units in (own, other)]
        rows.append((str(mark.n), *along, _bare(mark.level_mm, own), *edges))
    blocks = []
    for k in range(0, len(rows), _ROWS):
        part = rows[k : k + _ROWS]
        title = text_block(
            "Where each centre lies (over, under: from that lap's edge)"
            if k == 0
            else "Where each centre lies, continued",
            (),
        )
        items: list[Item] = [*title.items, *cells([heads], _COLUMNS, 9.4, _ROW_MM, "semibold")]
        items += cells(part, _COLUMNS, 9.4 + 0.6 + _ROW_MM, _ROW_MM)
        rules = [((0.0, 11.0 + _ROW_MM * i), (TEXT_WIDTH_MM, 11.0 + _ROW_MM * i)) for i in range(len(part) + 1)]
        items.append(strokes([((x0, y0 + 0.3), (x1, y1 + 0.3)) for (x0, y0), (x1, y1) in rules], FINE))
        blocks.append(Block(12.0 + _ROW_MM * len(part), tuple(moved(item, 0.0, 0.0) for item in items)))
    return blocks


def _bare(mm: float, units: str) -> str:
    return format_length(mm, units).removesuffix(f" {units}")


def _sheets(drawn: Drawn) -> tuple[Sheet, ...]:
    return handover_sheets(drawn.placement, hand_over(drawn.placement, drawn.catalogue), drawn.failures)


def _files(drawn: Drawn) -> dict[str, bytes]:
    return {"handover.csv": handover_csv(hand_over(drawn.placement, drawn.catalogue))}


EXTRA = Extra(
    "handover",
    "a page for a colleague or a factory, and handover.csv",
    70,
    *switched("handover"),
    sheets=_sheets,
    files=_files,
)
