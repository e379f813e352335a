"""What was there before: old buttonholes, holes and parts, told from new marks by their shape.

New parts are round with an upright cross. An old part is a square, an old buttonhole a pointed oval,
an old round hole a hexagon; what is only drawn on a pattern is struck out, by a diagonal cross or by
slanted strokes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.drawing.ink.extents import box_of
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.shapes import FINE, Group, Item, Path, Pen, Point, line, polygon, strokes
from closures.drawing.sheets.labels import Label, Line, place_label, target_of

if TYPE_CHECKING:
    from closures.drawing.ink.room import Room
    from closures.drawing.sheets.view import Spot, View
    from closures.jobs.swap.old_row import OldHole
    from closures.jobs.swap.swap import Swap

OLD = Pen(0.3, (0.9, 0.7))
OLD_SLIT = Pen(0.3)
STRUCK = Pen(0.3)
CUT_LINE = Pen(0.25, (4.0, 1.2))
_BULGE_MM = 1.5
_STROKE_MM = 2.0
_LEAST_HALF_MM = 2.0


def draw_old(swap: Swap, view: View, room: Room, span: tuple[float, float]) -> tuple[Item, ...]:
    """Draw what the old closures have, or have left, on one lap.

    Args:
        swap: the old row.
        view: which lap, and which face.
        room: where the shapes are noted as taken.
        span: from and to along the closing line; only what lies there is drawn.

    Returns:
        One group for each old closure that this lap knows of, with ids ``old-over-1`` and so on; with
        a cut of the pattern, one more.
    """
    old, lap = swap.old, view.lap.name
    holes = {hole.n: hole for hole in old.holes if hole.lap == lap}
    has_part = bool(old.fastener.parts_on(lap))
    groups: list[Item] = []
    for n, along in enumerate(old.places_mm, 1):
        if not _is_told(swap, n) or not span[0] <= view.lap.along(along) <= span[1]:
            continue
        spot = view.spot(along)
        hole = holes.get(n)
        if n in _staying(swap) and (hole is None or hole.slit is None):
            # Its part is drawn at its mark, and lies over what hole it has.
            continue
        if hole is not None and hole.slit is not None:
            shapes, what = _old_slit(hole, view), "buttonhole"
        elif hole is not None and hole.made:
            shapes, what = (_hexagon(spot, max(hole.length_mm / 2, 1.5)),), "hole"
        elif has_part:
            shapes, what = _old_part(spot, old.fastener.rim_mm, not old.made), old.fastener.kind
        else:
            continue
        state = "staying" if n in _staying(swap) else "old" if old.made else "struck out, old"
        group = Group(
            f"old-{lap}-{n}",
            f"{state} {what} {n}: {both_ways(along, 'mm')[0]} from the {view.laps.garment.ends[0]}",
            shapes,
        )
        groups.append(group)
        reach = max(old.fastener.rim_mm, _LEAST_HALF_MM)
        room.take_target(target_of(spot.at, spot.to_edge, 0.0, reach, box_of(group), "old mark"))
    if swap.lengthened is not None and _shows_cut(swap, span):
        groups.append(_draw_cut(swap, view, room, span))
    return tuple(groups)


def _shows_cut(swap: Swap, span: tuple[float, float]) -> bool:
    cut = swap.lengthened
    return cut is not None and any(span[0] <= at <= span[1] for at in (cut.at_mm, cut.at_mm + cut.by_mm))


def _staying(swap: Swap) -> frozenset[int]:
    """Numbers of the old closures that stay: they are drawn and numbered as marks, which say so."""
    return frozenset(swap.offer.kept) if swap.offer.placement.staying else frozenset()


def _is_told(swap: Swap, n: int) -> bool:
    """Whether an old closure is drawn: always in a garment, and on a pattern where it is struck out."""
    return swap.old.made or n in swap.offer.struck


def letter_old(swap: Swap, view: View, room: Room, span: tuple[float, float], size_mm: float) -> tuple[Item, ...]:
    """Number the old closures beside them, on the side of the edge."""
    old, lap = swap.old, view.lap.name
    known = {hole.n for hole in old.holes if hole.lap == lap}
    words: list[Item] = []
    for n, along in enumerate(old.places_mm, 1):
        if (
            not span[0] <= view.lap.along(along) <= span[1]
            or not _is_told(swap, n)
            or n in _staying(swap)
            or (n not in known and not old.fastener.parts_on(lap))
        ):
            continue
        spot = view.spot(along)
        reach = max(old.fastener.rim_mm, _LEAST_HALF_MM)
        label = Label("", 0.0, (Line(f"old {n}", size_mm),), spot.at, spot.to_edge, reach, kind="old mark")
        words += place_label(label, room)
    if swap.lengthened is not None and _shows_cut(swap, span):
        middle = swap.lengthened.at_mm + swap.lengthened.by_mm / 2
        spot = view.spot(min(max(middle, span[0]), span[1]))
        told = f"longer by {both_ways(swap.lengthened.by_mm, 'mm')[0]}"
        label = Label("", 0.0, (Line(told, size_mm),), spot.at, spot.inward, spot.to_inner_mm)
        words += place_label(label, room)
    return tuple(words)


def old_signs(swap: Swap, lap: str) -> tuple[str, ...]:
    """Name the signs of old closures that a lap's drawing uses, for its key."""
    old = swap.old
    slits = any(hole.lap == lap and hole.slit is not None for hole in old.holes)
    spots = any(hole.lap == lap and hole.slit is None for hole in old.holes)
    has_part = any(part.lap == lap for part in old.fastener.parts)
    kept = ("kept buttonhole",) if slits and _staying(swap) else ()
    if not swap.offer.come_off and not swap.offer.struck:
        signs: tuple[str, ...] = ()
    elif slits:
        signs = ("old buttonhole" if old.made else "struck buttonhole",)
    elif spots and old.made:
        signs = ("old hole",)
    elif has_part:
        signs = ("old part" if old.made else "struck part",)
    else:
        signs = ()
    return (*kept, *signs, *(("pattern cut",) if swap.lengthened is not None else ()))


def lens(start: Point, end: Point, bulge_mm: float, pen: Pen) -> Path:
    """Draw a pointed oval from one end to the other."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    # A cubic whose handles stand off by 4/3 of a height rises to that height in its middle.
    vx, vy = -dy / length * bulge_mm * 4 / 3, dx / length * bulge_mm * 4 / 3
    a, b = (x0 + 0.3 * dx, y0 + 0.3 * dy), (x0 + 0.7 * dx, y0 + 0.7 * dy)
    return Path(
        (
            ("M", x0, y0),
            ("C", a[0] + vx, a[1] + vy, b[0] + vx, b[1] + vy, x1, y1),
            ("C", b[0] - vx, b[1] - vy, a[0] - vx, a[1] - vy, x0, y0),
            ("Z",),
        ),
        pen,
    )


def _old_slit(hole: OldHole, view: View) -> tuple[Item, ...]:
    start, end = (view.point(*point) for point in hole.ends)
    if hole.made:
        return (lens(start, end, _BULGE_MM, OLD_SLIT), line(start, end, pen=FINE))
    return (lens(start, end, _BULGE_MM, OLD), slanted(start, end))


def slanted(start: Point, end: Point) -> Path:
    """Draw three slanted strokes across a slit: it is struck out."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    pairs = []
    for share in (0.3, 0.5, 0.7):
        x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
        px, py = _STROKE_MM * (0.5 * ux - uy), _STROKE_MM * (0.5 * uy + ux)
        pairs.append(((x - px, y - py), (x + px, y + py)))
    return strokes(pairs, STRUCK)


def _old_part(spot: Spot, rim_mm: float, is_struck: bool) -> tuple[Item, ...]:
    half = max(rim_mm, _LEAST_HALF_MM)
    corners = [spot.moved(u * half, v * half) for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    square = polygon(corners, OLD)
    if not is_struck:
        return (square,)
    return (square, strokes(((corners[0], corners[2]), (corners[1], corners[3])), STRUCK))


def _hexagon(spot: Spot, radius_mm: float) -> Path:
    turns = [math.radians(60.0 * k) for k in range(6)]
    return polygon((spot.moved(radius_mm * math.cos(a), radius_mm * math.sin(a)) for a in turns), OLD_SLIT)


def _draw_cut(swap: Swap, view: View, room: Room, span: tuple[float, float]) -> Group:
    """Show where the pattern was cut and moved apart: the two borders of the piece let in."""
    cut = swap.lengthened
    at, by = (0.0, 0.0) if cut is None else (cut.at_mm, cut.by_mm)
    items: list[Item] = []
    for along in (one for one in (at, at + by) if span[0] <= one <= span[1]):
        spot = view.spot(along)
        path = line(spot.edge_at, spot.moved(0.0, spot.to_inner_mm), pen=CUT_LINE)
        room.take_path(path.commands)
        items.append(path)
    return Group("pattern-cut", f"the pattern is {by:.1f} mm longer between these lines", tuple(items))
