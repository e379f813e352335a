"""Drawing: a placement as sheets for both laps, and the files they become.

Shapes are in mm and know no format; pages are arithmetic on rectangles; only the writers know
SVG, PDF and PNG, and each loads its library when it is first called.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.buttonhole import buttonhole_for
from closures.drawing.offers import draw_offers
from closures.drawing.pdf import write_pdf
from closures.drawing.picture import write_picture
from closures.drawing.sheet import Sheet, lap_sheet
from closures.drawing.strap_sheet import strap_sheets
from closures.drawing.svg import write_svg

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.placement import Placement
    from closures.plan import Face
    from closures.swap import Swap

__all__ = ["Sheet", "draw_offers", "draw_sheets", "lap_sheet", "write_pdf", "write_picture", "write_svg"]


def draw_sheets(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    face: Face = "outside",
    whole: bool = False,
    swap: Swap | None = None,
) -> tuple[Sheet, ...]:
    """Draw both laps.

    Args:
        placement: the row and its garment, in mm, in the frame of the user's drawing.
        findings: what the checks found; failed ones are named on both sheets.
        catalogue: where the figures of a buttonhole are kept.
        face: which face of the cloth lies up when marking; "inside" turns both sheets over.
        whole: draw a strap without a break, however long it is; for paper on a roll.
        swap: the closures that were there before, None where there were none.

    Returns:
        The sheet of the over lap, then of the under lap; of a pair the left piece's, then the right's.
    """
    buttonhole = buttonhole_for(placement.fastener, placement.plan.closure, catalogue)
    if placement.strap is not None:
        return strap_sheets(placement, face, findings, buttonhole, whole)
    over = lap_sheet(placement, "over", face, findings, buttonhole, swap)
    under = lap_sheet(placement, "under", face, findings, buttonhole, swap)
    return (over, under)
