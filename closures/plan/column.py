"""A second column of closures beside the row: double-breasted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.plan import sound
from closures.plan.beside import against_beside
from closures.plan.kinds import any_length, choice, closure_kind, closure_size, yes_or_no
from closures.plan.section import Complaint, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan


@frozen
class InnerWish:
    """The hidden closure that holds the under lap.

    Attributes:
        kind, size: as the catalogue or the user's pack names them.
        level_mm: straight down from the level zero; None for the level of the first mark.
        hole: which way its buttonhole runs.
    """

    kind: str
    size: str
    level_mm: float | None = None
    hole: Literal["along", "across"] | None = None


@frozen
class ColumnWish:
    """A second column.

    Attributes:
        apart_mm: from the row to it, square to the edge.
        works: it closes like the row; else its buttons are for show.
        inner: the hidden closure, None where there is none.
    """

    apart_mm: float
    works: bool = False
    inner: InnerWish | None = None


INNER = Section(
    name="inner",
    keys=(
        Key("kind", closure_kind, '"sew-through button"', "of the hidden closure", label="Kind", needed=True),
        Key("size", closure_size, '"24 L"', "of the hidden closure", label="Size", needed=True),
        Key(
            "level",
            any_length,
            '"120 mm"',
            "of it",
            label="Level",
            default="that of the first mark; between two marks where it would be too near to another",
        ),
        Key("hole", choice("along", "across"), '"across"', "which way its buttonhole runs", label="Buttonhole runs"),
    ),
    value=InnerWish,
)


def _against(plan: Plan) -> Iterator[Complaint]:
    if plan.column is None:
        return
    yield from against_beside(plan, "[column]", "Leave [column] out.")
    if plan.gauge is not None and plan.column.inner is not None and plan.column.inner.level_mm is not None:
        yield (
            "inner level",
            "a level is told for the hidden closure, and on knitting it lies level with one of the row's closures",
            "Leave level out within inner.",
        )


TWO_PLANS = (
    "place the row by a plan with under_inset as much as inset and apart together, and the second column by another "
    "with the two changed over."
)
"""How both columns are told apart from each other, each as a row by itself."""

COLUMN = Section(
    name="column",
    title="Second column",
    meaning="A second column beside the row, further in from the over lap's edge: a double-breasted front. The under "
    "lap then reaches as far past the row as the over lap reaches past the second column: "
    "[how to](../how-to/double-breasted.md).",
    keys=(
        Key(
            "apart",
            sound.columns_apart,
            '"140 mm"',
            "between the two columns",
            label="Between the columns",
            needed=True,
        ),
        Key(
            "works",
            yes_or_no,
            "false",
            "it closes like the row; else its buttons are sewn on for show",
            label="It works",
            default="false",
        ),
        Key(
            "inner",
            INNER,
            '{ kind = "sew-through button", size = "24 L" }',
            "the hidden closure that holds the under lap, on the line of the second column",
            label="Hidden closure",
        ),
    ),
    value=ColumnWish,
    not_with=("belt", "row", "swap", "change", "stand"),
    instead=(
        (
            "swap",
            "Old closures are changed on one line at a time. Buttons for show can stay: leave [column] out, and tell "
            f"under_inset. Of columns that both close, {TWO_PLANS}",
        ),
        ("change", f"Old closures are changed on one line at a time: {TWO_PLANS}"),
        (
            "stand",
            "A collar of a double-breasted front ends at the centre front, between the columns, and none of its "
            "closures continues a column: leave [stand] out, and tell its hook by [[single]] or by a plan of its own.",
        ),
    ),
    against=_against,
)
