"""Where everything stands in the picture of the closed garment: its spots, its lettering, its frame."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.app.web.cloth import far_side
from closures.app.web.figure import figure_of, middle_of
from closures.app.web.ink import room_for
from closures.app.web.met import worn_laps
from closures.app.web.strap_ends import break_mm, past_mm
from closures.drawing.sheets.marks import look_of, reach_mm
from closures.drawing.sheets.view import View
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.buttonhole import hole_at

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.catalogue.values import LapName
    from closures.drawing.ink.shapes import Point
    from closures.drawing.sheets.view import Spot
    from closures.placing.placement import LapMark, Mark, Placement

# So many lines of lettering go into the height of the picture, which is about the height of a screen.
_LINES_IN_HEIGHT = 33
# Likewise across, and along a strap, which lies down and fills the width.
_LETTERS_ACROSS = 52
# As large as a phone needs them; the style sheet makes them smaller where there is room for more.
_LETTERS_ALONG_STRAP = 17
_LETTERS_LYING = 26
LIES_FROM = 1.3
"""A picture so many times as wide as high is laid out by its width. Our own rule."""
# A row that fills a small picture has the words of its ends beside it, and is read without being brought closer.
_LETTERS_ACROSS_SMALL = 22


@frozen
class Scene:
    """What is drawn, with the size of the lettering and the box that it all stands in, in mm.

    The spots of the marks, and of both ends of the line, are found once: each asks for the nearest point
    of two curves. What stands beside the row is told by its middle and how far it reaches. What lies is shown as wide
    as the window: its lettering is as a phone needs it, and the style sheet makes it smaller where there is more room.
    """

    answer: Answer
    view: View
    em_mm: float
    box: tuple[float, float, float, float]
    spots: Mapping[int, Spot]
    ends: tuple[Spot, Spot]
    beside: tuple[tuple[float, float, float, float], ...] = ()
    is_lying: bool = False

    @property
    def placement(self) -> Placement:
        """The closures as placed."""
        return self.answer.placement


def scene_of(answer: Answer, with_piece: bool = True) -> Scene:
    """Find where everything stands, and how large the lettering is.

    Args:
        answer: a placement with its findings.
        with_piece: the whole piece is in sight; else it goes on past the picture, as far as its row needs.
    """
    laps = worn_laps(answer.placement)
    view = View(laps, laps.over, False)
    boxes = [laps.line.box]
    for lap in laps.both:
        boxes += [lap.edge.box] if lap.tip is None else []
        boxes += [lap.inner.box] if lap.inner is not None else []
    boxes += [answer.placement.outline.box] if with_piece and answer.placement.outline is not None else []
    # What a figure has to either side is seen where the window has room for it; the row is drawn no smaller for it.
    figure = figure_of(answer.placement) if with_piece else ()
    boxes.append(middle_of(figure, laps.line.point_at(0.0), laps.line.point_at(laps.line.length_mm)))
    if answer.placement.strap is not None:
        x0, y0, x1, y1 = laps.line.box
        aside = past_mm(laps) + break_mm(laps)
        boxes.append((x0 - aside, y0 - laps.over.width_mm / 2, x1 + aside, y1 + laps.over.width_mm / 2))
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    letters, across, is_lying = _LETTERS_ALONG_STRAP, [x0, x1], True
    if answer.placement.strap is None:
        # A short end of a wide band is mostly cloth: what is shown of it shrinks its letters too.
        is_lying = x1 - x0 > LIES_FROM * (y1 - y0)
        letters = _LETTERS_ACROSS_SMALL if not with_piece else _LETTERS_LYING if is_lying else _LETTERS_ACROSS
        across += [x for lap in laps.both for x, _ in far_side(laps, lap)]
    em = max((y1 - y0) / _LINES_IN_HEIGHT, (max(across) - min(across)) / letters)
    spots = {mark.n: view.spot_at((mark.x_mm, mark.y_mm), mark.tangent) for mark in answer.placement.marks}
    ends = (view.spot(0.0), view.spot(laps.line.length_mm))
    scene = Scene(answer, view, em, (x0, y0, x1, y1), spots, ends, is_lying=is_lying)
    return replace(scene, beside=_things_beside(scene)) if answer.placement.beside else scene


def number_room(scene: Scene) -> float:
    """How far a mark reaches with its number, in mm."""
    looks = (look_of(share.fastener, "over", None) for share in scene.placement.shares)
    return max(map(reach_mm, looks)) + scene.em_mm


def number_at(scene: Scene, mark: Mark) -> tuple[Point, Point]:
    """Where the number of a mark hangs, past its band, and where it is written."""
    spot = scene.spots[mark.n]
    rim = scene.placement.fastener_of(mark.n).rim_mm
    if scene.placement.beside:
        # Past the band it would stand by a mark of the second row, and on one line with that one's number: 1 and 5 read
        # 15. So it stands by its own rim, and off that line, where no slit runs.
        return spot.moved(0.0, rim), spot.moved(-0.75 * scene.em_mm, rim + 0.35 * scene.em_mm)
    reach = max(spot.to_inner_mm, rim)
    return spot.moved(0.0, reach), spot.moved(0.0, reach + _aside(spot.inward) * scene.em_mm)


def numbered(scene: Scene) -> frozenset[int]:
    """The marks whose numbers have room: every mark's, or only every so many and the last.

    In a row that lies down numbers stand beside each other, each with its sign where something is wrong with its mark.
    """
    placement, em = scene.placement, scene.em_mm
    gaps = placement.spacing.gaps_mm
    least = min((gap for gap in gaps if gap > 0), default=math.inf)
    wide = 1.15
    if scene.is_lying and any(one.mark and one.result != "pass" for one in scene.answer.findings):
        wide = max(wide, room_for(f"✕ {len(placement.marks)}") + 0.2)
    every = max(1, math.ceil(wide * em / least))
    last = len(placement.marks)
    return frozenset(mark.n for mark in placement.marks if (mark.n - 1) % every == 0 or mark.n == last)


def number_beside(scene: Scene, lap: LapName, mark: LapMark) -> tuple[Point, Point]:
    """Where the number of a mark beside the row hangs, and where its middle is written.

    A hidden one lies behind another: its number stands below both, or it would be read with the other's number, with
    that of the row or with a gap's figure.
    """
    share = scene.placement.share_of(mark.n)
    look = look_of(share.fastener, lap, hole_at(share, share.laps[lap], mark, scene.answer.catalogue))
    spot = scene.view.spot_at(mark.at, mark.tangent)
    before = (other for other in scene.placement.all_on(lap) if other.n < mark.n)
    behind = [other for other in before if math.dist(other.at, mark.at) < look.rim_mm]
    if behind:
        rim = max(look.rim_mm, *(scene.placement.fastener_of(other.n).rim_mm for other in behind))
        return spot.moved(rim, 0.0), spot.moved(rim + 0.8 * scene.em_mm, 0.0)
    # A buttonhole across reaches far past its button, and a number on it is not read.
    reach = reach_mm(look)
    return spot.moved(0.0, reach), spot.moved(0.0, reach + 0.8 * scene.em_mm)


def gap_at(scene: Scene, one: Mark, other: Mark, letters: float) -> tuple[Point, Point, Point]:
    """Where the gap between two marks hangs, where it is written, and which way is inwards there.

    Args:
        scene: where everything stands.
        one: the mark before the gap.
        other: the mark behind it.
        letters: how wide the figure is, as a multiple of the scene's lettering.
    """
    laps, em = worn_laps(scene.placement), scene.em_mm
    mid = (one.along_mm + other.along_mm) / 2
    spot = scene.spots[one.n]
    point, tangent = laps.line.point_at(mid), laps.line.tangent_at(mid)
    inward = laps.over.inward(tangent)
    # Past the band it would stand by the marks of a second column, whose gaps are its own: by its own row it is read.
    rim = scene.placement.rim_mm
    reach = rim if scene.placement.beside else max(spot.to_inner_mm, rim)
    aside = _aside(inward) * em
    # Half its height and what parts it from another line of letters.
    long, high = (letters * em, 0.6 * em) if abs(inward[0]) > 0.35 else (em, (0.5 * letters + 0.9) * em)
    # A 9 beside 95 mm reads 995: a figure stands past every mark, and every number, that would be on its line.
    for x, y, rim, room in sorted(scene.beside, key=lambda thing: math.dist(thing[:2], point)):
        away, apart = (x - point[0], y - point[1]), rim + room
        along, off = (abs(away[0] * way[0] + away[1] * way[1]) for way in (tangent, inward))
        if along < high + rim and -apart < off - reach - aside < long + apart:
            reach = off + apart
    root, at = (laps.over.moved_in(point, tangent, reach + more) for more in (0.0, aside))
    far = math.dist(at, point) or 1.0
    return root, at, ((at[0] - point[0]) / far, (at[1] - point[1]) / far)


def _things_beside(scene: Scene) -> tuple[tuple[float, float, float, float], ...]:
    """The middles of marks beside the row and of their numbers, how far each reaches, and what room a figure leaves it.

    A figure that comes after a number on its line leaves more than words leave between them, or both are read as one.
    """
    own = {mark.n for mark in scene.placement.marks}
    things: list[tuple[float, float, float, float]] = []
    for mark in scene.placement.all_on("over"):
        if mark.n in own:
            continue
        things.append((mark.x_mm, mark.y_mm, scene.placement.share_of(mark.n).fastener.rim_mm, 0.5 * scene.em_mm))
        _, (x, y) = number_beside(scene, "over", mark)
        things.append((x, y, 0.4 * scene.em_mm, 1.6 * scene.em_mm))
    return tuple(things)


def _aside(inward: Point) -> float:
    """How far past its band a figure stands, in letters: above a band that lies down half its height more."""
    return 0.5 + 0.4 * abs(inward[1])


def with_labels(
    scene: Scene, box: tuple[float, float, float, float], labels: tuple[tuple[float, float, float, float], ...]
) -> tuple[float, float, float, float]:
    """Widen a box until every number, name and flag has its room in it."""
    em = scene.em_mm
    every = [box, *labels]
    for mark in scene.placement.marks:
        x, y = number_at(scene, mark)[1]
        every.append((x - 2.4 * em, y - em, x + 2.4 * em, y + em))
    if scene.placement.strap is None:
        every += _figures(scene)
        laps = worn_laps(scene.placement)
        for lap in laps.both:
            every += [(x, y, x, y) for x, y in far_side(laps, lap)[::15]]
    for _, (x, y), text, anchor in end_words(scene):
        wide = 0.55 * len(text) * em
        low = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        every.append((low, y - em, low + wide, y + em))
    return (
        min(b[0] for b in every),
        min(b[1] for b in every),
        max(b[2] for b in every),
        max(b[3] for b in every),
    )


def _figures(scene: Scene) -> list[tuple[float, float, float, float]]:
    """The room of the gaps' figures, which run on from the band: beside a slanted row the first stands outermost."""
    em, units = scene.em_mm, scene.placement.plan.units
    boxes = []
    for one, other in pairwise(scene.placement.marks):
        text = format_length(other.along_mm - one.along_mm, units)
        _, (x, y), inward = gap_at(scene, one, other, 0.85 * room_for(text))
        wide = (0.6 * len(text) + 0.3) * em
        low = x - wide / 2 if abs(inward[0]) < 0.35 else x if inward[0] > 0 else x - wide
        boxes.append((low, y - 0.5 * em, low + wide, y + 0.5 * em))
    return boxes


def end_words(scene: Scene) -> list[tuple[Point, Point, str, str]]:
    """The names of both ends and both laps, each with what it hangs at, its place and the way it is set."""
    em = scene.em_mm
    if scene.placement.strap is not None:
        return _strap_words(scene)
    first, last = scene.ends
    ends = scene.placement.ends
    over, under = (_lap_words(lap.name, lap.whose) for lap in scene.placement.laps.both)
    if abs(last.along[0]) > 0.75 and scene.is_lying:
        return _words_below(scene, (over, under))
    if abs(last.along[0]) > 0.75:
        # Each beside its own cloth, with a free line between it and the name of the end.
        before, past = _cloth_past(scene, first, -1.0) + 0.8 * em, _cloth_past(scene, last, 1.0) + 0.6 * em
        inner, beyond = last.moved(past, 2.0 * em), last.moved(past, -2.0 * em)
        out = "start" if last.along[0] > 0 else "end"
        return [
            (first.at, first.moved(-before, 0.0), ends[0], "end" if out == "start" else "start"),
            (last.at, last.moved(past, 0.0), ends[1], out),
            (last.at, inner, over, out),
            (last.at, beyond, under, out),
        ]
    x, y = last.moved(1.1 * em, 0.0)
    row = math.copysign(1.15 * em, last.along[1])
    # One below the other: side by side they are wider than a phone, and all else would be drawn smaller for them.
    return [
        (first.at, first.moved(-1.0 * em, 0.0), ends[0], "middle"),
        (last.at, (x, y), ends[1], "middle"),
        (last.at, (x, y + row), over, "middle"),
        (last.at, (x, y + 2 * row), under, "middle"),
    ]


def _words_below(scene: Scene, laps: tuple[str, str]) -> list[tuple[Point, Point, str, str]]:
    """The names of a row that lies down, below all cloth: beside it they would leave a phone half its width for it."""
    em, ends, worn = scene.em_mm, scene.placement.ends, worn_laps(scene.placement)
    foot = max(scene.box[3], *(y for lap in worn.both for _, y in far_side(worn, lap)))
    xs = [end.at[0] for end in scene.ends]
    is_turned = xs[0] > xs[1]
    # Of a short row both names would meet in one line.
    is_short = abs(xs[1] - xs[0]) < 0.55 * (len(ends[0]) + len(ends[1]) + 2) * em
    rows = [(ends[0], 0, xs[0], is_turned), (ends[1], is_short, xs[1], not is_turned)]
    rows += [(name, 1 + is_short + n, min(xs), False) for n, name in enumerate(laps)]
    return [
        ((x, foot), (x, foot + (1.3 + 1.15 * row) * em), name, "end" if is_right else "start")
        for name, row, x, is_right in rows
    ]


def _cloth_past(scene: Scene, end: Spot, way: float) -> float:
    """How far the laps' corners reach past an end of the line, in mm: words that begin nearer stand half on cloth."""
    corners = [
        curve.point_at(along)
        for lap in worn_laps(scene.placement).both
        for curve in (lap.edge, lap.inner)
        if curve is not None
        for along in (0.0, curve.length_mm)
    ]
    ways = (((x - end.at[0]) * end.along[0] + (y - end.at[1]) * end.along[1]) * way for x, y in corners)
    # Our own rule: an edge that goes on far past its row, as round a piece, takes no words along.
    return max((far for far in ways if far < 3.0 * scene.em_mm), default=0.0)


def _lap_words(name: str, whose: str) -> str:
    return f"{name} lap, {whose}" if whose else f"{name} lap"


def _strap_words(scene: Scene) -> list[tuple[Point, Point, str, str]]:
    laps, em = worn_laps(scene.placement), scene.em_mm
    result: list[tuple[Point, Point, str, str]] = []
    held: list[tuple[float, float]] = []
    for lap, text in ((laps.over, "over end"), (laps.under, "under end")):
        if lap.tip is not None:
            (x, _), way = lap.tip.at, lap.tip.inwards[0]
            foot, far = lap.width_mm / 2, x + math.copysign(0.48 * len(text) * em, way)
            low, high = min(x, far), max(x, far)
            # Of ends that lap by little the two names would lie on each other in one row.
            row = 3.3 if any(low < other[1] + 0.3 * em and other[0] < high + 0.3 * em for other in held) else 2.2
            held.append((low, high))
            result.append(((x, foot), (x, foot + row * em), text, "start" if way > 0 else "end"))
    return result
