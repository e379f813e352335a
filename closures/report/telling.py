"""How a report tells a figure or a user's words: the one place where its figures are rounded."""

from __future__ import annotations

from typing import TYPE_CHECKING, overload

from closures.lengths import format_inches, format_length, format_mm

if TYPE_CHECKING:
    from closures.plan.top import Units

# A ten-thousandth of a mm: a twentieth of what the sheets may differ from the report.
_DECIMALS = 4


@overload
def rounded(value: float) -> float: ...
@overload
def rounded(value: float | None) -> float | None: ...
def rounded(value: float | None) -> float | None:
    """Round a figure for programs, once; None stays None, and there is no -0."""
    return None if value is None else round(value, _DECIMALS) + 0.0


def number_of(mm: float, units: Units = "mm") -> str:
    """Write a length for a table whose heading tells the unit."""
    return format_length(mm, units).removesuffix(f" {units}")


def both(mm: float, units: Units) -> str:
    """Write a length both ways, the plan's own units first."""
    first, second = format_mm(mm), format_inches(mm)
    return f"{first} ({second})" if units == "mm" else f"{second} ({first})"


def plain(text: str) -> str:
    """Put a user's words into Markdown: one line, no table border, no markup."""
    one_line = " ".join(text.split())
    return "".join("\\" + sign if sign in "|*_`<>[]#\\" else sign for sign in one_line)
