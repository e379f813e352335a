"""Whether a print came out at its true size, and how to make up for a printer that is a little off.

Terms: *across* is along the paper's short side or a roll's width, *down* along its long side, however the
page is held; a length is *printed* as so many mm where the sheet says that it is *of* so many.
"""

from __future__ import annotations

import math

from closures.errors import PlanError
from closures.frozen import frozen
from closures.lengths import format_mm, unit_in_mm

GOOD_SHARE = 0.005
"""Half a percent, our own rule: over a row of 600 mm the last mark lies 3 mm off, on both laps alike."""

LEAST_JUDGED_MM = 50.0
"""On less than this a ruler's half millimetre is more than a percent: our own rule."""

LEAST_CORRECTED_MM = 150.0
"""On this a ruler's half millimetre is a third of a percent: common practice."""

MOST_CORRECTED = 0.03
"""A printer's own error is less; more than this is a setting of the print dialog: our own rule."""

_MOST_PLAUSIBLE = 2.0


@frozen
class PrintVerdict:
    """What two measurements say of a print.

    Attributes:
        is_good: the print may be used.
        lines: the verdict in words, each measurement first, then what to change.
        across, down: printed over true, 0.97 for 97 %.
        correct: the options that make the sheets for this printer; empty where it is not the printer's own error.
    """

    is_good: bool
    lines: tuple[str, ...]
    across: float
    down: float
    correct: str = ""


@frozen
class Correction:
    """How pages are stretched for one printer.

    Attributes:
        across, down: what lengths on the page are multiplied by, so that the printer makes them true.
        measured: the measurements, for the pages' face.
    """

    across: float
    down: float
    measured: str

    @property
    def short(self) -> str:
        """The two factors in words, for the head of a page."""
        return f"for one printer: short side × {self.across:.4f}, long side × {self.down:.4f}"


@frozen
class Told:
    """The three lengths as they were written.

    Attributes:
        across, down, of: each with its unit.
        in_inches: what is still to be measured is told in inches.
    """

    across: str
    down: str
    of: str
    in_inches: bool


def judge_print(across_mm: float, down_mm: float, of_mm: float, told: Told | None = None) -> PrintVerdict:
    """Tell whether a print is true.

    Args:
        across_mm, down_mm: what was measured on the paper, each way.
        of_mm: what the sheet says it is.
        told: how these were written, to be said so again; without it they are said in mm.

    Returns:
        The verdict. Nothing is rounded before it is judged.

    Raises:
        PlanError: the length is too short to judge from, or the figures cannot be of one length.
    """
    in_inches = told is not None and told.in_inches
    said = told or Told(format_mm(across_mm), format_mm(down_mm), format_mm(of_mm), in_inches=False)
    if of_mm < LEAST_JUDGED_MM:
        raise PlanError(
            f"{said.of} is too short to judge a print from",
            where="--of",
            mend=f"Measure {_at_least(LEAST_JUDGED_MM, in_inches)} or more: the square, or better a length on "
            "the rulers.",
        )
    for way, found, text in (("across", across_mm, said.across), ("down", down_mm, said.down)):
        if not of_mm / _MOST_PLAUSIBLE <= found <= of_mm * _MOST_PLAUSIBLE:
            raise PlanError(
                f"{text} {way} cannot be a print of {said.of}",
                where="print-check",
                mend="Tell what you measured across and down, and what the sheet says of just that.",
            )
    shares = {"Across": across_mm / of_mm, "Down": down_mm / of_mm}
    said = told or Told(_bare(across_mm), _bare(down_mm), _bare(of_mm), in_inches=False)
    lines = [
        f"{way}: {text} for {said.of}: {_percent(share)}, {_size_in_words(share)}."
        for (way, share), text in zip(shares.items(), (said.across, said.down), strict=True)
    ]
    is_good = all(abs(share - 1.0) <= GOOD_SHARE + 1e-12 for share in shares.values())
    correct = ""
    if is_good:
        lines.append("GOOD: use these sheets. Check every page: one page of a set may come out small.")
    else:
        lines.append("VOID: do not use these sheets.")
        lines += _what_to_change(shares["Across"], shares["Down"], of_mm, in_inches=in_inches)
        if _is_printers_own(shares["Across"], shares["Down"], of_mm):
            correct = f"--correct {_bare(across_mm)} {_bare(down_mm)} --of {_bare(of_mm)}"
    return PrintVerdict(is_good, tuple(lines), shares["Across"], shares["Down"], correct)


def correction_for(across_mm: float, down_mm: float, of_mm: float) -> Correction:
    """Find how pages are stretched so that a printer makes them true.

    Args:
        across_mm, down_mm: what was measured on a print made at 100 %, each way.
        of_mm: what the sheet says it is.

    Returns:
        The correction, across and down apart.

    Raises:
        PlanError: the length is too short to correct from, or the print is so far out that a setting is wrong.
    """
    if of_mm < LEAST_CORRECTED_MM:
        raise PlanError(
            f"{format_mm(of_mm)} is too short to correct a printer from",
            where="--correct",
            mend=f"Measure {format_mm(LEAST_CORRECTED_MM)} or more on the rulers, across and down, and "
            "write it after --of.",
        )
    for way, found in (("across", across_mm), ("down", down_mm)):
        if abs(found / of_mm - 1.0) > MOST_CORRECTED + 1e-9:
            raise PlanError(
                f"{_bare(found)} for {_bare(of_mm)} {way} is {100 * found / of_mm:.1f} %, more than a "
                "printer's own error",
                where="--correct",
                mend="Set the print dialog to actual size, print again without --correct, and measure that.",
            )
    measured = f"{_bare(across_mm)} across and {_bare(down_mm)} down for {format_mm(of_mm)}"
    return Correction(of_mm / across_mm, of_mm / down_mm, measured)


def _at_least(mm: float, in_inches: bool) -> str:
    """A length that is asked for, or the next whole inch beyond it."""
    return f"{math.ceil(mm / float(unit_in_mm('in')))} in" if in_inches else format_mm(mm)


def _what_to_change(across: float, down: float, of_mm: float, *, in_inches: bool) -> list[str]:
    lines = [
        "In the print dialog choose actual size, or 100 %, and switch off everything that fits, shrinks or centres "
        "the page. Choose the paper that the pages were made for. Then print one page and measure again."
    ]
    uneven = abs(across - down) > GOOD_SHARE
    if uneven:
        lines.append("It is off by different shares across and down: one scale in the dialog cannot mend that.")
    if of_mm < LEAST_CORRECTED_MM:
        lines.append(
            f"If it was printed at 100 %, measure {_at_least(LEAST_CORRECTED_MM, in_inches)} or more on the rulers "
            "before correcting: so short a length cannot tell how much."
        )
    elif _is_printers_own(across, down, of_mm):
        lines.append("If it was printed at 100 %, it is the printer: let the sheets be made for it.")
    else:
        lines.append("So much is never the printer's own error: a setting is wrong.")
    return lines


def _is_printers_own(across: float, down: float, of_mm: float) -> bool:
    """Whether a print may be off by the printer's own error, and was measured well enough to make up for it."""
    return of_mm >= LEAST_CORRECTED_MM and max(abs(across - 1.0), abs(down - 1.0)) <= MOST_CORRECTED + 1e-9


def _percent(share: float) -> str:
    text = f"{100 * share:.1f} %"
    # A share just past the limit must not read as if it lay on it.
    return f"{100 * share:.2f} %" if text in ("99.5 %", "100.5 %") else text


def _size_in_words(share: float) -> str:
    if abs(share - 1.0) <= GOOD_SHARE + 1e-12:
        return "good"
    return "too small" if share < 1.0 else "too large"


def _bare(mm: float) -> str:
    return format_mm(mm, 2).removesuffix(" mm")
