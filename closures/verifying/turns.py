"""Turns and moves of the paper, by which parts are laid on each other and on the sheet."""

from __future__ import annotations

import cmath
from collections.abc import Mapping, Sequence
from itertools import pairwise

from closures.frozen import frozen


@frozen
class Turn:
    """A turn and a move of the paper; nothing is mirrored, and no length changes."""

    by: complex
    to: complex

    def __call__(self, at: complex) -> complex:
        return self.by * at + self.to

    def then(self, other: Turn) -> Turn:
        return Turn(other.by * self.by, other(self.to))


STILL = Turn(1 + 0j, 0j)


def laid_on(rings: Sequence[complex], on: Sequence[complex]) -> Turn:
    """The turn that lays two rings on two others, each on the one of its own side."""
    by = (on[1] - on[0]) / (rings[1] - rings[0])
    by /= abs(by)
    return Turn(by, (on[0] + on[1]) / 2 - by * (rings[0] + rings[1]) / 2)


def turned_about(here: complex, there: complex, by: complex) -> Turn:
    """The turn that lays one place on another, and turns about it as a number does."""
    by = cmath.rect(1.0, cmath.phase(by))
    return Turn(by, there - by * here)


def fitted(found: Sequence[tuple[int, complex]], places: Mapping[int, complex]) -> Turn:
    """The turn that lays two marks or more best on those of the sheet: least squares, in closed form.

    Args:
        found: marks by number with where they lie; some of them apart.
        places: where each should lie.
    """
    here = sum(at for _, at in found) / len(found)
    there = sum(places[n] for n, _ in found) / len(found)
    return turned_about(here, there, sum((places[n] - there) * (at - here).conjugate() for n, at in found))


def foot(edges: Sequence[Sequence[complex]]) -> complex:
    """The place of some lines that lies nearest to the origin."""
    feet = []
    for a, b in (pair for edge in edges for pair in pairwise(edge)):
        way = b - a
        t = -(a * way.conjugate()).real / abs(way) ** 2 if way else 0.0
        feet.append(a + min(1.0, max(0.0, t)) * way)
    return min(feet, key=abs)
