"""When a gap misses the pitch that a plan tells, so that it is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import TOLD_ALIKE_MM

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.plan.spacing import SpacingWish


def misses_pitch(gap_mm: float, pitch_mm: float, told: SpacingWish | None, catalogue: Catalogue) -> bool:
    """Whether a gap is further from the pitch than a row shows, and past the limits that the plan tells itself.

    Args:
        gap_mm, pitch_mm: of one state of the cloth.
        told: what the plan says of the row; a `widest` and a `closest` in it are gaps that its user takes.
        catalogue: where the limit is kept.
    """
    by = catalogue.rule("pitch missed").value.value * pitch_mm
    least, most = pitch_mm - by, pitch_mm + by
    if told is not None and told.pitch_mm:
        scale = pitch_mm / told.pitch_mm
        if told.widest_mm is not None and not told.is_widest_usual:
            most = max(most, told.widest_mm * scale)
        if told.closest_mm is not None:
            least = min(least, told.closest_mm * scale)
    return not least - TOLD_ALIKE_MM <= gap_mm <= most + TOLD_ALIKE_MM
