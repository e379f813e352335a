"""Real roots of small polynomials on [0, 1], none missed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

# Two roots nearer to each other than this, in the parameter, are told as one.
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
        The roots, ascending; a root where the polynomial only touches nought may appear or not.
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
