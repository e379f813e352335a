"""Places of a curve that were found already, as many as memory allows."""

from __future__ import annotations

from typing import TypeVar

_MOST_KEPT = 4096
"""Places kept of one curve; a page's drawing asks for some hundreds, and memory stays bounded."""

_Key = TypeVar("_Key")
_Found = TypeVar("_Found")


def kept(known: dict[_Key, _Found], key: _Key, found: _Found) -> _Found:
    """Keep what was found; when too much is kept, begin anew."""
    if len(known) >= _MOST_KEPT:
        known.clear()
    known[key] = found
    return found
