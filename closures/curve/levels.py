"""Where segments end to end lie at a level, or between two."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from closures.curve.algebra import root_of
from closures.curve.segment import Segment

# A height this near to a level is on it; it is wide of rounding on drawings of some metres.
_ON_LEVEL_MM = 1e-9

# Two meetings no further apart along the curve are one.
_SAME_PLACE_MM = 1e-7


def meetings(segments: Sequence[Segment], starts: Sequence[float], y: float) -> list[tuple[float, float]]:
    """Find every maximal stretch on a level, from and to along the curve; mostly single points.

    Args:
        segments: end to end.
        starts: the distance along at which each begins, and the whole length at last.
        y: the level, in mm.
    """
    found: list[tuple[float, float]] = []
    for segment, begin in zip(segments, starts, strict=False):
        _, top, _, bottom = segment.hull
        if not top - _ON_LEVEL_MM <= y <= bottom + _ON_LEVEL_MM:
            continue
        places = (0.0, *segment.level_places(1), 1.0)
        heights = [_snapped(segment.point(t)[1] - y) for t in places]
        for t0, t1, h0, h1 in zip(places, places[1:], heights, heights[1:], strict=False):
            if h0 == 0 and h1 == 0:
                found.append((begin + segment.length_to(t0), begin + segment.length_to(t1)))
            elif h0 == 0 or h1 == 0:
                s = begin + segment.length_to(t0 if h0 == 0 else t1)
                found.append((s, s))
            elif h0 * h1 < 0:
                t = root_of(lambda u, of=segment: of.point(u)[1] - y, t0, t1)  # type: ignore[misc]
                s = begin + segment.length_to(t)
                found.append((s, s))
    return _merged(found)


def stretches_between(
    touches: Sequence[tuple[float, float]], length_mm: float, height_at: Callable[[float], float], y0: float, y1: float
) -> tuple[tuple[float, float], ...]:
    """Find every maximal stretch with y0 <= y <= y1.

    Args:
        touches: the meetings with both levels.
        length_mm: of the curve.
        height_at: its y at a distance along.
        y0, y1: the upper and the lower level, in mm.
    """
    breaks = sorted({0.0, length_mm, *(s for pair in touches for s in pair)})
    inside = list(touches)
    for s0, s1 in pairwise(breaks):
        if y0 - _ON_LEVEL_MM <= height_at((s0 + s1) / 2) <= y1 + _ON_LEVEL_MM:
            inside.append((s0, s1))
    return tuple(_merged(sorted(inside)))


def _snapped(height: float) -> float:
    return 0.0 if abs(height) <= _ON_LEVEL_MM else height


def _merged(found: list[tuple[float, float]]) -> list[tuple[float, float]]:
    whole: list[tuple[float, float]] = []
    for low, high in found:
        if whole and low - whole[-1][1] <= _SAME_PLACE_MM:
            whole[-1] = (whole[-1][0], max(high, whole[-1][1]))
        else:
            whole.append((low, high))
    return whole
