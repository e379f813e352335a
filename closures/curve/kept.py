"""Places of curves that were found already: as many as memory allows, over all curves together."""

from __future__ import annotations

from typing import Generic, TypeVar

MOST_KEPT = 16_384
"""Places of one kind that are kept of all curves: some 6 MB. A page's drawing asks for some hundreds of a dozen curves.

A bound for each curve would be none: a page that is served for hours keeps the curves of dozens of answers.
"""

_Key = TypeVar("_Key")
_Found = TypeVar("_Found")


class Known(Generic[_Key, _Found]):
    """What was found of curves, each known by a mark that it shares with no other."""

    def __init__(self) -> None:
        self._found: dict[tuple[object, _Key], _Found] = {}

    def __len__(self) -> int:
        return len(self._found)

    def get(self, mark: object, key: _Key) -> _Found | None:
        """Tell what is kept; None for nothing."""
        return self._found.get((mark, key))

    def keep(self, mark: object, key: _Key, found: _Found) -> _Found:
        """Keep what was found; when too much is kept, begin anew."""
        if len(self._found) >= MOST_KEPT:
            self._found.clear()
        self._found[mark, key] = found
        return found
