"""Finished results are read back before they go anywhere: what does not keep what was promised, goes nowhere."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement
    from closures.verifying.promises import Promises, SlitPromised


def require_sound_results(placement: Placement, files: Mapping[str, bytes], catalogue: Catalogue) -> None:
    """Refuse finished files that do not keep what they must.

    Args:
        placement: for what was asked; not for where anything lies.
        files: name to content; one of them the report.
        catalogue: where the figures of a buttonhole are kept.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.verifying.verify import require_sound

    require_sound(files, promises_of(placement, catalogue))


def require_sound_size_results(
    placements: Mapping[str, Placement], files: Mapping[str, bytes], catalogue: Catalogue
) -> None:
    """The same of the files of several sizes, by the names of the sizes.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.verifying.verify import require_sound_sizes

    require_sound_sizes(files, {name: promises_of(placement, catalogue) for name, placement in placements.items()})


def require_sound_cutter_results(placement: Placement, files: Mapping[str, bytes]) -> None:
    """Refuse files for a cutter whose points are not the marks.

    Raises:
        UnsoundError: something in them is wrong.
    """
    from closures.report.figures import report_figures
    from closures.verifying.cutter import require_sound_cutter

    require_sound_cutter(files, report_figures(placement, (), ()))


def promises_of(placement: Placement, catalogue: Catalogue) -> Promises:
    """What the plan asks of its row; its buttonholes alone on a strap, and where marks were told."""
    from closures.verifying.promises import AnchorPromised, Promises, ZonePromised

    plan = placement.plan
    slits = _slits_of(placement, catalogue)
    if plan.spacing is None or placement.strap is not None or placement.washed is not None or plan.speaks_of_old:
        return Promises(slits=slits)

    spacing = plan.spacing
    first, last = spacing.ends
    least = placement.least_pitch_mm
    odd = plan.sheets is not None and plan.sheets.closing == "wide gap"
    rim = placement.rim_mm
    met = {anchor.name: anchor.along_mm for anchor in placement.anchors}
    return Promises(
        (first.low_mm, first.high_mm),
        (last.low_mm, last.high_mm),
        max(least, spacing.closest_mm or 0.0),
        math.inf if spacing.widest_mm is None or odd else spacing.widest_mm,
        spacing.count,
        tuple(
            AnchorPromised(
                wish.name, wish.within_mm, wish.level_mm, wish.along_mm if wish.at is None else met[wish.name]
            )
            for wish in plan.anchors
        ),
        tuple(
            ZonePromised(
                zone.name,
                rim if zone.room == "rim" else 0.0,
                None if zone.level_mm is None else (zone.level_mm.low_mm, zone.level_mm.high_mm),
                None if zone.along_mm is None else (zone.along_mm.low_mm, zone.along_mm.high_mm),
                zone.room == "rim",
            )
            for zone in plan.clear
        ),
        slits,
    )


def _slits_of(placement: Placement, catalogue: Catalogue) -> dict[tuple[str, int], SlitPromised]:
    """The buttonhole of every mark that has one, as the user's own drawing lies: a plan of the other face turns it."""
    from closures.placing.buttonhole import slits_of
    from closures.verifying.promises import SlitPromised

    turn = -1.0 if placement.plan.is_turned else 1.0
    found: dict[tuple[str, int], SlitPromised] = {}
    for at, slit in slits_of(placement, catalogue).items():
        (a, b), (c, d) = slit.ends_mm
        found[at] = SlitPromised(slit.way, ((turn * a, b), (turn * c, d)))
    return found
