"""A faint figure under the band where the drawing shows no piece: invented, as long as the edge was measured."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.plan.ends import begins_at_neck

if TYPE_CHECKING:
    from collections.abc import Iterable

    from closures.drawing.ink.shapes import Box, Command, Point
    from closures.placing.placement import Placement

# Half of a plain bodice, invented: mm across from its middle and down from the pit of the neck. It is to see by, and no
# measure of anybody; only its length is that of the plan.
_NECK, _SHOULDER, _UNDERARM, _WAIST, _HEM = (78.0, -72.0), (190.0, -38.0), (245.0, 190.0), 222.0, 255.0
_CHILD = 0.55
# Behind, the neck lies so much higher.
_BACK_RISE = 0.3
# The underarm lies no lower than this share of the length.
_LOWEST_UNDERARM = 0.45
# A piece of which no more is known reaches so far to either side, in lengths of its edge, and no farther than this.
_PIECE, _PIECE_MOST_MM = 0.4, 300.0


def figure_of(placement: Placement) -> tuple[Command, ...]:
    """Draw the figure on which the band lies.

    Args:
        placement: the closures as placed.

    Returns:
        A closed path in mm, in the frame of the garment as worn: a bodice where the edge begins at the neck, else a
        plain piece of cloth. Its middle is the straight between both ends of the closing line. Nothing where the
        drawing has the piece's own outline, and for a strap, which is all there is.
    """
    if placement.outline is not None or placement.strap is not None:
        return ()
    line = placement.laps.as_worn.line
    start, end = line.point_at(0.0), line.point_at(line.length_mm)
    length = math.dist(start, end)
    if length == 0.0:
        return ()
    down = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)

    def at(across: float, along: float) -> Point:
        return (start[0] - across * down[1] + along * down[0], start[1] + across * down[0] + along * down[1])

    opens = "" if placement.plan.garment is None else placement.plan.garment.opens
    if opens not in ("front", "back") or not begins_at_neck(placement.ends[0]):
        wide = min(_PIECE * length, _PIECE_MOST_MM)
        corners = [at(-wide, 0.0), at(wide, 0.0), at(wide, length), at(-wide, length)]
        return (("M", *corners[0]), *(("L", *corner) for corner in corners[1:]), ("Z",))
    half = _half_bodice(length, _CHILD if placement.plan.is_for_child else 1.0, opens == "back")
    # Down the one half and up the other, which is the same turned over.
    right = [[at(u, v) for u, v in part] for part in half]
    left = [[at(-u, v) for u, v in part] for part in half]
    path: list[Command] = [("M", *start), *map(_curve, right)]
    for n in range(len(left) - 1, -1, -1):
        to = left[n - 1][-1] if n else start
        one, other = left[n][1], left[n][0]
        path.append(_curve([one, other, to]))
    return (*path, ("Z",))


def _half_bodice(length: float, k: float, is_back: bool) -> list[list[Point]]:
    """Half of a bodice, each part two handles and an end, across and down, from the neck to the middle of the hem."""
    rise = k * (_BACK_RISE if is_back else 1.0)
    neck, tip = (k * _NECK[0], rise * _NECK[1]), (k * _SHOULDER[0], rise * _SHOULDER[1])
    arm = (k * _UNDERARM[0], min(k * _UNDERARM[1], _LOWEST_UNDERARM * length))
    hem, rest = (k * _HEM, length), length - arm[1]
    return [
        [(0.55 * neck[0], 0.0), (neck[0], 0.5 * neck[1]), neck],
        [_between(neck, tip, 1 / 3), _between(neck, tip, 2 / 3), tip],
        [(0.86 * tip[0], 0.4 * arm[1]), (0.9 * tip[0], 0.85 * arm[1]), arm],
        [(k * _WAIST, arm[1] + 0.35 * rest), (k * _WAIST, arm[1] + 0.55 * rest), hem],
        [_between(hem, (0.0, length), 1 / 3), _between(hem, (0.0, length), 2 / 3), (0.0, length)],
    ]


def _between(one: Point, other: Point, share: float) -> Point:
    return (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))


def _curve(part: list[Point]) -> Command:
    (ax, ay), (bx, by), (x, y) = part
    return ("C", ax, ay, bx, by, x, y)


def middle_of(path: Iterable[Command], start: Point, end: Point) -> Box:
    """The box of a figure's middle line, from its highest place to its lowest; of both ends where there is none."""
    length = math.dist(start, end) or 1.0
    down = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    values = [[float(value) for value in rest] for _, *rest in path]
    points = [point for rest in values for point in zip(rest[::2], rest[1::2], strict=True)]
    along = [(x - start[0]) * down[0] + (y - start[1]) * down[1] for x, y in points] or [0.0]
    ends = [(start[0] + far * down[0], start[1] + far * down[1]) for far in (min(along), max(along))] + [start, end]
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    return (min(xs), min(ys), max(xs), max(ys))
