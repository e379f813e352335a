"""All sizes told: as figures for programs, and as a table file for the factory."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closures.jobs.sizes.sized import run_of
from closures.jobs.table.handover import HEADINGS, hand_over
from closures.lengths import format_length
from closures.report.figures import report_figures, sheet_figures
from closures.report.parts import count_parts, lengths_to_buy
from closures.report.telling import rounded
from closures.report.workshop import correction_figures

if TYPE_CHECKING:
    from closures.jobs.sizes.hold import Cost
    from closures.jobs.sizes.sized import Sized, Sizes
    from closures.jobs.table.printer import Correction


def sizes_json(
    sizes: Sizes,
    correction: Correction | None = None,
    more: Mapping[str, Any] | None = None,
    of_size: Mapping[str, Mapping[str, Any]] | None = None,
) -> bytes:
    """Write the report of all sizes as JSON, the same bytes for the same sizes.

    Args:
        sizes: placed.
        correction: how pages are stretched for one printer.
        more: what is said about the pages of all sizes together.
        of_size: the same of each size's own, by its name.
    """
    figures = sizes_figures(sizes) | correction_figures(correction) | dict(more or {})
    for size in figures["sizes"]:
        size |= (of_size or {}).get(size["size"], {})
    return (json.dumps(figures, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def sizes_figures(sizes: Sizes) -> dict[str, Any]:
    """Put all sizes into plain figures.

    Args:
        sizes: placed.

    Returns:
        The report of the base, and in it under ``sizes`` the report of each size. A size that could not be
        placed has ``refused`` in place of all figures.
    """
    wish = sizes.plan.sizes
    base, is_turned = sizes.base, sizes.base.placement.plan.is_turned
    return {
        **report_figures(base.placement, base.findings, base.sheets),
        "title": sizes.plan.title,
        "run": run_of(sizes),
        "base": sizes.base_name,
        "shown": base.name,
        "hold": None if wish is None else wish.hold,
        "held": {"count": sizes.held.count, "pitch_mm": rounded(sizes.held.pitch_mm)},
        "one_count": None
        if sizes.one_count is None
        else {"count": sizes.one_count.count, "departure_mm": rounded(sizes.one_count.departure_mm)},
        "result": sizes.result,
        "sizes": [
            {
                "size": size.name,
                "kept": size.kept,
                "result": size.result,
                **report_figures(size.placement, size.findings, size.sheets),
                "costs": [_cost(cost) for cost in size.costs],
            }
            if not hasattr(size, "why")
            else {"size": size.name, "refused": size.why, "costs": [_cost(cost) for cost in size.costs]}
            for size in sizes.all
        ],
        "run_parts": [
            {"part": part, "lap": lap, "count": count, "total": total} for part, lap, count, total in run_parts(sizes)
        ],
        "nest": [
            {**sheet_figures(sheet, is_turned), "layers": list(sheet.layers.names) if sheet.layers else []}
            for sheet in sizes.nest
        ],
    }


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        "kept": cost.kept,
        "refused": cost.refused or None,
        "count": cost.count,
        "smallest_mm": rounded(cost.smallest_mm),
        "largest_mm": rounded(cost.largest_mm),
        "spread_mm": rounded(cost.spread_mm),
        "departure_mm": rounded(cost.departure_mm),
        "shift_mm": rounded(cost.shift_mm),
        "result": None if cost.refused else cost.result,
    }


def run_parts(sizes: Sizes) -> list[tuple[str, str, int, int]]:
    """Count the parts of one garment of each size together: part, lap, for the marks, in all.

    Spare and trial pieces are counted for every garment, as the plan asks.
    """
    counted: dict[tuple[str, str], tuple[int, int]] = {}
    for size in sizes.placed:
        for part in count_parts(size.placement):
            count, total = counted.get((part.named, part.lap), (0, 0))
            counted[part.named, part.lap] = (count + part.count, total + part.total)
    return [(part, lap, *numbers) for (part, lap), numbers in counted.items()]


def parts_of_size(size: Sized) -> tuple[tuple[str, str], ...]:
    """The parts of one garment of a size, each with the number to have, or with how long a piece."""
    units = size.placement.plan.units
    counted = ((f"{part.named}, {part.lap}", str(part.total)) for part in count_parts(size.placement))
    return (*counted, *((what, format_length(mm, units)) for what, mm in lengths_to_buy(size.placement)))


def sizes_csv(sizes: Sizes) -> bytes:
    """Write every mark of every size on both laps as a table file: commas, UTF-8, one heading row."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(("size", *HEADINGS))
    for size in sizes.placed:
        rows.writerows((size.name, *row) for row in hand_over(size.placement, sizes.catalogue).rows)
    return text.getvalue().encode()
