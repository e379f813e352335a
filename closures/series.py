"""Several things in one row of words: ``a, b and c``."""

from __future__ import annotations

from collections.abc import Sequence


def in_a_row(parts: Sequence[str], last: str = "and") -> str:
    """Name several things in a row.

    Args:
        parts: one at least.
        last: the word before the last.

    Returns:
        ``a``, ``a and b`` or ``a, b and c``.
    """
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}" if parts[1:] else parts[0]
