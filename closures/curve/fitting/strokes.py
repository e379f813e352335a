"""A chain of short strokes read as the line that it stands for: smooth runs, straights and corners.

Programs and people give a curve as points: sampled, measured, rounded, traced. What follows is what a person
does who draws a line through them with a curved ruler: leave out crumbs, keep corners and straights, and lay
through the rest the smoothest line that passes the points as well as they are good.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.curve.algebra import turn_between
from closures.curve.cubic import Cubic
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.curve.line import Line, Point
from closures.curve.segment import Segment
from closures.frozen import frozen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Strokes shorter than this, and than a sixth of those around them, are crumbs: joints, not shapes.
_CRUMB_MM, _CRUMB_SHARE = 0.05, 1 / 6

# A curve is read from so many points at least, and a corner between two of them from so many.
_LEAST_POINTS, _LEAST_FOR_CORNER = 4, 7

# Coordinates are written to about this; it is the noise of points that have no other.
_WRITTEN_MM = 5e-5

# Points that alternate about their line for less than this share of the grid's step are stairs.
_STAIRS = 0.25

# Points closer than so many times their noise go to and fro along the line; neighbours are averaged.
_APART = 3.0

# A curve that turns within less than this share of a stroke has a corner at one of its ends.
_TURNS_WITHIN = 1.2

# A run is split at a corner so many times at most because no curve follows it otherwise.
_MOST_SPLITS = 12

# A rounded corner is known from a sharp one where it cuts off this many times the noise.
_ROUNDED = 6.0

# A corner is looked at with so many points to either side of it.
_ABOUT = 40

# A stroke between two curves follows their ends, if they point along it within this and it is no longer.
_BRIDGED_DEG, _BRIDGED_MM = 12.0, 30.0

# Where a curve's bend is looked at; and what it may bow out of a stroke without leaving open how it runs there.
_ALONG, _BOW_MM = (0.0, 0.25, 0.5, 0.75, 1.0), 0.05

# A run that leaves a straight by less than this is one.
_STRAIGHT_MM = 1e-6


@frozen
class Strokes:
    """A chain of strokes, read.

    Attributes:
        segments: end to end.
        points: how many points were read as samples of a curve.
        typical_mm: how far these lie from it, a standard deviation.
        furthest_mm: how far the furthest lies from it.
        furthest: its number, the first point of the chain being 1.
        crumbs: how many points were left out as crumbs.
        noise_mm: what the points were found to be out by.
        apart_mm: how far apart those are at most between which a curve was drawn that bends.
    """

    segments: tuple[Segment, ...]
    points: int = 0
    typical_mm: float = 0.0
    furthest_mm: float = 0.0
    furthest: int = 0
    crumbs: int = 0
    noise_mm: float = 0.0
    apart_mm: float = 0.0


def read_strokes(
    points: Sequence[Point],
    within_mm: float = READ_WITHIN_MM,
    held: tuple[bool, bool] = (False, False),
    least_mm: float = _WRITTEN_MM,
) -> Strokes:
    """Read a chain of strokes as the line that it stands for.

    Args:
        points: their ends in mm, in order, at least two.
        within_mm: what the points may be out by at most, a standard deviation.
        held: whether the line must begin and end at the very first and last point, for it goes on there.
        least_mm: what the points are out by at least, however well they agree, a standard deviation.

    Returns:
        The line, and how well it lies along the points.
    """
    numbers = _without_crumbs(points)
    kept = [points[n] for n in numbers]
    crumbs = len(points) - len(kept)
    if len(kept) <= _LEAST_POINTS:
        return Strokes(_straights(kept), crumbs=crumbs)
    return _Reading(kept, numbers, within_mm, held, least_mm).read(crumbs)


def _without_crumbs(points: Sequence[Point]) -> list[int]:
    """Numbers of the points that are not crumbs, both ends among them."""
    lengths = sorted(math.dist(a, b) for a, b in pairwise(points))
    usual = lengths[len(lengths) // 2]
    least = min(_CRUMB_MM, _CRUMB_SHARE * usual)
    kept = [0]
    for n in range(1, len(points)):
        step = math.dist(points[n], points[kept[-1]])
        if step > least:
            kept.append(n)
        elif n == len(points) - 1 and len(kept) > 1:
            # The end stays where it is; the crumb is the point before it.
            kept[-1] = n
    return kept if kept[-1] == len(points) - 1 or len(kept) > 1 else [0, len(points) - 1]


def _straights(points: Sequence[Point]) -> tuple[Segment, ...]:
    return tuple(Line(a, b) for a, b in pairwise(points) if a != b)


@dataclass(slots=True)
class _Run:
    """A part of a chain from one of its points to another.

    Attributes:
        low, high: numbers of its first and last point.
        cubics: the curve, None where the strokes stay as they are.
        off: how far each of its points lies from the curve, in mm, and its number.
        cost: how badly the curve follows the points, and how many numbers it takes.
        corner: the number of a point that must be a corner, for no curve follows the run.
    """

    low: int
    high: int
    cubics: list[Cubic] | None = None
    off: list[tuple[float, int]] = field(default_factory=list)
    cost: float = 0.0
    corner: int | None = None


class _Reading:
    """A chain of points on its way to a line."""

    def __init__(
        self,
        points: Sequence[Point],
        numbers: Sequence[int],
        within_mm: float,
        held: tuple[bool, bool],
        least_mm: float,
    ) -> None:
        import numpy as np

        self.held, self.least_mm = held, least_mm

        self.points = np.array(points, dtype=float)
        self.numbers = list(numbers)
        self.within_mm = within_mm

    def read(self, crumbs: int) -> Strokes:
        from closures.curve.fitting.corners import sharp_points, straight_strokes
        from closures.curve.fitting.noise import grid_of, spread_of
        from closures.curve.fitting.spline import Noise

        straight = straight_strokes(self.points)
        sharp = {int(n) for n in sharp_points(self.points)}
        runs = self._runs(straight, sharp)
        sampled = [run for run in runs if run.high - run.low + 1 >= _LEAST_POINTS]
        grid = grid_of(self.points)
        own = spread_of([self.points[run.low : run.high + 1] for run in sampled])
        spread = max(own, grid / math.sqrt(12), self.least_mm)
        stairs = grid if own < _STAIRS * grid else 0.0
        self.noise = Noise(min(spread, self.within_mm), stairs)
        done: list[_Run] = []
        for run in runs:
            if run in sampled:
                done += self._curves(run)
            else:
                done.append(run)
        return self._joined(done, crumbs, spread)

    def _runs(self, straight: NDArray[np.bool_], sharp: set[int]) -> list[_Run]:
        """Straights stroke by stroke, and between them and at sharp points the runs of samples."""
        runs: list[_Run] = []
        low = 0
        for n in range(1, len(self.points)):
            if straight[n - 1]:
                if low < n - 1:
                    runs.append(_Run(low, n - 1))
                runs.append(_Run(n - 1, n))
                low = n
            elif n in sharp or n == len(self.points) - 1:
                runs.append(_Run(low, n))
                low = n
        return runs

    def _curves(self, run: _Run) -> list[_Run]:
        """A run cut at its corners, a curve through each part that has enough points."""
        from closures.curve.fitting.corners import corners_among

        corners: list[int] = []
        if run.high - run.low + 1 >= _LEAST_FOR_CORNER:
            found = corners_among(self.points[run.low : run.high + 1], self.noise.spread)
            corners = [run.low + n for n in found]
        waiting = [_Run(a, b) for a, b in pairwise([run.low, *corners, run.high])][::-1]
        done: list[_Run] = []
        splits = 0
        while waiting:
            part = self._fitted(waiting.pop())
            if part.corner is not None and splits < _MOST_SPLITS:
                splits += 1
                waiting += [_Run(part.corner, part.high), _Run(part.low, part.corner)]
                continue
            if done and done[-1].cubics and part.cubics and self._is_rounded(done[-1], part):
                whole = self._fitted(_Run(done[-1].low, part.high))
                if whole.corner is None:
                    done[-1] = whole
                    continue
            done.append(part)
        return done

    def _is_rounded(self, one: _Run, other: _Run) -> bool:
        """Whether a corner is a tight curve, which looks like one from close by.

        It is where a curve about it follows the points at less cost than two, and cuts off more of the tip
        than the noise would cut off a sharp one.
        """
        low, high = max(one.low, one.high - _ABOUT), min(other.high, other.low + _ABOUT)
        before, after = self._fitted(_Run(low, one.high)), self._fitted(_Run(other.low, high))
        whole = self._fitted(_Run(low, high))
        if whole.corner is not None or not (whole.cubics and before.cubics and after.cubics):
            return False
        if whole.cost > before.cost + after.cost:
            return False
        turn = turn_between(before.cubics[-1].tangent(1.0), after.cubics[0].tangent(0.0))
        tightest = max(abs(cubic.curvature(t)) for cubic in whole.cubics for t in cubic.bends())
        # From the tip of a corner to the arc that rounds it.
        cut_off = (1 / math.cos(turn / 2) - 1) / tightest if tightest > 0 else math.inf
        return cut_off > _ROUNDED * self.noise.spread

    def _fitted(self, run: _Run) -> _Run:
        """A run with a curve along it, and the point that must be a corner where no curve follows it."""
        import numpy as np

        from closures.curve.fitting.spline import fit

        count = run.high - run.low + 1
        if count < _LEAST_POINTS:
            return run
        points, size = self._apart(self.points[run.low : run.high + 1])
        noise = self.noise if size == 1 else self.noise.of_means(size)
        fitted = fit(points, noise)
        inner = range(_LEAST_POINTS - 1, len(points) - _LEAST_POINTS + 1)
        corner = fitted.worst if fitted.worst is not None else _turns_within_a_stroke(points, fitted.cubics)
        off = [(float(d), self.numbers[min(run.low + n * size, run.high)]) for n, d in enumerate(np.abs(fitted.off))]
        # Each number of a spline must earn as much as the noise of so many points (Schwarz 1978, for this many).
        numbers = 2 * (len(fitted.cubics) + 3)
        cost = float(fitted.off @ fitted.off) / noise.spread**2 + numbers * math.log(len(self.points))
        found = min(run.low + corner * size, run.high - 1) if corner is not None and corner in inner else None
        return _Run(run.low, run.high, list(fitted.cubics), off, cost, found)

    def _apart(self, points: Array) -> tuple[Array, int]:
        """Points far enough apart for their noise: where they are not, means of so many neighbours each."""
        import numpy as np

        coarse = points[:: max(1, len(points) // 40)]
        step = float(np.sum(np.hypot(*np.diff(coarse, axis=0).T))) / len(points)
        size = math.ceil((_APART * self.noise.spread / max(step, 1e-9)) ** (2 / 3))
        size = min(size, (len(points) - 2) // _LEAST_POINTS)
        if size <= 1:
            return points, 1
        inner = points[1:-1]
        groups = np.array_split(inner, len(inner) // size)
        return np.array([points[0], *(group.mean(axis=0) for group in groups), points[-1]]), size

    def _joined(self, runs: list[_Run], crumbs: int, spread: float) -> Strokes:
        """The runs end to end: curves that meet share the middle of their ends, straights end where curves do."""
        joints: list[Point] = []
        for n in range(len(runs) + 1):
            ends = []
            if n > 0 and (before := runs[n - 1].cubics):
                ends.append(before[-1].p3)
            if n < len(runs) and (after := runs[n].cubics):
                ends.append(after[0].p0)
            if not ends or (n == 0 and self.held[0]) or (n == len(runs) and self.held[1]):
                x, y = self.points[runs[n].low if n < len(runs) else runs[-1].high]
                ends = [(float(x), float(y))]
            joints.append((sum(p[0] for p in ends) / len(ends), sum(p[1] for p in ends) / len(ends)))
        segments: list[Segment] = []
        for run, start, end in zip(runs, joints, joints[1:], strict=False):
            if run.cubics is None and (bridge := _bridge(segments, runs, run, start, end)):
                segments.append(bridge)
            elif run.cubics is None:
                inner = [(float(x), float(y)) for x, y in self.points[run.low + 1 : run.high]]
                segments += _straights([start, *inner, end])
            else:
                segments += _moved_ends(run.cubics, start, end)
        off = [one for run in runs for one in run.off]
        if not off:
            return Strokes(tuple(segments), crumbs=crumbs)
        furthest, number = max(off)
        typical = math.sqrt(sum(d * d for d, _ in off) / len(off))
        return Strokes(tuple(segments), len(off), typical, furthest, number + 1, crumbs, spread, self._widest(runs))

    def _widest(self, runs: Sequence[_Run]) -> float:
        """The longest stroke over which a curve was drawn that bows out of it by more than may be passed over."""
        import numpy as np

        widest = 0.0
        for run in runs:
            bend = max((abs(cubic.curvature(t)) for cubic in run.cubics or () for t in _ALONG), default=0.0)
            step = float(np.max(np.hypot(*np.diff(self.points[run.low : run.high + 1], axis=0).T)))
            if step * step * bend / 8 > _BOW_MM:
                widest = max(widest, step)
        return widest


def _bridge(segments: Sequence[Segment], runs: Sequence[_Run], run: _Run, start: Point, end: Point) -> Cubic | None:
    """The smooth continuation of two curves over a stroke between them that is no straight of its own."""
    n = runs.index(run)
    after = runs[n + 1].cubics if n + 1 < len(runs) else None
    length = math.dist(start, end)
    if run.high - run.low > 1 or not (segments and n > 0 and runs[n - 1].cubics and after) or length > _BRIDGED_MM:
        return None
    way = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    leaving, arriving = segments[-1].tangent(1.0), after[0].tangent(0.0)
    if max(abs(turn_between(way, leaving)), abs(turn_between(way, arriving))) > math.radians(_BRIDGED_DEG):
        return None
    third = length / 3
    return Cubic(
        start,
        (start[0] + leaving[0] * third, start[1] + leaving[1] * third),
        (end[0] - arriving[0] * third, end[1] - arriving[1] * third),
        end,
    )


def _turns_within_a_stroke(points: Array, cubics: Sequence[Cubic]) -> int | None:
    """The point at which a curve turns within less than a stroke, which only a corner does."""
    import numpy as np

    for cubic in cubics:
        for t in cubic.bends():
            k = abs(cubic.curvature(t))
            if k == 0:
                continue
            near = int(np.argmin(np.hypot(*(points - np.array(cubic.point(t))).T)))
            steps = np.hypot(*np.diff(points[max(0, near - 1) : near + 2], axis=0).T)
            if 1 / k < _TURNS_WITHIN * float(np.mean(steps)):
                return near
    return None


def _moved_ends(cubics: Sequence[Cubic], start: Point, end: Point) -> list[Segment]:
    """Cubics whose first and last point are moved, with the handles next to them."""
    moved = list(cubics)
    first, last = moved[0], moved[-1]
    if start != first.p0:
        dx, dy = start[0] - first.p0[0], start[1] - first.p0[1]
        moved[0] = Cubic(start, (first.p1[0] + dx, first.p1[1] + dy), first.p2, first.p3)
    last = moved[-1]
    if end != last.p3:
        dx, dy = end[0] - last.p3[0], end[1] - last.p3[1]
        moved[-1] = Cubic(last.p0, last.p1, (last.p2[0] + dx, last.p2[1] + dy), end)
    whole = Line(start, end)
    if all(_is_on(whole, p) for cubic in moved for p in (cubic.p1, cubic.p2, cubic.p3)):
        return [whole]
    return list(moved)


def _is_on(line: Line, point: Point) -> bool:
    found = line.nearest(*point, math.inf)
    return found is not None and found[0] <= _STRAIGHT_MM
