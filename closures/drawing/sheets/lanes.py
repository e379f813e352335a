"""Lettering along a strip, inside the line that it is cut on, so that a strip cut out still tells what it is.

Terms: a *lane* runs along the strip at one depth; the band has lanes on both sides of the closing line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import words_among
from closures.drawing.ink.shapes import LINE, Item, arrow
from closures.drawing.sheets.lettered import (
    PARTED_BY,
    Lettered,
    grain_tips,
    in_rows_within,
    in_two_rows,
    is_read_on,
    set_row,
    way_along,
)
from closures.errors import OutputError
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.ink.shapes import Point
    from closures.drawing.sheets.view import Spot

STRIDE_MM = 4.0
"""The grid of the closing line on which places are found."""

_FINE_STRIDE_MM = 1.0
_LANE_STEP_MM, _FINE_LANE_STEP_MM = 2.0, 0.5
_FINE_OFF_MM = 0.25
"""So much more is left free about words on close lanes, which would else be read with those beside them."""
_OFF_MM = 0.9
_FAR_LANES = 60
_FURTHEST_OUT_MM = 40.0
_SHORT_ARROW_MM, _LEAST_ARROW_MM = 10.0, 2.8
_OFF_ENDS_MM = 5.0
# The edge is drawn: an arrow to it is free that is so up to here.
_OFF_EDGE_MM = 1.3
_OFF_GRAIN_MM = 1.3

SpotAt = Callable[[float], "Spot"]
EdgeAt = Callable[[float], "Point | None"]
Shut = dict[tuple[float, float, float], list[tuple[float, float]]]
"""Between which depths something is in the way of words: by their place along the line, and how far they reach
along it and across on either side.

Asked of most places it is known from the last one: a strip that something lies across is shut over all its thickness.
"""


def letter_rows(
    rows: Sequence[Lettered],
    spot_at: SpotAt,
    low: float,
    high: float,
    room: Room,
    inside_only: bool = False,
    edge_at: EdgeAt | None = None,
) -> tuple[Item, ...]:
    """Letter rows, each at the first place along the strip where it meets nothing, inside the band if it can be.

    Args:
        rows: the most important first.
        spot_at: finds a place of the closing line.
        low, high: from and to along the line.
        room: what is taken already.
        inside_only: leave out what finds no room inside the band.
        edge_at: finds the place on the finished edge beside a place of the line, where a spot does not tell it; None
            where no edge is drawn there.
    """
    spot = cache(spot_at)
    if edge_at is None:

        def edge_at(along_mm: float) -> Point | None:
            return spot(min(max(along_mm, low), high)).edge_at

    # An arrow is tried at every depth: its place on the edge is looked for once.
    edge = cache(edge_at)
    # What names the edge finds its place first: cloth is cut by it. The rows are read in their own order.
    lettered: dict[int, tuple[Item, ...]] = {}
    for k in sorted(range(len(rows)), key=lambda k: not rows[k].names_edge):
        lettered[k] = _letter(rows[k], spot, low, high, room, inside_only, edge)
    return tuple(item for k in sorted(lettered) for item in lettered[k])


def _letter(
    row: Lettered,
    spot: SpotAt,
    low: float,
    high: float,
    room: Room,
    inside_only: bool,
    edge_at: EdgeAt,
) -> tuple[Item, ...]:
    shut: Shut = {}
    if row.sign != "edge":
        return _letter_where(row, spot, low, high, room, inside_only, edge_at, None, shut)
    for one, within, is_free, longest_mm in _ways_to_name_the_edge(row, room):
        if within or not inside_only:
            found = _letter_where(one, spot, low, high, room, within, edge_at, is_free, shut, longest_mm)
            if found:
                return found
    if not any(edge_at(s) for s in _on_grid(low, high, STRIDE_MM)):
        # A piece without any of the edge has nothing to name.
        return ()
    return () if inside_only else _letter_where(row, spot, low, high, room, False, edge_at, None, shut)


def _ways_to_name_the_edge(
    row: Lettered, room: Room
) -> Iterator[tuple[Lettered, bool, Callable[[Point, Point], bool], float]]:
    """How a row may name the edge, the best first.

    Yields:
        The row, whether within the band, which arrows are free, and how long they may be.

    A short arrow comes before a place within the band: a long one is taken for a line of the drawing.
    """

    def is_clear(tail: Point, tip: Point) -> bool:
        return room.is_free_strip(tail, tip, 0.9)

    def is_let_through(tail: Point, tip: Point) -> bool:
        return room.lets_through(tail, tip) and not room.crosses_a_leader(tail, tip)

    halves = in_two_rows(row)
    bare = [replace(one, sign="from words") for one in (row, halves)]
    for is_free in (is_clear, is_let_through):
        yield row, True, is_free, _SHORT_ARROW_MM
        yield halves, True, is_free, _SHORT_ARROW_MM
    for is_free in (is_clear, is_let_through):
        for one in (row, *bare):
            yield one, False, is_free, _SHORT_ARROW_MM
    for is_free in (is_clear, is_let_through):
        for within in (True, False):
            yield row, within, is_free, math.inf
        yield bare[1], False, is_free, math.inf


def _letter_where(
    row: Lettered,
    spot: SpotAt,
    low: float,
    high: float,
    room: Room,
    inside_only: bool,
    edge_at: EdgeAt,
    is_free_arrow: Callable[[Point, Point], bool] | None,
    shut: Shut,
    longest_mm: float = math.inf,
) -> tuple[Item, ...]:
    """Letter a row where it meets nothing; where it names the edge, also its arrow meets nothing on its way there."""
    half, deep = row.width_mm / 2, row.half_mm + 0.3
    low_mm, high_mm = low + half + 1.0, high - half - 1.0
    coarse, fine = (_on_grid(low_mm, high_mm, stride) for stride in (STRIDE_MM, _FINE_STRIDE_MM))
    typical = spot(coarse[len(coarse) // 2])
    names_edge = row.names_edge
    # A strip reaches beyond its ends by half its depth: no more for many rows than for one.
    reach = max(0.0, half - row.half_more_mm)

    @cache
    def depths_at(s: float) -> tuple[float, float]:
        return _depths_for_arrows(row, half, spot(s), edge_at, s, longest_mm)

    along_mm = high - low - 2 * _OFF_ENDS_MM
    # No row is left out: where nothing else is free it goes as far out as it must.
    beyond = () if inside_only else ((_outside, coarse), (_outside, fine), (_far_outside, coarse))
    for lanes, middles in ((_inside, coarse), (_inside_finely, coarse), *beyond):
        if lanes is _outside and len(row.lines) == 1 and not names_edge:
            # In rows under each other it may stand within the band, where beyond it a piece would take more paper.
            ways = _in_rows(row) if PARTED_BY in row.text else []
            # A word that is wider by itself would push the others out with it.
            if (wrapped := in_rows_within(row, along_mm)).width_mm <= along_mm < row.width_mm:
                ways.append((wrapped,))
            for rows in ways:
                found = _letter_together(rows, spot, low, high, room, edge_at)
                if found:
                    return found
            if ways and row.width_mm > along_mm:
                # Beyond the band one after the other would come further out, above it in the wrong order.
                blocks = [rows[0] for rows in ways if len(rows) == 1]
                within = [one for one in blocks if one.width_mm <= along_mm]
                block = (within or blocks[-1:])[0]
                return _letter_where(
                    block, spot, low, high, room, inside_only, edge_at, is_free_arrow, shut, longest_mm
                )
        wide = deep + (_FINE_OFF_MM if lanes is _inside_finely else 0.0)
        for depth_at in lanes(row, typical):
            for s in middles:
                at = spot(s)
                depth = depth_at(at)
                arrows: list[tuple[Point, Point]] = []
                if names_edge:
                    # Most places are too far off for a short arrow, which is seen sooner than whether they are free.
                    least, most = depths_at(s)
                    if not least <= depth <= most:
                        continue
                spans = shut.get((s, reach, wide))
                if spans is None:
                    spans = shut[s, reach, wide] = []
                elif _is_within(depth, spans):
                    continue
                start, end = at.moved(-reach, depth), at.moved(reach, depth)
                met = room.shut_to_strip(start, end, wide, at.inward)
                if met is not None:
                    spans.append((depth + met[0], depth + met[1]))
                    continue
                if names_edge:
                    arrows = _arrows_to_edge(row, half, at, depth, edge_at, s, longest_mm)
                    if not arrows:
                        continue
                if row.way is not None:
                    # Aslant to the words it reaches out of their row.
                    tips = grain_tips(row, at, depth)
                    if not room.is_free_strip(*tips, _OFF_GRAIN_MM):
                        continue
                    room.take_strip(*tips, _OFF_GRAIN_MM)
                if not names_edge:
                    room.take_strip(start, end, deep)
                    return set_row(row, at, depth)
                for tail, tip in arrows:
                    if is_free_arrow is None or is_free_arrow(tail, _short_of(tip, tail, _OFF_EDGE_MM)):
                        room.take_strip(start, end, deep)
                        room.take_strip(tail, tip, 0.9)
                        return (*arrow(tail, tip, LINE, 2.2), *set_row(row, at, depth))
    if inside_only or is_free_arrow is not None:
        return ()
    what = f'there is no room on a strip for the words "{row.text}"'
    raise OutputError(what, mend="Leave out [sheets] large, or give the closures more room along the edge.")


def _is_within(depth: float, spans: list[tuple[float, float]]) -> bool:
    # Asked a million times for the words of many sizes.
    for low, high in spans:  # noqa: SIM110
        if low < depth < high:
            return True
    return False


def _in_rows(row: Lettered) -> list[tuple[Lettered, ...]]:
    """The ways to break a row: into two, as one block or wherever both are read on, and a name before a lap from it."""
    first_row, _, rest = row.text.partition(PARTED_BY)
    halves = (replace(row, text=first_row), replace(row, text=rest, sign=""))
    ways = [(replace(row, text=f"{first_row}\n{rest}"),), halves]
    opening, comma, lap = first_row.rpartition(", ")
    if comma:
        ways.append((replace(row, text=f"{opening},\n{lap}\n{rest}"),))
    return ways


def _letter_together(
    rows: Sequence[Lettered], spot: SpotAt, low: float, high: float, room: Room, edge_at: EdgeAt
) -> tuple[Item, ...]:
    """Letter rows of one saying within the band, where each is read on from the one before it; else none of them."""
    trial = room.copy()
    found = [_letter(one, spot, low, high, trial, True, edge_at) for one in rows]
    lines = [next(words_among(one)) for one in found if one]
    if not all(found) or not all(is_read_on(*pair) for pair in pairwise(lines)):
        return ()
    return tuple(item for one in rows for item in _letter(one, spot, low, high, room, True, edge_at))


def _on_grid(low: float, high: float, stride: float) -> list[float]:
    """Places along the line, on a grid of the whole of it, so that each is found once for all; else the middle."""
    return [stride * k for k in range(math.ceil(low / stride), math.floor(high / stride) + 1)] or [(low + high) / 2]


@frozen
class _Lane:
    """A lane at a depth that is measured from the edge, or from where the band ends."""

    from_edge: bool
    back_mm: float

    def __call__(self, spot: Spot) -> float:
        return self.back_mm - spot.to_edge_mm if self.from_edge else spot.to_inner_mm - self.back_mm


def _inside(row: Lettered, spot: Spot, step_mm: float = _LANE_STEP_MM) -> Iterator[_Lane]:
    """Lanes inside the band: those by the edge for what speaks of it, else those behind the closing line first."""
    half = row.half_mm + _OFF_MM
    edge = list(_lanes_of(spot.to_edge_mm, half, step_mm, from_edge=True))
    inner = list(_lanes_of(spot.to_inner_mm, half, step_mm, from_edge=False))
    yield from (edge + inner[::-1]) if row.near_edge else (inner + edge)


def _inside_finely(row: Lettered, spot: Spot) -> Iterator[_Lane]:
    """Lanes inside the band that lie closer, before a row goes out of it: there its piece takes more paper."""
    return _inside(row, spot, _FINE_LANE_STEP_MM)


def _lanes_of(depth_mm: float, half: float, step_mm: float, from_edge: bool) -> Iterator[_Lane]:
    """From the band's border to the closing line."""
    count = math.floor((depth_mm - 2 * half) / step_mm) + 1
    for k in range(max(0, count)):
        yield _Lane(from_edge, half + step_mm * k)


def _outside(row: Lettered, spot: Spot) -> Iterator[_Lane]:
    """Lanes beyond the band, the nearest first: for what does not speak of the edge those on the inner side first."""
    half = row.half_mm + _OFF_MM
    outs = [-half - _LANE_STEP_MM * k for k in range(int(_FURTHEST_OUT_MM / _LANE_STEP_MM))]
    if row.near_edge:
        yield from (_Lane(from_edge, out) for out in outs for from_edge in (True, False))
    else:
        yield from (_Lane(from_edge, out) for from_edge in (False, True) for out in outs)


def _far_outside(row: Lettered, spot: Spot) -> Iterator[_Lane]:
    """Lanes further out than anything of a strip reaches."""
    start = row.half_mm + _OFF_MM + _FURTHEST_OUT_MM
    for k in range(_FAR_LANES):
        yield _Lane(True, -start - 2 * _LANE_STEP_MM * k)
        yield _Lane(False, -start - 2 * _LANE_STEP_MM * k)


def _arrows_to_edge(
    row: Lettered, half: float, spot: Spot, depth: float, edge_at: EdgeAt, along_mm: float, longest_mm: float
) -> list[tuple[Point, Point]]:
    """Where an arrow of a row that names the edge may begin, and where it then ends; the best first.

    Args:
        row, half: the row, and half its width in mm.
        spot, depth, along_mm: where it stands.
        edge_at: finds the place on the edge beside a place of the line.
        longest_mm: so long it may be, short of the edge.
    """
    off = row.half_mm + 0.6
    if row.sign == "from words":
        if -spot.to_edge_mm - depth - off < _LEAST_ARROW_MM:
            return []
    else:
        # From within the cut it begins at the far side of the words, so that it is long enough to be seen.
        off = min(2.2, off) if depth >= -spot.to_edge_mm else -min(2.2, off)
    tips = [(aside, edge_at(along_mm + aside)) for aside in _asides(row, half, spot)]
    ways = [(spot.moved(aside, depth + off), tip) for aside, tip in tips if tip is not None]
    return [(tail, tip) for tail, tip in ways if math.dist(tail, _short_of(tip, tail, _OFF_EDGE_MM)) <= longest_mm]


def _asides(row: Lettered, half: float, spot: Spot) -> tuple[float, ...]:
    """How far from a row's middle, along the strip, an arrow of it to the edge may begin."""
    if row.sign == "from words":
        return (0.0, -0.5 * half, 0.5 * half, -0.9 * half, 0.9 * half)
    return (-way_along(spot) * (half - row.sign_mm / 2),)


def _depths_for_arrows(
    row: Lettered, half: float, spot: Spot, edge_at: EdgeAt, along_mm: float, longest_mm: float
) -> tuple[float, float]:
    """Between which depths a row must stand for any arrow of it to be so short; not all that stand there have one.

    From inf to -inf where no edge is drawn beside it.
    """
    far = longest_mm + _OFF_EDGE_MM + row.half_mm + 1.0
    depths = []
    for aside in _asides(row, half, spot):
        (x, y), tip = spot.moved(aside, 0.0), edge_at(along_mm + aside)
        if tip is not None:
            depths.append((tip[0] - x) * spot.inward[0] + (tip[1] - y) * spot.inward[1])
    return (min(depths) - far, max(depths) + far) if depths else (math.inf, -math.inf)


def _short_of(tip: Point, tail: Point, by_mm: float) -> Point:
    """A place on the way to a tip that lies so far before it."""
    share = min(1.0, by_mm / max(1e-9, math.dist(tip, tail)))
    return (tip[0] + (tail[0] - tip[0]) * share, tip[1] + (tail[1] - tip[1]) * share)
