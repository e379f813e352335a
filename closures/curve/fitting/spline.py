"""The cubic spline of least squares through points, with as few spans as their noise allows.

A spline is a chain of cubics whose first and second derivatives go on where they meet. Its knots are at
points of the run, so that no span is without any. (De Boor, A Practical Guide to Splines, chapters IX to XIV.)
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from closures.curve.cubic import Cubic
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# The feet of the points on the curve settle in so many rounds far under the noise.
_ROUNDS = 2

# A single point may lie so many standard deviations away.
_MOST_DEVIATIONS = 4.5
# What is left over a span is split into waves of so many kinds, at most half as many as points.
_WAVES = 8
# The energy of so many waves of pure noise is beyond its mean by so many of its own deviations once in a hundred spans.
_ENERGY_DEVIATIONS = 3.0
# Points rounded to a grid lie to one side of a nearly straight run for about so long.
_STAIR_MM = 6.0

# After so many knots that are needed the others, which bend the curve more, are taken to be needed too.
_MISSES = 3

# Where the points are this exact, a span more or less does not matter, and none is taken out again.
_FINE_MM = 1e-3

# So many spans are no curve that a person drew.
MOST_SPANS = 150


@frozen
class Noise:
    """What the points may be out by, square to their curve, in mm.

    Attributes:
        spread: standard deviation.
        grid: the step that coordinates were rounded to, where that alone makes them uneven: stairs, which no
            curve should climb.
    """

    spread: float
    grid: float = 0.0

    def of_means(self, count: int) -> Noise:
        """The noise of means of so many points."""
        return Noise(self.spread / float(np.sqrt(count)), self.grid)

    def wave_spread(self, step_mm: float) -> float:
        """The deviation of a slow wave, of points so far apart: those on one stair err alike."""
        alike = max(1.0, _STAIR_MM / step_mm)
        return float(np.sqrt(self.spread**2 + (alike - 1) * self.grid**2 / 12))


@frozen
class Fitted:
    """A fitted run.

    Attributes:
        cubics: end to end.
        off: how far each point lies from them, positive to the right hand, in mm.
        worst: the number of the point that no spline of this noise passes, None where all are passed.
    """

    cubics: tuple[Cubic, ...]
    off: Array
    worst: int | None = None


def fit(points: Array, noise: Noise) -> Fitted:
    """Fit the spline with the fewest spans that lies along points.

    Args:
        points: in mm, in order, at least four, none twice in a row.
        noise: what they may be out by.
    """
    knots = [0, len(points) - 1]
    state = _Solved(points, knots)
    while True:
        failing = list(_failing(state, noise))
        if not failing or len(knots) > MOST_SPANS:
            break
        added = [middle for low, high in failing if (middle := _middle(low, high, len(points))) is not None]
        if not added or len(knots) + len(added) + 2 > len(points):
            added = added[: max(0, len(points) - 2 - len(knots))]
        if not added:
            break
        knots = sorted({*knots, *added})
        state = _Solved(points, knots, state.at)
    if not failing and noise.spread > _FINE_MM:
        state = _pruned(state, noise)
    worst = int(np.argmax(np.abs(state.off))) if failing else None
    return Fitted(state.cubics(), state.off, worst)


def _middle(low: int, high: int, count: int) -> int | None:
    """The point in the middle of a span, where there is one that may bear a knot.

    The second point and the last but one bear none, so that a spline never has more numbers than points.
    """
    middle = min(max((low + high) // 2, 2), count - 3)
    return middle if low < middle < high else None


def _pruned(state: _Solved, noise: Noise) -> _Solved:
    """Take out knots that are not needed, those that bend the curve least first."""
    missed = 0
    for knot in sorted(state.knots[1:-1], key=state.jump_at):
        fewer = _Solved(state.points, [k for k in state.knots if k != knot], state.at, 1)
        if next(_failing(fewer, noise, knot), None) is None:
            state, missed = fewer, 0
        else:
            missed += 1
        if missed == _MISSES:
            break
    return state


def _failing(state: _Solved, noise: Noise, first: int = 0) -> Iterator[tuple[int, int]]:
    """The spans whose points lie beside the curve by more than their noise; the ones about a point come first."""
    spans = list(zip(state.knots, state.knots[1:], strict=False))
    for low, high in sorted(spans, key=lambda span: max(span[0] - first, first - span[1], 0)):
        if _lies_beside(state.off[low : high + 1], state.at[low : high + 1], noise):
            yield low, high


def _lies_beside(off: Array, at: Array, noise: Noise) -> bool:
    """Whether points lie beside the curve: one too far, or many on one side where noise would be on both."""
    if np.max(np.abs(off)) > _MOST_DEVIATIONS * noise.spread + noise.grid / 2:
        return True
    if at[-1] <= at[0]:
        # Points whose feet all fell together follow no curve.
        return True
    waves = _waves(len(off))
    energy = float(np.sum((waves @ off) ** 2))
    count = len(waves)
    spread = noise.wave_spread(float(at[-1] - at[0]) / (len(off) - 1))
    return bool(energy > spread**2 * (count + _ENERGY_DEVIATIONS * np.sqrt(2.0 * count)))


@lru_cache(maxsize=512)
def _waves(points: int) -> Array:
    """The slowest cosine waves over so many points, square to each other and of length one."""
    count = max(1, min(_WAVES, points // 2))
    waves: Array = np.cos(np.pi * np.arange(count)[:, None] * (np.arange(points) + 0.5) / points)
    waves /= np.sqrt(np.sum(waves**2, axis=1))[:, None]
    return waves


class _Solved:
    """A spline of least squares over given knots."""

    def __init__(self, points: Array, knots: Sequence[int], at: Array | None = None, rounds: int = _ROUNDS) -> None:
        self.points, self.knots = points, list(knots)
        if at is None:
            steps = np.hypot(*np.diff(points, axis=0).T)
            at = np.concatenate([[0.0], np.cumsum(steps)])
        for turn in range(rounds + 1):
            self.at = at
            self._solve()
            if turn < rounds:
                at = self._feet()
        ways = self.ways / np.maximum(np.hypot(self.ways[:, 0], self.ways[:, 1]), 1e-12)[:, None]
        away = self.points - self.values
        self.off = away[:, 1] * ways[:, 0] - away[:, 0] * ways[:, 1]

    def _solve(self) -> None:
        places = self.at[self.knots]
        self.full = np.concatenate([[places[0]] * 3, places, [places[-1]] * 3])
        span, values, slopes = _basis(self.full, self.at)
        count = len(places) + 2
        columns = span[:, None] + np.arange(4)
        normal = np.zeros(count * count)
        for a in range(4):
            for b in range(4):
                cell = columns[:, a] * count + columns[:, b]
                normal += np.bincount(cell, values[:, a] * values[:, b], count * count)
        right = np.zeros((count, 2))
        for a in range(4):
            for k in (0, 1):
                right[:, k] += np.bincount(columns[:, a], values[:, a] * self.points[:, k], count)
        self.coefs = np.linalg.solve(normal.reshape(count, count), right)
        held = self.coefs[columns]
        self.values = (values[:, None, :] @ held)[:, 0]
        self.ways = (slopes[:, None, :] @ held)[:, 0]

    def _feet(self) -> Array:
        """The parameters moved to where each point is nearest, kept in order."""
        away = self.points - self.values
        speed = np.maximum(np.sum(self.ways**2, axis=1), 1e-12)
        moved = self.at + np.sum(away * self.ways, axis=1) / speed
        least = 0.05 * np.diff(self.at)
        # No foot passes another: each keeps a twentieth of the step to the one before.
        floors = np.concatenate([[0.0], np.cumsum(least)])
        feet: Array = np.maximum.accumulate(moved - floors) + floors
        return feet

    def jump_at(self, knot: int) -> float:
        """How far the third derivative jumps at a knot, weighed by the spans beside it."""
        i = self.knots.index(knot)
        places = self.at[self.knots]
        thirds = []
        for k in (i - 1, i):
            width = places[k + 1] - places[k]
            p = np.array(self._bezier(k))
            thirds.append(6 * (p[3] - 3 * p[2] + 3 * p[1] - p[0]) / width**3)
        reach = min(places[i] - places[i - 1], places[i + 1] - places[i])
        return float(np.hypot(*(thirds[1] - thirds[0])) * reach**3)

    def _bezier(self, span: int) -> list[Array]:
        places = self.at[self.knots]
        low, high = places[span], places[span + 1]
        found, values, slopes = _basis(self.full, np.array([low, high]), np.array([span, span]))
        ends, ways = (
            np.array([rows[i] @ self.coefs[found[i] : found[i] + 4] for i in (0, 1)]) for rows in (values, slopes)
        )
        third = (high - low) / 3
        return [ends[0], ends[0] + ways[0] * third, ends[1] - ways[1] * third, ends[1]]

    def cubics(self) -> tuple[Cubic, ...]:
        """The spans as cubics."""
        made = []
        before: tuple[float, float] | None = None
        for span in range(len(self.knots) - 1):
            p0, p1, p2, p3 = ((float(x), float(y)) for x, y in self._bezier(span))
            made.append(Cubic(before or p0, p1, p2, p3))
            before = p3
        return tuple(made)


def _basis(full: Array, at: Array, span: NDArray[np.intp] | None = None) -> tuple[NDArray[np.intp], Array, Array]:
    """For each place the first of the four cubic B-splines that are not zero there, their values and slopes."""
    last = len(full) - 8
    if span is None:
        span = np.clip(np.searchsorted(full[3:-3], at, side="right") - 1, 0, last)
    i = span + 3
    rows = [np.ones((len(at), 1))]
    for degree in (1, 2, 3):
        before = rows[-1]
        now = np.zeros((len(at), degree + 1))
        for k in range(degree):
            low, high = full[i - degree + 1 + k], full[i + 1 + k]
            width = high - low
            share = np.divide(at - low, width, out=np.zeros_like(at), where=width > 0)
            now[:, k] += (1 - share) * before[:, k]
            now[:, k + 1] += share * before[:, k]
        rows.append(now)
    slopes = np.zeros((len(at), 4))
    for k in range(3):
        width = full[i + 1 + k] - full[i - 2 + k]
        part = np.divide(3 * rows[2][:, k], width, out=np.zeros_like(at), where=width > 0)
        slopes[:, k] -= part
        slopes[:, k + 1] += part
    return span, rows[3], slopes
