"""Words beside marks, anchors and zones: each a small block, set where it meets nothing."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import accumulate, chain, pairwise, tee
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import between, meets, way_out_of
from closures.drawing.ink.lettering import CAP_HEIGHT, width_of, wrapped
from closures.drawing.ink.room import Target
from closures.drawing.ink.shapes import FINE, Item, Point, Weight, Words, line
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.ink.shapes import Box

_LEADING = 1.08
_GAP_MM = 1.4
_STEP_MM = 1.5
_FURTHEST_MM = 75.0
# No place that is tried lies further out than this from a mark's reach, half the block left out.
_TRIED_MM = _FURTHEST_MM + 30.0
_SHIFTS_MM = (0.0, 4.0, -4.0, 8.0, -8.0, 12.0, -12.0, 18.0, -18.0, 26.0, -26.0)
_LEADER_FROM_MM, _LONG_LEADER_MM = 3.0, 8.0
_OFF_NUMBER_MM, _OFF_STACKED_MM = 12.0, 6.0
_OFF_RIM_MM, _OFF_INK_MM, _OFF_WORDS_MM, _OFF_SLIT_MM = 0.4, 0.65, 0.6, 3.0
# A slit runs along the row where it lies flatter than this to the way out of it: 45 degrees, our own rule.
_ALONG = 0.7
# By how much a label lies nearer to its own mark than to others where no leader says whose it is.
_PLAINLY_MM = 1.0
# A number further off than this from its mark is plainly its own only where others are further still, by this share.
_NEAR_MM, _PLAINLY = 14.0, 0.8
_WAY_OUT_MM = 14.0
WIDEST_MM = 46.0
# How many places straight out and a little aside are tried before those beside the mark.
_BESIDE_AFTER = 5
_OFF_LINE_MM = 1.4
_SAME_MM = 1e-6
# Rows this close are crowded: their numbers stand straight out of their marks, or so little aside, as by a join.
_CROWDED_MM, _STRAIGHT_OUT, _STRAIGHT_SHIFTS_MM = 26.0, 24, (0.0, 2.0, -2.0, 4.0, -4.0)
# How many steps to either side are tried last.
_FAR_BESIDE = 24


@frozen
class Line:
    """One line of a label's small type."""

    text: str
    size_mm: float
    weight: Weight = "regular"


@frozen
class Label:
    """What a label says and where it belongs.

    Attributes:
        head: the large number, or empty.
        head_mm: its size.
        lines: small type beside it.
        at: the centre of what it speaks of.
        away: unit direction in which it lies from there.
        reach_mm: how far from `at` that reaches.
        beside_mm: how far it reaches to either side of that way; 0 where words beside it would lie on something.
        shares_its_place: whether another mark lies at the same place: it may lie the other way as well.
        stacked: whether its lines stand under the large number, not beside it: narrower, for crowded rows.
        kind: of what it speaks, where others like that stand near; empty where nothing can be mistaken for it.
    """

    head: str
    head_mm: float
    lines: tuple[Line, ...]
    at: Point
    away: Point
    reach_mm: float
    beside_mm: float = 0.0
    shares_its_place: bool = False
    kind: str = ""
    stacked: bool = False


def target_of(at: Point, away: Point, rim_mm: float, reach_mm: float, ink: Box, kind: str = "mark") -> Target:
    """Make a mark known to the room, before any label is set, with the way that its leader may need."""
    (x, y), (ax, ay) = at, away
    low, high = reach_mm, reach_mm + _WAY_OUT_MM
    return Target(kind, at, rim_mm, ink, ((x + low * ax, y + low * ay), (x + high * ax, y + high * ay)), reach_mm)


def wrapped_lines(
    text: str, size_mm: float, weight: Weight = "regular", widest_mm: float = WIDEST_MM
) -> tuple[Line, ...]:
    """Break a long name into lines of a label."""
    return tuple(Line(row, size_mm, weight) for row in wrapped(text, size_mm, widest_mm, weight))


def place_label(label: Label, room: Room) -> tuple[Item, ...]:
    """Set a label at the nearest free place and note there that the room is taken.

    Places are tried outwards from the mark and to either side, the nearest first. A label never lies on what is drawn
    already, nor on paper that a join cuts away. Where it is not plain which mark it belongs to, a leader reaches that
    mark; it crosses no word, no mark and no other leader as long as there is such a place at all.
    """
    own = room.target_at(label.kind, label.at, label.reach_mm)
    # What lies thrice as far off as any place that is tried is never nearer to it than the label's own mark.
    reach = 3 * (max(label.reach_mm, label.beside_mm) + _TRIED_MM + 2 * sum(block_size(label)))
    others = room.others(label.kind, label.at, reach) if label.kind else []

    tied: dict[tuple[bool, Box], tuple[bool, tuple[Point, Point] | None]] = {}

    def tie(one: Label, box: Box) -> tuple[bool, tuple[Point, Point] | None]:
        """Whether a place is good, found once however often the places are gone through, and the leader to it."""
        if (one.stacked, box) not in tied:
            leader = _leader(one, box, own, others)
            tied[one.stacked, box] = leader is None or _is_good(one, box, leader, own, others, room), leader
        return tied[one.stacked, box]

    # Where no good place is left for a wide label, one is often left for the same with its lines under its number.
    narrow = [replace(label, stacked=True)] if label.head and label.lines and not label.stacked else []
    forms = (label, *narrow)
    straight = {one.stacked: tee(_free_straight_out(one, others, room), 2) for one in forms}
    free = {one.stacked: tee(_free_boxes(one, own, others, room), 4) for one in forms}
    ways: list[tuple[Label, int, Iterable[Box]]] = [
        *((one, strictness, straight[one.stacked][strictness - 2]) for one in forms for strictness in (3, 2)),
        *((one, strictness, free[one.stacked][strictness]) for one in forms for strictness in (3, 2)),
        (label, 1, free[label.stacked][1]),
        (label, 0, chain(free[label.stacked][0], _free_boxes_far_out(label, room))),
    ]
    for one, strictness, boxes in ways:
        for box in boxes:
            if strictness > 2 and one.kind and not room.leaves_ways_out(box, one.at):
                continue
            # Where no good place is left, the leader reaches the number itself, and not the nearest of the words.
            good, leader = tie(one, box) if strictness > 1 else (False, _leader(one, _of_number(one, box), own, others))
            # Words may be crossed before a mark is.
            spares = strictness == 1 and not any(meets(leader, other.ink) for other in others if leader)
            if good or spares or leader is None or not strictness:
                return _set(one, box, leader, room)
    raise RuntimeError(f"no place is left for the label {label.head or label.lines[0].text}")


def _is_good(
    label: Label,
    box: Box,
    leader: tuple[Point, Point],
    own: Target | None,
    others: Sequence[Target],
    room: Room,
) -> bool:
    """Tell whether a leader meets nothing on its way and ties the words in a box to their mark, and to no other."""
    if not room.lets_through(*leader, own.ink if own else None):
        return False
    # Out of a slit across the row the leader says its place along as well from the far end.
    is_along = own is not None and abs(own.slit[0] * label.away[0] + own.slit[1] * label.away[1]) < _ALONG
    if own and own.round_slit_mm and is_along and math.dist(leader[0], label.at) > own.round_slit_mm + 1.0:
        return False
    far_off = _OFF_STACKED_MM if label.stacked else _OFF_NUMBER_MM
    # A stub, or a leader from the far end of its words, ties no number to its mark.
    least = _LONG_LEADER_MM if _is_by_another(label, box, others) else _LEADER_FROM_MM
    is_weak = math.dist(*leader) < least or _off_number(label, box, leader[1]) > far_off
    return not (is_weak and not is_plainly_of(label, box, own, others)) and not room.crosses_a_leader(*leader)


def _set(label: Label, box: Box, leader: tuple[Point, Point] | None, room: Room) -> tuple[Item, ...]:
    room.take(box)
    room.note_labelled(label.at)
    if leader is None:
        return set_block(label, box)
    room.take_leader(*leader)
    return (line(*leader, pen=FINE), *set_block(label, box))


def block_size(label: Label) -> tuple[float, float]:
    """Width and height of a label's block, in mm."""
    if label.stacked:
        head = width_of(label.head, label.head_mm, "bold")
        width = max(head, *(width_of(row.text, row.size_mm, row.weight) for row in label.lines))
        return width, CAP_HEIGHT * label.head_mm + sum(_LEADING * row.size_mm for row in label.lines)
    head = width_of(label.head, label.head_mm, "bold") + (1.2 if label.lines else 0.0) if label.head else 0.0
    body = max((width_of(row.text, row.size_mm, row.weight) for row in label.lines), default=0.0)
    lines = sum(_LEADING * row.size_mm for row in label.lines)
    return head + body, max(CAP_HEIGHT * label.head_mm if label.head else 0.0, lines)


def set_block(label: Label, box: Box) -> tuple[Item, ...]:
    """Letter a label's block into its box."""
    x, middle = box[0], (box[1] + box[3]) / 2
    if label.stacked:
        return _set_stacked(label, box)
    items: list[Item] = []
    if label.head:
        base = middle + CAP_HEIGHT * label.head_mm / 2
        items.append(Words(x, base, label.head, label.head_mm, "start", 0.0, "bold"))
        x += width_of(label.head, label.head_mm, "bold") + 1.2
    base = middle - sum(_LEADING * row.size_mm for row in label.lines) / 2
    for row in label.lines:
        base += _LEADING * row.size_mm
        # The line of type stands in the middle of its height: capitals are two thirds of it.
        drop = (_LEADING - CAP_HEIGHT) / 2 * row.size_mm
        items.append(Words(x, base - drop, row.text, row.size_mm, "start", 0.0, row.weight))
    return tuple(items)


def _set_stacked(label: Label, box: Box) -> tuple[Item, ...]:
    """Letter the large number at the top of a box, the lines centred under it."""
    middle, base = (box[0] + box[2]) / 2, box[1] + CAP_HEIGHT * label.head_mm
    items: list[Item] = [Words(middle, base, label.head, label.head_mm, "middle", 0.0, "bold")]
    for row in label.lines:
        base += _LEADING * row.size_mm
        drop = (_LEADING - CAP_HEIGHT) / 2 * row.size_mm
        items.append(Words(middle, base - drop, row.text, row.size_mm, "middle", 0.0, row.weight))
    return tuple(items)


@lru_cache(maxsize=2)
def _tries(both: bool) -> tuple[tuple[float, float, float], ...]:
    """Way, distance and shift of every place that is tried, the nearest first."""
    ways = (1.0, -1.0) if both else (1.0,)
    outs = [_STEP_MM * k for k in range(int(_FURTHEST_MM / _STEP_MM))]
    tries = [
        (out + 0.45 * abs(shift) + (0.0 if way > 0 else 6.0), way, out, shift)
        for way in ways
        for out in outs
        for shift in _SHIFTS_MM
    ]
    return tuple((way, out, shift) for _, way, out, shift in sorted(tries, key=lambda one: one[0]))


def _free_boxes(label: Label, own: Target | None, others: Sequence[Target], room: Room) -> Iterator[Box]:
    """Free places for a label, the nearest first, on one side or both."""
    width, height = block_size(label)
    # Where marks stand closer than their words are long beside the row, both sides of it are needed.
    both = label.shares_its_place or _nearest_mm(label, others) < _beside_row_mm(label) + 1.0
    return _free((_box_about(centre, width, height) for centre in _places(label, own, both)), room)


def _free_straight_out(label: Label, others: Sequence[Target], room: Room) -> Iterator[Box]:
    """Free places straight out of a mark in a crowded row: a number set aside would stand by a neighbour."""
    width, height = block_size(label)
    outs = range(_STRAIGHT_OUT if _nearest_mm(label, others) < max(_CROWDED_MM, _beside_row_mm(label) + 1.0) else 0)
    centres = (_at(label, _STEP_MM * k, shift, width, height) for shift in _STRAIGHT_SHIFTS_MM for k in outs)
    return _free((_box_about(centre, width, height) for centre in centres), room)


def _nearest_mm(label: Label, others: Sequence[Target]) -> float:
    return min((math.dist(other.at, label.at) for other in others), default=math.inf)


def _beside_row_mm(label: Label) -> float:
    """How long a label's words are along the row."""
    width, height = block_size(label)
    return abs(label.away[1]) * width + abs(label.away[0]) * height


def _free_boxes_far_out(label: Label, room: Room) -> Iterator[Box]:
    """Free places far out, where no sheet is crowded."""
    width, height = block_size(label)
    centres = (_at(label, _FURTHEST_MM + 5.0 * k, 0.0, width, height) for k in range(400))
    return _free((_box_about(centre, width, height) for centre in centres), room)


def _free(boxes: Iterable[Box], room: Room) -> Iterator[Box]:
    return (box for box in boxes if room.is_free(box) and room.keeps(box))


def _box_about(centre: Point, width: float, height: float) -> Box:
    return (centre[0] - width / 2, centre[1] - height / 2, centre[0] + width / 2, centre[1] + height / 2)


def _places(label: Label, own: Target | None, both: bool) -> Iterator[Point]:
    """Places for a label, the nearest first, on one side or both."""
    width, height = block_size(label)
    for k, (way, out, shift) in enumerate(_tries(both)):
        if k == _BESIDE_AFTER and label.beside_mm:
            yield from _beside(label, own, width, height)
        yield _at(label, way * out, shift, width, height, way)
    yield from _far_beside(label, width, height)


def _beside(label: Label, own: Target | None, width: float, height: float) -> Iterator[Point]:
    """Places to either side of a mark, a little off its line; of a slit along that, the short side first."""
    (ax, ay), (x, y) = label.away, label.at
    deep = abs(ax) * width / 2 + abs(ay) * height / 2 + _OFF_LINE_MM
    half = abs(ay) * width / 2 + abs(ax) * height / 2 + _GAP_MM
    sides = [(label.beside_mm, 1.0), (label.beside_mm, -1.0)]
    if own is not None and own.round_slit_mm:
        # A figure past the long end of a slit reads as one of that end, not of the dot.
        sides = sorted((way_out_of(own.ink, label.at, (-side * ay, side * ax)), side) for _, side in sides)
    for more in (0.0, 2.0, 4.0):
        for reach, side in sides:
            far = side * (half + reach + more)
            yield (x + deep * ax - far * ay, y + deep * ay + far * ax)


def _far_beside(label: Label, width: float, height: float) -> Iterator[Point]:
    """Places further to either side: another mark stands on the way out, and no word may lie nearer."""
    (ax, ay), (x, y) = label.away, label.at
    aside = abs(ay) * width / 2 + abs(ax) * height / 2 + label.reach_mm + _GAP_MM
    for k in range(_FAR_BESIDE):
        for shift in _SHIFTS_MM[:-2]:
            for side in (1.0, -1.0):
                far = side * (aside + _STEP_MM * k)
                yield (x + shift * ax - far * ay, y + shift * ay + far * ax)


def _at(label: Label, out: float, shift: float, width: float, height: float, way: float = 1.0) -> Point:
    ax, ay = label.away
    support = abs(ax) * width / 2 + abs(ay) * height / 2
    far = way * (label.reach_mm + _GAP_MM + support) + out
    return (label.at[0] + far * ax - shift * ay, label.at[1] + far * ay + shift * ax)


def _leader(label: Label, box: Box, own: Target | None, others: Sequence[Target]) -> tuple[Point, Point] | None:
    """A line from what is labelled to its block, where that is not plainly its own; the nearest of others is first."""
    x, y = label.at
    near = (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3]))
    far = math.dist((x, y), near)
    # Where its label does not belong a mark may reach less far.
    off = max(far - label.reach_mm, between(box, own.ink) if own else 0.0)
    if far < _SAME_MM or (off <= _LEADER_FROM_MM and is_plainly_of(label, box, own, others)):
        return None
    ux, uy = (near[0] - x) / far, (near[1] - y) / far
    start = label.reach_mm + 0.6 if label.reach_mm else 0.0
    if own is not None:
        start = own.rim_mm + _OFF_RIM_MM if own.rim_mm else way_out_of(own.ink, label.at, (ux, uy)) + _OFF_INK_MM
        rim = own.round_slit_mm + _OFF_RIM_MM
        if own.round_slit_mm and rim * abs(ux * own.slit[1] - uy * own.slit[0]) >= _OFF_SLIT_MM:
            # It ends at the button's rim, well aside of the slit; at the border of all the ink it would point at none.
            start = min(start, rim)
        begin = (x + start * ux, y + start * uy)
        near_by = _near_by(label, others, 2 * start)
        if others and (not own.rim_mm or any(math.dist(other.at, begin) <= start for other in near_by)):
            # Past a long buttonhole, or where another closure lies under a wide cap, the leader would begin nearer to
            # the other mark than to its own.
            start = min(start, math.dist(others[0].at, label.at) / 2 - _PLAINLY_MM)
    start = max(0.0, min(start, far - 1.2))
    end = max(start + 0.3, far - _OFF_WORDS_MM)
    return ((x + start * ux, y + start * uy), (x + end * ux, y + end * uy))


def is_plainly_of(label: Label, box: Box, own: Target | None, others: Sequence[Target]) -> bool:
    """Tell whether a large number lies plainly nearer to its own mark than to any other, and its figures no further."""
    if own is None or not others:
        return True
    head = _of_number(label, box)
    number = _middle_of_number(label, box)
    # Figures under a number are read with it, wherever they end.
    told = head if label.stacked else box
    ink, whole, centre = between(told, own.ink), between(box, own.ink), math.dist(number, own.at)
    return not _reaches_over(label, box, others) and all(
        ink + _PLAINLY_MM <= between(told, other.ink)
        and whole < between(box, other.ink)
        and centre + max(_PLAINLY_MM, _PLAINLY * (centre - _NEAR_MM)) <= math.dist(number, other.at)
        for other in others
    )


def _reaches_over(label: Label, box: Box, others: Sequence[Target]) -> bool:
    """Tell whether of figures without their number, read row by row, one stands nearer to another mark than its own."""
    tops = accumulate((_LEADING * row.size_mm for row in label.lines if not label.head), initial=box[1])
    rows = [(box[0], top, box[2], low) for top, low in pairwise(tops)]
    marks = [other.at for other in others]
    return any(between(row, (*at, *at)) < between(row, (*label.at, *label.at)) for row in rows for at in marks)


def _is_by_another(label: Label, box: Box, others: Sequence[Target]) -> bool:
    """Tell whether a large number lies nearer to another mark than to its own."""
    number = _middle_of_number(label, box)
    own = math.dist(number, label.at)
    near = any(math.dist(number, other.at) < own for other in _near_by(label, others, 2 * own))
    return near or _reaches_over(label, box, others)


def _near_by(label: Label, others: Sequence[Target], reach_mm: float) -> Sequence[Target]:
    """Those of the others, the nearest of which is first, that lie within a reach of a label's own place."""
    return others[: bisect_right(others, reach_mm + _SAME_MM, key=lambda other: math.dist(other.at, label.at))]


def _middle_of_number(label: Label, box: Box) -> Point:
    """Where the large number itself stands: of a stacked label above its lines."""
    left, top, right, low = _of_number(label, box)
    return ((left + right) / 2, top + CAP_HEIGHT * label.head_mm / 2 if label.stacked else (top + low) / 2)


def _off_number(label: Label, box: Box, end: Point) -> float:
    """How far a leader's end lies from the large number of its label."""
    return between(_of_number(label, box), (*end, *end))


def _of_number(label: Label, box: Box) -> Box:
    """The part of a label's block in which its large number stands; of a stacked one in the middle, above its lines."""
    width = width_of(label.head, label.head_mm, "bold") if label.head else box[2] - box[0]
    left = (box[0] + box[2] - width) / 2 if label.stacked else box[0]
    return (left, box[1], left + width, box[3])
