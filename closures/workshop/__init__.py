"""What lies between a placement and a set closure: backing, bands, strips, tables, and whether the print is true."""

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
