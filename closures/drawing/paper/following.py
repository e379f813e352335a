"""Parts of strips on pages in the order in which they follow each other: who tapes a lap takes them one by one.

Where everything lies is found for the fewest pages. Then parts that have room in each other's places change them, some
move to a page where there is room, and pages change places, as long as the strips are scattered less by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import is_apart
from closures.drawing.paper.packing import GAP_MM, Laid, pack
from closures.drawing.paper.together import apart_of
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box
    from closures.drawing.paper.page import PageFrame
    from closures.drawing.paper.piece import Piece

_MOST_PARTS = 48
"""Of more parts than these the pairs are too many to be tried: our own rule."""

_MOST_ROUNDS = 12
_SLACK_MM = 1e-6


def following(pieces: Sequence[Piece], laid: Sequence[Laid], frame: PageFrame) -> tuple[Laid, ...]:
    """Let parts of strips change places or move to free ones, and pages change places, while that scatters strips less.

    Args:
        pieces: strips and what is none.
        laid: where each of them lies.
        frame: of all these pages.

    Returns:
        Where each lies then: on as many pages at the most, and as far apart as is kept between all.
    """
    best = tuple(laid)
    strips = [k for k, piece in enumerate(pieces) if piece.strip]
    pages = sorted({one.page for one in best})
    scattered = _scattered_at_first(pieces, best)
    if not scattered.by or len(strips) > _MOST_PARTS:
        return best
    for _ in range(_MOST_ROUNDS):
        before = scattered.by
        for one, other in combinations(pages, 2):
            changed = tuple(replace(at, page={one: other, other: one}.get(at.page, at.page)) for at in best)
            if (found := _scattered_at_first(pieces, changed)).by < scattered.by:
                best, scattered = changed, found
        for k, other in combinations(strips, 2):
            swapped = {k: best[other], other: best[k]}
            # How far strips are scattered is told sooner than whether there is room.
            if (found := scattered.after(pieces, best, swapped)).by < scattered.by:
                changed = tuple(swapped.get(n, at) for n, at in enumerate(best))
                if _has_room(pieces, changed, swapped, frame):
                    best, scattered = changed, found
        for k in strips:
            for page in pages:
                if page == best[k].page or scattered.least_after(pieces, best, k, page) >= scattered.by:
                    # Wherever it lies on that page, strips go on as many pages and turn back as often between them.
                    continue
                for at in _free_places(pieces, best, k, page, frame):
                    if (found := scattered.after(pieces, best, {k: at})).by < scattered.by:
                        changed = _with(best, k, at)
                        if _has_room(pieces, changed, (k,), frame):
                            best, scattered = changed, found
                            break
        if scattered.by == before:
            break
    left = sorted({one.page for one in best})
    best = tuple(replace(one, page=left.index(one.page)) for one in best)
    return best if best == tuple(laid) else _laid_anew(pieces, best, frame)


def _with(laid: Sequence[Laid], k: int, at: Laid) -> tuple[Laid, ...]:
    """The same with one piece elsewhere."""
    return tuple(at if n == k else one for n, one in enumerate(laid))


def _laid_anew(pieces: Sequence[Piece], laid: Sequence[Laid], frame: PageFrame) -> tuple[Laid, ...]:
    """Lay what lies on each page anew, where it finds room: parts that came from elsewhere leave holes between them."""
    strips = list(dict.fromkeys(piece.strip for piece in pieces))
    found = list(laid)
    for page in range(max(one.page for one in laid) + 1):
        own = [k for k, one in enumerate(laid) if one.page == page]
        own.sort(key=lambda k: (not pieces[k].strip, strips.index(pieces[k].strip), pieces[k].number))
        places = pack([pieces[k].size_mm for k in own], frame.body, frame.squares, GAP_MM)
        if places is not None and all(place.page == 0 for place in places):
            for k, place in zip(own, places, strict=True):
                found[k] = replace(place, page=page)
    return tuple(found)


def _free_places(pieces: Sequence[Piece], laid: Sequence[Laid], k: int, page: int, frame: PageFrame) -> Iterator[Laid]:
    """Corners of a page that may be free for a piece, lying as it does first: beside and below what lies there."""
    boxes = [*frame.squares, *(_box(piece, one) for piece, one in zip(pieces, laid, strict=True) if one.page == page)]
    xs = sorted({frame.body[0], *(box[2] + GAP_MM for box in boxes)})
    ys = sorted({frame.body[1], *(box[3] + GAP_MM for box in boxes)})
    for turned in (laid[k].turned, not laid[k].turned):
        yield from (Laid(page, (x, y), turned) for y in ys for x in xs)


@frozen
class _Scattered:
    """How far strips are scattered over pages, and by a little how often one turns back on a page.

    Attributes:
        parts: of each strip which pieces are parts of it.
        apart: of each strip how far it is scattered.
        turned_back: of each strip how often it turns back.
    """

    parts: Mapping[str, Sequence[int]]
    apart: Mapping[str, int]
    turned_back: Mapping[str, int]

    @property
    def by(self) -> float:
        """All strips together."""
        return sum(self.apart.values()) + 0.01 * sum(self.turned_back.values())

    def after(self, pieces: Sequence[Piece], laid: Sequence[Laid], moved: Mapping[int, Laid]) -> _Scattered:
        """How far they are so when some parts lie elsewhere: told of the strips of these parts alone."""
        apart, turned_back = dict(self.apart), dict(self.turned_back)
        for strip in {pieces[k].strip for k in moved}:
            own = [(pieces[k].number, moved.get(k, laid[k])) for k in self.parts[strip]]
            apart[strip], turned_back[strip] = apart_of([(n, one.page) for n, one in own]), _turned_back(own)
        return _Scattered(self.parts, apart, turned_back)

    def least_after(self, pieces: Sequence[Piece], laid: Sequence[Laid], k: int, page: int) -> float:
        """How far they are so at the least when a part lies on another page, wherever it lies there."""
        strip = pieces[k].strip
        apart = apart_of([(pieces[n].number, page if n == k else laid[n].page) for n in self.parts[strip]])
        others = sum(self.apart.values()) - self.apart[strip] + apart
        return others + 0.01 * (sum(self.turned_back.values()) - self.turned_back[strip])


def _scattered_at_first(pieces: Sequence[Piece], laid: Sequence[Laid]) -> _Scattered:
    parts: dict[str, list[int]] = {}
    for k, piece in enumerate(pieces):
        if piece.strip:
            parts.setdefault(piece.strip, []).append(k)
    own = {strip: [(pieces[k].number, laid[k]) for k in ks] for strip, ks in parts.items()}
    apart = {strip: apart_of([(n, one.page) for n, one in ones]) for strip, ones in own.items()}
    return _Scattered(parts, apart, {strip: _turned_back(ones) for strip, ones in own.items()})


def _turned_back(parts: Sequence[tuple[int, Laid]]) -> int:
    """How often a strip turns back on its pages, told of each part its number and where it lies."""
    places: dict[int, list[tuple[int, tuple[float, float]]]] = {}
    for number, one in parts:
        places.setdefault(one.page, []).append((number, (one.at[1], one.at[0])))
    return sum(one[1] > other[1] for on in places.values() for one, other in pairwise(sorted(on)))


def _has_room(pieces: Sequence[Piece], laid: Sequence[Laid], moved: Iterable[int], frame: PageFrame) -> bool:
    """Whether pieces that were moved lie on their pages, off the squares and off all others there."""
    x0, y0, x1, y1 = frame.body
    for k in moved:
        box = _box(pieces[k], laid[k])
        if box[0] < x0 - _SLACK_MM or box[1] < y0 - _SLACK_MM or box[2] > x1 + _SLACK_MM or box[3] > y1 + _SLACK_MM:
            return False
        room = (box[0], box[1], box[2] + GAP_MM - _SLACK_MM, box[3] + GAP_MM - _SLACK_MM)
        page = laid[k].page
        others = [_box(pieces[n], one) for n, one in enumerate(laid) if one.page == page and n != k]
        for other in (*others, *frame.squares):
            if not is_apart(room, (other[0], other[1], other[2] + GAP_MM - _SLACK_MM, other[3] + GAP_MM - _SLACK_MM)):
                return False
    return True


def _box(piece: Piece, one: Laid) -> Box:
    width, height = piece.size_mm[::-1] if one.turned else piece.size_mm
    return (one.at[0], one.at[1], one.at[0] + width, one.at[1] + height)
