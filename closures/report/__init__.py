"""A placement told: as figures for programs, as a page for the table, as text for a terminal."""

from closures.report.edge_listing import edges_json, list_edges_text
from closures.report.figures import report_figures, report_json
from closures.report.listing import list_kinds, list_sizes
from closures.report.offers import swap_figures, swap_terminal, taken_terminal
from closures.report.page import report_page
from closures.report.terminal import report_terminal

__all__ = [
    "edges_json",
    "list_edges_text",
    "list_kinds",
    "list_sizes",
    "report_figures",
    "report_json",
    "report_page",
    "report_terminal",
    "swap_figures",
    "swap_terminal",
    "taken_terminal",
]
