"""Runs of short chords, as programs export curves, read as the smooth curves that they sample."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from closures.curve import Line, Point, Segment
from closures.edges.points import end_angles, pieces_along, turn_at

# Programs round the ends of chords. What lies within this of a longer chord is noise.
_CHORD_NOISE_MM = 0.01

# A chord further than this from the curve that its neighbours tell is meant to be straight.
_MOST_SAGITTA_MM = 0.05

# A vertex that turns by more than this is meant as a corner.
_CORNER = math.radians(20.0)

# A curve that passes the vertices within this is not made finer.
_CLOSE_MM = 0.0001

# The smooth curve keeps this near to every vertex, or the chords stay as drawn.
_FAITHFUL_MM = 0.02

# Spacings of the knots that are tried, coarse first: the coarsest that is close averages most noise.
_SPACINGS_MM = (32.0, 16.0, 8.0, 4.0, 2.0, 1.0)

# As many vertices are enough to choose a spacing by.
_SAMPLE = 1000


def smooth_chords(segments: Sequence[Segment]) -> tuple[Segment, ...]:
    """Put smooth cubics in the place of runs of short chords.

    A chord of a circle lies its sagitta inside it, and ends rounded to a hundredth make short
    chords zigzag. Both vanish when the run is read as the smooth curve that it samples. Corners
    and long straights stay.

    Args:
        segments: in mm, end to end.

    Returns:
        Segments that pass every vertex within 0.02 mm.
    """
    done: list[Segment] = []
    run: list[Point] = []
    for segment in segments:
        if isinstance(segment, Line):
            run += [segment.end] if run else [segment.start, segment.end]
        else:
            done += _smoothed(run)
            run = []
            done.append(segment)
    return tuple(done + _smoothed(run))


def _smoothed(run: list[Point]) -> list[Segment]:
    done: list[Segment] = []
    borders = [0, *_corners(run), len(run) - 1] if run else []
    for low, high in pairwise(borders):
        done += _fitted(run[low : high + 1])
    return done


def _corners(run: list[Point]) -> list[int]:
    """Numbers of the vertices at which a run turns sharply, or a chord is too long to be a sample.

    The circle through three vertices tells how far a chord would lie from the curve.
    """
    found = set()
    for i, (a, b, c) in enumerate(zip(run, run[1:], run[2:], strict=False), 1):
        turn = abs(turn_at(a, b, c))
        if turn > 0:
            curvature = 2 * math.sin(min(turn, math.pi / 2)) / max(math.dist(a, c), 1e-9)
            longest = max(math.dist(a, b), math.dist(b, c))
            if curvature * longest**2 / 8 > _MOST_SAGITTA_MM:
                found.add(i)
    kept = _without_noise(run)
    for i, j, k in zip(kept, kept[1:], kept[2:], strict=False):
        if abs(turn_at(run[i], run[j], run[k])) > _CORNER:
            found.add(j)
    return sorted(found)


def _fitted(run: list[Point]) -> list[Segment]:
    """The smooth pieces through as few vertices of a run as tell its curve, or the chords as drawn."""
    if len(run) < 5:
        return _straights(run)
    alongs = [0.0]
    for a, b in pairwise(run):
        alongs.append(alongs[-1] + math.dist(a, b))
    best: list[Segment] | None = None
    least = _FAITHFUL_MM
    for spacing in _SPACINGS_MM:
        knots = _knots(alongs, spacing)
        pieces = _spline([run[i] for i in knots])
        off = _furthest(run, knots, pieces, max(1, len(run) // _SAMPLE))
        # A finer spacing that does not come much closer follows the noise.
        if off < (least if best is None else least / 2):
            if _furthest(run, knots, pieces, 1) <= _FAITHFUL_MM:
                best, least = pieces, off
        elif best is not None:
            break
        if best is not None and (least <= _CLOSE_MM or len(knots) == len(run)):
            break
    return _straights(run) if best is None else best


def _knots(alongs: list[float], spacing: float) -> list[int]:
    """Numbers of vertices spaced about evenly, both ends and one between at least."""
    count = max(2, math.ceil(alongs[-1] / spacing))
    knots, at = [0], 0
    for n in range(1, count):
        target = alongs[-1] * n / count
        while alongs[at] < target:
            at += 1
        if knots[-1] < at < len(alongs) - 1:
            knots.append(at)
    return [*knots, len(alongs) - 1]


def _furthest(run: list[Point], knots: list[int], pieces: list[Segment], step: int) -> float:
    """How far the furthest vertex lies from the piece that should pass it."""
    worst = 0.0
    for piece, low, high in zip(pieces, knots, knots[1:], strict=False):
        for x, y in run[low + 1 : high : step]:
            found = piece.nearest(x, y, 2 * _FAITHFUL_MM)
            if found is None:
                return math.inf
            worst = max(worst, found[0])
    return worst


def _spline(knots: list[Point]) -> list[Segment]:
    """Cubics whose directions are those of the cubic spline over the chords' lengths.

    One equation for each inner knot keeps the second derivative continuous, and at the second and
    the last but one the third as well (de Boor, A Practical Guide to Splines, chapter IV). Through
    three knots goes a circle.
    """
    steps = [math.dist(a, b) for a, b in pairwise(knots)]
    if len(knots) == 3:
        # Two chords of a circle lean from its tangent between them by shares of the turn like their lengths.
        a, b = knots[:2]
        turn = turn_at(*knots)
        middle = math.atan2(b[1] - a[1], b[0] - a[0]) + turn * steps[0] / (steps[0] + steps[1])
        first, last = end_angles(knots, middle, middle)
        return pieces_along(knots, (first, middle, last))
    across, down = (
        _spline_derivatives(steps, [(b[k] - a[k]) / h for (a, b), h in zip(pairwise(knots), steps, strict=True)])
        for k in (0, 1)
    )
    return pieces_along(knots, [math.atan2(y, x) for x, y in zip(across, down, strict=True)])


def _spline_derivatives(steps: list[float], slopes: list[float]) -> list[float]:
    """Derivatives at the knots of the cubic spline with these slopes over these steps, three at least."""
    rows: list[tuple[float, float, float, float]] = [_end_row(steps[0], steps[1], slopes[0], slopes[1])]
    for h0, h1, s0, s1 in zip(steps, steps[1:], slopes, slopes[1:], strict=False):
        rows.append((h1, 2 * (h0 + h1), h0, 3 * (h1 * s0 + h0 * s1)))
    _, pivot, beside, known = _end_row(steps[-1], steps[-2], slopes[-1], slopes[-2])
    rows.append((beside, pivot, 0.0, known))
    # Forward elimination and back substitution of a system with three diagonals.
    done: list[tuple[float, float]] = []
    share = value = 0.0
    for below, pivot, above, known in rows:
        pivot -= below * share
        share, value = above / pivot, (known - below * value) / pivot
        done.append((share, value))
    derivatives = [0.0]
    for share, value in reversed(done):
        derivatives.append(value - share * derivatives[-1])
    return derivatives[:0:-1]


def _end_row(h0: float, h1: float, s0: float, s1: float) -> tuple[float, float, float, float]:
    """The equation at an end, from it inwards: below, pivot, above and what is known."""
    both = h0 + h1
    return (0.0, h1, both, ((h0 + 2 * both) * h1 * s0 + h0 * h0 * s1) / both)


def _straights(points: Sequence[Point]) -> list[Segment]:
    return [Line(a, b) for a, b in pairwise(points) if a != b]


def _without_noise(points: list[Point]) -> list[int]:
    """Numbers of the points that a polyline needs to pass all within the noise (Douglas, Peucker 1973)."""
    needed = {0, len(points) - 1}
    waiting = [(0, len(points) - 1)]
    while waiting:
        low, high = waiting.pop()
        if high - low < 2:
            continue
        line = Line(points[low], points[high])
        worst, at = 0.0, -1
        for i in range(low + 1, high):
            x, y = points[i]
            away = _away(line, x, y)
            if away > worst:
                worst, at = away, i
        if worst > _CHORD_NOISE_MM:
            needed.add(at)
            waiting += [(low, at), (at, high)]
    return sorted(needed)


def _away(line: Line, x: float, y: float) -> float:
    if line.length_mm == 0:
        return math.dist(line.start, (x, y))
    found = line.nearest(x, y, math.inf)
    return found[0] if found else 0.0
