"""How far points lie from the curve that they stand for, told from the points alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from closures.curve.fitting.limits import LEAST_POINTS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# A coordinate is on a grid where so many of its steps are whole numbers of it.
_ON_GRID_SHARE = 0.95
# So far from a whole number, as a share of a step of the grid; far over what a decimal is rounded by.
_WHOLE = 0.01
# Steps that differ by less, as a share, are one step: rounded to a hundredth of it they still are.
_EVEN = 0.02
# A grid finer than this, in mm, is finer than any pen; one wider is drawn so on purpose.
_FINEST_MM, _WIDEST_MM = 1e-3, 1.0
# As many of the smallest steps are tried as a grid, and the whole parts of each.
_TRIED, _PARTS = 24, (1, 2, 3, 4, 5)

# The larger figures are left out: corners, the ends of tight curves, slips of the hand.
_KEPT_SHARE = 0.6
# What is left of a normal spread then: the square root of (0.6 - 2 q f(q)) / 0.6 at q = 0.8416.
_TRIMMED = 0.4632


def grid_of(points: Array) -> float:
    """The step of the grid on which coordinates were rounded, in mm; zero where there is none.

    Args:
        points: across and down, in mm, as many rows as points.
    """
    if len(points) < 8:
        return 0.0
    return max(_grid_along(points[:, 0]), _grid_along(points[:, 1]))


def _grid_along(values: Array) -> float:
    steps = np.abs(np.diff(values))
    moved = steps > _FINEST_MM / 2
    steps, stood = steps[moved], bool(np.mean(moved) < _ON_GRID_SHARE)
    if len(steps) < 4:
        return 0.0
    if not stood and np.mean(np.abs(steps - np.median(steps)) < _EVEN * np.median(steps)) >= _ON_GRID_SHARE:
        # Taken at even steps of this coordinate, as in a table: what they were rounded to is told by the other.
        return 0.0
    for least in np.unique(np.round(steps, 9))[:_TRIED]:
        for part in _PARTS:
            grid = float(least) / part
            if not _FINEST_MM <= grid <= _WIDEST_MM:
                continue
            counts = steps / grid
            off = np.abs(counts - np.round(counts))
            # Many grids fit a few long steps; a step of the grid itself, or of two, must be among them.
            if np.mean(off < _WHOLE) >= _ON_GRID_SHARE and np.min(np.round(counts)) <= 2:
                return grid
    return 0.0


def spread_of(runs: Sequence[Array]) -> float:
    """Estimate the standard deviation of points square to their curve, in mm.

    Each point is held against the cubic through two neighbours on either side, and against the curves of the
    fifth and the seventh degree through three and four: of a smooth curve all leave little but noise, and the
    least of them least of the curve itself.

    Args:
        runs: points in mm, in order, none twice in a row, with no corner inside a run.
    """
    if sum(len(run) for run in runs) < LEAST_POINTS:
        return 0.0
    spreads = []
    for beside in (2, 3, 4):
        off = [_left_out(run, beside) for run in runs if len(run) > 2 * beside]
        kept = np.sort(np.concatenate(off)) if off else np.zeros(0)
        if len(kept) >= LEAST_POINTS // 2:
            kept = kept[: max(1, int(_KEPT_SHARE * len(kept)))]
            spreads.append(float(np.sqrt(np.mean(kept**2)) / _TRIMMED))
    return min(spreads, default=0.0)


def _left_out(points: Array, beside: int) -> Array:
    """How far each point lies from the curve through its neighbours, as the noise of one point."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    n = len(points)
    offsets = [k for k in range(-beside, beside + 1) if k]
    middle = np.arange(beside, n - beside)
    here = along[middle]
    predicted = np.zeros((len(middle), 2))
    squares = np.ones(len(middle))
    for k in offsets:
        # Lagrange's weights of the neighbours at the place of the point.
        weight = np.ones(len(middle))
        for j in offsets:
            if j != k:
                weight *= (here - along[middle + j]) / (along[middle + k] - along[middle + j])
        predicted += weight[:, None] * points[middle + k]
        squares += weight**2
    chord = points[middle + 1] - points[middle - 1]
    size = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-12)
    away = points[middle] - predicted
    off: Array = np.abs(away[:, 0] * chord[:, 1] - away[:, 1] * chord[:, 0]) / size / np.sqrt(squares)
    return off
