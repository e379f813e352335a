"""A pattern fitted to one wearer, told beside the printed one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.lengths import TOLD_ALIKE_MM, format_length
from closures.report.telling import number_of, rounded
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.jobs.sizes.wearer import Fit, Moved
    from closures.plan.top import Units


def fit_figures(fit: Fit) -> dict[str, Any]:
    """Put what a wearer's measures came to into plain figures, every length in mm."""
    wish = fit.wish
    return {
        "size": wish.size,
        "bust_level_mm": rounded(wish.bust_level_mm),
        "waist_level_mm": rounded(wish.waist_level_mm),
        "bust_girth_mm": rounded(wish.bust_girth_mm),
        "longer": [
            {"line": one.line, "level_mm": rounded(one.level_mm), "by_mm": rounded(one.by_mm)} for one in wish.longer
        ],
        "changes": list(fit.changes),
        "printed_count": None if fit.printed is None else len(fit.printed.marks),
        "moved": [
            {
                "n": one.n,
                "along_mm": rounded(one.along_mm),
                "level_mm": rounded(one.level_mm),
                "printed_along_mm": rounded(one.printed_along_mm),
                "printed_level_mm": rounded(one.printed_level_mm),
                "by_mm": rounded(one.by_mm),
            }
            for one in fit.moved
        ],
    }


def fit_section(fit: Fit, units: Units, ends: tuple[str, str]) -> str:
    """Write what moved as a section of the report's page."""
    rows = ["## Fitted to the wearer", "", *(f"- {change}" for change in fit.changes), ""]
    rows += [f"| mark | printed, {units} | fitted, {units} | moved, {units} |", "|---:|---:|---:|---:|"]
    for one in fit.moved:
        rows.append(f"| {one.n} | {' | '.join(_cells(one, units))} |")
    rows += ["", f"Along the closing line from the {ends[0]}; a plus sign is towards the {ends[1]}."]
    if fit.printed is not None and len(fit.printed.marks) > len(fit.moved):
        gone = [str(mark.n) for mark in fit.printed.marks[len(fit.moved) :]]
        rows += ["", f"Printed marks {', '.join(gone)} are not used."]
    return "\n".join(rows)


def fit_terminal(fit: Fit, units: Units) -> str:
    """Write what moved for a terminal, without a final line break."""
    rows = [("mark", f"printed, {units}", f"fitted, {units}", f"moved, {units}")]
    rows += [(str(one.n), *_cells(one, units)) for one in fit.moved]
    lines = text_table(rows, right=range(4))
    return "\n".join(("Fitted to the wearer:", *(f"- {change}" for change in fit.changes), "", *lines))


def _cells(one: Moved, units: Units) -> tuple[str, str, str]:
    if one.printed_along_mm is None or one.by_mm is None:
        return ("-", number_of(one.along_mm, units), "new")
    if abs(one.by_mm) < TOLD_ALIKE_MM:
        return (number_of(one.printed_along_mm, units), number_of(one.along_mm, units), "0")
    sign = "+" if one.by_mm > 0 else "−"
    return (
        number_of(one.printed_along_mm, units),
        number_of(one.along_mm, units),
        sign + format_length(abs(one.by_mm), units).removesuffix(f" {units}"),
    )
