"""Which piece lies on which page, once all have a place: fewer pages where there are, and strips on pages that follow.

Who tapes a strip takes its parts one by one, from sheets that follow each other. One search does both: pieces are
moved and exchanged between pages, the packer is asked where a page has room for what would come to lie on it, and how
far strips are scattered tells whether that is better.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from math import prod
from typing import TYPE_CHECKING

from closures.drawing.paper.packing import GAP_MM, Laid, empty_page, fewest, pack, pages_taken

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box
    from closures.drawing.paper.page import PageFrame
    from closures.drawing.paper.piece import Piece

_MOST_PARTS = 64
"""Of more parts than these the exchanges are too many to be tried: our own rule."""

_TURNED_BACK = 3
"""A page by which a strip turns back weighs as much as so many by which it goes on: our own rule."""

_MOST_ROUNDS = 12
_MOST_EMPTIED = 4
"""So many of the emptiest pages are tried to be done without: of fuller ones too much would have to find room."""

_MIXED = 16
"""So many mixed orders of pieces are tried where fewer pages may do. In twelve draws, for two sets that do with one
less, it was found by the third order nine times, and by the fourteenth at the latest."""

_FEW_PIECES = 9
"""Of so few pieces the packer itself tries what orders are worth it."""

_FULLEST = 0.88
"""Fuller on the whole no set of a starting plan lies that shares its pages with squares: 0.84 at the most."""

_Pages = tuple[int, ...]


def following(pieces: Sequence[Piece], frame: PageFrame) -> tuple[Laid, ...]:
    """Lay pieces of which each fits a page: on as few pages as are found, strips on pages that follow each other.

    Args:
        pieces: strips and what is none, in the order of reading.
        frame: of all pages.

    Returns:
        Where each of them lies.
    """
    laid = pack([piece.size_mm for piece in pieces], frame.body, frame.squares, GAP_MM) or ()
    pages = tuple(one.page for one in laid)
    if len(set(pages)) < 2 or sum(bool(piece.strip) for piece in pieces) > _MOST_PARTS:
        return laid
    search = _Search(pieces, frame)
    starts = dict.fromkeys((pages, search.packed_by_strip(), search.one_after_the_other()))
    found = search.laid(min((search.gathered(search.emptied(start)) for start in starts), key=search.worth), laid)
    return _on_fewer(pieces, frame, found) if len(pieces) > _FEW_PIECES else found


def _on_fewer(pieces: Sequence[Piece], frame: PageFrame, found: tuple[Laid, ...]) -> tuple[Laid, ...]:
    """Lay pieces in mixed orders, where fewer pages may do: on fewer than had been found, or as they were."""
    room = (frame.body, frame.squares, GAP_MM)
    free = _area_of(frame.body) - sum(map(_area_of, frame.squares))
    fullest = math.ceil(sum(prod(piece.size_mm) for piece in pieces) / (_FULLEST * free))
    least, count = max(fullest, fewest([piece.size_mm for piece in pieces], *room)), _count(found)
    # The same at every print: what is drawn from a seed does not change from one release of Python to another.
    dice = random.Random(len(pieces))
    for _ in range(_MIXED):
        if count <= least:
            break
        order = sorted(range(len(pieces)), key=lambda _: dice.random())
        packed = pack([pieces[k].size_mm for k in order], *room) or ()
        laid = tuple(one for _, one in sorted(zip(order, packed, strict=True), key=lambda pair: pair[0]))
        if _count(laid) > count:
            # Exchanges would have to do without two pages.
            continue
        search = _Search(pieces, frame, order)
        pages = search.emptied(tuple(one.page for one in laid))
        if len(set(pages)) < count and _count(fewer := search.laid(search.gathered(pages), laid)) < count:
            found, count = fewer, _count(fewer)
    return found


def _area_of(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _count(laid: Sequence[Laid]) -> int:
    return len({one.page for one in laid})


def apart_by(pieces: Sequence[Piece], pages: Sequence[int]) -> int:
    """How far strips are scattered over pages, all together.

    Args:
        pieces: strips and what is none.
        pages: on which each of them lies.

    Returns:
        Of every strip how many pages it goes on after its first, and by how many its parts turn back.
    """
    return sum(_scattered([pages[k] for k in own]) for own in _strips(pieces).values())


def _strips(pieces: Sequence[Piece]) -> dict[str, list[int]]:
    """The parts of every strip, by their places among the pieces, in the order in which they are taped."""
    found: dict[str, list[int]] = {}
    for k in sorted(range(len(pieces)), key=lambda k: pieces[k].number):
        if pieces[k].strip:
            found.setdefault(pieces[k].strip, []).append(k)
    return found


def _scattered(pages: Sequence[int]) -> int:
    """How many pages one strip, on these in its order, goes on after its first, and by how many it turns back."""
    return max(pages) - min(pages) + _TURNED_BACK * sum(max(0, page - after) for page, after in pairwise(pages))


class _Search:
    """Pieces on pages of one frame, given as the page of each piece.

    In which order pages take them is that of the pieces, or another that is given.
    """

    def __init__(self, pieces: Sequence[Piece], frame: PageFrame, order: Sequence[int] = ()) -> None:
        self._pieces = pieces
        self._room = (frame.body, frame.squares, GAP_MM)
        self._empty = empty_page(*self._room)
        self._strips = _strips(pieces)
        order = order or range(len(pieces))
        strips = list(dict.fromkeys(pieces[k].strip for k in order if pieces[k].strip))
        # Those of one strip come first and after each other, so that on a page they lie in the order of taping.
        self._order = sorted(
            order, key=lambda k: (strips.index(pieces[k].strip) if pieces[k].strip else len(strips), pieces[k].number)
        )
        self._known: dict[frozenset[int], bool] = {}

    def has_room(self, own: frozenset[int]) -> bool:
        """Whether a page has room for these pieces."""
        if not own:
            return True
        if own not in self._known:
            sizes = self._sizes(own)
            self._known[own] = fewest(sizes, *self._room) < 2 and (
                pages_taken(sizes, *self._room, most_pages=1, empty=self._empty) is not None
            )
        return self._known[own]

    def _sizes(self, own: Iterable[int]) -> list[tuple[float, float]]:
        return [self._pieces[k].size_mm for k in self._order if k in own]

    def _area(self, k: int) -> float:
        wide, high = self._pieces[k].size_mm
        return wide * high

    def packed_by_strip(self) -> _Pages:
        """The pages on which the packer lays strip after strip."""
        laid = pack([self._pieces[k].size_mm for k in self._order], *self._room) or ()
        pages = {k: one.page for k, one in zip(self._order, laid, strict=True)}
        return tuple(pages[k] for k in range(len(pages)))

    def one_after_the_other(self) -> _Pages:
        """The pages of strips of which each part lies on the last page, and of other pieces, where there is room."""
        on: list[frozenset[int]] = [frozenset()]
        for k in self._order:
            first = len(on) - 1 if self._pieces[k].strip else 0
            found = (n for n in range(first, len(on)) if self.has_room(on[n] | {k}))
            if (page := next(found, None)) is None:
                on.append(frozenset((k,)))
            else:
                on[page] |= {k}
        return tuple(next(n for n, own in enumerate(on) if k in own) for k in range(len(self._pieces)))

    def worth(self, pages: _Pages) -> tuple[int, ...]:
        """The less, the better: pages, then how far strips are scattered over them."""
        return (len(set(pages)), *self._apart(pages))

    def emptied(self, pages: _Pages) -> _Pages:
        """Do without pages whose pieces find room on the others, in exchange for smaller ones where need be."""
        least = fewest([piece.size_mm for piece in self._pieces], *self._room)
        while len(set(pages)) > least:
            filled = {page: sum(self._area(k) for k, on in enumerate(pages) if on == page) for page in set(pages)}
            tried = (self._without(pages, page) for page in sorted(filled, key=filled.__getitem__)[:_MOST_EMPTIED])
            fewer = next((one for one in tried if one is not None), None)
            if fewer is None:
                break
            pages = fewer
        return pages

    def _without(self, pages: _Pages, page: int) -> _Pages | None:
        """The same without one page; None where what lies there finds no room."""
        while page in pages:
            largest = sorted((k for k, on in enumerate(pages) if on == page), key=self._area, reverse=True)
            moves = (self._moved(pages, (k,), (), other) for k in largest for other in sorted(set(pages) - {page}))
            swaps = (
                self._moved(pages, (k,), (n,), pages[n])
                for k in largest
                for n, on in enumerate(pages)
                if on != page and self._area(n) < self._area(k)
            )
            found = next((one for ways in (moves, swaps) for one in ways if one is not None), None)
            if found is None:
                return None
            pages = found
        return tuple(on - (on > page) for on in pages)

    def _moved(self, pages: _Pages, there: Sequence[int], back: Sequence[int], other: int) -> _Pages | None:
        """Pieces of one page moved to another, and those of that one back; None where either has no room."""
        changed = _changed(pages, there, back, other)
        return changed if self._has_room_on(changed, (pages[there[0]], other)) else None

    def gathered(self, pages: _Pages) -> _Pages:
        """Scatter strips less: pages change places, and pieces change pages, for none, one or two of those there."""
        for _ in range(_MOST_ROUNDS):
            before = pages
            pages = self._reordered(pages)
            for own in self._strips.values():
                for k in own:
                    if _scattered([pages[n] for n in own]):
                        pages = self._nearer(pages, k)
            if pages == before:
                break
        return pages

    def _apart(self, pages: _Pages) -> tuple[int, int]:
        """How far strips are scattered; then by how many pages those begin behind others that are read before them."""
        on = [[pages[k] for k in own] for own in self._strips.values()]
        late = sum(max(0, one[0] - other[0]) for one, other in combinations(on, 2))
        return sum(map(_scattered, on)), late

    def _reordered(self, pages: _Pages) -> _Pages:
        """Move pages, and turn round the order of some, as long as that scatters strips less."""
        count, least = max(pages) + 1, self._apart(pages)
        for order in _orders(count):
            changed = tuple(order.index(on) for on in pages)
            if (found := self._apart(changed)) < least:
                pages, least = changed, found
        return pages

    def _nearer(self, pages: _Pages, k: int) -> _Pages:
        """Move a part of a strip to the first other page on which less is scattered, if that has room."""
        least = self._apart(pages)
        for page in sorted(set(pages) - {pages[k]}):
            there = [n for n, on in enumerate(pages) if on == page]
            for back in ((), *((n,) for n in there), *combinations(there, 2)):
                changed = _changed(pages, (k,), back, page)
                # How far strips are scattered is told sooner than whether there is room.
                if self._apart(changed) < least and self._has_room_on(changed, (pages[k], page)):
                    return changed
        return pages

    def _has_room_on(self, pages: _Pages, touched: Iterable[int]) -> bool:
        return all(self.has_room(_on(pages, page)) for page in touched)

    def laid(self, pages: _Pages, before: Sequence[Laid]) -> tuple[Laid, ...]:
        """Where pieces lie on their pages: where a page bears the same as before, as they lay, if none turns back."""
        found = list(before)
        # A page that was left empty is none.
        for number, page in enumerate(sorted(set(pages))):
            own = [k for k in self._order if pages[k] == page]
            tried: list[Sequence[Laid]] = []
            if _on(tuple(one.page for one in before), before[own[0]].page) == set(own):
                tried.append([before[k] for k in own])
            if not tried or self._turned_back(own, tried[0]):
                anew = pack([self._pieces[k].size_mm for k in own], *self._room)
                if anew is not None and not any(one.page for one in anew):
                    tried.append(anew)
            if not tried:
                # Laid with all others it found room, and by itself it does not: nothing is moved.
                return tuple(before)
            lay = min(tried, key=lambda one: self._turned_back(own, one))
            for k, one in zip(own, lay, strict=True):
                found[k] = replace(one, page=number)
        return tuple(found)

    def _turned_back(self, own: Sequence[int], lay: Sequence[Laid]) -> int:
        """How often a strip turns back on a page, as it is read."""
        named = [(self._pieces[k].strip, one.at[1], one.at[0]) for k, one in zip(own, lay, strict=True)]
        return sum(bool(one[0]) and one[0] == other[0] and one > other for one, other in pairwise(named))


def _orders(count: int) -> Iterator[Sequence[int]]:
    """Orders of pages in which some that follow each other stand in another place, or are turned round."""
    natural = list(range(count))
    for first, last in combinations(range(count + 1), 2):
        some, others = natural[first:last], natural[:first] + natural[last:]
        for place in range(len(others) + 1):
            if place != first:
                yield [*others[:place], *some, *others[place:]]
        if len(some) > 1:
            yield [*natural[:first], *some[::-1], *natural[last:]]


def _changed(pages: _Pages, there: Sequence[int], back: Sequence[int], other: int) -> _Pages:
    page = pages[there[0]]
    return tuple(other if k in there else page if k in back else on for k, on in enumerate(pages))


def _on(pages: _Pages, page: int) -> frozenset[int]:
    return frozenset(k for k, on in enumerate(pages) if on == page)
