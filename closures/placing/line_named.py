"""Which key of a plan a line follows from that its edge leaves no room for: a refusal of the line names it."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from closures.errors import EdgeError, Fault, Where, in_section
from closures.lengths import format_both

if TYPE_CHECKING:
    from collections.abc import Iterator

    from closures.plan.band import BandWish


@contextmanager
def line_beside(where: Where, whose: str) -> Iterator[None]:
    """Name the section that tells a line beside the row in what is refused of that line: it follows from its keys."""
    try:
        yield
    except EdgeError as error:
        faults = tuple(
            fault
            if isinstance(fault.where, Where)
            else Fault(where, f"the {fault.where} {whose}: {fault.what}", fault.mend)
            for fault in error.faults
        )
        raise EdgeError.of(faults) from error


@contextmanager
def line_of_band(band: BandWish | None) -> Iterator[None]:
    """Name the key of the band that a lap's line follows from in what is refused of that line."""
    try:
        yield
    except EdgeError as error:
        if band is not None:
            error.faults = tuple(
                fault if isinstance(fault.where, Where) else _named(fault, band) for fault in error.faults
            )
        raise


def _named(fault: Fault, band: BandWish) -> Fault:
    is_under = fault.where.startswith("under")
    what = f"the {fault.where}: {fault.what}"
    if band.is_under_inset_told if is_under else band.is_inset_told:
        return Fault(in_section("band", "under_inset" if is_under else "inset"), what, fault.mend)
    wide_mm, key = band.width_mm, "width"
    if is_under and band.under_width_mm != band.width_mm:
        wide_mm, key = band.under_width_mm, "under_width"
    wide = format_both(wide_mm)
    told = f"It lies half the {key} from its edge, and that is {wide}: check the figure and its unit."
    return Fault(in_section("band", key), what, f"{told} {fault.mend}")
