"""One gap of one lap, solved: how its line is drawn and how its free edge rises as the pull grows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from closures.frozen import frozen
from closures.jobs.gape.model.forces import Forces, at_rest, settle
from closures.jobs.gape.model.grid import CORNER, Grid
from closures.jobs.gape.model.sheet import (
    Cloth,
    Matrix,
    all_but,
    answer,
    bending_matrix,
    gathered,
    least_factor,
    membrane_matrix,
    strain_of_figures,
    stress_matrix,
)

if TYPE_CHECKING:
    from closures.jobs.gape.model.grid import Array, Index

_MM = 1000.0
# A held disc is a bed of springs, so stiff that it moves by a thousandth of what the cloth does over one piece.
_HELD = 1000.0
# What lies under the lap gives way by about 0.01 mm to the pressures that occur.
_BODY_N_M3 = 1e6
# A push at the middle of the free edge, N for each N/m of pull, tells the edge which way to go.
_PUSH = 1e-6
# Steps of the search for the calm pull, as shares of the pull at which a flat strip would buckle.
_SHARES = (0.4, 0.7, 0.85, 0.95, 1.0, 1.05, 1.1, 1.2, 1.35, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 6.0)
SEEN_MM = 0.3
"""A lift of the free edge that begins to show: the pull that gives it is called the calm pull."""


@frozen
class Strip:
    """One gap of one lap's band.

    Attributes:
        pitch_mm: from one closure's centre to the next.
        band_mm: width of the band; beyond it lies the garment, held flat by its own pull.
        inset_mm: free edge to closing line.
        cap_mm: diameter of the disc that each closure holds.
        cloth: of the finished band, all its layers together.
        radius_mm: of the closing line; positive where the free edge lies on the outside of the curve (it bows away
            from the cloth), negative on the inside; None for a straight one.
    """

    pitch_mm: float
    band_mm: float
    inset_mm: float
    cap_mm: float
    cloth: Cloth
    radius_mm: float | None = None


@frozen
class Drawn:
    """The strip under one pull; `lift_mm` of the free edge, `apart_mm` of the line, both in the middle of the gap."""

    pull_n_m: float
    lift_mm: float
    apart_mm: float


def buckling_pull_n_m(strip: Strip, across: int = 16, down: int = 14) -> float:
    """The pull at which the flat strip would buckle, its free edge being free to move either way, N/m.

    Args:
        strip: the gap.
        across, down: pieces of the grid over half the gap and over the band.
    """
    grid = _grid(strip, across, down)
    plane, load, _ = _membrane(strip, grid)
    moved = answer(plane, load, all_but(2 * grid.count, _fixed_in_plane(grid)))
    figures = np.concatenate([grid.figures, grid.figures + grid.count], axis=1)
    strains = np.einsum("qia,ea->eqi", strain_of_figures(grid, _curvature(strip)), moved[figures])
    stress = stress_matrix(grid, strains @ strip.cloth.membrane)
    bending = bending_matrix(grid, strip.cloth) + _held_in_height(strip, grid)
    return least_factor(bending, stress, all_but(grid.count, _fixed_in_height(grid)))


def solve(strip: Strip, pulls_n_m: Iterable[float], across: int = 12, down: int = 10) -> Iterator[Drawn]:
    """Draw the strip with a growing pull.

    Args:
        strip: the gap.
        pulls_n_m: rising; each answer starts from the one before, so steps should be small near the calm pull.
        across, down: pieces of the grid over half the gap and over the band.

    Yields:
        What each pull comes to.

    Raises:
        ArithmeticError: an answer was not found; take smaller steps.
    """
    forces = _forces(strip, _grid(strip, across, down))
    grid = forces.grid
    middle = 2 * grid.count + grid.corners_where(x=grid.length, y=0.0)[0] * CORNER
    state = at_rest(forces)
    for pull in pulls_n_m:
        state = settle(forces, state, pull)
        apart = grid.value_at(state[grid.count : 2 * grid.count], grid.length, strip.inset_mm / _MM)
        yield Drawn(pull, float(state[middle]) * _MM, apart * _MM)


def calm_pull_n_m(strip: Strip, across: int = 12, down: int = 10) -> float:
    """The pull at which the free edge has risen by `SEEN_MM`, N/m.

    Raises:
        ArithmeticError: an answer was not found, or the edge does not rise at six times the pull at which a flat
            strip would buckle.
    """
    start = buckling_pull_n_m(strip, across, down)
    before = Drawn(0.0, 0.0, 0.0)
    for drawn in solve(strip, (share * start for share in _SHARES), across, down):
        if drawn.lift_mm >= SEEN_MM:
            ends = (before, drawn)
            return float(np.interp(SEEN_MM, [end.lift_mm for end in ends], [end.pull_n_m for end in ends]))
        before = drawn
    raise ArithmeticError("the free edge does not rise under any pull that was tried")


def _grid(strip: Strip, across: int, down: int) -> Grid:
    return Grid(strip.pitch_mm / 2 / _MM, strip.band_mm / _MM, across, down)


def _curvature(strip: Strip) -> float:
    return 0.0 if strip.radius_mm is None else -_MM / strip.radius_mm


def _disc(strip: Strip, grid: Grid) -> Array:
    return grid.within_disc(0.0, strip.inset_mm / _MM, strip.cap_mm / 2 / _MM)


def _membrane(strip: Strip, grid: Grid) -> tuple[Matrix, Array, Matrix]:
    """Stiffness in the plane with its held disc, the load of 1 N/m, and the disc alone."""
    from scipy.sparse import block_diag

    cloth = strip.cloth
    stiffest = max(cloth.stretch_along_n_m, cloth.stretch_across_n_m)
    disc = _HELD * stiffest / (grid.step_x * grid.step_y) * gathered(grid, _disc(strip, grid), grid.figures, grid.count)
    held_disc = block_diag([disc, disc]).tocsr()
    load = np.concatenate([np.zeros(grid.count), grid.along_side()])
    return membrane_matrix(grid, cloth, _curvature(strip)) + held_disc, load, held_disc


def _held_in_height(strip: Strip, grid: Grid) -> Matrix:
    stiffest = max(strip.cloth.bend_along_unm, strip.cloth.bend_across_unm) * 1e-6
    spring = _HELD * stiffest / (grid.step_x * grid.step_y) ** 2
    return spring * gathered(grid, _disc(strip, grid), grid.figures, grid.count)


def _fixed_in_plane(grid: Grid) -> list[Index]:
    """At a closure and halfway to the next the gap is its own mirror image: u and the slope of v along x are 0."""
    ends = np.concatenate([grid.corners_where(x=0.0), grid.corners_where(x=grid.length)]) * CORNER
    return [ends, ends + 2, grid.count + ends + 1, grid.count + ends + 3]


def _fixed_in_height(grid: Grid) -> list[Index]:
    """Likewise its slope along x; and where the garment begins it lies flat on the body."""
    ends = np.concatenate([grid.corners_where(x=0.0), grid.corners_where(x=grid.length)]) * CORNER
    inner = grid.corners_where(y=grid.width) * CORNER
    return [ends + 1, ends + 3, inner, inner + 1, inner + 2, inner + 3]


def _forces(strip: Strip, grid: Grid) -> Forces:
    from scipy.sparse import block_diag

    _, load, held_disc = _membrane(strip, grid)
    constant = block_diag([held_disc, bending_matrix(grid, strip.cloth) + _held_in_height(strip, grid)]).tocsr()
    count = grid.count
    push = np.zeros(count)
    push[grid.corners_where(x=grid.length, y=0.0)[0] * CORNER] = _PUSH
    free = all_but(3 * count, [*_fixed_in_plane(grid), *(fixed + 2 * count for fixed in _fixed_in_height(grid))])
    return Forces(grid, strip.cloth, _curvature(strip), constant, np.concatenate([load, push]), free, _BODY_N_M3)
