"""A sheet to throw on the cloth with light: white on black, thick lines, and a grid to set the projector by."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.ink.extents import box_of, grown, union
from closures.drawing.ink.lettering import width_of
from closures.drawing.ink.shapes import Circle, Group, Item, Path, Pen, Words, line, moved, polygon, rectangle, strokes
from closures.drawing.sheets.drawing import subjects_of
from closures.drawing.sheets.view import View
from closures.drawing.write.svg import write_shapes
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from closures.drawing.ink.shapes import Align, Box
    from closures.drawing.sheets.subject import Subject
    from closures.drawing.sheets.view import Spot

_GRID_MM = 50.0
_MARGIN_MM = 60.0
_WHITE = 1.0
_EDGE = Pen(1.4, grey=_WHITE)
_LINE = Pen(0.8, (10.0, 3.0), grey=_WHITE)
_MARK = Pen(1.2, grey=_WHITE)
_GRID = Pen(0.4, (2.0, 6.0), grey=0.45)
_SQUARE = Pen(1.2, grey=_WHITE)
_BLACK = Pen(0.0, fill=0.0)
_LETTERS_MM = 9.0
_SLIT = Pen(1.6, grey=_WHITE)
_ZONE = Pen(0.8, (4.0, 3.0), grey=_WHITE)


def projector_svg(subject: Subject) -> bytes:
    """Draw one lap for a projector, outside face up, 1:1 in user units of 1 mm, with no paper round it.

    Args:
        subject: a lap with closures along its edge.

    Returns:
        An SVG. Its grid has squares of 50 mm; a square of 50 mm and one of 2 in are drawn thick.
    """
    placement, lap = subject.placement, subject.name
    chosen = placement.laps[lap]
    view = View(placement.laps, chosen, subject.is_flipped)
    drawn = [*_zones(subject, view), *_lap(subject, view), *_anchors(subject, view)]
    box = grown(union(box_of(item) for item in drawn), _MARGIN_MM)
    side = f", {chosen.whose}" if chosen.whose else ""
    opening = f"{subject.opening.upper()}, " if subject.opening else ""
    words = f"{opening}{lap.upper()} LAP{side} · {subject.face} face up"
    below = f"{placement.plan.title} · run {run_mark(placement)}"
    head = max(width_of(words, _LETTERS_MM, "bold"), width_of(below, 7.0, "semibold")) + 2 * _GRID_MM + 12.0
    across = max(box[2] - box[0] + 60.0, head - _GRID_MM)
    width, height = (_GRID_MM * -(-side_mm // _GRID_MM) + _GRID_MM for side_mm in (across, box[3] - box[1]))
    items = [moved(item, 90.0 - box[0] - 30.0, -box[1]) for item in drawn]
    page: Box = (0.0, 0.0, width, height)
    shown = [
        rectangle(page, _BLACK),
        Group("grid", "a grid of 50 mm", (_grid(width, height),)),
        *_squares(),
        *_rules(width, height),
        Words(_GRID_MM * 2 + 6.0, 25.0, words, _LETTERS_MM, "start", 0.0, "bold", _WHITE),
        Words(_GRID_MM * 2 + 6.0, 36.0, below, 7.0, "start", 0.0, "semibold", _WHITE),
        *items,
    ]
    return write_shapes(f"{below}: for a projector, {words}", width, height, shown)


def _grid(width: float, height: float) -> Path:
    across = [((0.0, y * _GRID_MM), (width, y * _GRID_MM)) for y in range(int(height / _GRID_MM) + 1)]
    down = [((x * _GRID_MM, 0.0), (x * _GRID_MM, height)) for x in range(int(width / _GRID_MM) + 1)]
    return strokes([*across, *down], _GRID)


def _rules(width: float, height: float) -> list[Item]:
    """A rule along the left and the upper side, a tick to every centimetre."""
    across, down = (int((side - 20.0) / 10.0) for side in (width, height))
    ticks = [((10.0 * k, 0.0), (10.0 * k, 7.0 if k % 5 == 0 else 4.0)) for k in range(1, across + 1)]
    ticks += [((0.0, 10.0 * k), (7.0 if k % 5 == 0 else 4.0, 10.0 * k)) for k in range(1, down + 1)]
    items: list[Item] = [
        Group("rules", "rules, a tick to every centimetre", (strokes(ticks, replace(_SQUARE, width_mm=0.8)),))
    ]
    for k in range(5, across + 1, 5):
        items.append(Words(10.0 * k, 12.5, str(10 * k), 5.0, "middle", 0.0, "semibold", _WHITE))
    for k in range(5, down + 1, 5):
        items.append(Words(9.0, 10.0 * k + 1.7, str(10 * k), 5.0, "start", 0.0, "semibold", _WHITE))
    return items


def _squares() -> list[Item]:
    words = ("move the", "projector until", "this measures")
    items: list[Item] = [
        Group(
            "square-50-mm",
            "50 mm square",
            (rectangle((_GRID_MM, 0.0 + _GRID_MM, 2 * _GRID_MM, 2 * _GRID_MM), _SQUARE),),
        ),
        Group(
            "square-2-in",
            "2 in square",
            (rectangle((_GRID_MM, 3 * _GRID_MM, _GRID_MM + 50.8, 3 * _GRID_MM + 50.8), _SQUARE),),
        ),
    ]
    for top, name in ((_GRID_MM, "50 mm"), (3 * _GRID_MM, "2 in")):
        items += [
            Words(_GRID_MM + 25.0, top + 12.0 + 6.5 * k, row, 5.4, "middle", 0.0, "semibold", _WHITE)
            for k, row in enumerate(words)
        ]
        items.append(Words(_GRID_MM + 25.0, top + 39.0, name, 10.0, "middle", 0.0, "bold", _WHITE))
    return items


def _lap(subject: Subject, view: View) -> list[Item]:
    placement, lap = subject.placement, view.lap
    shapes: list[Item] = [Path(view.path(lap.edge), _EDGE)]
    shapes += [Path(view.path(one), _LINE) for one in lap.lines_on_cloth]
    if lap.inner is not None:
        shapes.append(Path(view.path(lap.inner), replace(_EDGE, width_mm=0.7)))
        ends = ((lap.edge.start, lap.inner.start), (lap.edge.end, lap.inner.end))
        shapes += [
            line(view.point(*a), view.point(*b), pen=replace(_EDGE, width_mm=0.7))
            for a, b in (() if lap.has_strip_without_edge else ends)
        ]
    items: list[Item] = [Group("band", f"{lap.name} lap", tuple(shapes))]
    for mark in placement.all_new_on(lap.name):
        rim = max(placement.fastener_of(mark.n).rim_mm, 3.0)
        spot = view.spot_of(mark)
        x, y = spot.at
        cross = strokes((((x - rim, y), (x + rim, y)), ((x, y - rim), (x, y + rim))), _MARK)
        nx, ny = spot.moved(0.0, spot.to_inner_mm + 9.0)
        number = Words(nx, ny + 0.33 * _LETTERS_MM, str(mark.n), _LETTERS_MM, "middle", 0.0, "bold", _WHITE)
        items.append(
            Group(
                f"{lap.name}-{mark.n}",
                f"mark {mark.n}",
                (cross, *_slit(subject, spot, mark.n), Circle(x, y, 0.6, Pen(0.0, fill=1.0), "centre"), number),
            )
        )
    first = view.spot(0.0).moved(-12.0, 0.0)
    items.append(Words(*first, placement.ends[0], 7.0, "middle", 0.0, "semibold", _WHITE))
    return items


def _slit(subject: Subject, spot: Spot, n: int) -> tuple[Item, ...]:
    """A buttonhole at its true length, with a bar across either end."""
    look = subject.look_at(n)
    hole = look.buttonhole if look.style == "buttonhole" else None
    if hole is None:
        return ()
    x, y = hole.way_in((1.0, 0.0), (0.0, 1.0))
    ends = [(far * x, far * y) for far in (-hole.before_mm, hole.after_mm)]
    v, w = -2.5 * y, 2.5 * x
    bars = [(spot.moved(u - v, d - w), spot.moved(u + v, d + w)) for u, d in ends]
    return (strokes([(spot.moved(*ends[0]), spot.moved(*ends[1])), *bars], _SLIT),)


def _anchors(subject: Subject, view: View) -> list[Item]:
    """A diamond on the line for every anchor, its name beyond the edge."""
    items: list[Item] = []
    for anchor in subject.placement.anchors:
        spot = view.spot_on_line(min(subject.lap.along(anchor.along_mm), subject.length_mm))
        corners = [spot.moved(u, d) for u, d in ((-4.0, 0.0), (0.0, -4.0), (4.0, 0.0), (0.0, 4.0))]
        x, y = spot.moved(0.0, -spot.to_edge_mm - 6.0)
        align: Align = "start" if spot.to_edge[0] >= 0 else "end"
        words = Words(x, y + 2.3, anchor.name, 7.0, align, 0.0, "semibold", _WHITE)
        items.append(Group("", f"anchor: {anchor.name}", (polygon(corners, _MARK), words)))
    return items


def _zones(subject: Subject, view: View) -> list[Item]:
    """A dashed outline across the band for every stretch to keep clear, its name inside."""
    items: list[Item] = []
    for k, zone in enumerate(subject.placement.zones):
        for low_mm, high_mm in zone.stretches_mm:
            low, high = (min(max(0.0, subject.lap.along(at)), subject.length_mm) for at in (low_mm, high_mm))
            if high <= low:
                continue
            spots = [view.spot_on_line(low + (high - low) * i / 20) for i in range(21)]
            edge = [one.moved(0.0, -one.to_edge_mm) for one in spots]
            inner = [one.moved(0.0, one.to_inner_mm) for one in reversed(spots)]
            x, y = spots[10].moved(0.0, spots[10].to_inner_mm + 6.0)
            align: Align = "start" if spots[10].inward[0] >= 0 else "end"
            words = Words(x, y + 2.3, f"keep clear: {zone.name}", 7.0, align, 0.0, "semibold", _WHITE)
            items.append(Group(f"clear-{k + 1}", f"keep clear: {zone.name}", (polygon([*edge, *inner], _ZONE), words)))
    return items


def _files(drawn: Drawn) -> dict[str, bytes]:
    faces = drawn.faces
    laps = subjects_of(drawn.placement, drawn.findings, drawn.catalogue, faces, opening=drawn.opening)
    return {f"{subject.name}-projector.svg": projector_svg(subject) for subject in laps}


EXTRA = Extra(
    "projector",
    "a sheet for either lap to throw with light, as SVG",
    64,
    *switched("projector"),
    files=_files,
    for_setting=True,
)
