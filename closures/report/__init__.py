"""A placement told: as figures for programs, as a page for the table, as text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.handing_on import handing_on

if TYPE_CHECKING:
    from closures.report.edge_listing import edges_json, list_edges_text
    from closures.report.figures import report_figures, report_json
    from closures.report.fit import fit_figures, fit_section, fit_terminal
    from closures.report.listing import list_kinds, list_sizes
    from closures.report.offers import swap_figures, swap_terminal, taken_terminal
    from closures.report.page import report_page
    from closures.report.sizes import parts_of_size, sizes_csv, sizes_figures, sizes_json
    from closures.report.sizes_words import sizes_page, sizes_terminal
    from closures.report.terminal import report_terminal
    from closures.report.workshop import workshop_figures, workshop_sections

__all__ = [
    "edges_json",
    "fit_figures",
    "fit_section",
    "fit_terminal",
    "list_edges_text",
    "list_kinds",
    "list_sizes",
    "parts_of_size",
    "report_figures",
    "report_json",
    "report_page",
    "report_terminal",
    "sizes_csv",
    "sizes_figures",
    "sizes_json",
    "sizes_page",
    "sizes_terminal",
    "swap_figures",
    "swap_terminal",
    "taken_terminal",
    "workshop_figures",
    "workshop_sections",
]

__getattr__ = handing_on(
    __name__,
    {
        "closures.report.edge_listing": ("edges_json", "list_edges_text"),
        "closures.report.figures": ("report_figures", "report_json"),
        "closures.report.fit": ("fit_figures", "fit_section", "fit_terminal"),
        "closures.report.listing": ("list_kinds", "list_sizes"),
        "closures.report.offers": ("swap_figures", "swap_terminal", "taken_terminal"),
        "closures.report.page": ("report_page",),
        "closures.report.sizes": ("parts_of_size", "sizes_csv", "sizes_figures", "sizes_json"),
        "closures.report.sizes_words": ("sizes_page", "sizes_terminal"),
        "closures.report.terminal": ("report_terminal",),
        "closures.report.workshop": ("workshop_figures", "workshop_sections"),
    },
)
