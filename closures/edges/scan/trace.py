"""An edge followed on a scan or a photo, from a few places that the plan gives.

What comes out is a draft to check against the piece, not an exact template.
"""

from __future__ import annotations

import heapq
import math
import struct
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from closures.curve import Curve, Point
from closures.curve.fitting.limits import READ_WITHIN_MM
from closures.curve.fitting.strokes import read_strokes
from closures.edges.sampled import ReadLine, reading_in_words
from closures.edges.scan.markers import find_sheet, laid, vision
from closures.errors import DrawingError
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.plan.drawing import TraceWish

_MOST_PIXELS = 52_000_000
"""A scan of A4 at 600 dpi has 35 million, the largest photos that are usual 50. What is finer than a byte is worked out
in parts, so that the largest picture stays under 500 MB."""
# So many rows of pixels, and so many places on the way, are worked on at a time.
_ROWS_AT_A_TIME, _PLACES_AT_A_TIME = 256, 32

# The way between two places is first looked for on a picture so small that they are this far apart.
_COARSE = 120
_DARK_WEIGHT = 25.0

# Then each place is set across the edge, looking so far to both sides, in mm.
_LOOKS_MM = 1.5
_STEP_MM = 1.0
_ROUNDS = 3

# A pencil line and the pixels that it falls on are uneven by this, a standard deviation: far under what is
# promised of a scan, and what a line that crosses draws the places found aside by.
_LINE_MM = 0.04

# What such an edge can be trusted to: flatbed scanners and home cameras, common practice.
_TRUST_MM = {"scan": 0.3, "photo": 1.0}

_PICTURE_PX = 1600
# One of so many places found is shown: all of them would hide the line.
_SHOWN_OF = 6


@frozen
class Traced:
    """An edge that was followed on a picture.

    Attributes:
        curve: in mm from the upper left of the scan, or of the marker sheet.
        notes: how far it can be trusted.
        picture: the edge and the places found drawn over the picture, a PNG.
        points: the places found, in mm.
    """

    curve: Curve
    notes: tuple[str, ...]
    picture: bytes
    points: tuple[Point, ...] = ()


def trace_edge(data: bytes, where: str, wish: TraceWish, within_mm: float = READ_WITHIN_MM) -> Traced:
    """Follow an edge on a picture.

    Args:
        data: the bytes of a PNG or JPEG.
        where: its name, for messages.
        wish: places on the edge, and how the picture becomes mm.
        within_mm: what the places found may be out by.

    Raises:
        DrawingError: the picture cannot be read, is too large, or no edge is seen between the places.
    """
    import numpy as np

    cv2 = vision()
    _refuse_size(data, where)
    grey, shown = _unpacked(data, where)
    height, width = grey.shape
    for n, (x, y) in enumerate(wish.through, 1):
        if not (0 <= x < width and 0 <= y < height):
            raise DrawingError(
                f"point {n} of trace lies outside the picture of {width} by {height} pixels",
                where=where,
                mend="Write pixels across and down from the upper left corner.",
            )
    if wish.dpi is not None:
        onto = np.diag([25.4 / wish.dpi, 25.4 / wish.dpi, 1.0])
        # The middle of the first pixel is half a pixel from the corner.
        onto[:2, 2] = 12.7 / wish.dpi
        kind, told = "scan", f"a scan at {wish.dpi:g} dpi"
    else:
        sheet = find_sheet(grey, wish.sheet or "a4", where)
        onto = sheet.onto
        kind, told = "photo", f"a photo with {sheet.seen} markers, which fit within {sheet.off_mm:.2f} mm"
    smooth = cv2.GaussianBlur(grey, (0, 0), 0.8)
    del grey
    px_mm = _pixels_to_a_mm(wish.through, onto)
    way = _way_through(smooth, wish, where)
    places = _set_across(smooth, way, px_mm, wish, where)
    found = _between_ends(laid(places, onto), laid(np.array([wish.through[0], wish.through[-1]]), onto), where)
    strokes = read_strokes(found, max(within_mm, _LINE_MM), least_mm=_LINE_MM)
    read = ReadLine(Curve(strokes.segments), reading_in_words([(0, strokes)]), tuple(found))
    trust = _TRUST_MM[kind]
    notes = (
        f"The edge was followed on {told}.",
        *read.notes,
        f"Trust it to ±{trust:g} mm (common practice for a {kind}): a draft to check against the piece, not an exact "
        "template. Look at traced.png.",
    )
    return Traced(read.curve, notes, _drawn_over(shown, shown.shape[1] / width, read, onto, wish), read.points)


def _refuse_size(data: bytes, where: str) -> None:
    """Refuse a picture by the size that its head tells, before it is unpacked."""
    size = _size_told(data)
    if size is None:
        raise DrawingError("this is neither a PNG nor a JPEG picture", where=where, mend="Save it as PNG or JPEG.")
    if not 0 < size[0] * size[1] <= _MOST_PIXELS:
        raise DrawingError(
            f"the picture has {size[0]} by {size[1]} pixels, more than {_MOST_PIXELS // 1_000_000} million",
            where=where,
            mend="Scan at 300 dpi, or cut the picture to the edge.",
        )


def _size_told(data: bytes) -> tuple[int, int] | None:
    if data.startswith(b"\x89PNG\r\n\x1a\n") and len(data) >= 24:
        width, height = struct.unpack(">II", data[16:24])
        return width, height
    if not data.startswith(b"\xff\xd8"):
        return None
    place = 2
    while place + 9 < len(data) and data[place] == 0xFF:
        mark, length = data[place + 1], int.from_bytes(data[place + 2 : place + 4], "big")
        # The frame header (ITU-T T.81, annex B): any start of frame but the three that are something else.
        if 0xC0 <= mark <= 0xCF and mark not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[place + 5 : place + 9])
            return width, height
        place += 2 + length
    return None


def _unpacked(data: bytes, where: str) -> tuple[Any, Any]:
    """The picture in greys, and in colours no larger than a screen; all of it in colours is not kept."""
    import numpy as np

    cv2 = vision()
    picture = cv2.imdecode(np.frombuffer(data, dtype=np.uint8), cv2.IMREAD_COLOR)
    if picture is None:
        raise DrawingError("the picture cannot be read", where=where, mend="Save it again as PNG.")
    scale = min(1.0, _PICTURE_PX / max(picture.shape[:2]))
    shown = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else picture
    return cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), shown


def _pixels_to_a_mm(through: tuple[Point, ...], onto: Any) -> float:
    import numpy as np

    places = np.array(through, dtype=np.float64)
    in_mm = laid(places, onto)
    pixels = sum(math.dist(a, b) for a, b in pairwise(places.tolist()))
    mm = sum(math.dist(a, b) for a, b in pairwise(in_mm.tolist()))
    return float(pixels / mm) if mm > 0 else 1.0


def _strength(grey: Any, follow: str) -> Any:
    """How much an edge each pixel is, from 0 to 255: its darkness, or how steeply light turns to dark."""
    import numpy as np

    if follow == "line":
        low, high = np.percentile(grey, (0.5, 60))
        of_grey = np.clip((high - np.arange(256)) / max(high - low, 1.0), 0.0, 1.0)
        return np.rint(255 * of_grey).astype(np.uint8)[grey]
    slope = np.empty(grey.shape, np.uint16)
    for low in range(0, len(grey), _ROWS_AT_A_TIME):
        slope[low : low + _ROWS_AT_A_TIME] = _slope(grey, low, low + _ROWS_AT_A_TIME)
    steep = max(float(np.percentile(slope, 99.5)), 1.0)
    for rows in range(0, len(grey), _ROWS_AT_A_TIME):
        part = slope[rows : rows + _ROWS_AT_A_TIME]
        part[:] = np.rint(np.minimum(part * (255 / steep), 255.0))
    return slope.astype(np.uint8)


def _slope(grey: Any, low: int, high: int) -> Any:
    """How steep some rows of a picture are, with the rows beside them looked at as well."""
    import numpy as np

    cv2 = vision()
    before = min(low, 1)
    part = grey[low - before : high + 1]
    slope = np.hypot(cv2.Sobel(part, cv2.CV_32F, 1, 0), cv2.Sobel(part, cv2.CV_32F, 0, 1))
    return np.rint(slope)[before : before + high - low]


def _way_through(grey: Any, wish: TraceWish, where: str) -> Any:
    """The darkest way through all places, pixel by pixel on a coarse picture."""
    import numpy as np

    way: list[Point] = []
    for n, (start, end) in enumerate(pairwise(wish.through), 1):
        if math.dist(start, end) < 4:
            raise DrawingError(f"points {n} and {n + 1} of trace are the same", where=where, mend="Leave one out.")
        way += _way_between(grey, start, end, wish.follow)
    # The stairs of the coarse picture are evened out before directions are taken from it.
    places = np.array(way, dtype=np.float64)
    return _evened(places, 5)


def _way_between(grey: Any, start: Point, end: Point, follow: str) -> list[Point]:
    import numpy as np

    cv2 = vision()
    chord = math.dist(start, end)
    pad = 0.35 * chord + 12
    height, width = grey.shape
    x0, x1 = int(max(0, min(start[0], end[0]) - pad)), int(min(width, max(start[0], end[0]) + pad + 1))
    y0, y1 = int(max(0, min(start[1], end[1]) - pad)), int(min(height, max(start[1], end[1]) + pad + 1))
    small = max(1.0, chord / _COARSE)
    strength = _strength(grey[y0:y1, x0:x1], follow)
    rows, columns = max(2, round((y1 - y0) / small)), max(2, round((x1 - x0) / small))
    if small > 1:
        # The darkest pixel of each cell stands for it: a thin line would pale in the mean.
        grown = cv2.dilate(strength, np.ones((math.ceil(small), math.ceil(small)), np.uint8))
        strength = cv2.resize(grown, (columns, rows), interpolation=cv2.INTER_AREA)
    rows, columns = strength.shape
    by_x, by_y = (x1 - x0) / columns, (y1 - y0) / rows

    def cell(point: Point) -> tuple[int, int]:
        return (
            min(rows - 1, max(0, int((point[1] - y0) / by_y))),
            min(columns - 1, max(0, int((point[0] - x0) / by_x))),
        )

    cells = _cheapest((1.0 + _DARK_WEIGHT * (1.0 - strength / 255)).tolist(), cell(start), cell(end))
    inner = [(x0 + (j + 0.5) * by_x - 0.5, y0 + (i + 0.5) * by_y - 0.5) for i, j in cells[1:-1]]
    return [start, *inner, end]


def _cheapest(cost: list[list[float]], start: tuple[int, int], end: tuple[int, int]) -> list[tuple[int, int]]:
    """The cheapest way from cell to cell, in eight directions (Dijkstra 1959)."""
    rows, columns = len(cost), len(cost[0])
    steps = [(i, j, math.hypot(i, j)) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]
    best = {start: 0.0}
    before: dict[tuple[int, int], tuple[int, int]] = {}
    waiting = [(0.0, start)]
    while waiting:
        so_far, here = heapq.heappop(waiting)
        if here == end:
            break
        if so_far > best[here]:
            continue
        for di, dj, length in steps:
            i, j = here[0] + di, here[1] + dj
            if 0 <= i < rows and 0 <= j < columns:
                reached = so_far + length * cost[i][j]
                if reached < best.get((i, j), math.inf):
                    best[i, j] = reached
                    before[i, j] = here
                    heapq.heappush(waiting, (reached, (i, j)))
    way = [end]
    while way[-1] != start:
        way.append(before[way[-1]])
    return way[::-1]


def _set_across(grey: Any, way: Any, px_mm: float, wish: TraceWish, where: str) -> Any:
    """Places a mm apart along the way, each set to the middle of what is dark, or steepest, across it."""
    import numpy as np

    places = way
    looks = _LOOKS_MM * px_mm + (math.dist(wish.through[0], wish.through[1]) / _COARSE)
    missed = 0.0
    for turn in range(_ROUNDS):
        places = _evened(_spaced(places, _STEP_MM * px_mm), 3 if turn else 7)
        slope = np.gradient(places, axis=0)
        normal = np.column_stack([-slope[:, 1], slope[:, 0]]) / np.hypot(slope[:, 0], slope[:, 1])[:, None]
        reach = max(3.0, looks if turn == 0 else 0.8 * px_mm)
        shifts = np.linspace(-reach, reach, 2 * math.ceil(reach * 2) + 1)
        grid = places[:, None, :] + normal[:, None, :] * shifts[None, :, None]
        profile = np.concatenate(
            [_seen_at(grey, grid[n : n + _PLACES_AT_A_TIME]) for n in range(0, len(grid), _PLACES_AT_A_TIME)]
        )
        if wish.follow == "line":
            weight = np.percentile(profile, 75, axis=1)[:, None] - profile
        else:
            weight = np.abs(np.gradient(profile, axis=1))
        peak = weight.max(axis=1, keepdims=True)
        weight = np.clip(weight - 0.4 * peak, 0.0, None)
        # Only what hangs together with the strongest place counts: another line may run beside.
        weight = _about_peak(weight)
        total = weight.sum(axis=1)
        seen = (peak[:, 0] > 12.0) & (total > 0)
        missed = 1.0 - float(seen.mean())
        moved = np.where(seen, (weight * shifts).sum(axis=1) / np.where(total > 0, total, 1.0), 0.0)
        places = places + normal * moved[:, None]
    if missed > 0.4:
        raise DrawingError(
            f"no edge is seen on {missed:.0%} of the way between the points of trace",
            where=where,
            mend='Give more points on it, draw it darker, or write follow = "border" where light meets dark.',
        )
    return places


def _seen_at(grey: Any, grid: Any) -> Any:
    """How light the picture is at places between its pixels."""
    import numpy as np

    cv2 = vision()
    height, width = grey.shape
    (x0, y0), (x1, y1) = np.floor(grid.min(axis=(0, 1))).astype(int) - 1, np.ceil(grid.max(axis=(0, 1))).astype(int) + 2
    x0, y0 = min(max(x0, 0), width - 1), min(max(y0, 0), height - 1)
    part = grey[y0 : max(y1, y0 + 1), x0 : max(x1, x0 + 1)].astype(np.float32)
    at = (grid - (x0, y0)).astype(np.float32)
    return cv2.remap(part, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)


def _about_peak(weight: Any) -> Any:
    import numpy as np

    kept = np.zeros_like(weight)
    at = weight.argmax(axis=1)
    for n, (row, peak) in enumerate(zip(weight, at, strict=True)):
        low, high = peak, peak
        while low > 0 and row[low - 1] > 0:
            low -= 1
        while high < len(row) - 1 and row[high + 1] > 0:
            high += 1
        kept[n, low : high + 1] = row[low : high + 1]
    return kept


def _spaced(places: Any, step: float) -> Any:
    """Places as far apart as told along a way."""
    import numpy as np

    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))])
    count = max(8, round(float(along[-1]) / step))
    at = np.linspace(0.0, float(along[-1]), count + 1)
    return np.column_stack([np.interp(at, along, places[:, k]) for k in (0, 1)])


def _evened(places: Any, width: int) -> Any:
    """Means of a few places each, fewer near the ends, which stay."""
    import numpy as np

    half = width // 2
    count = len(places)
    return np.array(
        [places[n - m : n + m + 1].mean(axis=0) for n in range(count) for m in (min(half, n, count - 1 - n),)]
    )


def _between_ends(places: Any, ends: Any, where: str) -> list[Point]:
    """The places from where the first one given falls on the edge to where the last one does."""
    import numpy as np

    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))])
    first, last = (int(np.hypot(*(places - end).T).argmin()) for end in ends)
    if along[last] - along[first] < 10.0:
        raise DrawingError("the edge is shorter than 10 mm", where=where, mend="Check dpi and the points of trace.")
    return [(float(x), float(y)) for x, y in places[first : last + 1]]


def _drawn_over(shown: Any, scale: float, read: ReadLine, onto: Any, wish: TraceWish) -> bytes:
    """The edge and what it was read from over the picture as it is shown, in colours that no pencil has."""
    import numpy as np

    cv2 = vision()

    def seen(places: Sequence[Point]) -> Any:
        back = laid(np.array(places), np.linalg.inv(onto))
        return np.rint(((back + 0.5) * scale - 0.5) * 16).astype(np.int32)

    line = seen(read.curve.approximate_polyline(0.02))
    cv2.polylines(shown, [line.reshape(-1, 1, 2)], False, (200, 0, 220), 2, cv2.LINE_AA, 4)
    for place in seen(read.points[::_SHOWN_OF]).tolist():
        cv2.circle(shown, place, 3 * 16, (0, 160, 0), -1, cv2.LINE_AA, 4)
    for x, y in wish.through:
        place = (round(x * scale * 16), round(y * scale * 16))
        cv2.circle(shown, place, 6 * 16, (220, 120, 0), 2, cv2.LINE_AA, 4)
    done, png = cv2.imencode(".png", shown)
    if not done:
        raise DrawingError("the picture cannot be drawn over")
    return bytes(png)
