"""Rows as columns of plain text, for a terminal."""

from __future__ import annotations

from collections.abc import Container, Sequence


def text_table(rows: Sequence[Sequence[str]], right: Container[int] = ()) -> list[str]:
    """Set rows of one length as columns, two spaces apart, without spaces at their ends.

    Args:
        rows: the cells, the headings first.
        right: which columns end alike, counted from 0; the others begin alike.

    Returns:
        A line for each row.
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if n in right else cell.ljust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
