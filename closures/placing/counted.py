"""How many closures a row has, and how many lie beside it, told one way wherever they are counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.series import how_many

if TYPE_CHECKING:
    from closures.placing.placed import Placement


def closures_of(placement: Placement) -> str:
    """Count closures for a table, such as "4 + 6 beside": gaps are those of the row alone."""
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
