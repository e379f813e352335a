"""Laying rectangles on as few pages as can be found.

Every page keeps a list of the largest free rectangles left on it (they may overlap one another); a rectangle is laid
into the corner of one of them, and what it takes is cut out of all. Several orders and both ways of choosing a place
are tried: the count of pages decides, then how nearly the order of the pieces is kept.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import combinations, pairwise, permutations
from typing import TYPE_CHECKING

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Box, Point

GAP_MM = 1.5
"""How far apart pieces lie on a page."""

_MOST_PERMUTED = 5
_MOST_SWAPPED = 9
# Longer than any sheet of paper: of a roll the length counts.
_ROLL_MM = 2000.0
# Sums of sizes that fill a page to the last digit must still fit it.
_SLACK_MM = 1e-6


@frozen
class Laid:
    """Where a rectangle lies.

    Attributes:
        page: from 0.
        at: its top left corner, in mm.
        turned: whether it lies a quarter turned.
    """

    page: int
    at: Point
    turned: bool


Choose = Callable[["Box", "Point"], tuple[float, ...]]


def _nearest_the_top(free: Box, size: Point) -> tuple[float, ...]:
    return (free[1], free[0])


def _tightest(free: Box, size: Point) -> tuple[float, ...]:
    spare = (free[2] - free[0] - size[0], free[3] - free[1] - size[1])
    return (min(spare), max(spare), free[1], free[0])


def pack(
    sizes: Sequence[Point],
    room: Box,
    taken: Sequence[Box],
    gap_mm: float,
) -> tuple[Laid, ...] | None:
    """Lay rectangles on pages, as few as are found.

    Args:
        sizes: width and height of each, in mm, in the order in which they are best read.
        room: of every page.
        taken: what is taken on every page already.
        gap_mm: how far apart they lie.

    Returns:
        Where each lies; None where one is too large for an empty page.
    """
    empty = empty_page(room, taken, gap_mm)
    padded = [(w + gap_mm, h + gap_mm) for w, h in sizes]
    least = _least_pages(padded, _empty(room, tuple(taken), gap_mm))
    best: tuple[tuple[float, ...], tuple[Laid, ...]] | None = None

    def length_of(laid: Sequence[Laid]) -> float:
        """How much of a roll is used; pages of paper are used whole."""
        if room[3] - room[1] < _ROLL_MM:
            return 0.0
        return round(max(one.at[1] + padded[k][0 if one.turned else 1] for k, one in enumerate(laid)))

    for may_turn in (False, True):
        for order in _orders(padded):
            if best is not None and best[0] == (least, 0.0, may_turn, 0.0):
                break
            for choose in (_nearest_the_top, _tightest):
                places = _lay(padded, order, empty, choose, may_turn, math.inf if best is None else best[0][0])
                if places is None:
                    continue
                laid = _in_reading_order([places[k] for k in range(len(sizes))])
                worth = (max(one.page for one in laid) + 1, length_of(laid), may_turn, _disorder(laid))
                if best is None or worth < best[0]:
                    best = (worth, laid)
        if best is not None and best[0][0] <= least and room[3] - room[1] < _ROLL_MM:
            break
    return None if best is None else best[1]


def pages_taken(
    sizes: Sequence[Point],
    room: Box,
    taken: Sequence[Box],
    gap_mm: float,
    most_pages: float = math.inf,
    empty: Page | None = None,
) -> int | None:
    """Count the pages that rectangles take, laid in few orders: it tells good cuts from bad ones.

    Args:
        sizes, room, taken, gap_mm: as for `pack`.
        most_pages: more than these are of no use.
        empty: the empty page of all trials with these `room`, `taken` and `gap_mm`, where there are several.

    Returns:
        How many; None where one is too large for an empty page, or all took more pages than are of use.
    """
    empty = empty or empty_page(room, taken, gap_mm)
    padded = [(w + gap_mm, h + gap_mm) for w, h in sizes]
    least, natural = _least_pages(padded, _empty(room, tuple(taken), gap_mm)), tuple(range(len(sizes)))
    orders = dict.fromkeys((natural, tuple(sorted(natural, key=lambda k: -max(padded[k])))))
    best: int | None = None
    for may_turn in (False, True):
        for order in orders:
            for choose in (_nearest_the_top, _tightest):
                if (laid := _lay(padded, order, empty, choose, may_turn, most_pages)) is None:
                    continue
                best = max(page for page, _, _ in laid.values()) + 1
                if best <= least:
                    return best
                most_pages = best - 1
    return best


def fits(size: Point, room: Box, taken: Sequence[Box], gap_mm: float) -> bool:
    """Tell whether a rectangle fits an empty page."""
    (w, h), slack = size, gap_mm - _SLACK_MM
    return any(
        (x1 - x0 >= w + slack and y1 - y0 >= h + slack) or (x1 - x0 >= h + slack and y1 - y0 >= w + slack)
        for x0, y0, x1, y1 in _empty(room, tuple(taken), gap_mm)
    )


def free_sides(room: Box, taken: Sequence[Box], gap_mm: float) -> tuple[float, ...]:
    """How long the sides of the largest free rectangles of an empty page are, the longest first."""
    empty = _empty(room, tuple(taken), gap_mm)
    sides = {round(side - gap_mm, 3) for x0, y0, x1, y1 in empty for side in (x1 - x0, y1 - y0)}
    return tuple(sorted(sides, reverse=True))


def fewest(sizes: Sequence[Point], room: Box, taken: Sequence[Box], gap_mm: float) -> int:
    """How many pages rectangles take at the very least."""
    return _least_pages([(w + gap_mm, h + gap_mm) for w, h in sizes], _empty(room, tuple(taken), gap_mm))


@lru_cache(maxsize=64)
def _empty(room: Box, taken: tuple[Box, ...], gap_mm: float) -> tuple[Box, ...]:
    """The largest free rectangles of an empty page; what is laid brings its distance to the right and below."""
    free = [(room[0], room[1], room[2] + gap_mm, room[3] + gap_mm)]
    for a, b, c, d in taken:
        free = _without(free, (a, b, c + gap_mm, d + gap_mm))
    return tuple(free)


def _least_pages(sizes: Sequence[Point], empty: tuple[Box, ...]) -> int:
    """How many pages it takes at the very least, by area alone."""
    area = _area_of(empty)
    return max(1, math.ceil(sum(w * h for w, h in sizes) / area - 1e-9)) if area else 1


@lru_cache(maxsize=64)
def _area_of(free: tuple[Box, ...]) -> float:
    """The area that overlapping rectangles cover, by strips between their sides."""
    ys = sorted({y for box in free for y in (box[1], box[3])})
    area = 0.0
    for low, high in pairwise(ys):
        spans = sorted((box[0], box[2]) for box in free if box[1] <= low and box[3] >= high)
        at = -math.inf
        for a, b in spans:
            if b > at:
                area += (b - max(a, at)) * (high - low)
                at = b
    return area


def _orders(sizes: Sequence[Point]) -> Iterable[tuple[int, ...]]:
    natural = tuple(range(len(sizes)))
    if len(sizes) <= _MOST_PERMUTED:
        return permutations(natural)
    keys: tuple[Callable[[int], float], ...] = (
        lambda k: -max(sizes[k]),
        lambda k: -min(sizes[k]),
        lambda k: -sizes[k][0] * sizes[k][1],
        lambda k: -sizes[k][0],
        lambda k: -sizes[k][1],
    )
    # Two pieces that change places often let the rest lie in the order of reading.
    swapped = combinations(natural, 2) if len(sizes) <= _MOST_SWAPPED else ()
    return dict.fromkeys(
        (
            natural,
            *(tuple(sorted(natural, key=key)) for key in keys),
            *(tuple({i: j, j: i}.get(k, k) for k in natural) for i, j in swapped),
        )
    )


class Page:
    """A page that rectangles are laid on: what is free on it, and what is left after each that was laid there before.

    Trials lay mostly alike rectangles in mostly the same order, so that most of what they lay was laid before.
    """

    __slots__ = ("_after", "_pages", "_taking", "free", "high", "wide")

    def __init__(self, free: Sequence[Box]) -> None:
        self.free = free
        # How wide and how high anything may be that it still takes: most pages are full, and passed over by it.
        self.wide, self.high = _widest(free)
        self._after: dict[tuple[Choose, bool, Point], _Next | None] = {}
        self._pages: dict[Box, Page] = {}
        self._taking: dict[Point, bool] = {}

    def takes(self, size: Point) -> bool:
        """Tell whether a rectangle has room as it lies."""
        if size not in self._taking:
            self._taking[size] = _takes(self.free, size)
        return self._taking[size]

    def with_one(self, size: Point, choose: Choose, may_turn: bool) -> _Next | None:
        """Lay a rectangle: where it comes to lie, whether turned, and the page after it; None where it has no room."""
        key = (choose, may_turn, size)
        if key not in self._after:
            self._after[key] = self._laid(size, choose, may_turn)
        return self._after[key]

    def _laid(self, size: Point, choose: Choose, may_turn: bool) -> _Next | None:
        options = [
            (choose(box, (w, h)), turned, box, (w, h))
            for w, h, turned in ((*size, False), (size[1], size[0], True))[: 1 + may_turn]
            for box in self.free
            if box[2] - box[0] >= w - _SLACK_MM and box[3] - box[1] >= h - _SLACK_MM
        ]
        if not options:
            return None
        _, turned, (x, y, _, _), (w, h) = min(options)
        laid = (x, y, x + w, y + h)
        # Both ways to choose a place often choose the same.
        if laid not in self._pages:
            self._pages[laid] = Page(_without(self.free, laid))
        return (x, y), turned, self._pages[laid]


_Next = tuple["Point", bool, Page]


def empty_page(room: Box, taken: Sequence[Box], gap_mm: float) -> Page:
    """An empty page, to be handed to every trial on it; `room`, `taken` and `gap_mm` as for `pack`."""
    return Page(_empty(room, tuple(taken), gap_mm))


def _lay(
    sizes: Sequence[Point], order: Sequence[int], empty: Page, choose: Choose, may_turn: bool, most_pages: float
) -> dict[int, tuple[int, Point, bool]] | None:
    """Page, place and turn of every rectangle by its number, in the order in which they were laid."""
    pages: list[Page] = []
    # Pages that still take the least that there is: the others are not looked at again, however many they are.
    smallest = _least_of(sizes, may_turn)
    open_pages: list[int] = []
    found: dict[int, tuple[int, Point, bool]] = {}
    for k in order:
        w, h = size = sizes[k]
        least_w, least_h = w - _SLACK_MM, h - _SLACK_MM
        for number in (*open_pages, len(pages)):
            if number == len(pages):
                if number >= most_pages:
                    return None
                pages.append(empty)
                open_pages.append(number)
            page = pages[number]
            wide, high = page.wide, page.high
            if not (wide >= least_w and high >= least_h) and not (may_turn and wide >= least_h and high >= least_w):
                continue
            after = page.with_one(size, choose, may_turn)
            if after is not None:
                at, turned, pages[number] = after
                found[k] = (number, at, turned)
                if not pages[number].takes(smallest):
                    open_pages.remove(number)
                break
        else:
            return None
    return found


def _least_of(sizes: Sequence[Point], may_turn: bool) -> Point:
    """The sides of a rectangle that fits wherever any of these does."""
    if may_turn:
        least = min((side for size in sizes for side in size), default=0.0)
        return (least, least)
    return (min((w for w, _ in sizes), default=0.0), min((h for _, h in sizes), default=0.0))


def _takes(free: Sequence[Box], size: Point) -> bool:
    w, h = size[0] - _SLACK_MM, size[1] - _SLACK_MM
    return any(x1 - x0 >= w and y1 - y0 >= h for x0, y0, x1, y1 in free)


def _widest(free: Sequence[Box]) -> Point:
    # Asked after every rectangle that is laid: no calls within.
    wide = high = 0.0
    for x0, y0, x1, y1 in free:
        if x1 - x0 > wide:
            wide = x1 - x0
        if y1 - y0 > high:
            high = y1 - y0
    return (wide, high)


def _without(free: Sequence[Box], taken: Box) -> list[Box]:
    """Cut a box out of free rectangles of which none holds another, keeping the largest that are left."""
    t0, u0, t1, u1 = taken
    parts: list[tuple[Box, bool]] = []
    for box in free:
        x0, y0, x1, y1 = box
        if x1 <= t0 or t1 <= x0 or y1 <= u0 or u1 <= y0:
            parts.append((box, False))
            continue
        if t0 > x0:
            parts.append(((x0, y0, t0, y1), True))
        if t1 < x1:
            parts.append(((t1, y0, x1, y1), True))
        if u0 > y0:
            parts.append(((x0, y0, x1, u0), True))
        if u1 < y1:
            parts.append(((x0, u1, x1, y1), True))
    # What was left whole lies in no part of another: then it would have lain in that one.
    boxes = [box for box, _ in parts]
    return [box for box, is_new in parts if not (is_new and _lies_in_another(boxes, box))]


def _lies_in_another(boxes: Sequence[Box], a: Box) -> bool:
    """Tell whether box `a`, one of them, lies within another; of two alike the earlier stays."""
    # Asked millions of times in the pages of many sizes: no calls within.
    x0, y0, x1, y1 = a
    is_later = False
    for b in boxes:
        if b[0] <= x0 and b[1] <= y0 and b[2] >= x1 and b[3] >= y1:
            if b is a:
                is_later = True
            elif not is_later or b != a:
                return True
    return False


def _in_reading_order(places: Sequence[tuple[int, Point, bool]]) -> tuple[Laid, ...]:
    """Number the pages by the first piece that each of them holds."""
    pages = {page: k for k, page in enumerate(dict.fromkeys(page for page, _, _ in places))}
    return tuple(Laid(pages[page], at, turned) for page, at, turned in places)


def _disorder(laid: Sequence[Laid]) -> float:
    """How far pieces are from lying in their order: pages turned back, then places on a page."""
    back = sum(max(0, one.page - other.page) for one, other in pairwise(laid))
    lower = sum(
        one.page == other.page and (one.at[1], one.at[0]) > (other.at[1], other.at[0]) for one, other in pairwise(laid)
    )
    return back + 0.01 * lower
