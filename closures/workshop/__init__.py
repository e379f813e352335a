"""What lies between a placement and a set closure: backing, bands, strips, tables, and whether the print is true."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.handing_on import handing_on

if TYPE_CHECKING:
    from closures.workshop.backing import Backing, BackingPiece, back_laps
    from closures.workshop.bands import BandPiece, band_pieces
    from closures.workshop.counting import Scheme, closing_scheme
    from closures.workshop.handover import Handover, hand_over, handover_csv
    from closures.workshop.printer import Correction, PrintVerdict, correction_for, judge_print
    from closures.workshop.profiles import halves_in_words, profile_notes
    from closures.workshop.request import ALSO, asked_for
    from closures.workshop.strip import Stride, stride_mm, strides
    from closures.workshop.transfer import ways_to_mark

__all__ = [
    "ALSO",
    "Backing",
    "BackingPiece",
    "BandPiece",
    "Correction",
    "Handover",
    "PrintVerdict",
    "Scheme",
    "Stride",
    "asked_for",
    "back_laps",
    "band_pieces",
    "closing_scheme",
    "correction_for",
    "halves_in_words",
    "hand_over",
    "handover_csv",
    "judge_print",
    "profile_notes",
    "stride_mm",
    "strides",
    "ways_to_mark",
]

__getattr__ = handing_on(
    __name__,
    {
        "closures.workshop.backing": ("Backing", "BackingPiece", "back_laps"),
        "closures.workshop.bands": ("BandPiece", "band_pieces"),
        "closures.workshop.counting": ("Scheme", "closing_scheme"),
        "closures.workshop.handover": ("Handover", "hand_over", "handover_csv"),
        "closures.workshop.printer": ("Correction", "PrintVerdict", "correction_for", "judge_print"),
        "closures.workshop.profiles": ("halves_in_words", "profile_notes"),
        "closures.workshop.request": ("ALSO", "asked_for"),
        "closures.workshop.strip": ("Stride", "stride_mm", "strides"),
        "closures.workshop.transfer": ("ways_to_mark",),
    },
)
