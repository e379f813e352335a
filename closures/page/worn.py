"""The front as worn: both laps closed, true to shape, with everything that can be taken hold of.

Terms: a *flag* is the name beside a fixed place or a clear stretch; a *handle* is what a hand, or an
arrow key, moves along the closing line.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import TYPE_CHECKING

from closures.buttonhole import buttonhole_for
from closures.drawing.marks import Look, Stand, draw_mark, look_of, reach_mm
from closures.drawing.view import View
from closures.lengths import format_length
from closures.page.flags import draw_flags
from closures.page.ink import between, path_data, shape, tag, through, words
from closures.page.moves import STEP_MM, lock_of

if TYPE_CHECKING:
    from closures.drawing.shapes import Point
    from closures.drawing.view import Spot
    from closures.job import Answer
    from closures.lap import Lap, LapName, Laps
    from closures.placement import Mark, Placement

# So many lines of lettering go into the height of the picture, which is about the height of a screen.
_LINES_IN_HEIGHT = 33
# Likewise across, and along a strap, which lies down and fills the width.
_LETTERS_ACROSS = 52
_LETTERS_ALONG_STRAP = 36
_SAMPLES = 60
# A closed strap is shown this far past its closures, in widths: the rest goes round the body.
_STRAP_WIDTHS = 1.5
# So much of the garment is shown past the band, in widths of it.
_GARMENT = 0.75
_SIGNS = {"fail": "✕", "warn": "!"}


@dataclass(frozen=True, slots=True)
class Scene:
    """What is drawn, with the size of the lettering and the box that it all stands in, in mm.

    The spots of the marks, and of both ends of the line, are found once: each asks for the nearest point
    of two curves.
    """

    answer: Answer
    view: View
    em_mm: float
    box: tuple[float, float, float, float]
    spots: Mapping[int, Spot]
    ends: tuple[Spot, Spot]

    @property
    def placement(self) -> Placement:
        """The closures as placed."""
        return self.answer.placement


def draw_worn(answer: Answer, can_move: bool = True) -> str:
    """Draw the closed front as an SVG for the page.

    Args:
        answer: a placement with its findings.
        can_move: whether fixed places and clear stretches can be taken hold of.

    Returns:
        One `svg` element in the garment's own frame, user units of 1 mm. The group ``mark-n`` is mark n;
        an element of class ``handle`` tells in its data what it moves.
    """
    scene, laps = _scene(answer), answer.placement.laps
    flags = draw_flags(scene.answer, scene.view, scene.em_mm, can_move)
    x0, y0, x1, y1 = scene.box
    pad = 0.8 * scene.em_mm
    reach = flags.reach_mm + _number_room(scene)
    near, far = (x0 - pad, y0 - pad), (x1 + pad, y1 + pad)
    left, top, right, bottom = _with_labels(scene, (*near, *far), flags.boxes)
    width, height = right - left, bottom - top
    parts = (
        _patterns(scene),
        tag("rect", x=left - 9 * width, y=top - height, width=19 * width, height=3 * height, fill="url(#squares)"),
        _cloth(laps),
        flags.under,
        _lines(laps),
        _old_places(scene),
        "".join(_mark(scene, mark) for mark in scene.placement.marks),
        _ends(scene),
        flags.over,
    )
    samples = [[round(x, 2), round(y, 2)] for (x, y), _ in _places_along(laps)]
    return tag(
        "svg",
        "".join(parts),
        id="worn",
        viewBox=" ".join(f"{v:.2f}" for v in (left, top, width, height)),
        role="group",
        aria_label=_in_words(scene.placement),
        data_line=json.dumps(samples),
        data_length=f"{laps.line.length_mm:.6f}",
        data_step=f"{STEP_MM[scene.placement.plan.units]:.6f}",
        data_reach=round(reach, 1),
        class_="lying" if width > 1.3 * height else "standing",
    )


def _scene(answer: Answer) -> Scene:
    laps = answer.placement.laps
    view = View(laps, laps.over, False)
    boxes = [laps.line.box]
    for lap in laps.both:
        boxes += [lap.edge.box] if lap.tip is None else []
        boxes += [lap.inner.box] if lap.inner is not None else []
    if answer.placement.strap is not None:
        x0, y0, x1, y1 = laps.line.box
        aside = _STRAP_WIDTHS * laps.over.width_mm
        boxes.append((x0 - aside, y0 - laps.over.width_mm / 2, x1 + aside, y1 + laps.over.width_mm / 2))
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    letters = _LETTERS_ACROSS if answer.placement.strap is None else _LETTERS_ALONG_STRAP
    em = max((y1 - y0) / _LINES_IN_HEIGHT, (x1 - x0) / letters)
    spots = {mark.n: view.spot_at((mark.x_mm, mark.y_mm), mark.tangent) for mark in answer.placement.marks}
    ends = (view.spot(0.0), view.spot(laps.line.length_mm))
    return Scene(answer, view, em, (x0, y0, x1, y1), spots, ends)


def _number_room(scene: Scene) -> float:
    look = look_of(scene.placement.fastener, "over", None)
    return reach_mm(look) + scene.em_mm


def _with_labels(
    scene: Scene, box: tuple[float, float, float, float], labels: tuple[tuple[float, float, float, float], ...]
) -> tuple[float, float, float, float]:
    em = scene.em_mm
    every = [box, *labels]
    for mark in scene.placement.marks:
        x, y = _number_at(scene, mark)
        every.append((x - 2.4 * em, y - em, x + 2.4 * em, y + em))
    if scene.placement.strap is None:
        laps = scene.placement.laps
        for lap in laps.both:
            every += [(x, y, x, y) for x, y in _far_side(laps, lap)[::15]]
    for (x, y), text, anchor in _end_words(scene):
        wide = 0.55 * len(text) * em
        low = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        every.append((low, y - em, low + wide, y + em))
    return (
        min(b[0] for b in every),
        min(b[1] for b in every),
        max(b[2] for b in every),
        max(b[3] for b in every),
    )


def _patterns(scene: Scene) -> str:
    side = 50.8 if scene.placement.plan.units == "in" else 50.0
    step = scene.em_mm / 2.2
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
def _cloth(laps: Laps) -> str:
    """Both laps and their lines, which stay as they are while what lies on them is moved."""
    under, over = _area(laps.under, laps), _area(laps.over, laps)
    hatched = {"fill": "url(#hatch)"}
    beyond = ""
    if laps.over.tip is None:
        left, right = _garment(laps, laps.under), _garment(laps, laps.over)
        beyond = tag("path", d=left, class_="cloth under") + tag("path", d=left, **hatched)
        beyond += tag("path", d=right, class_="cloth over")
    return (
        beyond
        + tag("path", tag("title", "under lap, beneath"), d=under, class_="cloth under")
        + tag("path", d=under, **hatched)
        + tag("path", tag("title", "over lap, on top"), d=over, class_="cloth over")
    )


@lru_cache(maxsize=16)
def garment_mm(laps: Laps, lap: Lap) -> float:
    """How far from the closing line the garment is shown on one lap's own side."""
    wished = lap.width_mm - lap.inset_mm + _GARMENT * lap.width_mm
    return min(wished, max(0.85 * laps.line.tightest("both").radius_mm, lap.width_mm - lap.inset_mm))


@lru_cache(maxsize=16)
def _places_along(laps: Laps) -> tuple[tuple[Point, Point], ...]:
    """Places at even distances on the closing line, each with its direction."""
    line = laps.line
    along = [line.length_mm * i / _SAMPLES for i in range(_SAMPLES + 1)]
    return tuple((line.point_at(s), line.tangent_at(s)) for s in along)


def _far_side(laps: Laps, lap: Lap) -> list[Point]:
    far = garment_mm(laps, lap) * (1.0 if lap.cloth_on == "right" else -1.0)
    return [(x - ty * far, y + tx * far) for (x, y), (tx, ty) in _places_along(laps)]


def _garment(laps: Laps, lap: Lap) -> str:
    """The garment past a lap's band, which shows which way it lies; it has no line of its own."""
    near = [point for point, _ in _places_along(laps)]
    return through([*near, *reversed(_far_side(laps, lap))], closed=True)


def _area(lap: Lap, laps: Laps) -> str:
    if lap.tip is not None:
        return path_data(lap.edge.path()) + "Z"
    return between(lap.edge, lap.inner or laps.line)


@lru_cache(maxsize=16)
def _lines(laps: Laps) -> str:
    return (
        tag("path", d=path_data(laps.under.edge.path()), class_="edge beneath")
        + tag("path", d=path_data(laps.over.edge.path()), class_="edge")
        + tag("path", d=path_data(laps.line.path()), class_="closing")
    )


def _old_places(scene: Scene) -> str:
    swap = scene.answer.swap
    if swap is None:
        return ""
    line, half = scene.placement.laps.line, max(scene.em_mm * 0.35, 2.0)
    crosses = []
    for n, along in enumerate(swap.old.places_mm, 1):
        if along > line.length_mm:
            continue
        x, y = line.point_at(along)
        strokes = (((x - half, y - half), (x + half, y + half)), ((x + half, y - half), (x - half, y + half)))
        cross = "".join(map(through, strokes))
        crosses.append(tag("path", tag("title", f"old place {n}"), d=cross, class_="old"))
    return "".join(crosses)


def _mark(scene: Scene, mark: Mark) -> str:
    placement, em = scene.placement, scene.em_mm
    lap = "over" if mark.over is not None else "under"
    buttonhole = buttonhole_for(placement.fastener, placement.plan.closure, scene.answer.catalogue)
    look = look_of(placement.fastener, "over" if lap == "over" else "under", buttonhole)
    spot = scene.spots[mark.n]
    worst = _worst(scene.answer, mark.n)
    locked = lock_of(placement.plan, placement, mark.n) is not None
    figure = format_length(mark.along_mm, placement.plan.units)
    title = f"mark {mark.n}: {figure} from the first end"
    title += f", {mark.anchor}" if mark.anchor else ""
    title += " (on the under end only)" if mark.over is None else ""
    number = ""
    if _has_number(placement, mark.n, em):
        x, y = _number_at(scene, mark)
        sign = _SIGNS.get(worst, "")
        text = f"{sign} {mark.n}".strip() + (" ▪" if locked else "")
        number = words(text, (x, y), em, "number", _anchor(spot.inward))
    halo = tag("circle", cx=mark.x_mm, cy=mark.y_mm, r=max(look.rim_mm, 0.3 * em) + 0.45 * em, class_="halo")
    # The mark is drawn once and laid at its place, turned as the line runs there.
    turned = " ".join(f"{v:.4f}" for v in (*spot.along, *spot.to_edge, mark.x_mm, mark.y_mm))
    drawn = tag("g", _drawn("over" if lap == "over" else "under", look), transform=f"matrix({turned})")
    inside = tag("title", escape(title)) + halo + drawn + number
    return tag("g", inside, id=f"mark-{mark.n}", class_=f"mark {worst} {lap}" + (" locked" if locked else ""))


@lru_cache(maxsize=64)
def _drawn(lap: LapName, look: Look) -> str:
    """A mark at the origin, the line running to the right and the edge below it."""
    return shape(draw_mark(lap, 0, "", Stand(0.0, 0.0, (1.0, 0.0), (0.0, 1.0)), look))


def _number_at(scene: Scene, mark: Mark) -> Point:
    spot = scene.spots[mark.n]
    reach = max(spot.to_inner_mm, scene.placement.fastener.rim_mm)
    return spot.moved(0.0, reach + 0.5 * scene.em_mm)


def _has_number(placement: Placement, n: int, em: float) -> bool:
    """Whether there is room for the number of every mark, or only for every so many."""
    gaps = placement.spacing.gaps_mm
    least = min((gap for gap in gaps if gap > 0), default=math.inf)
    every = max(1, math.ceil(1.15 * em / least))
    return (n - 1) % every == 0 or n == len(placement.marks)


def _worst(answer: Answer, n: int) -> str:
    results = {finding.result for finding in answer.findings if finding.mark == n}
    return "fail" if "fail" in results else "warn" if "warn" in results else "pass"


def _anchor(way: Point) -> str:
    return "middle" if abs(way[0]) < 0.35 else "start" if way[0] > 0 else "end"


def _ends(scene: Scene) -> str:
    return "".join(words(text, at, scene.em_mm * 0.85, "end", anchor) for at, text, anchor in _end_words(scene))


def _end_words(scene: Scene) -> list[tuple[Point, str, str]]:
    """The names of both ends and both laps, each with its place and the way it is set."""
    em = scene.em_mm
    if scene.placement.strap is not None:
        return _strap_words(scene)
    first, last = scene.ends
    side = "end" if last.inward[0] < 0 else "start"
    other = "start" if side == "end" else "end"
    if abs(last.along[0]) > 0.75:
        inner, beyond = last.moved(0.6 * em, 0.9 * em), last.moved(0.6 * em, -0.9 * em)
        out = "start" if last.along[0] > 0 else "end"
        return [
            (first.moved(-0.8 * em, 0.0), "first end", "end" if out == "start" else "start"),
            (inner, "over lap", out),
            (beyond, "under lap", out),
        ]
    return [
        (first.moved(-1.0 * em, 0.0), "first end", "middle"),
        (last.moved(1.1 * em, 0.4 * em), "over lap", side),
        (last.moved(1.1 * em, -0.4 * em), "under lap", other),
    ]


def _strap_words(scene: Scene) -> list[tuple[Point, str, str]]:
    laps, em = scene.placement.laps, scene.em_mm
    result: list[tuple[Point, str, str]] = []
    for lap, text, row in ((laps.over, "over end", 2.4), (laps.under, "under end", 2.4)):
        if lap.tip is not None:
            (x, _), way = lap.tip.at, lap.tip.inwards[0]
            result.append(((x, lap.width_mm / 2 + row * em), text, "start" if way > 0 else "end"))
    return result


def _in_words(placement: Placement) -> str:
    plan = placement.plan
    lap = f" {plan.lap}, as the wearer says it," if plan.lap else ""
    return (
        f"The front as worn,{lap} with {len(placement.marks)} closures numbered from the first end. "
        "Fixed places and clear stretches are handles, moved with the arrow keys."
    )


def legend(answer: Answer) -> Mapping[str, str]:
    """Name the signs that the picture uses, class to words."""
    placement = answer.placement
    over, under = placement.laps.over.wearer_side, placement.laps.under.wearer_side
    what = "lap" if placement.strap is None else "end"
    side = (f", the wearer's {over}", f", the wearer's {under}") if over and under else ("", "")
    rows = {
        "over": f"over {what}, on top{side[0]}",
        "under": f"under {what}, beneath{side[1]}",
        "closing": "closing line",
        "square": "squares of 2 in" if placement.plan.units == "in" else "squares of 50 mm",
    }
    rows |= {"anchor": "fixed place"} if placement.anchors else {}
    rows |= {"zone": "keep clear"} if placement.zones else {}
    rows |= {"old": "old place"} if answer.swap is not None else {}
    return rows
