"""A rectangle cut into equal pieces, with smooth fields on it: products of cubic Hermite polynomials.

Each field has four figures at each corner of the grid: its value, its two slopes and its mixed slope (the
rectangle of Bogner, Fox and Schmit, 1965). Value and slopes run on smoothly from piece to piece, which a
bent sheet needs. Lengths here are in m, so that forces come out in N.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

import numpy as np

from closures.frozen import frozen

if TYPE_CHECKING:
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Index = npt.NDArray[np.intp]

CORNER = 4
"""Figures at each corner: value, slope along x, slope along y, mixed slope."""
OF_PIECE = 16
"""Figures that shape a field on one piece."""
# Four points each way integrate the products of two cubics exactly, and those of stretching nearly so.
_POINTS = 4


def hermite(t: float, length: float) -> Array:
    """The four cubic Hermite polynomials on a stretch.

    Args:
        t: place, 0 to 1.
        length: of the stretch, m.

    Returns:
        Values, slopes and curvatures as rows; columns: left value, left slope, right value, right slope.
    """
    value = (1 - 3 * t**2 + 2 * t**3, length * (t - 2 * t**2 + t**3), 3 * t**2 - 2 * t**3, length * (t**3 - t**2))
    slope = ((6 * t**2 - 6 * t) / length, 1 - 4 * t + 3 * t**2, (6 * t - 6 * t**2) / length, 3 * t**2 - 2 * t)
    bend = ((12 * t - 6) / length**2, (6 * t - 4) / length, (6 - 12 * t) / length**2, (6 * t - 2) / length)
    return np.array((value, slope, bend))


# Which derivative along x and along y: the field, its slopes, its curvatures.
DERIVATIVES = ((0, 0), (1, 0), (0, 1), (2, 0), (0, 2), (1, 1))


@frozen
class Grid:
    """A rectangle of pieces.

    Attributes:
        length, width: of the rectangle along x and along y, m.
        across, down: how many pieces along x and along y.
        weight: of each point of integration, m².
        shapes: at each of these points the six derivatives (`DERIVATIVES`) of each of a piece's 16 figures.
        figures: the numbers of the 16 figures of each piece.
    """

    length: float
    width: float
    across: int
    down: int
    weight: Array = field(init=False, repr=False)
    shapes: Array = field(init=False, repr=False)
    figures: Index = field(init=False, repr=False)

    def __post_init__(self) -> None:
        places, weights = np.polynomial.legendre.leggauss(_POINTS)
        places, weights = (places + 1) / 2, weights / 2
        points = [(s, t) for s in places for t in places]
        area = self.step_x * self.step_y
        object.__setattr__(self, "weight", np.array([a * b * area for a in weights for b in weights]))
        object.__setattr__(self, "shapes", np.array([self.shape_at(s, t) for s, t in points]))
        row, column = np.divmod(np.arange(self.across * self.down), self.across)
        first = row * (self.across + 1) + column
        corners = np.stack([first, first + 1, first + self.across + 1, first + self.across + 2], axis=1)
        object.__setattr__(self, "figures", (corners[:, :, None] * CORNER + np.arange(CORNER)).reshape(-1, OF_PIECE))

    @property
    def step_x(self) -> float:
        """Length of a piece along x, m."""
        return self.length / self.across

    @property
    def step_y(self) -> float:
        """Length of a piece along y, m."""
        return self.width / self.down

    @property
    def count(self) -> int:
        """How many figures a field has."""
        return (self.across + 1) * (self.down + 1) * CORNER

    def shape_at(self, s: float, t: float) -> Array:
        """The six derivatives of a piece's 16 figures at a place in it, each from 0 to 1."""
        along, over = hermite(s, self.step_x), hermite(t, self.step_y)
        return np.array(
            [
                [
                    along[i, 2 * right + slope_x] * over[j, 2 * low + slope_y]
                    for low in (0, 1)
                    for right in (0, 1)
                    for slope_y in (0, 1)
                    for slope_x in (0, 1)
                ]
                for i, j in DERIVATIVES
            ]
        )

    def piece_at(self, x: float, y: float) -> tuple[int, float, float]:
        """The piece that holds a place, and where in it, each way from 0 to 1."""
        column = min(int(x / self.step_x), self.across - 1)
        row = min(int(y / self.step_y), self.down - 1)
        return row * self.across + column, x / self.step_x - column, y / self.step_y - row

    def value_at(self, values: Array, x: float, y: float) -> float:
        """A field at a place.

        Args:
            values: its figures.
            x, y: the place, m.
        """
        piece, s, t = self.piece_at(x, y)
        return float(self.shape_at(s, t)[0] @ values[self.figures[piece]])

    def corners_where(self, *, x: float | None = None, y: float | None = None) -> Index:
        """The corners on one line of the grid."""
        number = np.arange(self.count // CORNER)
        row, column = np.divmod(number, self.across + 1)
        on = np.ones_like(number, dtype=bool)
        if x is not None:
            on &= np.isclose(column * self.step_x, x)
        if y is not None:
            on &= np.isclose(row * self.step_y, y)
        return np.flatnonzero(on)

    def along_side(self) -> Array:
        """What an even load of 1 N/m on the far side (y at its most) gives to each figure of a field, N and N·m."""
        places, weights = np.polynomial.legendre.leggauss(_POINTS)
        load = np.zeros(self.count)
        each = sum(
            w / 2 * self.step_x * self.shape_at((s + 1) / 2, 1.0)[0] for s, w in zip(places, weights, strict=True)
        )
        for piece in range((self.down - 1) * self.across, self.down * self.across):
            load[self.figures[piece]] += each
        return load

    def within_disc(self, x: float, y: float, radius: float, parts: int = 12) -> Array:
        """The integral of the products of a piece's figures over a disc, for each piece.

        Args:
            x, y, radius: of the disc, m.
            parts: into how many parts each way a piece is cut to follow the rim.
        """
        found = np.zeros((len(self.figures), OF_PIECE, OF_PIECE))
        middles = (np.arange(parts) + 0.5) / parts
        shapes = {(s, t): self.shape_at(s, t)[0] for s in middles for t in middles}
        area = self.step_x * self.step_y / parts**2
        for piece in range(len(self.figures)):
            row, column = divmod(piece, self.across)
            left, top = column * self.step_x, row * self.step_y
            for (s, t), shape in shapes.items():
                if (left + s * self.step_x - x) ** 2 + (top + t * self.step_y - y) ** 2 < radius**2:
                    found[piece] += area * np.outer(shape, shape)
        return found
