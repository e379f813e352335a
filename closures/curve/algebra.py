"""Sums that curves are made of: real roots, lengths by a rule of Gauss and Legendre, trees of boxes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from closures.curve.line import Box

# Two roots nearer to each other than this, in the parameter, count as one.
_SAME_ROOT = 1e-9


def bernstein_of(powers: Sequence[float]) -> list[float]:
    """Turn coefficients of 1, t, t², ... into Bernstein coefficients on [0, 1]."""
    n = len(powers) - 1
    return [sum(math.comb(i, k) / math.comb(n, k) * powers[k] for k in range(i + 1)) for i in range(n + 1)]


def halves_of(values: Sequence[float]) -> tuple[list[float], list[float]]:
    """Split Bernstein coefficients at the middle (de Casteljau)."""
    row = list(values)
    left, right = [row[0]], [row[-1]]
    while len(row) > 1:
        row = [(a + b) / 2 for a, b in pairwise(row)]
        left.append(row[0])
        right.append(row[-1])
    right.reverse()
    return left, right


def approach_of(xs: list[float], ys: list[float]) -> list[float]:
    """Bernstein coefficients of a third of (B - p) · B', from control points less p."""
    x0, x1, x2, x3 = xs
    y0, y1, y2, y3 = ys
    ax, bx, cx = x1 - x0, x2 - x1, x3 - x2
    ay, by, cy = y1 - y0, y2 - y1, y3 - y2
    return [
        x0 * ax + y0 * ay,
        (2 * (x0 * bx + y0 * by) + 3 * (x1 * ax + y1 * ay)) / 5,
        (x0 * cx + y0 * cy + 6 * (x1 * bx + y1 * by) + 3 * (x2 * ax + y2 * ay)) / 10,
        (3 * (x1 * cx + y1 * cy) + 6 * (x2 * bx + y2 * by) + x3 * ax + y3 * ay) / 10,
        (3 * (x2 * cx + y2 * cy) + 2 * (x3 * bx + y3 * by)) / 5,
        x3 * cx + y3 * cy,
    ]


def sign_changes(values: Sequence[float], noise: float = 0.0) -> int:
    """Count changes of sign, values within the noise left out.

    By the variation diminishing property a Bernstein polynomial has no more roots inside its
    interval than this.
    """
    changes, before = 0, 0
    for value in values:
        if abs(value) > noise:
            sign = 1 if value > 0 else -1
            if before and sign != before:
                changes += 1
            before = sign
    return changes


def roots_between(values: Sequence[float]) -> tuple[float, ...]:
    """Find the roots in [0, 1] of a polynomial given by its Bernstein coefficients.

    Returns:
        The roots, ascending; a root where the polynomial only touches zero may appear or not.
    """
    noise = 1e-14 * max(abs(value) for value in values)
    if noise == 0.0:
        return ()
    found: list[float] = []
    waiting = [(0.0, 1.0, list(values))]
    while waiting:
        low, high, coefs = waiting.pop()
        changes = sign_changes(coefs, noise)
        if changes == 0 and abs(coefs[0]) > noise and abs(coefs[-1]) > noise:
            continue
        if changes == 0:
            found += [t for t, value in ((low, coefs[0]), (high, coefs[-1])) if abs(value) <= noise]
        elif high - low < _SAME_ROOT:
            found.append((low + high) / 2)
        elif changes == 1 and abs(coefs[0]) > noise and abs(coefs[-1]) > noise:
            local = root_of(lambda t, c=coefs: _value(c, t), 0.0, 1.0)  # type: ignore[misc]
            found.append(low + (high - low) * local)
        else:
            middle = (low + high) / 2
            left, right = halves_of(coefs)
            waiting += [(low, middle, left), (middle, high, right)]
    found.sort()
    return tuple(t for i, t in enumerate(found) if i == 0 or t - found[i - 1] > _SAME_ROOT)


def _value(coefs: Sequence[float], t: float) -> float:
    row = list(coefs)
    while len(row) > 1:
        row = [a + (b - a) * t for a, b in pairwise(row)]
    return row[0]


def root_of(function: Callable[[float], float], low: float, high: float, width: float = 1e-15) -> float:
    """Find the one root between two places where a function has opposite signs.

    Bisection guarded secant steps (the Illinois form of regula falsi), so it always ends.

    Args:
        function: a continuous function of one number.
        low, high: the two places; their order does not matter.
        width: stop when the bracket is no wider.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0:
        return low
    if at_high == 0:
        return high
    side = 0
    for step in range(200):
        if step % 6 == 5:
            middle = (low + high) / 2
        else:
            middle = (low * at_high - high * at_low) / (at_high - at_low)
            if not min(low, high) < middle < max(low, high):
                middle = (low + high) / 2
        value = function(middle)
        if value == 0 or abs(high - low) <= width * (1 + abs(middle)):
            return middle
        if (value > 0) == (at_high > 0):
            high, at_high = middle, value
            at_low = at_low / 2 if side == 1 else at_low
            side = 1
        else:
            low, at_low = middle, value
            at_high = at_high / 2 if side == -1 else at_high
            side = -1
    return (low + high) / 2


def quadratic_roots(constant: float, linear: float, square: float) -> tuple[float, ...]:
    """Find the roots in the open interval (0, 1) of ``constant + linear t + square t²``.

    Numerical Recipes' form, which loses no digits where the square term is small.
    """
    scale = max(abs(constant), abs(linear), abs(square))
    if scale == 0:
        return ()
    found: list[float] = []
    if abs(square) <= 1e-16 * scale:
        if linear != 0:
            found.append(-constant / linear)
    else:
        inside = linear * linear - 4 * square * constant
        if inside >= 0:
            q = -(linear + math.copysign(math.sqrt(inside), linear)) / 2
            found.append(q / square)
            if q != 0:
                found.append(constant / q)
    return tuple(sorted({t for t in found if 0 < t < 1}))


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


def turn_between(one: tuple[float, float], other: tuple[float, float]) -> float:
    """The signed angle from one direction to another, in radians, positive to the right hand."""
    cross = one[0] * other[1] - one[1] * other[0]
    return math.atan2(cross, one[0] * other[0] + one[1] * other[1])


# A leaf has no branches. The numbers are the first segment and the one after the last.
Node = tuple[Box, int, int, "Node | None", "Node | None"]


def grow_tree(boxes: Sequence[Box], low: int = 0, high: int = -1) -> Node:
    """Build a tree over boxes that follow each other along a curve.

    Args:
        boxes: one for each segment, at least one.
        low, high: the first and the one after the last to take; all of them by default.
    """
    high = len(boxes) if high < 0 else high
    if high - low == 1:
        return (boxes[low], low, high, None, None)
    middle = (low + high) // 2
    left, right = grow_tree(boxes, low, middle), grow_tree(boxes, middle, high)
    a, b = left[0], right[0]
    box = (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))
    return (box, low, high, left, right)


def distance_to_box(box: Box, x: float, y: float) -> float:
    """The distance from a point to a box, zero inside it."""
    dx = box[0] - x if x < box[0] else (x - box[2] if x > box[2] else 0.0)
    dy = box[1] - y if y < box[1] else (y - box[3] if y > box[3] else 0.0)
    return math.hypot(dx, dy) if dx or dy else 0.0


def pairs_that_meet(tree: Node) -> Iterator[tuple[int, int]]:
    """Yield every pair of leaves, i before j, whose boxes touch; neighbours are pairs too."""
    waiting: list[tuple[Node, Node]] = [(tree, tree)]
    while waiting:
        one, other = waiting.pop()
        a, b = one[0], other[0]
        if a[0] > b[2] or b[0] > a[2] or a[1] > b[3] or b[1] > a[3]:
            continue
        if one[3] is None and other[3] is None:
            if other[1] > one[1]:
                yield one[1], other[1]
        elif one is other:
            left, right = one[3], one[4]
            if left and right:
                waiting += [(left, left), (right, right), (left, right)]
        elif other[3] is None or (one[3] is not None and one[2] - one[1] >= other[2] - other[1]):
            waiting += [(branch, other) for branch in (one[3], one[4]) if branch]
        else:
            waiting += [(one, branch) for branch in (other[3], other[4]) if branch]


Controls = tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]
"""The four control points of a cubic."""


def point_of(controls: Controls, t: float) -> tuple[float, float]:
    """The point of a cubic by its control points, at a parameter from 0 to 1."""
    u = 1 - t
    a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = controls
    return (a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)
