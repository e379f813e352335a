"""A placement as sheets for both laps."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.advice import advise
from closures.drawing.sheets.sheet import lap_sheet
from closures.placing.buttonhole import buttonhole_for

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.sizes.sized import Sizes
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.band import Face


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
    buttonhole = buttonhole_for(placement.fastener, placement.plan, catalogue)
    signs = advise(placement, findings, catalogue, swap).signs
    if placement.strap is not None:
        from closures.drawing.sheets.strap_sheet import strap_sheets

        return _with_signs(strap_sheets(placement, face, findings, buttonhole, whole), signs)
    over = lap_sheet(placement, "over", face, findings, buttonhole, swap)
    under = lap_sheet(placement, "under", face, findings, buttonhole, swap)
    return _with_signs((over, under), signs)


def _with_signs(sheets: tuple[Sheet, ...], signs: Mapping[str, str]) -> tuple[Sheet, ...]:
    """Let the key of each sheet say how this cloth is marked."""
    told = tuple(signs.items())
    return tuple(replace(sheet, telling=replace(sheet.telling, sign_words=told)) for sheet in sheets)


def draw_sizes(sizes: Sizes, face: Face = "outside") -> Sizes:
    """Draw the sheets of every size, and the nest of all.

    Args:
        sizes: placed.
        face: which face of the cloth lies up when marking; "inside" turns all sheets over.

    Returns:
        The same with its sheets.
    """
    from closures.drawing.sheets.nest import nest_sheet, size_slugs
    from closures.jobs.sizes.sized import Sized

    slugs = size_slugs(sizes)
    drawn = tuple(
        replace(
            size,
            sheets=tuple(
                replace(sheet, stem=f"{sheet.lap}-{slugs[size.name]}")
                for sheet in draw_sheets(size.placement, size.findings, sizes.catalogue, face)
            ),
        )
        if isinstance(size, Sized)
        else size
        for size in sizes.all
    )
    sizes = replace(sizes, all=drawn)
    signs = advise(sizes.base.placement, sizes.base.findings, sizes.catalogue).signs
    over, under = _with_signs((nest_sheet(sizes, "over", face), nest_sheet(sizes, "under", face)), signs)
    return replace(sizes, nest=(over, under))
