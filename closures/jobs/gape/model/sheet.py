"""The forces in a thin orthotropic sheet: membrane, bending, and what stress does to its stiffness."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.jobs.gape.model.grid import Array, Grid, Index

# A sparse matrix; the library that makes them has no types.
Matrix = Any


@frozen
class Cloth:
    """A sheet of cloth, along the closing line (x) and across it (y).

    Attributes:
        stretch_along_n_m, stretch_across_n_m: tensile stiffness, N/m: the pull over the stretch.
        shear_n_m: shear rigidity, N/m.
        bend_along_unm, bend_across_unm: bending stiffness, µN·m.
        twist: stiffness to twisting as a share of the bending stiffness; 0.5 in a sheet alike in all directions
            and without cross contraction. Cloth twists more easily, as it shears easily.
        contraction: how much it narrows for each part that it stretches; 0 for cloth that is stretched little.
    """

    stretch_along_n_m: float
    stretch_across_n_m: float
    shear_n_m: float
    bend_along_unm: float
    bend_across_unm: float
    twist: float = 0.35
    contraction: float = 0.0

    @property
    def membrane(self) -> Array:
        """Stresses (x, y, shear; N/m) for strains."""
        cross = self.contraction * self.stretch_across_n_m
        scale = 1 - self.contraction**2 * self.stretch_across_n_m / self.stretch_along_n_m
        rows = [[self.stretch_along_n_m, cross, 0.0], [cross, self.stretch_across_n_m, 0.0], [0, 0, 0]]
        stiffness = np.array(rows) / scale
        stiffness[2, 2] = self.shear_n_m
        return stiffness

    @property
    def bending(self) -> Array:
        """Moments (N) for curvatures (x, y, twice the twist; 1/m)."""
        along, across = self.bend_along_unm * 1e-6, self.bend_across_unm * 1e-6
        cross = self.contraction * across
        twist = self.twist * (along * across) ** 0.5 * (1 - self.contraction)
        return np.array([[along, cross, 0.0], [cross, across, 0.0], [0.0, 0.0, twist]])


def gathered(grid: Grid, pieces: Array, figures: Index, count: int) -> Matrix:
    """Add the matrices of all pieces into one.

    Args:
        grid: of the pieces.
        pieces: one matrix for all of them, or one for each.
        figures: the numbers of each piece's figures.
        count: of all figures.
    """
    from scipy.sparse import csr_matrix

    size = figures.shape[1]
    each = np.ascontiguousarray(np.broadcast_to(pieces, (len(figures), size, size)))
    rows, columns = np.repeat(figures, size, axis=1).ravel(), np.tile(figures, (1, size)).ravel()
    return csr_matrix((each.ravel(), (rows, columns)), shape=(count, count))


def strain_of_figures(grid: Grid, curvature: float = 0.0) -> Array:
    """Strains (x, y, shear) at the points of a piece for the figures of the two fields in its plane.

    Args:
        grid: of the pieces.
        curvature: of the line along x, 1/m; positive where its centre lies on the side of small y. On a curve the
            field across the line stretches it too (first order in width over radius).
    """
    value, along, across = (grid.shapes[:, i] for i in range(3))
    none = np.zeros_like(value)
    return np.stack(
        [
            np.concatenate([along, curvature * value], axis=1),
            np.concatenate([none, across], axis=1),
            np.concatenate([across - curvature * value, along], axis=1),
        ],
        axis=1,
    )


def membrane_matrix(grid: Grid, cloth: Cloth, curvature: float = 0.0) -> Matrix:
    """Stiffness of the two fields in the plane, in N/m: u first, then v."""
    strain = strain_of_figures(grid, curvature)
    piece = np.einsum("q,qia,ij,qjb->ab", grid.weight, strain, cloth.membrane, strain)
    figures = np.concatenate([grid.figures, grid.figures + grid.count], axis=1)
    return gathered(grid, piece, figures, 2 * grid.count)


def bending_of_piece(grid: Grid, cloth: Cloth) -> Array:
    """Stiffness of one piece to being bent out of its plane."""
    curves = np.stack([grid.shapes[:, 3], grid.shapes[:, 4], 2 * grid.shapes[:, 5]], axis=1)
    piece: Array = np.einsum("q,qia,ij,qjb->ab", grid.weight, curves, cloth.bending, curves)
    return piece


def bending_matrix(grid: Grid, cloth: Cloth) -> Matrix:
    """Stiffness of the field out of the plane, in N/m."""
    return gathered(grid, bending_of_piece(grid, cloth), grid.figures, grid.count)


def slopes_of(grid: Grid) -> Array:
    """The two slopes at the points of a piece, for the figures of a field."""
    return np.stack([grid.shapes[:, 1], grid.shapes[:, 2]], axis=1)


def tensors(stress: Array) -> Array:
    """Stresses (x, y, shear) as symmetric tensors."""
    found = np.empty((*stress.shape[:-1], 2, 2))
    found[..., 0, 0], found[..., 1, 1] = stress[..., 0], stress[..., 1]
    found[..., 0, 1] = found[..., 1, 0] = stress[..., 2]
    return found


def stress_matrix(grid: Grid, stress: Array) -> Matrix:
    """What a stress in the plane adds to the stiffness out of it.

    Args:
        grid: of the pieces.
        stress: (piece, point, 3) in N/m, pulling counted positive.
    """
    slopes = slopes_of(grid)
    pieces = np.einsum("q,qia,eqij,qjb->eab", grid.weight, slopes, tensors(stress), slopes, optimize=True)
    return gathered(grid, pieces, grid.figures, grid.count)


def pressure_load(grid: Grid) -> Array:
    """What an even pressure of 1 Pa gives to each figure of the field out of the plane."""
    each = np.tile(grid.weight @ grid.shapes[:, 0], len(grid.figures))
    return np.bincount(grid.figures.ravel(), weights=each, minlength=grid.count).astype(np.float64)


def held(matrix: Matrix, free: Index) -> Matrix:
    """The part of a matrix that is free to move."""
    return matrix[free][:, free].tocsc()


def answer(matrix: Matrix, load: Array, free: Index) -> Array:
    """Solve for the figures that are free; the others are 0."""
    from scipy.sparse.linalg import spsolve

    found = np.zeros(len(load))
    found[free] = spsolve(held(matrix, free), load[free])
    return found


def least_factor(stiffness: Matrix, stress: Matrix, free: Index) -> float:
    """By how much a stress must grow until the sheet buckles; infinite where it never does.

    Args:
        stiffness: to bending.
        stress: what the stress adds to it.
        free: the figures that may move.
    """
    from scipy.sparse.linalg import eigsh

    # From the stiff side the least factor is the greatest answer, which is found at once.
    most = eigsh(held(-stress, free), k=1, M=held(stiffness, free), which="LA", return_eigenvectors=False)[0]
    return float(1 / most) if most > 0 else float("inf")


def all_but(count: int, fixed: list[Index]) -> Index:
    """The figures that are not fixed."""
    return np.setdiff1d(np.arange(count), np.concatenate(fixed))
