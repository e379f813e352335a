"""The name that somebody most likely meant."""

from __future__ import annotations

from collections.abc import Iterable

# Two thirds alike: "pich" finds "pitch", "hook" does not find "count".
_ALIKE = 0.6


def nearest_name(name: str, names: Iterable[str]) -> str | None:
    """Find the known name nearest to one that is not known.

    Args:
        name: what was written.
        names: what is known.

    Returns:
        The nearest name, or None where none is near.
    """
    import difflib

    by_folded = {known.casefold(): known for known in names}
    near = difflib.get_close_matches(name.casefold(), by_folded, n=1, cutoff=_ALIKE)
    return by_folded[near[0]] if near else None
