"""The cloth in the picture of the closed garment: both laps, their seams, and the board they lie on."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from closures.app.web.ink import between, path_data, tag, through
from closures.app.web.strap_ends import end_break, end_cloth, end_edge

if TYPE_CHECKING:
    from closures.curve import Curve
    from closures.drawing.ink.shapes import Point
    from closures.placing.lap import Lap, Laps

_SAMPLES = 60
# So much of the garment is shown past the band, in widths of it.
_GARMENT = 0.75
# Where a line turns away from the way its lap is laid aside, that way gets no longer than by this share.
_LEAST_SLANT = 0.4


def draw_patterns(units: str, em_mm: float) -> str:
    """The board's squares, and the hatching of the under lap and of what is kept clear."""
    side = 50.8 if units == "in" else 50.0
    step = em_mm / 2.2
    squares = tag(
        "pattern",
        tag("path", d=f"M{side} 0L0 0L0 {side}", class_="square"),
        id="squares",
        width=side,
        height=side,
        patternUnits="userSpaceOnUse",
    )
    hatch = tag(
        "pattern",
        tag("path", d=f"M0 {step / 2:.2f}L{step:.2f} {step / 2:.2f}", class_="hatch"),
        id="hatch",
        width=step,
        height=step,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    close = tag(
        "pattern",
        tag("path", d=f"M0 0L{step:.2f} {step:.2f}M{step:.2f} 0L0 {step:.2f}", class_="barred"),
        id="barred",
        width=step,
        height=step,
        patternUnits="userSpaceOnUse",
    )
    return tag("defs", squares + hatch + close)


@lru_cache(maxsize=16)
def draw_cloth(laps: Laps) -> str:
    """Both laps and their lines, which stay as they are while what lies on them is moved."""
    under, over = _area(laps.under, laps), _area(laps.over, laps)
    hatched = {"fill": "url(#hatch)"}
    beneath, beyond = "", ""
    if laps.over.tip is None:
        left, right = _garment(laps, laps.under), _garment(laps, laps.over)
        beneath = tag("path", d=left, class_="cloth under") + tag("path", d=left, **hatched)
        beyond = tag("path", d=right, class_="cloth over")
    # Of edges that meet nothing lies on top.
    called = ("under lap", "over lap") if laps.garment.is_meeting else ("under lap, beneath", "over lap, on top")
    beneath += tag("path", tag("title", called[0]), d=under, class_="cloth under")
    beneath += tag("path", d=under, **hatched)
    return slides(beneath) + beyond + tag("path", tag("title", called[1]), d=over, class_="cloth over")


def slides(inside: str, class_: str = "slides") -> str:
    """What lies on the under lap, and goes aside with it where the laps are opened."""
    return tag("g", inside, class_=class_)


@lru_cache(maxsize=16)
def opened(laps: Laps, room_mm: float) -> Point:
    """Find how far, and which way, the under lap is laid aside so that neither lap covers the other.

    Args:
        laps: as worn.
        room_mm: what is to lie between both.

    Returns:
        The way, in mm. A lap is laid aside straight, as cloth is: of a line that turns far round some stays covered.
    """
    under, over = laps.under, laps.over
    if under.tip is not None and over.tip is not None:
        far = math.dist(under.tip.at, over.tip.at) + room_mm
        way = under.tip.inwards
    else:
        places = places_along(laps)
        inwards = [under.inward(tangent) for _, tangent in places]
        way = inwards[len(inwards) // 2]
        slant = max(min(x * way[0] + y * way[1] for x, y in inwards), _LEAST_SLANT)
        covered = 0.0 if laps.garment.is_meeting else over.edge_lies_mm[1] + under.edge_lies_mm[1]
        far = covered / slant + room_mm
    return way[0] * far, way[1] * far


@lru_cache(maxsize=16)
def garment_mm(laps: Laps, lap: Lap) -> float:
    """How far from the closing line the garment is shown on one lap's own side."""
    wished = lap.width_mm - lap.inset_mm + _GARMENT * lap.width_mm
    return min(wished, max(0.85 * laps.line.tightest("both").radius_mm, lap.width_mm - lap.inset_mm))


@lru_cache(maxsize=16)
def places_along(laps: Laps) -> tuple[tuple[Point, Point], ...]:
    """Places at even distances on the closing line, each with its direction."""
    return _places_on(laps.line)


@lru_cache(maxsize=16)
def over_cloth(laps: Laps) -> tuple[float, tuple[Point, ...]]:
    """How far from places on the closing line the over lap's garment is shown, and those places."""
    return float(garment_mm(laps, laps.over)), tuple(point for point, _ in places_along(laps))


@lru_cache(maxsize=16)
def _places_on(line: Curve) -> tuple[tuple[Point, Point], ...]:
    along = [line.length_mm * i / _SAMPLES for i in range(_SAMPLES + 1)]
    return tuple((line.point_at(s), line.tangent_at(s)) for s in along)


@lru_cache(maxsize=16)
def far_side(laps: Laps, lap: Lap) -> tuple[Point, ...]:
    """Where the garment is no longer shown on one lap's side."""
    far = garment_mm(laps, lap)
    return tuple(lap.moved_in(point, tangent, far) for point, tangent in _places_on(lap.line))


def _garment(laps: Laps, lap: Lap) -> str:
    """The garment past a lap's band, which shows which way it lies; it has no line of its own."""
    near = [point for point, _ in _places_on(lap.line)]
    return through([*near, *reversed(far_side(laps, lap))], closed=True)


def _area(lap: Lap, laps: Laps) -> str:
    if lap.tip is not None:
        return end_cloth(lap.tip, laps)
    return between(lap.edge, lap.inner or laps.line)


@lru_cache(maxsize=16)
def draw_seams(laps: Laps) -> str:
    """Both finished edges and the closing line."""
    over, under = laps.over, laps.under
    return (
        slides(_seam(under, laps, "edge beneath"))
        + _seam(over, laps, "edge")
        + tag("path", d=path_data(laps.line.path()), class_="closing")
    )


def _seam(lap: Lap, laps: Laps, class_: str) -> str:
    """A finished edge; a strap's is broken off where its end is."""
    if lap.tip is None:
        return tag("path", d=path_data(lap.edge.path()), class_=class_)
    broken = tag("path", tag("title", "broken off here"), d=end_break(lap.tip, laps), class_="broken")
    return tag("path", d=end_edge(lap.tip, laps), class_=class_) + broken
