"""Where points that stand for a line turn a corner, and which of its strokes are straights of their own.

A smooth curve that is sampled turns at every point by about as much as at the next; at a corner it turns at
one by more. What the points are out by hides a corner only when it turns by less than a few times the angle
that the noise turns the sides by, over as much of them as is looked at.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from closures.curve.fitting.limits import MOST_SAGITTA_MM

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# A stroke so many times as long as those beside it, and longer than this, is no sample among samples.
_MUCH_LONGER, _LONG_MM = 2.5, 8.0
# A point that turns by less joins straights.
_STRAIGHT_ON = np.radians(5.0)

# Nobody samples a curve at points that turn by this, and no noise turns strokes of this length by it: a notch.
_NEVER_SAMPLED, _NEVER_NOISE_MM = np.radians(60.0), 1.5

# Points to either side that a corner is looked for with, few first; and how sure its angle must be.
_SIDES = (2, 3, 4, 6, 8, 11, 15, 20, 27)
_SURE = np.radians(2.5)
# The least angle of a corner among samples, and as a multiple of how far its sides turn from point to point.
_LEAST_TURN, _TURNS = np.radians(14.0), 2.0
# A corner between two sides leaves them their noise, and no more than so many times as much.
_LEFT_OVER = 2.5


def straight_strokes(points: Array) -> NDArray[np.bool_]:
    """Tell which strokes between points are straights of their own, and no samples of a curve.

    Args:
        points: in mm, in order, at least three, none twice in a row.
    """
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    sharp = _is_sharp(points, lengths)
    beside = np.full((len(lengths), 4), np.inf)
    for column, shift in enumerate((-2, -1, 1, 2)):
        low, high = max(0, -shift), min(len(lengths), len(lengths) - shift)
        beside[low:high, column] = lengths[low + shift : high + shift]
    beside.sort(axis=1)
    usual = np.where(np.isfinite(beside[:, 1]), beside[:, 1], beside[:, 0])
    long = (lengths > _MUCH_LONGER * usual) & (lengths > _LONG_MM)
    ends = np.concatenate([[True], sharp]) & np.concatenate([sharp, [True]])
    straight: NDArray[np.bool_] = long | ends
    return straight


def sharp_points(points: Array) -> NDArray[np.intp]:
    """Numbers of the points that turn by more than any sample of a curve between strokes of their lengths."""
    steps = np.diff(points, axis=0)
    return np.flatnonzero(_is_sharp(points, np.hypot(steps[:, 0], steps[:, 1]))) + 1


def _is_sharp(points: Array, lengths: Array) -> NDArray[np.bool_]:
    """For each point but the two ends whether its strokes are too long for its turn to be a curve's."""
    turns = np.abs(turns_of(points))
    # The geometric mean keeps the last sample of a tight curve, which the next stroke follows at a distance,
    # from being a corner.
    bow = turns * np.sqrt(lengths[:-1] * lengths[1:]) / 8
    notched = (turns > _NEVER_SAMPLED) & (np.minimum(lengths[:-1], lengths[1:]) > _NEVER_NOISE_MM)
    sharp: NDArray[np.bool_] = ((bow > MOST_SAGITTA_MM) & (turns > _STRAIGHT_ON)) | notched
    return sharp


def turns_of(points: Array) -> Array:
    """The signed turn at each point but the two ends, in radians."""
    ways = np.diff(points, axis=0)
    one, other = ways[:-1], ways[1:]
    turns: Array = np.arctan2(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], np.sum(one * other, axis=1))
    return turns


def corners_among(points: Array, spread: float) -> list[int]:
    """Find the points of a sampled run at which two smooth sides meet at an angle.

    At each point two parabolas that share it are fitted to as few points on either side as make their angle
    sure; there is a corner where they meet at an angle, turn much less themselves, and leave nothing over
    but noise.

    Args:
        points: in mm, in order, none twice in a row.
        spread: their noise, a standard deviation in mm.

    Returns:
        Numbers of points, ascending.
    """
    count = len(points)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    angles, sides = np.zeros(count), np.zeros(count, dtype=int)
    left_over = np.full(count, np.inf)
    undecided = np.ones(count, dtype=bool)
    for side in _SIDES:
        if count < 2 * side + 1:
            break
        middle = np.flatnonzero(undecided[side : count - side]) + side
        if not len(middle):
            continue
        angle, own, over, doubt = _two_sides(points, along, middle, side)
        sure = doubt * spread <= _SURE
        done = middle[sure]
        undecided[done] = False
        fits = over[sure] <= _LEFT_OVER * max(spread, 1e-4)
        is_corner = fits & (angle[sure] >= _LEAST_TURN) & (angle[sure] >= _TURNS * own[sure])
        angles[done] = np.where(is_corner, angle[sure], 0.0)
        sides[done], left_over[done] = side, over[sure]
    found: list[int] = []
    for i in sorted(np.flatnonzero(angles), key=lambda i: -angles[i]):
        if all(abs(i - j) > max(sides[i], sides[j]) for j in found):
            found.append(int(i))
    return sorted(found)


def _two_sides(points: Array, along: Array, middle: NDArray[np.intp], side: int) -> tuple[Array, Array, Array, Array]:
    """Fit two parabolas that meet at each of some points.

    Returns:
        For each: the angle between them in radians; how far the more curved of them turns from one point to
        the next; what is left over, a standard deviation in mm; and the deviation of the angle for noise of 1.
    """
    window = np.arange(-side, side + 1)
    numbers = middle[:, None] + window
    s = along[numbers] - along[middle][:, None]
    scale = np.max(np.abs(s), axis=1)[:, None]
    before, after = np.where(window < 0, s / scale, 0.0), np.where(window > 0, s / scale, 0.0)
    design = np.stack([np.ones_like(s), before, before**2, after, after**2], axis=2)
    turned = np.swapaxes(design, 1, 2)
    normal = turned @ design
    inverse = np.linalg.inv(normal + 1e-12 * np.eye(5))
    xy = points[numbers]
    solved = inverse @ (turned @ xy)
    rest = xy - design @ solved
    free = max(1, 2 * (2 * side + 1) - 10)
    over = np.sqrt(np.sum(rest**2, axis=(1, 2)) / free)
    one, other = solved[:, 1], solved[:, 3]
    angle = np.abs(np.arctan2(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], np.sum(one * other, axis=1)))
    step = (along[middle + 1] - along[middle - 1])[:, None] / 2 / scale
    speeds = [np.maximum(np.hypot(*way.T), 1e-12) for way in (one, other)]
    own = np.max(
        [
            2 * np.abs(way[:, 0] * bend[:, 1] - way[:, 1] * bend[:, 0]) / speed**2 * step[:, 0]
            for way, bend, speed in ((one, solved[:, 2], speeds[0]), (other, solved[:, 4], speeds[1]))
        ],
        axis=0,
    )
    doubt = np.sqrt(inverse[:, 1, 1] + inverse[:, 3, 3] - 2 * inverse[:, 1, 3]) / np.min(speeds, axis=0)
    return angle, own, over, doubt
