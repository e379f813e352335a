"""The front as worn: both laps closed, true to shape, with everything that can be taken hold of.

Terms: a *flag* is the name beside a fixed place or a clear stretch; a *handle* is what a hand, or an
arrow key, moves along the closing line.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from functools import lru_cache
from html import escape
from itertools import pairwise, repeat
from typing import TYPE_CHECKING

from closures.app.web.cloth import (
    draw_cloth,
    draw_patterns,
    draw_seams,
    far_side,
    opened,
    over_cloth,
    places_along,
    slides,
)
from closures.app.web.figure import figure_of
from closures.app.web.flags import draw_flags
from closures.app.web.ink import SEAM, path_data, reach, room_for, shape, steady_words, tag, through
from closures.app.web.listed_marks import what_it_is
from closures.app.web.met import gap_mm, worn_laps
from closures.app.web.moves import lock_of
from closures.app.web.picture_words import in_words
from closures.app.web.scene import (
    LIES_FROM,
    end_words,
    gap_at,
    number_at,
    number_beside,
    number_room,
    numbered,
    scene_of,
    with_labels,
)
from closures.drawing.sheets.marks import Look, Stand, draw_mark, look_of
from closures.lengths import format_length
from closures.placing.buttonhole import hole_at
from closures.plan.as_written import step_of

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.web.moves import Steps
    from closures.app.web.scene import Scene
    from closures.catalogue.values import LapName
    from closures.drawing.ink.shapes import Box, Point
    from closures.placing.placement import Mark, Placement

_SIGNS = {"fail": "✕", "warn": "!"}


def draw_worn(answer: Answer, steps: Steps | None = None, is_small: bool = False) -> str:
    """Draw the closed front as an SVG for the page.

    Args:
        answer: a placement with its findings.
        steps: how far a key moves each thing that can be taken hold of; None where nothing can be.
        is_small: nobody can bring the picture closer: where the numbers of a row find no room beside the whole piece,
            the row fills the picture.

    Returns:
        One `svg` element in the garment's own frame, user units of 1 mm. The group ``mark-n`` is mark n;
        an element of class ``handle`` tells in its data what it moves.
    """
    scene, laps = scene_of(answer), worn_laps(answer.placement)
    if is_small and _roomy(scene) > 1.0:
        scene = scene_of(answer, with_piece=False)
    flags = draw_flags(scene.answer, scene.view, scene.em_mm, steps)
    x0, y0, x1, y1 = scene.box
    pad = 0.8 * scene.em_mm
    reach = flags.reach_mm + number_room(scene)
    near, far = (x0 - pad, y0 - pad), (x1 + pad, y1 + pad)
    left, top, right, bottom = with_labels(scene, (*near, *far), flags.boxes)
    width, height = right - left, bottom - top
    shown = numbered(scene)
    parts = (
        draw_patterns(scene.placement.plan.units, scene.em_mm),
        tag("rect", x=left - 9 * width, y=top - height, width=19 * width, height=3 * height, fill="url(#squares)"),
        _outline(scene),
        draw_cloth(laps),
        flags.under,
        draw_seams(laps),
        _on_under_lap(scene),
        _old_places(scene),
        SEAM.join(_mark(scene, mark, mark.n in shown, can_move=steps is not None) for mark in scene.placement.marks),
        "".join(_beside(scene, mark) for other in scene.placement.beside for mark in other.marks),
        _gaps(scene),
        _ends(scene),
        flags.over,
    )
    aside = opened(laps, max(2.0 * scene.em_mm, _past_mm(scene, flags.boxes) + 0.5 * scene.em_mm))
    x0, y0, x1, y1 = _opened_box(scene, aside, (left, top, right, bottom))
    samples = [[round(x, 2), round(y, 2)] for (x, y), _ in places_along(laps)]
    return tag(
        "svg",
        SEAM.join(("", *parts, "")),
        id="worn",
        viewBox=" ".join(f"{v:.2f}" for v in (left, top, width, height)),
        role="group",
        aria_label=in_words(scene.placement, steps is not None and scene.placement.strap is None),
        data_line=json.dumps(samples),
        data_length=f"{laps.line.length_mm:.6f}",
        data_reach=round(reach, 1),
        data_roomy=f"{_roomy(scene):.3f}",
        data_aside=" ".join(f"{v:.2f}" for v in aside),
        data_opened=" ".join(f"{v:.2f}" for v in (x0, y0, x1 - x0, y1 - y0)),
        data_em=round(scene.em_mm, 3),
        class_="lying across" if scene.is_lying else "lying" if width > LIES_FROM * height else "standing",
    )


def _past_mm(scene: Scene, names: Sequence[Box]) -> float:
    """How far names beside the row reach past the over lap's edge, to be read where the under lap lies aside."""
    laps = worn_laps(scene.placement)
    if laps.over.tip is not None:
        return 0.0
    line = [point for point, _ in places_along(laps)]
    corners = [(x, y) for x0, y0, x1, y1 in names for x in (x0, x1) for y in (y0, y1)]
    far = 0.0
    for corner in corners:
        # A corner that lies nearer to any place than the farthest one did so far is not the farthest.
        if not any(math.dist(corner, point) <= far for point in line):
            far = min(math.dist(corner, point) for point in line)
    return far - laps.over.edge_lies_mm[1]


def _opened_box(scene: Scene, aside: Point, closed: Box) -> Box:
    """The picture's box with the under lap laid aside in it."""
    laps, pad = worn_laps(scene.placement), 0.8 * scene.em_mm
    if scene.placement.strap is not None:
        places = [scene.box[:2], scene.box[2:]]
    else:
        x0, y0, x1, y1 = laps.under.edge.box
        places = [(x0, y0), (x1, y1), *far_side(laps, laps.under)]
    xs, ys = [x + aside[0] for x, _ in places], [y + aside[1] for _, y in places]
    return (
        min(closed[0], min(xs) - pad),
        min(closed[1], min(ys) - pad),
        max(closed[2], max(xs) + pad),
        max(closed[3], max(ys) + pad),
    )


def _outline(scene: Scene) -> str:
    """The whole piece of the over lap, where the drawing has its outline; else a faint figure."""
    outline = scene.placement.outline
    if outline is None:
        figure = figure_of(scene.placement)
        title = tag("title", "a figure to see by: only its length is measured")
        return tag("path", title, d=path_data(figure), class_="figure") if figure else ""
    return tag("path", tag("title", "the over lap's piece"), d=path_data(outline.path()) + "Z", class_="outline")


def _roomy(scene: Scene) -> float:
    """How many times closer the picture comes before every number and every gap has room."""
    least = min((gap for gap in scene.placement.spacing.gaps_mm if gap > 0), default=math.inf)
    return _room_mm(scene) / least


def _room_mm(scene: Scene) -> float:
    """How far apart closures lie whose numbers have a gap's figure between them, in mm.

    Figures stand clear where they are a line apart in height, or as far apart across as both are wide by half; of a row
    that lies down only the second helps.
    """
    placement, em = scene.placement, scene.em_mm
    figures = [format_length(gap, placement.plan.units) for gap in placement.spacing.gaps_mm]
    wide = (max(map(room_for, figures), default=0.0) * 0.85 + room_for(str(len(placement.marks)))) / 2 + 0.3
    ways = [spot.along for spot in scene.spots.values()]
    return 2.0 * em * max((min(1.0 / (abs(y) or 1e-9), wide / (abs(x) or 1e-9)) for x, y in ways), default=1.0)


def _gaps(scene: Scene) -> str:
    """The gaps, written between the marks: seen where there is room for all of them."""
    placement, em = scene.placement, scene.em_mm
    if placement.strap is not None:
        return ""
    tight = " tight" if _roomy(scene) > 1.0 else ""
    written = []
    for one, other in pairwise(placement.marks):
        gap = format_length(other.along_mm - one.along_mm, placement.plan.units)
        letters = 0.85 * room_for(gap)
        root, at, inward = gap_at(scene, one, other, letters)
        seen = "gap" + tight + _ground(scene, at, _anchor(inward), letters)
        written.append(steady_words(gap, root, at, 0.85 * em, seen, _anchor(inward)))
    return SEAM.join(written)


def _ground(scene: Scene, at: Point, anchor: str, letters: float) -> str:
    """The class of figures that stand whole on the over lap: a rim in its colour keeps lines from crossing them.

    What stands partly on the board has none, which would be a stain there.
    """
    if scene.placement.strap is not None:
        return ""
    wide_mm = 0.5 * scene.em_mm if anchor == "middle" else letters * scene.em_mm
    far_mm, points = over_cloth(worn_laps(scene.placement))
    # Asked of every figure in the picture, at every move of a hand.
    return " on-cloth" if any(map((far_mm - wide_mm).__ge__, map(math.dist, repeat(at), points))) else ""


def _old_places(scene: Scene) -> str:
    swap = scene.answer.swap
    if swap is None:
        return ""
    line, half = scene.placement.laps.as_worn.line, max(scene.em_mm * 0.35, 2.0)
    crosses = []
    for n, along in enumerate(swap.old.places_mm, 1):
        if along > line.length_mm:
            continue
        x, y = line.point_at(along)
        strokes = (((x - half, y - half), (x + half, y + half)), ((x + half, y - half), (x - half, y + half)))
        cross = "".join(map(through, strokes))
        crosses.append(tag("path", tag("title", f"old place {n}"), d=cross, class_="old"))
    return "".join(crosses)


def _mark(scene: Scene, mark: Mark, has_number: bool, *, can_move: bool) -> str:
    placement, em = scene.placement, scene.em_mm
    lap: LapName = "over" if mark.over is not None else "under"
    share = placement.share_of(mark.n)
    look = _look(scene, share, lap, mark)
    spot = scene.spots[mark.n]
    worst = _worst(scene.answer, mark.n)
    locked = lock_of(placement.plan, placement, mark.n) is not None
    figure = format_length(mark.along_mm, placement.plan.units)
    title = f"mark {mark.n}: {figure} from the {placement.ends[0]}"
    title += f", {mark.anchor}" if mark.anchor else ""
    title += " (on the under end only)" if mark.over is None else ""
    sign = _SIGNS.get(worst, "")
    text = f"{sign} {mark.n}".strip() + (" ▪" if locked else "")
    seen = "number" if has_number else "number tight"
    root, at = number_at(scene, mark)
    anchor = _anchor(spot.inward)
    number = steady_words(text, root, at, em, seen + _ground(scene, at, anchor, room_for(text)), anchor)
    halo = tag("circle", cx=mark.x_mm, cy=mark.y_mm, r=max(look.rim_mm, 0.3 * em) + 0.45 * em, class_="halo")
    # The mark is drawn once and laid at its place, turned as the line runs there.
    turned = " ".join(f"{v:.4f}" for v in (*spot.along, *spot.to_edge, mark.x_mm, mark.y_mm))
    drawn = tag("g", _drawn("over" if lap == "over" else "under", look), transform=f"matrix({turned})")
    inside = tag("title", escape(title)) + reach((mark.x_mm, mark.y_mm)) + halo + drawn + number
    class_ = f"mark {worst} {lap}" + (" locked" if locked else "")
    told = _told(placement, mark)
    if not can_move or placement.plan.spacing is None or mark.over is None:
        return tag("g", inside, id=f"mark-{mark.n}", class_=class_, data_told=told)
    return tag(
        "g",
        inside,
        id=f"mark-{mark.n}",
        class_=class_ + " handle",
        role="slider",
        tabindex=0,
        aria_label=f"mark {mark.n}" + (", locked" if locked else ""),
        aria_orientation="vertical",
        aria_valuemin=0,
        aria_valuemax=round(placement.laps.as_worn.line.length_mm, 1),
        aria_valuenow=round(mark.along_mm, 1),
        aria_valuetext=told,
        data_what="mark",
        data_n=mark.n,
        data_at=mark.anchor,
        data_part="whole",
        data_along=f"{mark.along_mm:.6f}",
        data_step=f"{step_of(None, placement.plan.units):.6f}",
        data_told=told,
    )


def _look(scene: Scene, share: Placement, name: LapName, mark: Mark) -> Look:
    lap, on_lap = share.laps[name], mark.on(name)
    hole = None if on_lap is None else hole_at(share, lap, on_lap, scene.answer.catalogue)
    return look_of(share.fastener_of(mark.n), name, hole)


def _on_under_lap(scene: Scene) -> str:
    """What the closures have on the under lap: seen once that lies aside, and always where it lies beneath nothing."""
    meets = scene.placement.laps.garment.is_meeting
    beside = (mark for other in scene.placement.beside for mark in other.marks if mark.under)
    closing = (mark for mark in scene.placement.marks if mark.over and mark.under)
    drawn = (_below(scene, mark, meets) for mark in (*closing, *beside))
    return slides(SEAM.join(("", *drawn, "")), "slides met" if meets else "slides below")


def _below(scene: Scene, mark: Mark, meets: bool) -> str:
    share = scene.placement.share_of(mark.n)
    spot = scene.spots.get(mark.n) or scene.view.spot_at((mark.x_mm, mark.y_mm), mark.tangent)
    look = _look(scene, share, "under", mark)
    at, to_edge = (mark.x_mm, mark.y_mm), spot.to_edge
    if meets:
        laps = share.laps
        at = spot.moved(0.0, -(laps.over.inset_mm + gap_mm(scene.placement) + laps.under.inset_mm))
        to_edge = spot.inward
    turned = " ".join(f"{v:.4f}" for v in (*spot.along, *to_edge, *at))
    return tag("g", _drawn("under", look), transform=f"matrix({turned})")


def _told(placement: Placement, mark: Mark) -> str:
    """A closure's figures, as they are read while it is looked at."""
    units = placement.plan.units
    lines = [f"{format_length(mark.along_mm, units)} from the {placement.ends[0]}"]
    at = next((n for n, one in enumerate(placement.marks) if one.n == mark.n), None)
    if at is not None:
        near = (placement.marks[n] for n in (at - 1, at + 1) if 0 <= n < len(placement.marks))
        gaps = [f"{format_length(abs(one.along_mm - mark.along_mm), units)} from mark {one.n}" for one in near]
        lines += [" and ".join(gaps)] if gaps else []
    what = "lap" if placement.strap is None else "end"
    for lap in (mark.over, mark.under):
        if lap is not None:
            edge = format_length(lap.edge_distance_mm, units)
            stack = "" if lap.stack is None else f", {lap.stack.typical_mm:.2f} mm of cloth to clamp"
            lines.append(f"{'over' if lap is mark.over else 'under'} {what}: {edge} from the edge{stack}")
    return "; ".join(lines)


def _beside(scene: Scene, mark: Mark) -> str:
    """A mark beside the row, to look at: nothing of it is moved by hand."""
    placement, em = scene.placement, scene.em_mm
    if mark.over is None:
        return ""
    share = placement.share_of(mark.n)
    look = _look(scene, share, "over", mark)
    spot = scene.view.spot_at(mark.over.at, mark.over.tangent)
    turned = " ".join(f"{v:.4f}" for v in (*spot.along, *spot.to_edge, mark.x_mm, mark.y_mm))
    drawn = tag("g", _drawn("over", look), transform=f"matrix({turned})")
    root, at = number_beside(scene, "over", mark.over)
    worst = _worst(scene.answer, mark.n)
    text = f"{_SIGNS.get(worst, '')} {mark.n}".strip()
    number = steady_words(text, root, at, em, "number" + _ground(scene, at, "middle", 1.0), "middle")
    halo = tag("circle", cx=mark.x_mm, cy=mark.y_mm, r=max(look.rim_mm, 0.3 * em) + 0.45 * em, class_="halo")
    told = f"{what_it_is(placement, mark.n)}; {_told(placement, mark)}"
    title = tag("title", escape(f"mark {mark.n}: {what_it_is(placement, mark.n)}"))
    return tag("g", title + halo + drawn + number, id=f"mark-{mark.n}", class_=f"mark {worst} over", data_told=told)


@lru_cache(maxsize=64)
def _drawn(lap: LapName, look: Look) -> str:
    """A mark at the origin, the line running to the right and the edge below it."""
    return shape(draw_mark(lap, 0, "", Stand(0.0, 0.0, (1.0, 0.0), (0.0, 1.0)), look))


def _worst(answer: Answer, n: int) -> str:
    results = {finding.result for finding in answer.findings if finding.mark == n}
    return "fail" if "fail" in results else "warn" if "warn" in results else "pass"


def _anchor(way: Point) -> str:
    return "middle" if abs(way[0]) < 0.35 else "start" if way[0] > 0 else "end"


def _ends(scene: Scene) -> str:
    named = [
        steady_words(text, root, at, scene.em_mm * 0.85, "end", anchor) for root, at, text, anchor in end_words(scene)
    ]
    # The last one names the under lap, and goes aside with it.
    return "".join(named[:-1]) + slides(named[-1])
