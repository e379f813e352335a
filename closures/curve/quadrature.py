"""Length of a curve whose derivative is a parabola, by the rule of Gauss and Legendre."""

from __future__ import annotations

import math

# Coefficients of the derivative by powers of t: x constant, linear, square, then y.
Powers = tuple[float, float, float, float, float, float]

# Positive nodes and weights of the Gauss-Legendre rule with 16 nodes; Abramowitz and Stegun,
# Handbook of Mathematical Functions, table 25.4.
_NODES = (
    (0.0950125098376374402, 0.1894506104550684963),
    (0.2816035507792589132, 0.1826034150449235889),
    (0.4580167776572273863, 0.1691565193950025382),
    (0.6178762444026437484, 0.1495959888165767321),
    (0.7554044083550030339, 0.1246289712555338721),
    (0.8656312023878317439, 0.0951585116824927848),
    (0.9445750230732325761, 0.0622535239386478929),
    (0.9894009349916499326, 0.0271524594117540949),
)


def length_by_rule(powers: Powers, t0: float, t1: float) -> float:
    """The length between two parameters by one rule of 16 nodes; exact where the speed is gentle."""
    a, b, c, d, e, f = powers
    half, middle = (t1 - t0) / 2, (t1 + t0) / 2
    total = 0.0
    sqrt = math.sqrt
    for node, weight in _NODES:
        t = middle - half * node
        dx, dy = a + (b + c * t) * t, d + (e + f * t) * t
        speed = sqrt(dx * dx + dy * dy)
        t = middle + half * node
        dx, dy = a + (b + c * t) * t, d + (e + f * t) * t
        total += weight * (speed + sqrt(dx * dx + dy * dy))
    return half * total
