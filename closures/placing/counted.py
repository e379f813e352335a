"""How many closures a row has, and how many lie beside it, told one way wherever they are counted."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from closures.lengths import format_length
from closures.series import how_many

if TYPE_CHECKING:
    from closures.placing.placed import Placement


def closes_in_settings(placement: Placement) -> bool:
    """Whether a strap closes in several ways, or its ends carry unlike numbers: marks are no count of closures then."""
    strap = placement.strap
    return strap is not None and (len(strap.settings) > 1 or len(placement.on("over")) != len(placement.on("under")))


def settings_in_words(placement: Placement) -> str:
    """Count a strap's settings and how far apart they are, such as "5 settings, 25 mm apart"; empty without a strap."""
    if placement.strap is None:
        return ""
    middles = [setting.middle_mm for setting in placement.strap.settings]
    steps = sorted(abs(other - one) for one, other in pairwise(middles))
    ends = dict.fromkeys(format_length(step, placement.plan.units) for step in (*steps[:1], *steps[-1:]))
    return how_many(len(middles), "setting") + (f", {' to '.join(ends)} apart" if ends else "")


def ends_in_words(placement: Placement) -> str:
    """Count the marks of either end of a strap, such as "2 marks on the over end and 7 on the under end"."""
    over, under = (len(placement.on("over")), len(placement.on("under")))
    return f"{how_many(over, 'mark')} on the over end and {under} on the under end"


def closures_of(placement: Placement) -> str:
    """Count closures for a table, such as "4 + 6 beside" or "5 settings": gaps are those of the row alone."""
    if placement.strap is not None and closes_in_settings(placement):
        return how_many(len(placement.strap.settings), "setting")
    row, beside = in_row_and_beside(placement)
    return f"{row} + {beside} beside" if beside else str(row)


def closures_in_words(placement: Placement) -> str:
    """Count closures in words, such as "4 closures and 6 beside the row"."""
    row, beside = in_row_and_beside(placement)
    told = how_many(row, "closure")
    return f"{told} and {beside} beside the row" if beside else told


def in_row_and_beside(placement: Placement) -> tuple[int, int]:
    """Count the closures of a row, and those beside it: a second column, hidden and single ones."""
    row = len(placement.marks)
    return row, len(placement.all_marks) - row
