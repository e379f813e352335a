"""Drawing: a placement as sheets for both laps, and the files they become.

Shapes are in mm and know no format; pages are arithmetic on rectangles; only the writers know
SVG, PDF and PNG, and each loads its library when it is first called.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.buttonhole import buttonhole_for
from closures.drawing.pdf import write_pdf
from closures.drawing.picture import write_picture
from closures.drawing.sheet import Sheet, lap_sheet
from closures.drawing.svg import write_svg

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.placement import Placement
    from closures.plan import Face

__all__ = ["Sheet", "draw_sheets", "lap_sheet", "write_pdf", "write_picture", "write_svg"]


def draw_sheets(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    face: Face = "outside",
) -> tuple[Sheet, Sheet]:
    """Draw both laps.

    Args:
        placement: the row and its garment, in mm, in the frame of the user's drawing.
        findings: what the checks found; failed ones are named on both sheets.
        catalogue: where the figures of a buttonhole are kept.
        face: which face of the cloth lies up when marking; "inside" turns both sheets over.

    Returns:
        The sheet of the over lap, then of the under lap.
    """
    buttonhole = buttonhole_for(placement.fastener, placement.plan.closure, catalogue)
    over = lap_sheet(placement, "over", face, findings, buttonhole)
    under = lap_sheet(placement, "under", face, findings, buttonhole)
    return (over, under)
