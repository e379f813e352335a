"""Large movements of the sheet: full strains, a body that it rests on, and the search for where it settles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from closures.frozen import frozen
from closures.jobs.gape.model.grid import CORNER, OF_PIECE, Grid
from closures.jobs.gape.model.sheet import Cloth, Matrix, gathered, held, slopes_of, strain_of_figures, tensors

if TYPE_CHECKING:
    from closures.jobs.gape.model.grid import Array, Index

# What is left of the forces, against the load.
_SETTLED = 1e-7
_MOST_STEPS = 80
# No step moves the sheet further than this, m.
_LONGEST_STEP = 0.002
_HALVINGS = 12


@frozen
class Forces:
    """What acts on the three fields u, v (in the plane) and w (out of it), one after the other.

    Attributes:
        grid, cloth: of the sheet.
        curvature: of the line along x, 1/m.
        constant: stiffness that no movement changes: bending, and what is held.
        load: of a pull of 1 N/m.
        free: figures that may move.
        body: how hard the body pushes back, N/m³, where the sheet enters it (w < 0); 0 for no body.
    """

    grid: Grid
    cloth: Cloth
    curvature: float
    constant: Matrix
    load: Array
    free: Index
    body: float


def at_rest(forces: Forces) -> Array:
    """The sheet as it was cut."""
    return np.zeros(3 * forces.grid.count)


def settle(forces: Forces, state: Array, pull: float) -> Array:
    """Find where the sheet settles under a pull, by Newton's steps that never raise its energy.

    Args:
        forces: what acts.
        state: where to start.
        pull: N/m.

    Raises:
        ArithmeticError: it does not settle from there.
    """
    from scipy.sparse.linalg import spsolve

    free = forces.free
    scale = abs(pull) * float(np.linalg.norm(forces.load[free])) + 1e-12
    energy, rest, stiffness = _act(forces, state, pull)
    for _ in range(_MOST_STEPS):
        if np.linalg.norm(rest[free]) < _SETTLED * scale:
            return state
        step = np.zeros_like(state)
        step[free] = spsolve(held(stiffness, free), -rest[free])
        if rest @ step > 0:
            # Past a fork the straight way on leads uphill: turn round.
            step = -step
        longest = float(np.abs(step[::CORNER]).max())
        step *= min(1.0, _LONGEST_STEP / longest) if longest > 0 else 1.0
        for _ in range(_HALVINGS):
            tried = _act(forces, state + step, pull)
            if tried[0] <= energy + 1e-9 * abs(energy):
                break
            step = step / 2
        state, (energy, rest, stiffness) = state + step, tried
    raise ArithmeticError(f"the sheet does not settle under a pull of {pull:g} N/m; take smaller steps")


def _act(forces: Forces, state: Array, pull: float) -> tuple[float, Array, Matrix]:
    """Energy, forces left over, and stiffness in a state."""
    grid, count = forces.grid, forces.grid.count
    figures = np.concatenate([grid.figures, grid.figures + count, grid.figures + 2 * count], axis=1)
    moved = state[figures]
    strains, change = _strains(forces, moved)
    stress = strains @ forces.cloth.membrane
    pieces, size = moved.shape
    weighted = (change * grid.weight[None, :, None, None]).reshape(pieces, -1, size)
    energy = 0.5 * float(np.einsum("q,eqi,eqi->", grid.weight, strains, stress))
    inner = np.einsum("eka,ek->ea", weighted, stress.reshape(pieces, -1))
    turned = np.matmul(forces.cloth.membrane, change).reshape(pieces, -1, size)
    tangent = np.matmul(weighted.transpose(0, 2, 1), turned)
    slopes = slopes_of(grid)
    pulled = np.matmul(tensors(stress) * grid.weight[None, :, None, None], slopes[None])
    stiffened = np.einsum("qia,eqib->eab", slopes, pulled, optimize=True)
    for part in _parts():
        tangent[:, part, part] += stiffened
    energy += _rest_on_body(forces, moved, inner, tangent)
    bent = forces.constant @ state
    rest = np.bincount(figures.ravel(), weights=inner.ravel(), minlength=3 * count) + bent - pull * forces.load
    energy += 0.5 * float(state @ bent) - pull * float(forces.load @ state)
    return energy, rest, gathered(grid, tangent, figures, 3 * count) + forces.constant


def _parts() -> tuple[slice, ...]:
    return tuple(slice(OF_PIECE * field, OF_PIECE * (field + 1)) for field in range(3))


def _strains(forces: Forces, moved: Array) -> tuple[Array, Array]:
    """Full strains (Green's), and how each changes with each figure."""
    grid = forces.grid
    linear, slopes = strain_of_figures(grid, forces.curvature), slopes_of(grid)
    strains = np.einsum("qia,ea->eqi", linear, moved[:, : 2 * OF_PIECE])
    change = np.zeros((*strains.shape, moved.shape[1]))
    change[..., : 2 * OF_PIECE] = linear[None]
    for part in _parts():
        slope = np.einsum("qia,ea->eqi", slopes, moved[:, part])
        along, across = slope[..., 0], slope[..., 1]
        strains = strains + np.stack([along**2 / 2, across**2 / 2, along * across], axis=-1)
        one, other = slopes[None, :, 0], slopes[None, :, 1]
        change[..., part] += np.stack(
            [along[..., None] * one, across[..., None] * other, along[..., None] * other + across[..., None] * one],
            axis=2,
        )
    return strains, change


def _rest_on_body(forces: Forces, moved: Array, inner: Array, tangent: Array) -> float:
    """Add what the body pushes back to forces and stiffness; the energy of it comes back."""
    grid, height = forces.grid, slice(2 * OF_PIECE, 3 * OF_PIECE)
    shape = grid.shapes[:, 0]
    depth = np.minimum(moved[:, height] @ shape.T, 0.0)
    inner[:, height] += forces.body * np.einsum("q,eq,qa->ea", grid.weight, depth, shape, optimize=True)
    touching = grid.weight * (depth < 0)
    tangent[:, height, height] += forces.body * np.einsum("eq,qa,qb->eab", touching, shape, shape, optimize=True)
    return 0.5 * forces.body * float(np.einsum("q,eq->", grid.weight, depth**2))
