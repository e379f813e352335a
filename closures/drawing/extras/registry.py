"""All further pages and files that a plan asks for, in the order in which they are used at the table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from closures.drawing.extras.backing import backing_sheets
from closures.drawing.extras.bands import band_sheets
from closures.drawing.extras.coupon import coupon_sheets
from closures.drawing.extras.handover import handover_sheets
from closures.drawing.extras.order import order_sheets
from closures.drawing.extras.projector import projector_svg
from closures.drawing.extras.stencil import stencil_svg
from closures.drawing.extras.strip import strip_sheets
from closures.drawing.extras.tags import tag_sheets
from closures.drawing.sheets.sheet import Sheet, failures_in_words
from closures.drawing.write.pdf import write_pdf
from closures.jobs.table.backing import back_laps
from closures.jobs.table.bands import band_pieces
from closures.jobs.table.counting import closing_scheme
from closures.jobs.table.handover import hand_over, handover_csv
from closures.jobs.table.profiles import halves_in_words, profile_notes
from closures.jobs.table.transfer import ways_to_mark
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement


def further_sheets(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue) -> tuple[Sheet, ...]:
    """Draw the further pages.

    Args:
        placement: the closures as placed.
        findings: what the checks found.
        catalogue: where figures are kept.

    Returns:
        Sheets for the file of pages; none where the plan asks for none.

    Raises:
        EdgeError: pieces of bands cannot be made.
    """
    wish = placement.plan.sheets
    failures = failures_in_words(findings)
    sheets: list[Sheet] = []
    along_edge = placement.strap is None
    if along_edge:
        sheets += band_sheets(placement, band_pieces(placement), failures)
    if wish is None:
        return tuple(sheets)
    if along_edge:
        sheets += backing_sheets(placement, back_laps(placement, findings), failures)
    if wish.coupon:
        buttonhole = buttonhole_for(placement.fastener, placement.plan.closure, catalogue)
        sheets += coupon_sheets(placement, failures, buttonhole)
    if wish.order:
        notes = profile_notes(placement.plan, catalogue)
        sheets += order_sheets(
            placement, failures, ways_to_mark(placement, catalogue), halves_in_words(placement, catalogue), notes
        )
    if wish.strip and along_edge:
        sheets += strip_sheets(placement, failures)
    scheme = closing_scheme(placement) if along_edge else None
    if scheme is not None and scheme.labels:
        sheets += tag_sheets(placement, scheme, failures)
    if wish.handover and along_edge:
        sheets += handover_sheets(placement, hand_over(placement, catalogue), failures)
    return tuple(sheets)


def further_files(placement: Placement, sheets: Sequence[Sheet], catalogue: Catalogue) -> dict[str, bytes]:
    """Make the files that a plan asks for besides the pages: for cutters, projectors, rolls, and to hand over.

    Args:
        placement: the closures as placed.
        sheets: the marking templates.
        catalogue: where figures are kept.

    Returns:
        Name to content. None of it is stretched for a printer: a roll is printed elsewhere.
    """
    wish = placement.plan.sheets
    made: dict[str, bytes] = {}
    if wish is None:
        return made
    laps = () if placement.strap is not None else placement.laps.both
    if wish.stencil:
        made |= {f"{lap.name}-stencil.svg": stencil_svg(placement, lap.name) for lap in laps}
    if wish.projector:
        made |= {f"{lap.name}-projector.svg": projector_svg(placement, lap.name) for lap in laps}
    if wish.roll:
        made["roll.pdf"] = write_pdf(sheets, catalogue.paper("roll"))
    if wish.handover and laps:
        made["handover.csv"] = handover_csv(hand_over(placement, catalogue))
    return made
