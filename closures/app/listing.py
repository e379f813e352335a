"""What a drawing holds, and the sheet for photos: the jobs that come before there is a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import PlanError

if TYPE_CHECKING:
    from closures.edges.listing import Listing

# Enough to read the numbers on a screen: some 1000 dots for the longer side.
_DOTS_PER_MM = 4


def edges_of(data: bytes, where: str) -> Listing:
    """List what in a drawing could be an edge.

    Args:
        data: the bytes of the drawing.
        where: its name, for messages.

    Raises:
        DrawingError: it cannot be read, or holds nothing.
    """
    from closures.edges.listing import list_edges

    return list_edges(data, where)


def edges_picture(listing: Listing, suffix: str = ".png") -> bytes:
    """Draw what a drawing holds with numbers on the lines, as a PNG or an SVG by the end of its name.

    Raises:
        OutputError: pictures cannot be made here.
    """
    from closures.drawing.extras.edge_picture import edge_picture
    from closures.drawing.write.picture import picture_as
    from closures.drawing.write.svg import write_shapes
    from closures.report.edge_listing import MOST_SHOWN

    width, height, items = edge_picture(listing, MOST_SHOWN)
    return picture_as(write_shapes(listing.where, width, height, items), suffix, round(_DOTS_PER_MM * width))


def marker_sheet(paper: str) -> bytes:
    """Make the sheet of markers that is laid into a photo, as a PDF.

    Args:
        paper: "a4" or "letter".

    Raises:
        PlanError: there is no such sheet.
        DrawingError: the package that brings the markers is not installed.
    """
    from closures.drawing.extras.marker_sheet import marker_page
    from closures.drawing.write.pdf import write_pages
    from closures.edges.scan.markers import PAPERS_MM

    if paper not in PAPERS_MM:
        raise PlanError(f"there is no marker sheet on '{paper}'", where="--paper", mend="Write a4 or letter.")
    return write_pages([marker_page(paper)], "Marker sheet for photos")
