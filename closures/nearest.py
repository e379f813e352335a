"""The name that somebody most likely meant."""

from __future__ import annotations

import unicodedata
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


def same_name(name: str, names: Iterable[str]) -> str | None:
    """Find a name as it is held: some systems keep an accent as a sign apart from its letter, and keyboards do not.

    Args:
        name: what was written.
        names: what there is.

    Returns:
        The very name where it is there, else the first that reads the same, else None.
    """
    held = list(names)
    composed = unicodedata.normalize("NFC", name)
    return name if name in held else next((n for n in held if unicodedata.normalize("NFC", n) == composed), None)
